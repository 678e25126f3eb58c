"""Coverage made plain: cut at a threshold, mist cleared, black taken out.

Comes in: a premultiplied `Raster`. Goes out: a `Raster` of the same size. Never done here: dots.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.model import Raster

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]

MIST_TO = 12
"""Coverage (of 255) up to which ink is invisible on screen and prints as mist (common practice, no source)."""
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


def knocked_out(raster: Raster) -> Raster:
    """Black taken out, so that black cloth gives it: the picture is the same on black, and covers only where it is lighter.

    The un-blend from black, a = max(r, g, b), c = rgb / a (arithmetic of source-over, W3C Compositing): premultiplied colours stay.
    """
    made = raster.pixels.copy()
    made[..., 3] = made[..., :3].max(axis=2)
    return of(raster, made)
