"""The keyline: an outline of even width around a finished raster.

Comes in: premultiplied pixels at print size, a width in pixels, a colour.
Goes out: premultiplied pixels, larger by the outline on every side, the artwork lying over its outline.
Never done here: deciding that a keyline is wanted, vectors (`outline`).

Every pixel gets its distance to the ink's edge, found in two passes like an exact distance transform, down the columns and then
across; an edge pixel's coverage says where within the pixel the edge runs. Distances are bytes in sixteenths of a pixel, so that
both passes are byte-wise minima and table look-ups; a wide keyline is measured on a coarser grid, since distances are smooth.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from vectorprep.colour import rgb_from_hex

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]

UNIT = 16
"""Steps of a pixel in which distances are kept; 255 means far."""
WIDEST_PX = 12.0
"""Wider outlines are measured on a coarser grid, so that a distance fits a byte."""
INK_ALPHA = 128
"""Coverage from which a pixel is ink: a soft shadow gets no outline of its own (house value)."""
WASH_ALPHA = 26
"""The same for pale washes, whose greater part never reaches `INK_ALPHA` (house value)."""
SOLID_ALPHA = 192
"""A fainter pixel beside one of at least this coverage is the smooth edge of ink, not a shadow (house value)."""


def keyline_raster(pixels: Bytes, width_px: float, colour: str) -> Bytes:
    """The artwork over an outline of even width, antialiased, holes narrower than twice the width filled.

    Args:
        pixels: premultiplied, (height, width, 4).
        width_px: of the outline, measured from the ink's edge.
        colour: `#rrggbb`.

    Returns:
        A new premultiplied raster, larger by ceil(width_px) on each side.
    """
    margin = math.ceil(width_px)
    height, width = pixels.shape[:2]
    result = np.zeros((height + 2 * margin, width + 2 * margin, 4), np.uint8)
    result[margin : margin + height, margin : margin + width] = pixels
    covered = keyline_coverage(np.ascontiguousarray(result[..., 3]), width_px)
    flat, cover = result.reshape(-1, 4), covered.reshape(-1)
    band = np.flatnonzero((cover > 0) & (flat[:, 3] < 255))
    below = flat[band].astype(np.uint16)
    shown = (255 - below[:, 3]) * cover[band].astype(np.uint16)
    shown = (shown + 127) // 255
    paint = np.array([*rgb_from_hex(colour), 255], np.uint16)
    flat[band] = np.minimum(below + (shown[:, None] * paint + 127) // 255, 255)
    return result


def keyline_coverage(alpha: Bytes, width_px: float) -> Bytes:
    """Coverage of the outline together with all that it surrounds, same shape as `alpha`."""
    factor = max(1, math.ceil(width_px / WIDEST_PX))
    if factor == 1:
        return _translated(_distances(alpha, width_px), _cover_table(width_px))
    height, width = alpha.shape
    padded = np.pad(alpha, ((0, -height % factor), (0, -width % factor)))
    small = np.asarray(Image.fromarray(padded).reduce(factor))
    near = Image.fromarray(_distances(small, width_px / factor))
    wide = np.asarray(near.resize((padded.shape[1], padded.shape[0]), Image.Resampling.BILINEAR))
    return _translated(np.ascontiguousarray(wide[:height, :width]), _cover_table(width_px, factor))


def _distances(alpha: Bytes, reach_px: float) -> Bytes:
    """Distance of every pixel's centre to the ink's edge in units of 1/16 px, 0 inside, at most 255; right up to `reach_px` + 1."""
    down = _down_columns(_seeds(alpha))
    nearest = _translated(down, _across_table(0))
    for step in range(1, math.ceil(reach_px) + 2):
        beside = _translated(down, _across_table(step))
        np.minimum(nearest[:, step:], beside[:, :-step], out=nearest[:, step:])
        np.minimum(nearest[:, :-step], beside[:, step:], out=nearest[:, :-step])
    return nearest


def _seeds(alpha: Bytes) -> Bytes:
    """0..15 on ink: how far inside its pixel the edge lies; 255 elsewhere."""
    wash = 2 * np.count_nonzero(alpha >= INK_ALPHA) < np.count_nonzero(alpha >= WASH_ALPHA)
    least = WASH_ALPHA if wash else INK_ALPHA
    solid = alpha >= SOLID_ALPHA
    beside = np.zeros_like(solid)
    beside[1:] |= solid[:-1]
    beside[:-1] |= solid[1:]
    beside[:, 1:] |= solid[:, :-1]
    beside[:, :-1] |= solid[:, 1:]
    ink = (alpha >= least) | (beside & (alpha >= WASH_ALPHA))
    within = 15 - alpha // 17
    return np.where(ink, within, np.uint8(255))


def _down_columns(seeds: Bytes) -> Bytes:
    """16 x rows to the nearest ink of the same column, plus that ink's own 0..15."""
    found = seeds.copy()
    height = len(found)
    for rows in (range(1, height), range(height - 2, -1, -1)):
        back = -1 if rows.step > 0 else 1
        for row in rows:
            np.minimum(found[row], np.minimum(found[row + back], 255 - UNIT) + np.uint8(UNIT), out=found[row])
    return found


@lru_cache(maxsize=64)
def _across_table(columns: int) -> bytes:
    """Distance to the edge for a pixel `columns` away from one whose column result is the index."""
    table = bytearray(b"\xff" * 256)
    for code in range(255):
        rows, within = divmod(code, UNIT)
        apart = math.hypot(rows, columns) - 0.5 + within / 15
        table[code] = min(255, max(0, round(UNIT * apart)))
    return bytes(table)


@lru_cache(maxsize=64)
def _cover_table(width_px: float, factor: int = 1) -> bytes:
    """Coverage of a pixel at each distance from the ink's edge."""
    covers = (width_px + 0.5 - factor * code / UNIT for code in range(256))
    return bytes(round(255 * min(1.0, max(0.0, cover))) for cover in covers)


def _translated(codes: Bytes, table: bytes) -> Bytes:
    return np.frombuffer(codes.tobytes().translate(table), np.uint8).reshape(codes.shape).copy()
