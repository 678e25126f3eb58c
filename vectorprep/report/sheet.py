"""The review sheet as plain values: every artwork with its products and blanks, worst first.

Comes in: a run's record, and what the run knows of products, blanks, titles, the seller's answers and the run before.
Goes out: one dictionary of JSON values, from which the page is written (`page`).
Never done here: HTML, files, judging.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote

from vectorprep.model import Blank, Explanation, Product
from vectorprep.report import sheet_words as words
from vectorprep.report.text import SEVERITIES

Record = Mapping[str, Any]
GENERATOR = "vectorprep review sheet"
"""What the page says of its maker, by which a run knows it as its own."""
STATES = ("lost", "weak", "changed", "clear")
"""What a pairing comes to, worst first; `changed` is clear after a treatment."""
UNCHANGED = ("as-drawn", "ask")
STATUSES = ("refused", "failed", "ok")
INKS_SHOWN = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """What the sheet needs beside the record: products and blanks by key, titles, explanations, answers, the run before.

    `answers` by artwork is what the settings say of it already; `changes` are those since the run before; `pictures` is put
    before the path of every thumbnail.
    """

    products: Mapping[str, Product]
    blanks: Mapping[str, Blank]
    titles: Mapping[str, str]
    explanations: Mapping[str, Explanation] = field(default_factory=dict)
    answers: Mapping[str, Record] = field(default_factory=dict)
    changes: Sequence[Record] = ()
    pictures: str = ""


@dataclass(slots=True)
class _Book:
    """Findings and pictures, each written down once and referred to by number."""

    findings: list[dict[str, Any]] = field(default_factory=list)
    pictures: list[dict[str, Any]] = field(default_factory=list)
    _numbers: dict[str, int] = field(default_factory=dict)

    def number(self, finding: Record) -> int:
        """Number of a finding."""
        shown = {
            "check": finding["check"],
            "severity": finding["severity"],
            "message": words.tidy(finding["message"]),
            "fix": words.tidy(finding["fix"]),
            "figure": words.figure_of(finding),
            "product": finding["product"],
            "blank": finding["blank"],
            "place": finding["place_mm"],
            "on": finding["place_on"],
        }
        key = json.dumps([finding["artwork"], shown])
        if key not in self._numbers:
            self._numbers[key] = len(self.findings)
            self.findings.append(shown)
        return self._numbers[key]

    def numbers(self, findings: Iterable[Record]) -> list[int]:
        """Numbers of findings, errors first; two pictures of one artwork may say the same, which is said once."""
        ordered = sorted(findings, key=lambda finding: SEVERITIES.index(finding["severity"]))
        said = {(finding["check"], finding["message"]): finding for finding in reversed(ordered)}
        return [self.number(finding) for finding in ordered if said[finding["check"], finding["message"]] is finding]

    def picture(self, thumbnail: Record, prefix: str) -> int:
        """Number of a picture: its file, its size, the part of the print file it shows, the ink in it."""
        ink = thumbnail["placements"][0]["ink_box_px"] if thumbnail["placements"] else thumbnail["ink_box_px"]
        size = thumbnail["width_px"], thumbnail["height_px"]
        self.pictures.append({"src": prefix + quote(thumbnail["path"]), "size": size, "window": thumbnail["window_mm"], "ink": ink})
        return len(self.pictures) - 1


@dataclass(slots=True)
class _Run:
    """The record with its parts at hand by artwork and product, so that thousands of pairings are looked at once."""

    record: Record
    pairs: dict[str, dict[str, list[Record]]] = field(default_factory=dict)
    outputs: dict[tuple[str, str], list[Record]] = field(default_factory=dict)
    pictures: dict[tuple[str, str], list[Record]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Sorts the record's parts into their places, in their order."""
        for pair in self.record["pairs"]:
            self.pairs.setdefault(pair["artwork"], {}).setdefault(pair["product"], []).append(pair)
        for output in self.record["outputs"]:
            self.outputs.setdefault((output["artwork"], output["product"]), []).append(output)
        for picture in self.record.get("thumbnails", ()):
            self.pictures.setdefault((picture["artwork"], picture["product"]), []).append(picture)


