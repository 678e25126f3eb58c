"""Soft versions of a plane of figures.

Comes in: a float array and the spread wanted. Goes out: an array of the same shape.
Never done here: colours.

Three running means, one after another, come within a few per cent of a Gaussian (Wells, "Efficient synthesis of Gaussian filters by
cascaded uniform filters", IEEE PAMI 1986).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.floating[Any]]

PASSES = 3


def blurred(plane: Floats, *, across: float, down: float) -> Floats:
    """The plane spread by standard deviations in px; its border is carried on."""
    made = plane
    for axis, spread in ((1, across), (0, down)):
        reach = _reach(spread)
        for _ in range(PASSES if reach else 0):
            made = _mean(made, reach, axis)
    return made


def _reach(spread: float) -> int:
    """Pixels to either side of a running mean that make up that spread: three of width w have the variance (w^2 - 1) / 4."""
    return round((math.sqrt(4 * spread**2 + 1) - 1) / 2)


def _mean(plane: Floats, reach: int, axis: int) -> Floats:
    pads = [(0, 0), (0, 0)]
    pads[axis] = (reach + 1, reach)
    padded = np.pad(plane, pads, mode="edge")
    sums = np.cumsum(padded, axis=axis, dtype=np.float64)
    width = 2 * reach + 1
    found = sums[width:] - sums[:-width] if axis == 0 else sums[:, width:] - sums[:, :-width]
    result: Floats = (found / width).astype(plane.dtype)
    return result
