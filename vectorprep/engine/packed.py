"""Which pixels of a raster are painted, which wholly, which in part: found once for the file and for all that looks at the print.

Comes in: premultiplied pixels. Goes out: `Cover`, masks packed 64 pixels to a word and a list of the soft pixels.
Never done here: what a mask means.

A print picture has tens of millions of pixels, nearly all of them empty or full. It is read through once; what lies between is kept
as a list where it is short.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.lib.stride_tricks import as_strided

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bits = NDArray[np.uint64]
    Bytes = NDArray[np.uint8]
    Indexes = NDArray[np.intp]

WORD = 64
RIM = 64
"""Empty pixels around a packed mask, so that no disc up to this radius feels the border."""
_BAND_PX = 1 << 17  # so many pixels stay in a processor's cache with their masks
_LISTED_MOST = 1_500_000
"""Soft pixels up to which they are listed one by one."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Soft:
    """The pixels neither empty nor full: row, column, coverage, in reading order."""

    rows: Indexes
    columns: Indexes
    alpha: Bytes


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cover:
    """The coverage of a picture of `size_px` (rows, columns): masks of what is painted and of what is full, and the soft pixels.

    `soft` is None where they are very many.
    """

    size_px: tuple[int, int]
    painted: Bits
    full: Bits
    soft: Soft | None


def cover_of(pixels: Bytes, known: Cover | None = None) -> Cover:
    """The coverage of premultiplied pixels (height, width, 4); `known` itself where that is the same to the last pixel."""
    painted, full = thresholds(pixels, (1, 255))
    if known is not None and _is_alike(known, pixels, painted, full):
        return known
    bits = painted & ~full
    soft = None
    if count(bits) <= _LISTED_MOST:
        rows, columns = positions(bits)
        soft = Soft(rows=rows, columns=columns, alpha=alpha_at(pixels, rows, columns))
    return Cover(size_px=(pixels.shape[0], pixels.shape[1]), painted=painted, full=full, soft=soft)


def _is_alike(known: Cover, pixels: Bytes, painted: Bits, full: Bits) -> bool:
    soft = known.soft
    if soft is None or known.size_px != pixels.shape[:2]:
        return False
    if not (np.array_equal(known.painted, painted) and np.array_equal(known.full, full)):
        return False
    return np.array_equal(soft.alpha, alpha_at(pixels, soft.rows, soft.columns))


def flat_bytes(pixels: Bytes) -> tuple[Bytes, int]:
    """A picture as one row of bytes, and how many of them lie between a pixel and the one below."""
    height, width = pixels.shape[:2]
    pitch = pixels.strides[0]
    return as_strided(pixels, ((height - 1) * pitch + 4 * width,), (1,), writeable=False), pitch


def alpha_at(pixels: Bytes, rows: Indexes, columns: Indexes) -> Bytes:
    """Coverage of some pixels, all of them inside the picture."""
    if not len(rows):
        return np.zeros(0, np.uint8)
    flat, pitch = flat_bytes(pixels)
    found: Bytes = flat[rows * pitch + 4 * columns + 3]
    return found


def thresholds(pixels: Bytes, leasts: tuple[int, ...]) -> list[Bits]:
    """Packed masks of the pixels with at least so much coverage each, by one pass through the picture."""
    height, width = pixels.shape[:2]
    words = pixels.view("<u4")[..., 0]  # alpha is the highest byte of a pixel read as one number
    made = [blank_bytes(height, width) for _ in leasts]
    rows = max(1, _BAND_PX // max(width, 1))
    mask = np.empty((rows, width), np.bool_)
    columns = slice(8, 8 + -(-width // 8))
    for top in range(0, height, rows):
        band = words[top : top + rows]
        here = mask[: len(band)]
        for least, packed in zip(leasts, made, strict=True):
            np.greater_equal(band, np.uint32(least << 24), out=here)
            packed[RIM + top : RIM + top + len(band), columns] = np.packbits(here, axis=1)
    return [words_of(packed) for packed in made]


def blank_bytes(height: int, width: int) -> Bytes:
    """Room for a packed mask of a size with its rim, 8 pixels to a byte; rows and words are even in number."""
    words = -(-width // WORD) + 2
    return np.zeros((height + height % 2 + 2 * RIM, (words + words % 2) * 8), np.uint8)


def words_of(packed: Bytes) -> Bits:
    """Packed bytes as words, the leftmost pixel in the highest bit."""
    return packed.view(">u8").astype(np.uint64)


def count(bits: Bits) -> int:
    """Pixels that are set."""
    return int(np.bitwise_count(bits).sum()) if hasattr(np, "bitwise_count") else len(positions(bits)[0])


def positions(bits: Bits) -> tuple[Indexes, Indexes]:
    """Rows and columns of the pixels that are set, in reading order, without the rim (a pixel of the rim is negative)."""
    flat = bits.reshape(-1)
    held = np.flatnonzero(flat)
    pixels = np.flatnonzero(np.unpackbits(flat[held].astype(">u8").view(np.uint8)))
    at = held[pixels >> 6] * WORD + (pixels & (WORD - 1))
    row, column = np.divmod(at, bits.shape[1] * WORD)
    return row - RIM, column - WORD
