"""Regions turned into bits: a pixel is set where its middle lies inside.

Comes in: polygons in mm. Goes out: rows of booleans at a resolution.
Never done here: smooth edges; files.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    Points = NDArray[np.float64]
    Bits = NDArray[np.bool_]


class Scan:
    """The sides of a region, ready to be filled band by band (even-odd rule)."""

    def __init__(self, region: BaseGeometry, px_per_mm: float, corner_mm: tuple[float, float] = (0.0, 0.0)) -> None:
        """Sides in pixels from a corner of the picture.

        Args:
            region: polygons in mm.
            px_per_mm: resolution.
            corner_mm: where the picture's top-left corner lies, in the region's own millimetres.
        """
        rings = shapely.get_rings(shapely.get_parts(region))
        sides = [_sides(shapely.get_coordinates(ring)) for ring in rings]
        found = np.concatenate(sides) if sides else np.zeros((0, 4))
        found = (found - np.tile(corner_mm, 2)) * px_per_mm
        found = found[found[:, 1] != found[:, 3]]
        upward = found[:, 1] > found[:, 3]
        found[upward] = found[upward][:, [2, 3, 0, 1]]
        self._sides = found

    def rows(self, start: int, stop: int, width: int) -> Bits:
        """Rows `start` to `stop` of the picture, `width` pixels wide."""
        x0, y0, x1, y1 = self._sides.T
        first = np.maximum(np.ceil(y0 - 0.5), start).astype(np.intp)
        end = np.minimum(np.ceil(y1 - 0.5), stop).astype(np.intp)
        counts = np.maximum(end - first, 0)
        used = np.repeat(np.arange(len(counts)), counts)
        if not used.size:
            return np.zeros((stop - start, width), bool)
        at = np.arange(len(used)) - np.repeat(np.cumsum(counts) - counts, counts) + first[used]
        along = (at + 0.5 - y0[used]) / (y1[used] - y0[used])
        x = x0[used] + along * (x1[used] - x0[used])
        column = np.clip(np.ceil(x - 0.5), 0, width).astype(np.intp)
        crossed = np.bincount((at - start) * (width + 1) + column, minlength=(stop - start) * (width + 1))
        flips = (crossed.astype(np.uint8) & 1).reshape(stop - start, width + 1)[:, :width]
        return np.bitwise_xor.accumulate(flips, axis=1).astype(bool)


def filled(region: BaseGeometry, size_px: tuple[int, int], px_per_mm: float, corner_mm: tuple[float, float] = (0.0, 0.0)) -> Bits:
    """The whole picture at once, (height, width)."""
    return Scan(region, px_per_mm, corner_mm).rows(0, size_px[1], size_px[0])


def _sides(ring: Points) -> Points:
    return np.concatenate([ring[:-1], ring[1:]], axis=1)
