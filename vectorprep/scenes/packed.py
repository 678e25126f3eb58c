"""Pixels that are kept packed, and unpacked by rows when they are needed.

Comes in: an array of bytes. Goes out: the same rows again.
Never done here: what the bytes mean.

The layers of a drawing are even over most of it: packed, they take a tenth to a fortieth, and come back at a gigabyte a second.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.deflate import LEVEL, deflate

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]

BAND_BYTES = 1_000_000
"""Rows of about so many bytes are packed together."""
WORTH = 0.5
"""Packed parts above this share of what they hold are kept as they are: a photograph's grain is not worth the time."""


@dataclass(frozen=True, slots=True, eq=False)
class Packed:
    """An array of bytes whose first axis is its rows; made by `packed`."""

    shape: tuple[int, ...]
    band: int
    """Rows of a part."""
    parts: tuple[bytes, ...] | Bytes

    @property
    def is_open(self) -> bool:
        """Whether it is kept as it is."""
        return not isinstance(self.parts, tuple)

    @property
    def nbytes(self) -> int:
        """Bytes that it takes."""
        return sum(len(part) for part in self.parts) if isinstance(self.parts, tuple) else int(self.parts.nbytes)

    def rows(self, first: int = 0, end: int | None = None) -> Bytes:
        """Rows from `first` up to `end`, not to be written to."""
        end = self.shape[0] if end is None else end
        if not isinstance(self.parts, tuple):
            return self.parts[first:end]
        low, high = first // self.band, math.ceil(end / self.band)
        data = b"".join(deflate.decompress(part) for part in self.parts[low:high])
        start = low * self.band
        return np.frombuffer(data, np.uint8).reshape(-1, *self.shape[1:])[first - start : end - start]

    def box(self, box: tuple[int, int, int, int]) -> Bytes:
        """The part of a picture within left, top, right and bottom, not to be written to."""
        x0, y0, x1, y1 = box
        return self.rows(y0, y1)[:, x0:x1]


def packed(array: Bytes) -> Packed:
    """The array packed where that is worth it."""
    shape = tuple(array.shape)
    band = max(1, BAND_BYTES // max(1, math.prod(shape[1:])))
    parts = tuple(
        deflate.compress(np.ascontiguousarray(array[row : row + band]).tobytes(), LEVEL) for row in range(0, shape[0], band)
    )
    if sum(map(len, parts)) > WORTH * array.nbytes:
        return Packed(shape, band, np.ascontiguousarray(array))
    return Packed(shape, band, parts)


def as_it_is(array: Bytes) -> Packed:
    """The array in the same wrapping, but open: for what is needed at every turn."""
    return Packed(tuple(array.shape), 1, array)
