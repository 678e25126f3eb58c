"""Coverage made plain: cut at a threshold, mist cleared, black taken out.

Comes in: a premultiplied `Raster`. Goes out: a `Raster` of the same size. Never done here: dots.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour.arrays import delta_e_2000, lab, linear_from_srgb8
from vectorprep.model import Raster

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]
    Mask = NDArray[np.bool_]

MIST_TO = 12
"""Coverage (of 255) up to which ink is invisible on screen and prints as mist (common practice, no source)."""
LIKE_BLACK_DELTA_E = 12.0  # CIEDE2000 (common practice, no source)
DARK_LEVELS = 96
"""Levels (of 255) from which no colour is as near as that to black."""
RIM_PX = 2
"""How far the smoothed rim of a black part reaches."""
BAND_ROWS = 256


def of(raster: Raster, pixels: Bytes) -> Raster:
    """New pixels at the place of a raster."""
    pixels.flags.writeable = False
    return Raster(pixels=pixels, origin_px=raster.origin_px)


def full_colour(pixels: Bytes) -> Bytes:
    """Red, green and blue of premultiplied pixels as they are where they cover wholly; black where nothing is."""
    alpha = pixels[..., 3:4].astype(np.uint16)
    return np.asarray(np.minimum((pixels[..., :3] * np.uint16(255) + alpha // 2) // np.maximum(alpha, 1), 255), np.uint8)


def cut(raster: Raster, share: float) -> Raster:
    """Every pixel either covered wholly or not at all, from a share of coverage (0..1) on."""
    made = np.zeros_like(raster.pixels)
    for top in range(0, len(made), BAND_ROWS):
        band = raster.pixels[top : top + BAND_ROWS]
        kept = band[..., 3] >= max(1, round(share * 255))
        made[top : top + BAND_ROWS][kept, :3] = full_colour(band[kept])
        made[top : top + BAND_ROWS][kept, 3] = 255
    return of(raster, made)


def without_mist(raster: Raster) -> Raster:
    """Nothing where coverage is too faint to be seen."""
    made = raster.pixels.copy()
    made[made[..., 3] <= MIST_TO] = 0
    return of(raster, made)


def unblended(pixels: Bytes) -> Bytes:
    """Premultiplied pixels with black taken out: the same on black, and covering only as far as they are lighter.

    The un-blend from black, a = max(r, g, b), c = rgb / a (arithmetic of source-over, W3C Compositing): premultiplied colours stay.
    """
    made = pixels.copy()
    made[..., 3] = made[..., :3].max(axis=-1)
    return made


def knocked_out(raster: Raster) -> Raster:
    """Black taken out where it reads as black cloth, and from the smoothed rims beside it; every other ink stays as it is."""
    pixels, made = raster.pixels, raster.pixels.copy()
    height = len(pixels)
    for top in range(0, height, BAND_ROWS):
        first, last = max(top - RIM_PX, 0), min(top + BAND_ROWS + RIM_PX, height)
        near = _spread(_reads_as_black(pixels[first:last]), RIM_PX)[top - first :][:BAND_ROWS]
        band = made[top : top + BAND_ROWS]
        band[near] = unblended(band[near])
    return of(raster, made)


def _reads_as_black(pixels: Bytes) -> Mask:
    """Pixels whose ink hardly differs from black."""
    dark = (pixels[..., 3] > 0) & (pixels[..., :3].max(axis=2) < DARK_LEVELS)
    shades = full_colour(pixels[dark])
    like = np.zeros(len(shades), np.bool_)
    low = np.flatnonzero(shades.max(axis=1) < DARK_LEVELS)
    like[low] = _like_black()[shades[low, 0], shades[low, 1], shades[low, 2]]
    found = np.zeros(dark.shape, np.bool_)
    found[dark] = like
    return found


@cache
def _like_black() -> Mask:
    """Whether each dark colour is as good as black, by its levels of red, green and blue."""
    levels = np.indices((DARK_LEVELS,) * 3, np.uint8).transpose(1, 2, 3, 0)
    colours = lab(linear_from_srgb8(levels))
    return np.asarray(delta_e_2000(colours, np.zeros(3)) <= LIKE_BLACK_DELTA_E)


def _spread(mask: Mask, reach: int) -> Mask:
    """A mask grown by so many pixels on every side."""
    for axis in (0, 1):
        made = mask.copy()
        for step in range(1, reach + 1):
            ahead, behind = (slice(step, None), slice(None, -step)) if step < mask.shape[axis] else (slice(0, 0), slice(0, 0))
            one, other = (ahead, behind) if axis == 0 else ((slice(None), ahead), (slice(None), behind))
            made[one] |= mask[other]
            made[other] |= mask[one]
        mask = made
    return mask
