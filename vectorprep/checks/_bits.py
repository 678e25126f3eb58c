"""Masks packed 64 pixels to a word, so that discs can be opened over a whole print picture in a few hundredths of a second.

Comes in: boolean masks. Goes out: packed masks of the same size with an empty rim, and what discs leave of them.
Never done here: anything that knows ink.

A disc is a stack of row spans: spans grow by one pixel a side at a time, and rows are combined by shifting whole rows.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.engine.packed import RIM, WORD, blank_bytes, count, positions, words_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bits = NDArray[np.uint64]
    Mask = NDArray[np.bool_]
    Bytes = NDArray[np.uint8]
    Indexes = NDArray[np.intp]

__all__ = [
    "CELL_PX", "RIM", "SQUARE_3", "SQUARE_5", "WORD", "box_within", "cells_covered", "count", "dilated", "disc", "eroded", "halved",
    "left",
    "opened", "pack", "positions", "right", "with_pixels",
]  # fmt: skip

CELL_PX = 16
_ONE = np.uint64(1)
_LAST = np.uint64(WORD - 1)


def pack(mask: Mask) -> Bits:
    """A mask as words, the leftmost pixel in the highest bit, with a rim of empty pixels on every side."""
    height, width = mask.shape
    packed = blank_bytes(height, width)
    packed[RIM : RIM + height, 8 : 8 + -(-width // 8)] = np.packbits(mask, axis=1)
    return words_of(packed)


def cells_covered(bits: Bits) -> NDArray[np.float64]:
    """Share that is set of each square of CELL_PX x CELL_PX pixels, counted from the mask's own corner."""
    groups = bits[RIM:].astype(">u8").view(">u2")[:, WORD // CELL_PX :]
    tall = np.add.reduceat(_ONES[groups], np.arange(0, len(groups), CELL_PX), axis=0, dtype=np.int64)
    return np.asarray(tall / CELL_PX**2)


def box_within(bits: Bits, box: tuple[int, int, int, int]) -> tuple[int, int, int, int]:
    """Box of the pixels that are set inside another box (x0, y0, x1, y1), which holds some."""
    x0, y0, x1, y1 = box
    rows = bits[RIM + max(y0, 0) : RIM + y1]
    across = np.unpackbits(np.bitwise_or.reduce(rows, axis=0).astype(">u8").view(np.uint8))[WORD:]
    columns = np.flatnonzero(across[x0:x1]) + x0
    own = np.zeros(bits.shape[1] * WORD, np.uint8)
    own[WORD + x0 : WORD + x1] = 1
    down = np.flatnonzero((rows & np.packbits(own).view(">u8").astype(np.uint64)).any(axis=1)) + max(y0, 0)
    return int(columns[0]), int(down[0]), int(columns[-1]) + 1, int(down[-1]) + 1


def with_pixels(bits: Bits, rows: Indexes, columns: Indexes) -> Bits:
    """The mask with some pixels set besides; they come in reading order."""
    made = bits.copy()
    if len(rows):
        at = (rows + RIM) * (bits.shape[1] * WORD) + columns + WORD
        word = at >> 6
        starts = np.flatnonzero(np.diff(word, prepend=-1))
        made.reshape(-1)[word[starts]] |= np.bitwise_or.reduceat(_ONE << (_LAST - (at & (WORD - 1)).astype(np.uint64)), starts)
    return made


def halved(bits: Bits) -> Bits:
    """Squares of 2 x 2 pixels that are set altogether, as a mask of half the size, counted from the corner of the rim."""
    both = bits[0::2] & bits[1::2]
    half = _PAIRS[both.astype("<u8", copy=False).view("<u2")].view("<u4").astype(np.uint64)
    return np.asarray((half[:, 0::2] << np.uint64(32)) | half[:, 1::2])


def _pairs() -> Bytes:
    """For 16 pixels, the 8 pairs of them that are both set."""
    sixteen = np.arange(1 << 16, dtype="<u2").view(np.uint8).reshape(-1, 2)
    single = np.unpackbits(sixteen[:, ::-1], axis=1).reshape(-1, 8, 2)
    return np.packbits(single.all(axis=2), axis=1)[:, 0]


_PAIRS = _pairs()
_ONES = np.unpackbits(np.arange(1 << 16, dtype="<u2").view(np.uint8).reshape(-1, 2), axis=1).sum(axis=1, dtype=np.uint8)


def right(bits: Bits) -> Bits:
    """Every pixel moved one to the right."""
    moved = bits >> _ONE
    moved[:, 1:] |= bits[:, :-1] << _LAST
    return moved


def left(bits: Bits) -> Bits:
    """Every pixel moved one to the left."""
    moved = bits << _ONE
    moved[:, :-1] |= bits[:, 1:] >> _LAST
    return moved


def disc(diameter_px: float) -> tuple[int, ...]:
    """Half lengths of the row spans of a disc about a pixel's centre, from its middle row outward.

    Args:
        diameter_px: across, its middle pixel counted in; 3 is a cross, 1 the pixel alone.
    """
    radius = max(0.0, (diameter_px - 1) / 2)
    reach = min(math.floor(radius + 0.25), RIM - 1)
    return tuple(math.floor(math.sqrt(max(0.0, (radius + 0.25) ** 2 - row * row))) for row in range(reach + 1))


SQUARE_3 = (1, 1)
SQUARE_5 = (2, 2, 2)


def eroded(bits: Bits, shape: tuple[int, ...]) -> Bits:
    """Pixels around which the whole shape is set."""
    return _gathered(bits, shape, np.bitwise_and)


def dilated(bits: Bits, shape: tuple[int, ...]) -> Bits:
    """Pixels around which any pixel of the shape is set."""
    return _gathered(bits, shape, np.bitwise_or)


def opened(bits: Bits, shape: tuple[int, ...]) -> Bits:
    """What the shape covers while it stays inside the mask."""
    return dilated(eroded(bits, shape), shape)


def _gathered(bits: Bits, shape: tuple[int, ...], join: np.ufunc) -> Bits:
    """The mask joined with itself moved by every pixel of a shape; `shape` shrinks from its middle row outward."""
    rows_of_span: dict[int, list[int]] = {}
    for row, span in enumerate(shape):
        rows_of_span.setdefault(span, []).append(row)
    result: Bits | None = None
    spread = bits
    for span in range(max(shape) + 1):
        if span == 1:
            spread = join(join(left(spread), right(spread)), bits)
        elif span > 1:
            spread = join(left(spread), right(spread))
        for row in rows_of_span.get(span, ()):
            result = _joined(result, spread, row, join)
    return bits if result is None else result


def _joined(result: Bits | None, spread: Bits, row: int, join: np.ufunc) -> Bits:
    """Joins a mask moved up and down by so many rows; what moves in over the border is empty."""
    if row == 0:
        return spread.copy() if result is None else join(result, spread, out=result)
    empty = np.zeros((row, spread.shape[1]), np.uint64)
    up, down = np.concatenate((spread[row:], empty)), np.concatenate((empty, spread[:-row]))
    if result is None:
        return np.asarray(join(up, down))
    join(result, up, out=result)
    return np.asarray(join(result, down, out=result))
