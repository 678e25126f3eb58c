"""Where a raster holds ink: boxes in whole pixels and edges to a fraction of one.

Comes in: a `Raster` or its alpha.
Goes out: half-open pixel boxes (x0, y0, x1, y1), edges as floats in pixels of the raster.
Never done here: drawing, or anything in millimetres.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.geometry import Box

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Raster
    from vectorprep.model.result import PxBox

INK_ALPHA = 8  # house value: 3.1 % coverage; less is not seen in print
ANY_ALPHA = 1


def alpha_of(raster: Raster) -> NDArray[np.uint8]:
    """The alpha plane, shape (height, width)."""
    return raster.pixels[..., 3]


def box_of(alpha: NDArray[np.uint8], least: int = INK_ALPHA) -> PxBox | None:
    """Box of all pixels with at least that alpha, half open; None where there are none."""
    top = first_row(alpha, least)
    if top is None:
        return None
    bottom = alpha.shape[0] - (first_row(alpha[::-1], least) or 0)
    columns = alpha[top:bottom].T
    left = first_row(columns, least) or 0
    right = alpha.shape[1] - (first_row(columns[::-1], least) or 0)
    return left, top, right, bottom


def first_row(alpha: NDArray[np.uint8], least: int) -> int | None:
    """Index of the first row with a pixel of at least that alpha; None where there is none.

    It looks at few rows first and at more each time, since ink mostly begins near the border of a well-chosen region.
    """
    start, step = 0, 8
    while start < len(alpha):
        peaks = alpha[start : start + step].max(axis=1)
        found = int((peaks >= least).argmax())
        if peaks[found] >= least:
            return start + found
        start, step = start + step, step * 2
    return None


def edges_of(alpha: NDArray[np.uint8], box: PxBox) -> Box:
    """The box's four edges to a fraction of a pixel, from the coverage of its outermost lines against the next ones inside."""
    x0, y0, x1, y1 = box
    lines = alpha[y0:y1], alpha[:, x0:x1]
    left = x0 + 1 - covered_share(lines[0], x0, 1)
    right = x1 - 1 + covered_share(lines[0], x1 - 1, -1)
    top = y0 + 1 - covered_share(lines[1].T, y0, 1)
    bottom = y1 - 1 + covered_share(lines[1].T, y1 - 1, -1)
    return Box(left, top, right, bottom)


def covered_share(alpha: NDArray[np.uint8], column: int, inward: int) -> float:
    """Share (0..1) of the outermost ink column that is covered, the faint one outside it added.

    The fullest pixel of the column is compared with its neighbour inside, so that half-transparent ink counts as whole.
    """
    own = alpha[:, column].astype(np.int32)
    row = int(own.argmax())
    inner = alpha[row, column + inward] if 0 <= column + inward < alpha.shape[1] else 0
    outer = alpha[row, column - inward] if 0 <= column - inward < alpha.shape[1] else 0
    full = max(int(inner), int(own[row]), 1)
    return min((int(own[row]) + int(outer)) / full, 1.0)
