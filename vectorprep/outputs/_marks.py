"""What stands in the margin of a plate: registration marks and words.

Comes in: the size of the plate and of its margin, words. Goes out: bits and where they lie.
Never done here: what is printed inside the margin; choosing the words.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw, ImageFont

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bits = NDArray[np.bool_]

MARK_MM, MARK_LINE_MM = 6.0, 0.25 * 25.4 / 72
"""Crosses of 6 mm and 0.25 pt (common practice, no source)."""
WORDS_MM = 4.0


def marks_of(size_px: tuple[int, int], margin_px: int, px_per_mm: float, words: str) -> list[tuple[int, int, Bits]]:
    """Marks at the middle of each side, and the words above the top left corner, each with its column and row."""
    width, height = size_px
    mark = _mark(px_per_mm)
    half, middle = len(mark) // 2, margin_px // 2
    at = ((width // 2, middle), (width // 2, height - middle), (middle, height // 2), (width - middle, height // 2))
    room = width // 2 - half - margin_px - round(2 * px_per_mm)
    named = _lettered(words, round(WORDS_MM * px_per_mm))
    if named.shape[1] > room:
        named = _lettered(words, max(1, round(WORDS_MM * px_per_mm * room / named.shape[1])))
    return [*((x - half, y - half, mark) for x, y in at), (margin_px, middle - named.shape[0] // 2, named)]


def stamp(bits: Bits, mark: Bits, x: int, y: int) -> None:
    """A mark into a band, where it lies in it."""
    top, bottom = max(y, 0), min(y + mark.shape[0], len(bits))
    right = min(x + mark.shape[1], bits.shape[1])
    if top < bottom and x < right:
        bits[top:bottom, x:right] |= mark[top - y : bottom - y, : right - x]


def _mark(px_per_mm: float) -> Bits:
    """A cross in a ring."""
    side, line = round(MARK_MM * px_per_mm) | 1, max(1, round(MARK_LINE_MM * px_per_mm))
    picture = Image.new("1", (side, side))
    draw = ImageDraw.Draw(picture)
    middle, radius = side // 2, side // 3
    draw.ellipse((middle - radius, middle - radius, middle + radius, middle + radius), outline=1, width=line)
    draw.rectangle((middle - line // 2, 0, middle - line // 2 + line - 1, side), fill=1)
    draw.rectangle((0, middle - line // 2, side, middle - line // 2 + line - 1), fill=1)
    return np.asarray(picture)


def _lettered(words: str, size_px: int) -> Bits:
    font = ImageFont.load_default(size_px)
    x0, y0, x1, y1 = (int(edge) for edge in font.getbbox(words))
    picture = Image.new("1", (x1 - x0 + 2, y1 - y0 + 2))
    ImageDraw.Draw(picture).text((1 - x0, 1 - y0), words, fill=1, font=font)
    return np.asarray(picture)
