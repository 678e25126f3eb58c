"""Masks packed 64 pixels to a word, so that discs can be opened over a whole print picture in a few hundredths of a second.

Comes in: boolean masks. Goes out: packed masks of the same size with an empty rim, and what discs leave of them.
Never done here: anything that knows ink.

A disc is a stack of row spans: spans grow by one pixel a side at a time, and rows are combined by shifting whole rows.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bits = NDArray[np.uint64]
    Mask = NDArray[np.bool_]
    Indexes = NDArray[np.intp]

WORD = 64
RIM = 64
"""Empty pixels around a packed mask, so that no disc up to this radius feels the border."""
_ONE = np.uint64(1)
_LAST = np.uint64(WORD - 1)


def pack(mask: Mask) -> Bits:
    """A mask as words, the leftmost pixel in the highest bit, with a rim of empty pixels on every side."""
    height, width = mask.shape
    words = -(-width // WORD)
    packed = np.zeros((height + 2 * RIM, (words + 2) * 8), np.uint8)
    packed[RIM : RIM + height, 8 : 8 + -(-width // 8)] = np.packbits(mask, axis=1)
    return packed.view(">u8").astype(np.uint64)


def count(bits: Bits) -> int:
    """Pixels that are set."""
    return int(np.bitwise_count(bits).sum()) if hasattr(np, "bitwise_count") else len(positions(bits)[0])


def positions(bits: Bits) -> tuple[Indexes, Indexes]:
    """Rows and columns of the pixels that are set, in reading order, without the rim (a pixel of the rim is negative)."""
    rows, words = np.nonzero(bits)
    held = bits[rows, words].astype(">u8").view(np.uint8).reshape(-1, 8)
    which, column = np.nonzero(np.unpackbits(held, axis=1))
    return rows[which] - RIM, words[which] * WORD + column - WORD


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
