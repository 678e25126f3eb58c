"""The words and figures of the review sheet and of the proof.

Comes in: records of a run. Goes out: short texts for people, lengths in inches and millimetres.
Never done here: deciding, markup.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from vectorprep.colour.words import colour_word
from vectorprep.model import Product
from vectorprep.report.text import clean, counted, megabytes
from vectorprep.units import length_words, shortest, size_words

__all__ = ["colour_word"]

Record = Mapping[str, Any]
TREATMENTS = {
    "as-drawn": "as drawn",
    "neutral-swap": "black and white swapped",
    "shift": "inks shifted",
    "keyline": "outlined",
    "single-ink": "one ink",
    "drawn-variant": "your own variant",
    "knock-out": "white knocked out",
    "ask": "as drawn, waits for your answer",
}
OF_VERDICT = ("ink-lost", "ink-fades", "part-fades")
"""Findings that say what the verdicts say already."""
KINDS = {
    "print-png": "print file",
    "preview-png": "preview",
    "pdf": "print file, PDF",
    "cut-svg": "cut line",
    "recoloured-svg": "recoloured drawing",
}


def tidy(text: str) -> str:
    """Text that is safe in a page: half characters of odd file names and control characters become visible."""
    return clean(text.encode("utf-8", "replace").decode("utf-8").replace("\n", " "))


def treatment(kind: str) -> str:
    """A treatment in words."""
    return TREATMENTS.get(kind, kind.replace("-", " "))


def headline(run: Record, counts: Mapping[str, int]) -> str:
    """The one sentence that a seller wants first."""
    total = sum(counts.values())
    stopped = sum(artwork["status"] != "ok" for artwork in run["artworks"])
    if not total:
        return "Nothing could be made." if stopped else "There is nothing to show."
    severe = (finding for finding in run["findings"] if finding["severity"] == "error")
    errors = len({_said(finding) for finding in severe if finding["check"] not in OF_VERDICT})
    settle = f" {counted(errors, 'error')} must be settled before printing." if errors else ""
    return _verdicts(counts, stopped) + settle


def _said(finding: Record) -> tuple[str, ...]:
    return finding["artwork"], finding["product"], finding["check"], finding["message"]


def _verdicts(counts: Mapping[str, int], stopped: int) -> str:
    total = sum(counts.values())
    seen = counts["clear"] + counts["changed"]
    bad = [counted(counts[state], "pairing") + f" {_is(counts[state])} {state}" for state in ("lost", "weak") if counts[state]]
    if stopped:
        bad.append(f"{counted(stopped, 'drawing')} could not be made")
    if not bad:
        changed = f", {counts['changed']} of them after a change" if counts["changed"] else ""
        return f"All {total} pairings can be seen{changed}." if total > 1 else f"The one pairing can be seen{changed}."
    return f"{_capital(_joined(bad))}; {seen} of {total} can be seen."


def _is(number: int) -> str:
    return "is" if number == 1 else "are"


def _joined(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def scope(run: Record) -> str:
    """How much the page shows."""
    products = {pair["product"] for pair in run["pairs"]}
    blanks = {pair["blank"] for pair in run["pairs"]}
    made = "judged as drawn" if run["verb"] == "audit" else "as made"
    parts = [counted(len(run["artworks"]), "drawing"), counted(len(products), "product"), counted(len(blanks), "blank")]
    return f"{', '.join(parts)}, {counted(len(run['pairs']), 'pairing')}, {made}"


def verdict_figure(pair: Record, after: str) -> str:
    """The one figure that decided: the share of the outline that fades, or the contrast ratio."""
    if pair["decided_by" + after] == "ratio":
        return f"{pair['contrast_ratio' + after]:.1f}:1"
    share = pair["outline_faded" + after]
    if share == 0:
        return "nothing fades"
    return "under 1 % fades" if share < 0.005 else f"{share * 100:.0f} % fades"


def figure_of(finding: Record) -> str:
    """Measured and limit of a finding."""
    measured, limit, unit = finding["measured"], finding["limit"], finding["unit"]
    if not isinstance(measured, (int, float)):
        return ""
    words = _with_unit(measured, unit)
    return f"{words}, limit {_with_unit(limit, unit)}" if isinstance(limit, (int, float)) else words


def _with_unit(value: float, unit: str) -> str:
    if unit == ":1":
        return f"{shortest(value, 2)}:1"
    if unit.startswith("share"):
        return f"{shortest(value * 100, 1)} %" + unit.removeprefix("share")
    return f"{shortest(value, 2)} {unit}".rstrip() if unit != "mm" else f"{shortest(value, 2)} mm ({shortest(value / 25.4, 3)} in)"


def size_of(output: Record | None) -> str:
    """Printed size, in both units."""
    return size_words(*output["printed_mm"]) if output else ""


def position_of(output: Record | None) -> str:
    """Where the ink begins on the print file, from its upper and left edge and from the product's datum."""
    if output is None or not output["placements"]:
        return ""
    per_mm = output["ppi"] / 25.4
    left, top = (corner / per_mm for corner in output["placements"][0]["ink_box_px"][:2])
    words = f"ink begins {length_words(top)} below the upper edge of the print file and {length_words(left)} from its left edge"
    position = output["position"]
    return f"{words}; {position['rule'].partition('; ')[2]}" if "; " in position["rule"] else words


def canvas_words(product: Product) -> str:
    """Size of the print file."""
    width, height = (float(length) for length in product.file_size_mm)
    px = product.file_size_px
    return f"{size_words(width, height)}, {px[0]} x {px[1]} px at {product.resolution_ppi:g} ppi"


def short_name(name: str) -> str:
    """The first part of a product's name: what it is, without side and process."""
    return name.partition(",")[0]


def file_words(output: Record) -> str:
    """What a file is, its pixels where it has some, its bytes."""
    kind = KINDS.get(output["kind"], output["kind"].replace("-", " "))
    px = f"{output['width_px']} x {output['height_px']} px, " if output["kind"].endswith("png") else ""
    return f"{kind}, {px}{megabytes(output['bytes'])}"
