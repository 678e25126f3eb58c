"""Records of invented runs, as large as a test wants them."""

from __future__ import annotations

from typing import Any

from vectorprep.model import Blank
from vectorprep.report.sheet import Shelf

COLOURS = {"white": "#ffffff", "navy": "#1b2340", "gold": "#f0b323", "ash": "#d9d9d6", "black": "#141414"}
BLANKS = {key: Blank(key=key, name=key.title(), colour=colour) for key, colour in COLOURS.items()}
WORDS = ("clear", "clear", "weak", "clear", "lost")


def finding(check: str = "gap-too-narrow", **changes: Any) -> dict[str, Any]:
    """A finding with a place on the print."""
    given: dict[str, Any] = {
        **{
            "check": check,
            "severity": "warning",
            "artwork": "a0",
            "product": "tee",
            "blank": "",
            "message": "a gap is 0.2 mm wide",
        },
        **{"measured": 0.2, "limit": 0.7, "unit": "mm", "fix": "widen it", "place_mm": [40, 40, 60, 70], "place_on": "print"},
    }
    return {**given, **changes}


def pair(artwork: str, blank: str, word: str, **changes: Any) -> dict[str, Any]:
    """A pairing with the shirt `tee`."""
    faded = {"clear": 0.0, "weak": 0.3, "lost": 0.9}[word]
    given: dict[str, Any] = {
        **{"artwork": artwork, "product": "tee", "blank": blank, "verdict": word, "verdict_after": word, "treatment": "as-drawn"},
        **{"decided_by": "outline", "outline_faded": faded, "contrast_ratio": 1.2, "deciding": f"{faded:.0%} of the outline fades"},
        **{"decided_by_after": "outline", "outline_faded_after": faded, "contrast_ratio_after": 1.2, "deciding_after": "as drawn"},
        **{"reason": "", "swaps": [], "keyline": None, "variant": "", "findings": []},
    }
    return {**given, **changes}


def artwork(name: str, **changes: Any) -> dict[str, Any]:
    """A drawing that was read."""
    given: dict[str, Any] = {
        **{"name": name, "slug": name, "path": f"{name}.svg", "sha256": "ab" * 32, "status": "ok", "error": None, "title": ""},
        **{"ink_box_mm": [10, 10, 90, 90], "background": None, "inks": [{"colour": "#22262f", "area_share": 1.0}], "findings": []},
    }
    return {**given, **changes}


def output(artwork_name: str, kind: str, path: str, blanks: list[str], **changes: Any) -> dict[str, Any]:
    """A file of 300 x 400 mm at 25.4 ppi (a pixel is a millimetre), its ink from (50, 20) to (250, 220)."""
    placed = {"ink_box_px": [50, 20, 250, 220], "printed_mm": [200.0, 200.0]}
    given: dict[str, Any] = {
        **{"path": path, "kind": kind, "artwork": artwork_name, "product": "tee", "blanks": blanks, "treatment": "as-drawn"},
        **{"width_px": 300, "height_px": 400, "ppi": 25.4, "ink_box_px": placed["ink_box_px"], "placements": [placed]},
        **{"printed_mm": [200.0, 200.0], "sha256": "cd" * 32, "bytes": 1000, "state": "made"},
    }
    if kind == "print-png":
        given["position"] = {"datum": "collar_seam", "canvas_origin_mm": [-150.0, 60.0], "rule": "200 mm wide; on the centre line"}
    if kind == "thumbnail":
        given |= {"window_mm": [50.0, 20.0, 250.0, 220.0], "width_px": 64, "height_px": 64}
        given["placements"] = [{"ink_box_px": [0, 0, 64, 64], "printed_mm": [200.0, 200.0]}]
    return {**given, **changes}


def run(artworks: int = 1, *, verb: str = "convert") -> dict[str, Any]:
    """A run of so many drawings on five blanks, one of them weak and one lost."""
    names = [f"a{number}" for number in range(artworks)]
    keys = list(BLANKS)
    findings = [finding(artwork=name) for name in names]
    pairs = [
        pair(name, blank, word, findings=[found])
        for name, found in zip(names, findings, strict=True)
        for blank, word in zip(BLANKS, WORDS, strict=True)
    ]
    outputs = [
        output(name, kind, f"{name}--tee{ending}", keys)
        for name in names
        for kind, ending in (("print-png", ".png"), ("preview-png", "--preview.png"))
    ]
    return {
        **{"schema": 1, "verb": verb, "version": "0.0.0", "engine": "", "artworks": [artwork(name) for name in names]},
        **{"pairs": pairs, "outputs": outputs, "findings": findings, "summary": {}},
        "thumbnails": [output(name, "thumbnail", "review/one.webp", keys) for name in names],
    }


def shelf(record: dict[str, Any], **changes: Any) -> Shelf:
    """What a sheet of such a run needs."""
    titles = {item["name"]: item["name"].upper() for item in record["artworks"]}
    return Shelf(**{"products": {}, "blanks": BLANKS, "titles": titles, **changes})