def sheet_of(run: Record, shelf: Shelf) -> dict[str, Any]:
    """Everything the page shows, in the order in which it is shown.

    Args:
        run: record of `convert` (with `thumbnails`) or of `audit`.
        shelf: what the record does not hold.
    """
    book, parts = _Book(), _Run(run)
    artworks = sorted((_artwork(parts, artwork, shelf, book) for artwork in run["artworks"]), key=lambda artwork: artwork["rank"])
    counts = {state: sum(artwork["counts"][state] for artwork in artworks) for state in STATES}
    used = {finding["check"] for finding in book.findings} | {artwork["error"]["code"] for artwork in artworks if artwork["error"]}
    sheet = {
        "verb": run["verb"],
        "version": run["version"],
        "counts": counts,
        "headline": words.headline(run, counts),
        "scope": words.scope(run),
        "products": {key: _product(key, shelf) for key in dict.fromkeys(pair["product"] for pair in run["pairs"])},
        "blanks": {key: _blank(key, shelf) for key in dict.fromkeys(pair["blank"] for pair in run["pairs"])},
        "checks": {slug: _explained(shelf.explanations[slug]) for slug in sorted(used) if slug in shelf.explanations},
        "findings": book.findings,
        "pictures": book.pictures,
        "artworks": artworks,
        "changes": list(shelf.changes),
    }
    sheet["id"] = hashlib.sha256(json.dumps(sheet, sort_keys=True).encode()).hexdigest()[:16]
    return sheet


def state_of(pair: Record, verb: str) -> str:
    """What a pairing comes to: in an audit the drawing as it is, else what was made."""
    if verb == "audit":
        return str(pair["verdict"])
    if pair["verdict_after"] != "clear":
        return str(pair["verdict_after"])
    return "clear" if pair["treatment"] in UNCHANGED else "changed"


def _artwork(run: _Run, artwork: Record, shelf: Shelf, book: _Book) -> dict[str, Any]:
    name = artwork["name"]
    strips = [_strip(run, name, product, shelf, book) for product in run.pairs.get(name, {})]
    strips.sort(key=lambda strip: strip["rank"])
    counts = {state: sum(pair["state"] == state for strip in strips for pair in strip["pairs"]) for state in STATES}
    numbers = book.numbers(artwork["findings"])
    worst = [book.findings[number]["severity"] for number in _all_numbers(numbers, strips)]
    severe = {severity: worst.count(severity) for severity in SEVERITIES}
    return {
        "name": words.tidy(name),
        "title": words.tidy(shelf.titles.get(name, name)),
        "path": words.tidy(artwork["path"]),
        "sha256": artwork["sha256"],
        "status": artwork["status"],
        "error": artwork["error"] and {key: words.tidy(text) for key, text in artwork["error"].items()},
        "box": artwork["ink_box_mm"],
        "inks": [_ink(ink) for ink in artwork["inks"][:INKS_SHOWN]],
        "background": artwork["background"],
        "findings": numbers,
        "counts": counts,
        "severe": severe,
        "answers": shelf.answers.get(name, {}),
        "strips": strips,
        "rank": (
            STATUSES.index(artwork["status"]),
            -counts["lost"],
            -counts["weak"],
            -severe["error"],
            -severe["warning"],
            -counts["changed"],
            name,
        ),
    }


def _all_numbers(numbers: Iterable[int], strips: Iterable[Record]) -> set[int]:
    return {*numbers, *(number for strip in strips for pair in strip["pairs"] for number in pair["findings"])}


