"""A blank's colour on a drawing's cloth, with the fibres of heather.

Comes in: how much of each pixel is cloth, a `Blank`. Goes out: sRGB pixels.
Never done here: shade, print.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.colour import rgb_from_hex

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Blank

    Bytes = NDArray[np.uint8]
    Floats = NDArray[np.floating[Any]]

TILE_PX = 1024
SEED = 20011
LEANS = (-0.15, 0.0, 0.15)
"""Directions of fibres, radians from level."""
FIBRE_PX = (8.0, 0.8)
"""Length and width of a fibre's spread (house value, looked at on pictures of 2000 px)."""
DEPTH = 12.0
"""Standard deviation of heather in steps of 8-bit sRGB: about 4 to 5 L* (house value)."""


def on_cloth(black: Bytes, share: Bytes, blank: Blank, corner: tuple[int, int] = (0, 0)) -> Bytes:
    """What lies below the print, with cloth of the blank's colour.

    Args:
        black: height x width x 3, the drawing with black cloth.
        share: height x width, how much of each pixel is cloth (255 = all of it).
        blank: colour and texture.
        corner: where the part begins in the whole picture, so that its fibres are those of the whole.
    """
    made = np.empty_like(black)
    codes = np.arange(256, dtype=np.float64)
    rough = blank.texture == "heather"
    for channel, value in enumerate(rgb_from_hex(blank.colour)):
        if rough:
            shade = np.clip(value + heather(share.shape, corner), 0, 255)
            np.clip(black[..., channel] + share * shade / np.float32(255.0) + np.float32(0.5), 0, 255, out=shade)
            made[..., channel] = shade
        else:
            table = (codes * value / 255 + 0.5).astype(np.uint8)
            made[..., channel] = black[..., channel] + table[share]
    return made


def heather(shape: tuple[int, ...], corner: tuple[int, int] = (0, 0)) -> Floats:
    """What fibres of heather add to each pixel, in steps of 8-bit sRGB; 0 on average, the same in every run."""
    rows = (np.arange(shape[0]) + corner[1]) % TILE_PX
    columns = (np.arange(shape[1]) + corner[0]) % TILE_PX
    return _tile()[rows[:, None], columns[None, :]]


@lru_cache(maxsize=1)
def _tile() -> Floats:
    """Short fibres lying across, some a little up and some down; the tile repeats without a seam."""
    noise = np.random.Generator(np.random.PCG64(SEED)).standard_normal((len(LEANS), TILE_PX, TILE_PX))
    total = sum(_spread(plane, lean) for plane, lean in zip(noise, LEANS, strict=True))
    made: Floats = np.asarray(total, np.float32)
    made -= made.mean()
    made *= np.float32(DEPTH) / made.std()
    made.flags.writeable = False
    return made


def _spread(plane: Floats, lean: float) -> Floats:
    """The plane with every point drawn out along a direction, by the transform of a Gaussian."""
    across, down = np.fft.rfftfreq(TILE_PX)[None, :], np.fft.fftfreq(TILE_PX)[:, None]
    along = across * math.cos(lean) + down * math.sin(lean)
    beside = down * math.cos(lean) - across * math.sin(lean)
    kept = np.exp(-2 * math.pi**2 * ((along * FIBRE_PX[0]) ** 2 + (beside * FIBRE_PX[1]) ** 2))
    result: Floats = np.fft.irfft2(np.fft.rfft2(plane) * kept, s=plane.shape)
    return result
