"""What a proof says: one sheet for each distinct print file of an artwork on a product.

Comes in: the record of a run, products, blanks, titles. Goes out: plain values in order, ready to be laid out.
Never done here: layout, files.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from vectorprep.colour import rgb_from_hex
from vectorprep.model import Blank, Product
from vectorprep.report import sheet_words as words
from vectorprep.units import length_words, size_words

Record = Mapping[str, Any]
INKS_SHOWN = 14
FINDINGS_SHOWN = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class InkLine:
    """An ink as it is printed: colour, everyday word, values."""

    colour: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofSheet:
    """One print file to be approved; lengths in mm, boxes from the print file's upper left corner."""

    title: str
    product: str
    file: str
    sha256: str
    canvas_mm: tuple[float, float]
    inks_mm: tuple[tuple[float, float, float, float], ...]
    blanks: tuple[tuple[str, str], ...]
    """Name and colour of each product colour that the file is for."""
    facts: tuple[tuple[str, str], ...]
    inks: tuple[InkLine, ...]
    findings: tuple[str, ...]
    picture: str
    """Path of the small picture of the whole print file in the out folder; empty for none."""


def proof_sheets(
    run: Record, products: Mapping[str, Product], blanks: Mapping[str, Blank], titles: Mapping[str, str]
) -> list[ProofSheet]:
    """A sheet for each print file of the record, in its order.

    Args:
        run: manifest of an out folder.
        products: by key; one that is not there is named by its key.
        blanks: by key.
        titles: title by artwork.
    """
    artworks = {artwork["name"]: artwork for artwork in run["artworks"]}
    pairs = {(pair["artwork"], pair["product"], pair["blank"]): pair for pair in run["pairs"]}
    previews = {
        (output["artwork"], output["product"], tuple(output["blanks"])): output["path"]
        for output in reversed(run["outputs"])
        if output["kind"] == "preview-png"
    }
    sheets = []
    for output in run["outputs"]:
        if output["kind"] != "print-png":
            continue
        key = output["artwork"], output["product"]
        own = [pairs[(*key, blank)] for blank in output["blanks"] if (*key, blank) in pairs]
        artwork, product = artworks[key[0]], products.get(key[1])
        per_mm = output["ppi"] / 25.4
        sheets.append(
            ProofSheet(
                title=words.tidy(titles.get(key[0], key[0])),
                product=product.name if product else key[1],
                file=output["path"],
                sha256=output["sha256"],
                canvas_mm=(output["width_px"] / per_mm, output["height_px"] / per_mm),
                inks_mm=tuple(_box(placed["ink_box_px"], per_mm) for placed in output["placements"]),
                blanks=tuple((blanks[blank].name, blanks[blank].colour) for blank in output["blanks"]),
                facts=tuple(_facts(output, own)),
                inks=tuple(_inks(artwork, own)),
                findings=tuple(_findings(artwork, own)),
                picture=previews.get((*key, tuple(output["blanks"])), ""),
            )
        )
    return sheets


def _box(box_px: Sequence[int], per_mm: float) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = (corner / per_mm for corner in box_px)
    return x0, y0, x1, y1


def _facts(output: Record, pairs: Sequence[Record]) -> list[tuple[str, str]]:
    per_mm = output["ppi"] / 25.4
    left, top, right, bottom = _box(output["placements"][0]["ink_box_px"], per_mm)
    width, height = output["width_px"] / per_mm, output["height_px"] / per_mm
    facts = [
        ("Printed size", size_words(*output["printed_mm"])),
        ("Print file", f"{size_words(width, height)}, {output['width_px']} x {output['height_px']} px at {output['ppi']:g} ppi"),
        ("From the upper edge", length_words(top)),
        ("From the left edge", length_words(left)),
        ("From the right edge", length_words(width - right)),
        ("From the lower edge", length_words(height - bottom)),
        *_datum(output, top, (left + right) / 2),
    ]
    if pairs:
        facts.append(("Inks", words.treatment(pairs[0]["treatment"]) + (f". {pairs[0]['reason']}" if pairs[0]["swaps"] else "")))
        facts.append(("Seen on the cloth", ", ".join(dict.fromkeys(pair["verdict_after"] for pair in pairs))))
    if len(output["placements"]) > 1:
        facts.append(("Copies", str(len(output["placements"]))))
    return facts


def _datum(output: Record, top_mm: float, middle_mm: float) -> list[tuple[str, str]]:
    """Distance of the ink from what the product is measured from, and where that rule comes from."""
    position = output.get("position")
    if not position:
        return []
    datum = position["datum"].replace("_", " ")
    across, down = position["canvas_origin_mm"]
    facts = [("Placed", words.tidy(position["rule"]).partition("; ")[2] or position["rule"])]
    if down > 0:
        facts.insert(0, (f"From the {datum}", f"ink begins {length_words(down + top_mm)} below it"))
    if across < 0:
        off = across + middle_mm
        side = f"{length_words(abs(off))} {'right' if off > 0 else 'left'} of it" if abs(off) >= 0.05 else "on it"
        facts.insert(0, ("Centre line", f"middle of the ink {side}"))
    return facts


def _inks(artwork: Record, pairs: Sequence[Record]) -> list[InkLine]:
    """The artwork's inks after the swaps of the first blank."""
    swaps = {swap["before"]: swap["after"] for swap in pairs[0]["swaps"]} if pairs else {}
    colours = list(dict.fromkeys(swaps.get(ink["colour"], ink["colour"]) for ink in artwork["inks"]))
    if pairs and pairs[0]["variant"]:
        return []
    if pairs and pairs[0]["keyline"]:
        colours.append(pairs[0]["keyline"]["colour"])
    shown = colours[:INKS_SHOWN]
    return [InkLine(colour=colour, words=_values(colour)) for colour in shown]


def _values(colour: str) -> str:
    red, green, blue = rgb_from_hex(colour)
    return f"{words.colour_word(colour)}  {colour}  sRGB {red} {green} {blue}"


def _findings(artwork: Record, pairs: Sequence[Record]) -> list[str]:
    found = [*artwork["findings"], *(finding for pair in pairs for finding in pair["findings"])]
    said = dict.fromkeys(
        f"{finding['severity']}: {words.tidy(finding['message'])}" for finding in found if finding["severity"] != "note"
    )
    lines = list(said)
    return lines if len(lines) <= FINDINGS_SHOWN else [*lines[:FINDINGS_SHOWN], f"and {len(lines) - FINDINGS_SHOWN} more"]