def _strip(run: _Run, name: str, product: str, shelf: Shelf, book: _Book) -> dict[str, Any]:
    """One artwork on one product: its pairings worst first, its print size, its files."""
    outputs = run.outputs.get((name, product), [])
    pictures = [(book.picture(picture, shelf.pictures), picture) for picture in run.pictures.get((name, product), ())]
    by_blank = {blank: number for number, picture in pictures for blank in picture["blanks"]}
    drawn = next((number for number, picture in pictures if picture["treatment"] in UNCHANGED), None)
    files = [_file(output) for output in outputs]
    served: dict[str, list[int]] = {}
    for number, output in enumerate(outputs):
        for blank in output["blanks"]:
            served.setdefault(blank, []).append(number)
    verb = run.record["verb"]
    pairs = [
        _pair(verb, pair, book, picture=by_blank.get(pair["blank"]), files=served.get(pair["blank"], []))
        for pair in run.pairs[name][product]
    ]
    pairs.sort(key=lambda pair: (STATES.index(pair["state"]), -pair["faded"]))
    printed = next((output for output in outputs if output.get("position")), None)
    sized = printed or next((picture for _, picture in pictures), None)
    return {
        "product": product,
        "size": words.size_of(sized),
        "printed_mm": sized["printed_mm"] if sized else None,
        "position": words.position_of(printed),
        "place": _place(printed),
        "drawn": drawn,
        "files": files,
        "pairs": pairs,
        "rank": [-sum(pair["state"] == state for pair in pairs) for state in STATES[:2]],
    }


def _place(output: Record | None) -> dict[str, Any] | None:
    """Canvas and ink in mm, for a small drawing of where it stands."""
    if output is None:
        return None
    per_mm = output["ppi"] / 25.4
    return {
        "canvas": [round(output["width_px"] / per_mm, 2), round(output["height_px"] / per_mm, 2)],
        "ink": [[round(corner / per_mm, 2) for corner in placed["ink_box_px"]] for placed in output["placements"]],
    }


def _pair(verb: str, pair: Record, book: _Book, *, picture: int | None, files: list[int]) -> dict[str, Any]:
    is_audit = verb == "audit"
    state = state_of(pair, verb)
    after = "" if is_audit else "_after"
    return {
        "blank": pair["blank"],
        "state": state,
        "before": pair["verdict"],
        "after": pair["verdict_after"],
        "faded": pair["outline_faded"] if is_audit else pair["outline_faded_after"],
        "figure": words.verdict_figure(pair, after),
        "figure_before": words.verdict_figure(pair, ""),
        "deciding": words.tidy(pair["deciding" + after]),
        "deciding_before": words.tidy(pair["deciding"]),
        "treatment": words.treatment(pair["treatment"]),
        "how": words.tidy(pair["reason"]) if pair["treatment"] != "as-drawn" else "",
        "swaps": [[swap["before"], swap["after"], swap["ratio_before"], swap["ratio_after"]] for swap in pair["swaps"]],
        "picture": picture,
        "files": files,
        "findings": book.numbers(pair["findings"]),
    }


def _file(output: Record) -> dict[str, Any]:
    return {
        "href": quote(output["path"]),
        "name": output["path"],
        "words": words.file_words(output),
        "is_print": output["kind"] == "print-png",
    }


def _ink(ink: Record) -> dict[str, Any]:
    return {"colour": ink["colour"], "word": words.colour_word(ink["colour"]), "share": ink["area_share"]}


def _product(key: str, shelf: Shelf) -> dict[str, Any]:
    product = shelf.products.get(key)
    if product is None:
        return {"name": key, "short": key, "file": ""}
    return {"name": product.name, "short": words.short_name(product.name), "file": words.canvas_words(product)}


def _blank(key: str, shelf: Shelf) -> dict[str, Any]:
    blank = shelf.blanks[key]
    return {"name": blank.name, "colour": blank.colour, "texture": blank.texture}


def _explained(text: Explanation) -> dict[str, str]:
    return {"cause": text.cause, "consequence": text.consequence, "remedy": text.remedy}
