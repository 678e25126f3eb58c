"""Live text at its printed size: words, heights of letters, place, whether it is light on a dark ground.

Comes in: evidence, its prepared picture. Goes out: `Line`s. Never done here: limits; text turned to outlines.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._drawn import Drawn, drawn, length_uu
from vectorprep.checks._evidence import Evidence, print_corners
from vectorprep.colour import contrast_ratio, relative_luminance
from vectorprep.fonts.heights import LetterHeights, letter_heights

if TYPE_CHECKING:
    from vectorprep.checks._print import Prepared
    from vectorprep.model.result import Corners, PxBox

WORDS_MOST = 24
_EM = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+))em")
REVERSED_RATIO = 1.5  # contrast ratio to the ground from which light text counts as reversed (house value)
GROUND_SHARE = 0.6  # of the pixels around a text (house value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A run of text in print: its words, heights in mm of its capitals and small letters (0 where it has none), its place."""

    words: str
    cap_mm: float
    x_mm: float
    is_delicate: bool
    is_reversed: bool
    place_mm: Corners
    fill: str = ""
    """`#rrggbb` of a plain fill."""

    @property
    def height_mm(self) -> float:
        """Of the capitals, or of small letters where there are none."""
        return self.cap_mm or self.x_mm

    @property
    def shown(self) -> str:
        """The words, shortened."""
        return self.words if len(self.words) <= WORDS_MOST else f"{self.words[:WORDS_MOST]}..."


def lines_of(evidence: Evidence, picture: Prepared | None) -> tuple[Line, ...]:
    """Every run of text that is shown, measured once for all checks."""
    if picture is None:
        return tuple(_lines(evidence, None))
    return picture.once("lines of text", lambda: tuple(_lines(evidence, picture)), in_colour=True)


def _lines(evidence: Evidence, picture: Prepared | None) -> Iterator[Line]:
    for item in drawn(evidence):
        words = _words(item) if item.name in {"text", "tspan", "textPath"} else ""
        if words and item.is_shown:
            yield _line(evidence, picture, item, words)


def _words(item: Drawn) -> str:
    """What stands in an element itself, between and behind the elements in it too."""
    return " ".join(" ".join((item.element.text or "", *(child.tail or "" for child in item.element))).split())


def _line(evidence: Evidence, picture: Prepared | None, item: Drawn, words: str) -> Line:
    size_uu = length_uu(item.style.get("font-size"), 16.0)
    heights = _heights(evidence, item)
    per_uu = math.hypot(item.to_px.c, item.to_px.d) / evidence.px_per_mm
    box = _box(item, words, size_uu, heights)
    return Line(
        words=words,
        cap_mm=size_uu * heights.cap * per_uu if any(char.isupper() or char.isdigit() for char in words) else 0.0,
        x_mm=size_uu * heights.x * per_uu if any(char.islower() for char in words) else 0.0,
        is_delicate=heights.is_delicate,
        is_reversed=picture is not None and _is_reversed(picture, box, item.colour("fill")),
        place_mm=print_corners(evidence, box),
        fill=item.colour("fill"),
    )


def _heights(evidence: Evidence, item: Drawn) -> LetterHeights:
    family = item.style.get("font-family", "").split(",")[0].strip().strip("'\"")
    weight = item.style.get("font-weight", "400")
    slanted = item.style.get("font-style", "normal") != "normal"
    return letter_heights(evidence.artwork.font_files, family, int(weight) if weight.isdigit() else 400, slanted)


def _box(item: Drawn, words: str, size_uu: float, heights: LetterHeights) -> Corners:
    """Where a text stands on the canvas, px: from its anchor, its face's advances and the height of its capitals."""
    x, y = _anchor(item)
    width = heights.width(words) * size_uu + _spaced_uu(item, words, size_uu)
    shift = {"middle": 0.5, "end": 1.0}.get(item.style.get("text-anchor", "start"), 0.0)
    left, top, right = x - shift * width, y - heights.cap * size_uu, x + (1 - shift) * width
    points = [item.to_px.point(px, py) for px in (left, right) for py in (top, y)]
    xs, ys = [point[0] for point in points], [point[1] for point in points]
    return min(xs), min(ys), max(xs), max(ys)


def _spaced_uu(item: Drawn, words: str, size_uu: float) -> float:
    """What letter and word spacing add to the length of a text."""
    total = 0.0
    for name, times in (("letter-spacing", len(words)), ("word-spacing", words.count(" "))):
        text = item.style.get(name, "")
        number = _EM.fullmatch(text)
        total += times * (float(number.group(1)) * size_uu if number else length_uu(text))
    return total


def _anchor(item: Drawn) -> tuple[float, float]:
    """First x and y that the element or the text around it states."""
    at = []
    for name in ("x", "y"):
        element = item.element
        while name not in element.attrib and (parent := element.getparent()) is not None and item.name != "text":
            element = parent
        at.append(length_uu((element.get(name) or "0").replace(",", " ").split()[0]))
    return at[0], at[1]


def _is_reversed(picture: Prepared, box_px: Corners, fill: str) -> bool:
    """Whether the text is lighter than opaque ink all around it."""
    if not fill:
        return False
    x, y = picture.corner_px
    height, width = picture.pixels.shape[:2]
    x0, y0, x1, y1 = (round(side) for side in box_px)
    pad = max(3, (y1 - y0) // 3)
    outer: PxBox = (max(x0 - x - pad, 0), max(y0 - y - pad, 0), min(x1 - x + pad, width), min(y1 - y + pad, height))
    window = picture.pixels[outer[1] : outer[3], outer[0] : outer[2]]
    if not window.size:
        return False
    rim = np.concatenate([window[0], window[-1], window[:, 0], window[:, -1]]).astype(np.float64)
    opaque = rim[rim[:, 3] >= 250]
    if len(opaque) < GROUND_SHARE * len(rim):
        return False
    red, green, blue = (round(float(level)) for level in np.median(opaque[:, :3], axis=0))
    ground = f"#{red:02x}{green:02x}{blue:02x}"
    return relative_luminance(fill) > relative_luminance(ground) and contrast_ratio(fill, ground) >= REVERSED_RATIO
