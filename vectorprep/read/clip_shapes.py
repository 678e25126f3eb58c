"""Clips written as a CSS shape, as the path that says the same.

Comes in: the value of `clip-path`, and the element's box.
Goes out: path data in the element's user units, with its fill rule.
Never done here: references (`url()`), masks.

Source: CSS Shapes 1 ('basic shapes') and CSS Masking 1 ('clip-path').
"""

from __future__ import annotations

import math
import re

from vectorprep.geometry import Box
from vectorprep.read.lengths import diagonal_of
from vectorprep.read.numbers import length_px, written

_SHAPE = re.compile(r"(inset|circle|ellipse|polygon|path)\(\s*(.*?)\s*\)", re.IGNORECASE | re.DOTALL)
_PATH = re.compile(r"(?:(evenodd|nonzero)\s*,\s*)?[\"'](.*)[\"']", re.IGNORECASE | re.DOTALL)
_WORDS = {"left": "0%", "top": "0%", "center": "50%", "right": "100%", "bottom": "100%"}


def clip_path(value: str, box: Box) -> tuple[str, str] | None:
    """Path data and fill rule of a basic shape in a reference box; None for what is not understood."""
    match = _SHAPE.search(value)
    if match is None:
        return None
    name, inside = match.group(1).lower(), match.group(2)
    if name == "path":
        found = _PATH.fullmatch(inside)
        return None if found is None else (found.group(2), (found.group(1) or "nonzero").lower())
    made = {"inset": _inset, "circle": _circle, "ellipse": _ellipse, "polygon": _polygon}[name](inside.lower(), box)
    if made is None:
        return None
    return made, "evenodd" if name == "polygon" and inside.lower().startswith("evenodd") else "nonzero"


def box_word(value: str) -> str:
    """Which box the shape is measured in, as the value says; empty where it does not."""
    rest = _SHAPE.sub(" ", value)
    return next((word for word in rest.lower().split() if word.endswith("-box")), "")


def _inset(inside: str, box: Box) -> str | None:
    edges, _, corners = inside.partition("round")
    parts = edges.split()
    if not 1 <= len(parts) <= 4:
        return None
    top, right, bottom, left = (parts + [parts[0], parts[0], parts[min(1, len(parts) - 1)]][len(parts) - 1 :])[:4]
    lengths = [_length(top, box.height), _length(right, box.width), _length(bottom, box.height), _length(left, box.width)]
    radius = _length(corners.split("/")[0].split()[0], box.width) if corners.split() else 0.0
    if None in lengths or radius is None or len(corners.replace("/", " ").split()) > 1:
        return None
    down, back, up, along = (length or 0.0 for length in lengths)
    return _rounded(box.x0 + along, box.y0 + down, box.x1 - back, box.y1 - up, radius)


def _rounded(x0: float, y0: float, x1: float, y1: float, radius: float) -> str | None:
    if x1 <= x0 or y1 <= y0:
        return "M0 0"
    r = min(radius, (x1 - x0) / 2, (y1 - y0) / 2)
    if r <= 0:
        return _said("M", x0, y0, "H", x1, "V", y1, "H", x0, "Z")
    arc = ("A", r, r, 0, 0, 1)
    return _said(
        *("M", x0 + r, y0, "H", x1 - r, *arc, x1, y0 + r, "V", y1 - r, *arc, x1 - r, y1),
        *("H", x0 + r, *arc, x0, y1 - r, "V", y0 + r, *arc, x0 + r, y0, "Z"),
    )


def _circle(inside: str, box: Box) -> str | None:
    size, _, place = inside.partition("at ")
    centre = _place(place, box)
    if centre is None:
        return None
    sides = (abs(centre[0] - box.x0), abs(box.x1 - centre[0]), abs(centre[1] - box.y0), abs(box.y1 - centre[1]))
    radius = _radius(size.strip(), sides, diagonal_of((box.width, box.height)))
    return None if radius is None else _oval(*centre, radius, radius)


def _ellipse(inside: str, box: Box) -> str | None:
    size, _, place = inside.partition("at ")
    centre = _place(place, box)
    words = size.split() or ["closest-side", "closest-side"]
    if centre is None or len(words) != 2:
        return None
    rx = _radius(words[0], (abs(centre[0] - box.x0), abs(box.x1 - centre[0])), box.width)
    ry = _radius(words[1], (abs(centre[1] - box.y0), abs(box.y1 - centre[1])), box.height)
    return None if rx is None or ry is None else _oval(*centre, rx, ry)


def _radius(word: str, sides: tuple[float, ...], whole: float) -> float | None:
    if word in {"", "closest-side"}:
        return min(sides)
    return max(sides) if word == "farthest-side" else _length(word, whole)


def _oval(x: float, y: float, rx: float, ry: float) -> str:
    return _said("M", x - rx, y, "A", rx, ry, 0, 0, 1, x + rx, y, "A", rx, ry, 0, 0, 1, x - rx, y, "Z")


def _place(text: str, box: Box) -> tuple[float, float] | None:
    words = text.split() or ["center"]
    if len(words) == 1:
        words = ["center", words[0]] if words[0] in {"top", "bottom"} else [words[0], "center"]
    if len(words) != 2:
        return None
    if words[0] in {"top", "bottom"} or words[1] in {"left", "right"}:
        words.reverse()
    x, y = (_length(_WORDS.get(word, word), side) for word, side in zip(words, (box.width, box.height), strict=True))
    return None if x is None or y is None else (box.x0 + x, box.y0 + y)


def _polygon(inside: str, box: Box) -> str | None:
    corners = [part.split() for part in inside.split(",")]
    if corners[0] in (["evenodd"], ["nonzero"]):
        corners = corners[1:]
    points: list[str | float] = []
    for corner in corners:
        if len(corner) != 2:
            return None
        x, y = _length(corner[0], box.width), _length(corner[1], box.height)
        if x is None or y is None:
            return None
        points += ["L" if points else "M", box.x0 + x, box.y0 + y]
    return _said(*points, "Z") if points else None


def _length(word: str, whole: float) -> float | None:
    length = length_px(word, percent_of=whole)
    return length if length is not None and math.isfinite(length) else None


def _said(*parts: str | float) -> str:
    return " ".join(part if isinstance(part, str) else written(part) for part in parts)
