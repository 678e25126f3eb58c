"""Coordinates that change evenly from pixel to pixel, kept packed.

Comes in: a plane of numbers. Goes out: the same, to a hundredth or so.
Never done here: what the numbers mean.

Along a row such numbers run almost straight, so that the change of their change is mostly 0 or 1: that is what is kept, a
twentieth of the numbers themselves, and adding it up twice gives them back at 5 ns each.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.deflate import LEVEL, deflate

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.floating[Any]]
    Singles = NDArray[np.float32]

STEPS = 64
"""Numbers are kept to half of this part of 1."""
NOTHING = -1_000_000.0
"""What stands for a number that there is none of (nan)."""


@dataclass(frozen=True, slots=True, eq=False)
class Curves:
    """A plane of numbers; made by `curves`. `rare` are the places and values of changes beyond a byte."""

    shape: tuple[int, int]
    common: bytes
    rare: tuple[NDArray[np.int32], NDArray[np.int32]]

    @property
    def nbytes(self) -> int:
        """Bytes that it takes."""
        return len(self.common) + self.rare[0].nbytes + self.rare[1].nbytes

    def numbers(self) -> Singles:
        """The numbers, within 1/128; far below zero where there is none."""
        steps = np.frombuffer(deflate.decompress(self.common), np.int8).astype(np.int32)
        steps[self.rare[0]] = self.rare[1]
        plane = steps.reshape(self.shape)
        np.cumsum(plane, axis=1, out=plane)
        np.cumsum(plane, axis=1, out=plane)
        return plane * np.float32(1 / STEPS)


def curves(plane: Floats) -> Curves:
    """The plane packed; its numbers lie within -1,000,000 and 1,000,000."""
    steps = np.rint(np.nan_to_num(plane, nan=NOTHING) * STEPS).astype(np.int32)
    for _ in range(2):
        steps = np.diff(steps, axis=1, prepend=np.int32(0))
    common = steps.astype(np.int8)
    rare = np.flatnonzero(common != steps).astype(np.int32)
    height, width = plane.shape
    return Curves((height, width), deflate.compress(common.tobytes(), LEVEL), (rare, steps.ravel()[rare]))
