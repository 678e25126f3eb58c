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
LEANS = (-0.5, -0.2, 0.0, 0.2, 0.5)
"""Directions of fibres, radians from level."""
FIBRE_MM = (1.1, 0.26)
"""Spread of a fibre along and across (house value, looked at on shirts of 2000 px from afar and near)."""
FINEST_PX = 0.45
"""Fibres finer than this spread melt into each other."""
DEPTH = 7.0
"""Standard deviation of heather in steps of 8-bit sRGB: about 3 L* (house value)."""
USUAL_PX_PER_MM = 2.3
"""Scale of a picture that does not state its own: a shirt of 2000 px."""
ROWS_PX = 100_000
"""Pixels that are dyed at once: what belongs to them stays in the processor's cache."""


def on_cloth(
    black: Bytes, share: Bytes, blank: Blank, *, corner: tuple[int, int] = (0, 0), px_per_mm: float | None = None
) -> Bytes:
    """What lies below the print, with cloth of the blank's colour.

    Args:
        black: height x width x 3, the drawing with black cloth.
        share: height x width, how much of each pixel is cloth (255 = all of it).
        blank: colour and texture.
        corner: where the part begins in the whole picture, so that its fibres are those of the whole.
        px_per_mm: scale of the picture, None = unknown.
    """
    made = np.empty_like(black)
    rgb = rgb_from_hex(blank.colour)
    if blank.texture != "heather":
        codes = np.arange(256)
        for channel, value in enumerate(rgb):
            made[..., channel] = black[..., channel] + ((codes * value + 127) // 255).astype(np.uint8)[share]
        return made
    tile = _tile(round(px_per_mm or USUAL_PX_PER_MM, 1))
    columns = (np.arange(share.shape[1]) + corner[0]) % TILE_PX
    step = max(1, ROWS_PX // max(1, share.shape[1]))
    for top in range(0, share.shape[0], step):
        part = np.s_[top : top + step]
        rows = (np.arange(top, min(top + step, share.shape[0])) + corner[1]) % TILE_PX
        _dyed(made[part], black[part], share[part], rgb, tile[rows][:, columns])
    return made


def _dyed(made: Bytes, black: Bytes, share: Bytes, rgb: tuple[int, int, int], fibres: NDArray[np.int16]) -> None:
    """Some rows with cloth whose colour is changed by fibres, into `made`."""
    cover = share.astype(np.uint16)
    for channel, value in enumerate(rgb):
        shade = np.clip(fibres + np.int16(value), 0, 255).astype(np.uint16)
        shade *= cover
        shade += 127
        shade += (shade >> 8) + np.uint16(1)  # with the shift by 8: division by 255
        shade >>= 8
        shade += black[..., channel]
        np.minimum(shade, 255, out=shade)
        made[..., channel] = shade


@lru_cache(maxsize=4)
def _tile(px_per_mm: float) -> NDArray[np.int16]:
    """Short fibres lying across, some a little up and some down, in steps of 8-bit sRGB; the tile repeats without a seam."""
    spread = max(FIBRE_MM[0] * px_per_mm, FINEST_PX), max(FIBRE_MM[1] * px_per_mm, FINEST_PX)
    noise = np.random.Generator(np.random.PCG64(SEED)).standard_normal((len(LEANS), TILE_PX, TILE_PX), np.float32)
    total = np.sum([_spread(plane, lean, spread) for plane, lean in zip(noise, LEANS, strict=True)], axis=0)
    total -= total.mean()
    total *= DEPTH * min(1.0, px_per_mm / USUAL_PX_PER_MM) / total.std()  # seen from farther off, light and dark are averaged
    made: NDArray[np.int16] = np.rint(total).astype(np.int16)
    made.flags.writeable = False
    return made


def _spread(plane: Floats, lean: float, spread: tuple[float, float]) -> Floats:
    """The plane with every point drawn out along a direction, by the transform of a Gaussian."""
    across, down = np.fft.rfftfreq(TILE_PX)[None, :], np.fft.fftfreq(TILE_PX)[:, None]
    along = across * math.cos(lean) + down * math.sin(lean)
    beside = down * math.cos(lean) - across * math.sin(lean)
    kept = np.exp(-2 * math.pi**2 * ((along * spread[0]) ** 2 + (beside * spread[1]) ** 2))
    result: Floats = np.fft.irfft2(np.fft.rfft2(plane) * kept, s=plane.shape)
    return result
