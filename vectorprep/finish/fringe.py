"""The colour of edges carried outward into transparent pixels, so that no later resize mixes black into them.

Comes in: a premultiplied `Raster`. Goes out: a `Raster` of straight colours, a few pixels larger. Never done here: coverage.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.finish.coverage import full_colour
from vectorprep.model import Raster

if TYPE_CHECKING:
    from numpy.typing import NDArray

REACH_PX = 4
"""How far colours are carried: a reduction to an eighth still finds them (house value)."""
SURE = 64  # of 255: below, eight bits hold too little of a premultiplied colour


def with_edge_colour(raster: Raster) -> Raster:
    """The same coverage; pixels too faint to hold a colour, and empty ones near ink, take the mean colour beside them."""
    padded = np.pad(raster.pixels, ((REACH_PX, REACH_PX), (REACH_PX, REACH_PX), (0, 0)))
    made = np.concatenate([full_colour(padded), padded[..., 3:]], axis=2)
    known = padded[..., 3] >= SURE
    for _ in range(REACH_PX):
        beside = ~known & _beside(known)
        rows, columns = np.nonzero(beside)
        made[rows, columns, :3] = _mean_of_neighbours(made, known, rows, columns)
        known[rows, columns] = True
    made.flags.writeable = False
    x, y = raster.origin_px
    return Raster(pixels=made, origin_px=(x - REACH_PX, y - REACH_PX), straight=True)


def _beside(known: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Pixels above, below, left or right of known ones."""
    made = np.zeros_like(known)
    made[1:] |= known[:-1]
    made[:-1] |= known[1:]
    made[:, 1:] |= known[:, :-1]
    made[:, :-1] |= known[:, 1:]
    return made


def _mean_of_neighbours(
    pixels: NDArray[np.uint8], known: NDArray[np.bool_], rows: NDArray[np.intp], columns: NDArray[np.intp]
) -> NDArray[np.uint8]:
    total = np.zeros((len(rows), 3), np.uint16)
    many = np.zeros(len(rows), np.uint16)
    height, width = known.shape
    for down in (-1, 0, 1):
        for right in (-1, 0, 1):
            y, x = np.clip(rows + down, 0, height - 1), np.clip(columns + right, 0, width - 1)
            counts = known[y, x]
            total += pixels[y, x, :3] * counts[:, None]
            many += counts
    return np.asarray(total // np.maximum(many, 1)[:, None], np.uint8)
