"""A run in words: what was made, what is weak or lost or refused, and the next command to type.

Comes in: a run's record. Goes out: text. Never done here: printing, or changing a figure.
"""

from __future__ import annotations

import math
import textwrap
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

Record = Mapping[str, Any]
SEVERITIES = ("error", "warning", "note")
SHOWN = 3
"""Drawings shown of each check unless more words are asked for."""


def clean(text: str) -> str:
    """Text without control sequences, safe on a terminal; control and bidirectional characters are shown escaped."""
    return "".join(
        character
        if character == "\n" or unicodedata.category(character) not in {"Cc", "Cf", "Cs", "Co"}
        else ascii(character)[1:-1]
        for character in text
    )


def counted(number: int, singular: str, plural: str = "") -> str:
    """`1 file`, `2 files`."""
    return f"{number} {singular if number == 1 else plural or singular + 's'}"


def megabytes(size: int) -> str:
    """A number of bytes for people, in MB of 10^6 bytes."""
    return f"{size / 1e6:.1f} MB" if size >= 100_000 else f"{size / 1e3:.0f} kB"


def duration(seconds: float | None) -> str:
    """Seconds for people."""
    if seconds is None:
        return ""
    if seconds < 90:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min" if seconds < 5400 else f"{seconds / 3600:.1f} h"


def wrapped(text: str, columns: int) -> str:
    """Lines folded to so many characters, the rest of a line set in below its beginning."""
    lines = []
    for line in text.split("\n"):
        indent = " " * (len(line) - len(line.lstrip()) + 4)
        lines += textwrap.wrap(line, max(columns, 40), subsequent_indent=indent, break_on_hyphens=False) or [""]
    return "\n".join(lines)


def convert_text(run: Record, *, out: str, verbose: int = 0) -> str:
    """The summary of `convert` or `recolour`."""
    summary = run["summary"]
    lines = [_scope(run), ""]
    lines += _files_made(run["outputs"], out)
    lines += _pairs_counted(summary)
    lines += _refused(run["artworks"])
    lines += _attention(run, verbose=verbose)
    lines += ["", f"Next: {summary.get('next', '')}"] if summary.get("next") else []
    return clean("\n".join(lines).strip("\n")) + "\n"


def audit_text(run: Record, *, verbose: int = 0) -> str:
    """The verdicts of `audit`, worst first, then the findings."""
    lines = [_scope(run), ""]
    lines += _pairs_counted(run["summary"], made=False)
    lines += _refused(run["artworks"])
    refused = sum(bool(artwork["error"]) for artwork in run["artworks"])
    lines += _verdict_lines(run["pairs"], refused=refused, verbose=verbose)
    lines += _attention(run, verbose=verbose, skip={"ink-lost", "ink-fades"})
    if run["summary"].get("next"):
        lines += ["", f"Next: {run['summary']['next']}"]
    return clean("\n".join(lines).strip("\n")) + "\n"


def verify_text(run: Record, *, folder: str) -> str:
    """What `verify` found."""
    checked, findings = run["summary"].get("outputs", 0), run["findings"]
    if not findings:
        return clean(f"{counted(checked, 'file')} in {folder} agree with the manifest.\n")
    lines = [f"{counted(len(findings), 'mismatch', 'mismatches')} among {counted(checked, 'file')} in {folder}:"]
    lines += [f"  {finding['check']}  {finding['message']}" for finding in findings]
    lines += [f"fix: {fix}" for fix in dict.fromkeys(finding["fix"] for finding in findings)]
    return clean("\n".join(lines)) + "\n"


def _scope(run: Record) -> str:
    products = {pair["product"] for pair in run["pairs"]}
    blanks = {pair["blank"] for pair in run["pairs"]}
    words = [counted(len(run["artworks"]), "artwork")]
    if products:
        words += [
            counted(len(products), "product"),
            counted(len(blanks), "blank"),
            counted(len(run["pairs"]), "pairing") + " of artwork, product and blank",
        ]
    return ", ".join(words)


