"""Ink carried outward as a border of its own edge colours, past the line where a sticker is cut.

Comes in: a premultiplied `Raster`, a reach in pixels. Goes out: a larger `Raster`, opaque as far as the reach.
Never done here: the cut; how far is far enough.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.finish.coverage import full_colour
from vectorprep.model import Raster

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]
    Bits = NDArray[np.bool_]

SURE = 128
"""Coverage (of 255) from which a pixel's colour is that of the art: the cut goes around the same ink."""
SHORTEST = 1.09
"""Steps by sides and by corners in turn make an octagon; its flat sides come nearer than the reach by up to this."""


def bordered(raster: Raster, reach_px: float) -> Raster:
    """The art over a border in which each pixel has the colour of the ink nearest to it; see-through ink lies on its own colour.

    The border reaches at least `reach_px` and at most a tenth more.
    """
    steps = math.ceil(reach_px * SHORTEST)
    padded = np.pad(raster.pixels, ((steps, steps), (steps, steps), (0, 0)))
    known = padded[..., 3] >= SURE
    below = np.where(known[..., None], full_colour(padded), np.uint8(0))
    for step in range(steps):
        _carry(below, known, has_corners=step % 2 == 1)
    clear = 255 - padded[..., 3:].astype(np.uint16)
    made = np.zeros_like(padded)
    made[..., :3] = padded[..., :3] + ((below.astype(np.uint16) * clear + 127) // 255).astype(np.uint8)
    made[..., 3] = 255
    made[~known] = padded[~known]
    made.flags.writeable = False
    x, y = raster.origin_px
    return Raster(pixels=made, origin_px=(x - steps, y - steps))


def _carry(colours: Bytes, known: Bits, *, has_corners: bool) -> None:
    """Colours one pixel outward, in place: each new pixel takes the mean of the old ones beside it."""
    ways = [(-1, 0), (1, 0), (0, -1), (0, 1)]
    if has_corners:
        ways += [(-1, -1), (-1, 1), (1, -1), (1, 1)]
    padded = np.pad(known, 1)
    height, width = known.shape
    near = np.zeros_like(known)
    for down, right in ways:
        near |= padded[1 + down : 1 + down + height, 1 + right : 1 + right + width]
    rows, columns = np.nonzero(near & ~known)
    total = np.zeros((len(rows), 3), np.uint16)
    many = np.zeros(len(rows), np.uint16)
    for down, right in ways:
        y, x = np.clip(rows + down, 0, height - 1), np.clip(columns + right, 0, width - 1)
        counts = known[y, x] & (rows + down == y) & (columns + right == x)
        total += colours[y, x] * counts[:, None]
        many += counts
    colours[rows, columns] = (total + many[:, None] // 2) // np.maximum(many, 1)[:, None]
    known[rows, columns] = True