def _files_made(outputs: Sequence[Record], out: str) -> list[str]:
    lines = []
    for state, word in (("made", "made"), ("planned", "would make"), ("kept", "kept"), ("failed", "not written")):
        chosen = [output for output in outputs if output["state"] == state]
        if not chosen:
            continue
        kinds: dict[str, int] = {}
        for output in chosen:
            kinds[output["kind"]] = kinds.get(output["kind"], 0) + 1
        listed = ", ".join(counted(number, _kind_words(kind)) for kind, number in kinds.items())
        size = sum(output["bytes"] for output in chosen)
        about = "about " if state == "planned" else ""
        tail = " (up to date)" if state == "kept" else f" ({about}{megabytes(size)})" if size else ""
        lines.append(f"{word:<12}{listed}{tail} in {out}")
    return lines


def _kind_words(kind: str) -> str:
    return {
        "print-png": "print file",
        "preview-png": "preview",
        "preview-trimmed-png": "trimmed preview",
        "recoloured-svg": "recoloured drawing",
        "plate-png": "plate",
    }.get(kind, kind)


def _pairs_counted(summary: Record, *, made: bool = True) -> list[str]:
    lines = []
    drawn = summary.get("clear_as_drawn", 0)
    if drawn:
        lines.append(f"{'clear':<12}{counted(drawn, 'pairing')} as drawn")
    if summary.get("changed"):
        word = "changed so that they are seen" if made else "would be changed so that they are seen"
        lines.append(f"{'recoloured':<12}{counted(summary['changed'], 'pairing')} {word}")
    for key in ("weak", "lost"):
        number = summary.get(key, 0)
        if number:
            stays = "stays" if number == 1 else "stay"
            lines.append(f"{key:<12}{counted(number, 'pairing')} {stays} {key}")
    return lines


def _refused(artworks: Sequence[Record]) -> list[str]:
    lines: list[str] = []
    for status in ("refused", "failed"):
        chosen = [artwork for artwork in artworks if artwork["status"] == status]
        if chosen:
            lines.append(f"{status:<12}{counted(len(chosen), 'artwork')}")
        for artwork in chosen:
            error = artwork["error"]
            lines.append(f"    {artwork['path']}: {error['message']}")
            if error["fix"]:
                lines.append(f"      fix: {error['fix']}")
    return lines


def _verdict_lines(pairs: Sequence[Record], *, refused: int, verbose: int) -> list[str]:
    order = {"lost": 0, "weak": 1, "clear": 2}
    chosen = [pair for pair in pairs if pair["verdict"] != "clear" or verbose]
    groups: dict[tuple[Any, ...], list[Record]] = {}
    for pair in chosen:
        groups.setdefault((order[pair["verdict"]], pair["artwork"], pair["blank"], pair["deciding"]), []).append(pair)
    if not groups:
        return ["", f"Every {'other ' if refused else ''}artwork is clear on every blank."] if pairs else []
    lines = ["", "As drawn, worst first"]
    for key in sorted(groups, key=lambda item: (item[0], -max(pair["outline_faded"] for pair in groups[item]), item[1:3])):
        first = groups[key][0]
        products = ", ".join(pair["product"] for pair in groups[key])
        lines.append(f"  {first['verdict']:<6}{first['artwork']} on {first['blank']}: {first['deciding']}")
        lines.append(f"        {products}; {_remedy_words(first)}")
    return lines


def _remedy_words(pair: Record) -> str:
    if pair["verdict"] == "clear":
        return "left as drawn"
    after = pair["verdict_after"]
    if pair["treatment"] in {"as-drawn", "ask"}:
        return pair["reason"] or "no treatment of the ladder helps; choose another blank or answer in the settings"
    return f"convert would use {pair['treatment']}: then {after}"


def _attention(run: Record, *, verbose: int, skip: Iterable[str] = ()) -> list[str]:
    lines: list[str] = []
    hidden = set(skip)
    told = {artwork["error"]["message"] for artwork in run["artworks"] if artwork["error"]}
    open_to = [item for item in run["findings"] if item["check"] not in hidden and item["message"] not in told]
    for severity in SEVERITIES if verbose else SEVERITIES[:2]:
        chosen = [item for item in open_to if item["severity"] == severity]
        if not chosen:
            continue
        lines += ["", {"error": "To settle before printing", "warning": "To look at", "note": "Notes"}[severity]]
        by_check: dict[str, list[Record]] = {}
        for finding in chosen:
            by_check.setdefault(finding["check"], []).append(finding)
        for check, members in by_check.items():
            lines += _of_check(check, members, verbose=verbose)
    return lines if verbose or not lines else [*lines, "", "-v shows every finding, and the notes"]


def _of_check(check: str, findings: Sequence[Record], *, verbose: int) -> list[str]:
    """All findings of one check: a line for each drawing, the remedy once where it is the same for all."""
    by_artwork: dict[str, list[Record]] = {}
    for finding in findings:
        by_artwork.setdefault(finding["artwork"], []).append(finding)
    drawings = len([artwork for artwork in by_artwork if artwork])
    lines = [f"  {check}" + (f"  {counted(drawings, 'drawing')}" if drawings > 1 else "")]
    shown = list(by_artwork.items())[: None if verbose else SHOWN]
    fixes = {finding["fix"] for _, members in shown for finding in (members if verbose else [_worst(members)])}
    for artwork, members in shown:
        lines += _of_artwork(artwork, members, has_own_fix=len(fixes) > 1, verbose=verbose)
    if len(by_artwork) > len(shown):
        lines.append(f"    ... and {len(by_artwork) - len(shown)} more")
    if len(fixes) == 1 and (fix := fixes.pop()):
        lines.append(f"    fix: {fix}")
    return lines


def _of_artwork(artwork: str, findings: Sequence[Record], *, has_own_fix: bool, verbose: int) -> list[str]:
    """The worst finding of one check on one drawing in words, and where else there is one; with `verbose` all of them."""
    groups: dict[str, list[Record]] = {}
    for finding in findings:
        groups.setdefault(finding["message"], []).append(finding)
    worst = _worst(findings)
    lines = []
    for message, members in groups.items() if verbose else [(worst["message"], groups[worst["message"]])]:
        where = _where(artwork, members)
        rest = [] if verbose else [finding for finding in findings if finding["message"] != message]
        lines.append(f"    {where}: {message}{_also(members, rest)}" if where else f"    {message}")
        if place := _place(members[0]):
            lines.append(f"      at {place}")
        if has_own_fix and members[0]["fix"]:
            lines.append(f"      fix: {members[0]['fix']}")
    return lines


def _place(finding: Record) -> str:
    """Where a finding lies, from the upper left corner of the print file or of the drawing's page; empty where it has no place."""
    if not finding["place_mm"]:
        return ""
    x0, y0, x1, y1 = finding["place_mm"]
    sheet = "print file" if finding["place_on"] == "print" else "page"
    return f"{x0:.0f} to {x1:.0f} mm from the left, {y0:.0f} to {y1:.0f} mm from the top of the {sheet}"


def _worst(findings: Sequence[Record]) -> Record:
    """The finding farthest beyond its limit; the first where figures do not say."""

    def beyond(finding: Record) -> float:
        figures = [value for value in (finding["measured"], finding["limit"]) if isinstance(value, int | float) and value > 0]
        return abs(math.log(figures[0] / figures[1])) if len(figures) == 2 else 0.0

    return max(findings, key=beyond)


def _also(members: Sequence[Record], rest: Sequence[Record]) -> str:
    """Where a drawing has other findings of the same check: other products, else other blanks, else their number."""
    here = {member["product"] for member in members}
    products = [product for product in dict.fromkeys(finding["product"] for finding in rest) if product and product not in here]
    if products:
        return f"; also on {_listed(products, 3)}"
    blanks = [blank for blank in dict.fromkeys(finding["blank"] for finding in rest) if blank]
    if blanks:
        return f"; also on {_listed(blanks, 5)}"
    return f"; and {len(rest)} more" if rest else ""


def _where(artwork: str, members: Sequence[Record]) -> str:
    products = list(dict.fromkeys(member["product"] for member in members if member["product"]))
    blanks = list(dict.fromkeys(member["blank"] for member in members if member["blank"]))
    words = artwork
    if products:
        words += f" on {_listed(products, 3)}"
    if blanks:
        words += f" ({_listed(blanks, 5)})"
    return words


def _listed(keys: Sequence[str], most: int) -> str:
    return ", ".join(keys[:most]) + (f" and {len(keys) - most} more" if len(keys) > most else "")
