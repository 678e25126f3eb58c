"""The keyline: an outline of even width around a finished raster.

Comes in: premultiplied pixels at print size, a width in pixels, a colour.
Goes out: premultiplied pixels, larger by the outline on every side, the artwork lying over its outline.
Never done here: deciding that a keyline is wanted, vectors (`outline`).

Every pixel gets its distance to the ink's edge, found in two passes like an exact distance transform, down the columns and then
across; coverage says where within a pixel the edge runs. Distances are bytes in sixteenths of a pixel, so that
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
    Places = NDArray[np.intp]

UNIT = 16
"""Steps of a pixel in which distances are kept; 255 means far."""
WIDEST_PX = 12.0
"""Wider outlines are measured on a coarser grid, so that a distance fits a byte."""
INK_ALPHA = 128
"""Coverage from which a pixel is ink: a soft shadow gets no outline of its own (house value)."""
WASH_ALPHA = 26
"""The same for pale washes, which hardly anywhere reach `INK_ALPHA` (house value)."""
WASH_SHARE = 0.2
"""A drawing is a wash where less than this share of its painted area is ink (house value: a large soft shadow is none)."""
FAINTEST = 8
"""Coverage from which a pixel says where the edge of the ink beside it runs."""
OUTWARD = 0.6
"""How far outward a full pixel of coverage moves the edge, px: up to 1 across an upright edge, less across a slanted one."""
SHARP_PX = 2
"""Fainter ink that falls to bare cloth within so many pixels is an edge or a hairline, not a shadow (house value)."""
SHARP_FALL = 3
"""What is left at that distance is at most a third of its coverage (house value)."""


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
    """Coverage of the outline together with all opaque ink that it surrounds, same shape as `alpha`.

    Under see-through ink there is no outline: it would shine through.
    """
    covered = _grown(alpha, width_px)
    rows, columns = np.nonzero((alpha < 255 - FAINTEST) & (alpha >= _ink_level(alpha, WASH_ALPHA)))
    level = _least_beside(np.pad(alpha, SHARP_PX), rows + SHARP_PX, columns + SHARP_PX) >= alpha[rows, columns] // 4 * 3
    covered[rows[level], columns[level]] = 0
    return covered


def _grown(alpha: Bytes, width_px: float) -> Bytes:
    """The ink and all within the width of it."""
    factor = max(1, math.ceil(width_px / WIDEST_PX))
    if factor == 1:
        return _translated(_distances(alpha, width_px), _cover_table(width_px))
    height, width = alpha.shape
    padded = np.pad(alpha, ((0, -height % factor), (0, -width % factor)))
    small = np.asarray(Image.fromarray(padded).reduce(factor))
    near = Image.fromarray(_distances(small, width_px / factor, WASH_ALPHA // factor))
    wide = np.asarray(near.resize((padded.shape[1], padded.shape[0]), Image.Resampling.BILINEAR))
    return _translated(np.ascontiguousarray(wide[:height, :width]), _cover_table(width_px, factor))


def _distances(alpha: Bytes, reach_px: float, faint: int = WASH_ALPHA) -> Bytes:
    """Distance of every pixel's centre to the ink's edge in units of 1/16 px, 0 inside, at most 255; right up to `reach_px` + 1."""
    down = _down_columns(_seeds(alpha, faint))
    nearest = _translated(down, _across_table(0))
    for step in range(1, math.ceil(reach_px) + 2):
        beside = _translated(down, _across_table(step))
        np.minimum(nearest[:, step:], beside[:, :-step], out=nearest[:, step:])
        np.minimum(nearest[:, :-step], beside[:, step:], out=nearest[:, :-step])
    return nearest


def _seeds(alpha: Bytes, faint: int) -> Bytes:
    """0..15 on ink: how far from the pixel's centre the edge lies, as `_edge_of`; 255 elsewhere.

    A pixel mostly bare beside ink is no seed itself: it moves its neighbour's edge outward. A lone one is a hairline.
    """
    least = _ink_level(alpha, faint)
    padded = np.pad(alpha, SHARP_PX)
    found = _translated(padded, bytes(255 if code < least else _code(code / 255 - 0.5) for code in range(256)))
    rows, columns = np.nonzero((padded >= FAINTEST) & (padded < least))
    coverage = padded[rows, columns]
    beside = np.zeros(len(rows), bool)
    for down, right in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        near = (rows + down, columns + right)
        inked = padded[near] >= least
        beside |= inked
        row, column = near[0][inked], near[1][inked]
        outward = padded[row, column] / 255 - 0.5 + coverage[inked] * (OUTWARD / 255)
        found[row, column] = np.minimum(found[row, column], _codes(outward))
    lone = ~beside & (coverage >= faint)
    rows, columns, coverage = rows[lone], columns[lone], coverage[lone]
    sharp = _least_beside(padded, rows, columns) <= coverage // SHARP_FALL
    found[rows[sharp], columns[sharp]] = _codes(coverage[sharp] / 255 - 0.5)
    return np.ascontiguousarray(found[SHARP_PX:-SHARP_PX, SHARP_PX:-SHARP_PX])


def _ink_level(alpha: Bytes, faint: int) -> int:
    """Coverage from which a pixel is ink in this drawing."""
    wash = np.count_nonzero(alpha >= INK_ALPHA) < WASH_SHARE * np.count_nonzero(alpha >= WASH_ALPHA)
    return faint if wash else INK_ALPHA


def _code(edge_px: float) -> int:
    return min(15, max(0, round((1 - edge_px) * 10)))


def _codes(edges_px: NDArray[np.float64]) -> Bytes:
    return np.clip(np.rint((1 - edges_px) * 10), 0, 15).astype(np.uint8)


def _edge_of(code: int) -> float:
    """How far outward from a pixel's centre the ink's edge lies, px, -0.5 .. 1."""
    return 1 - code / 10


def _least_beside(padded: Bytes, rows: Places, columns: Places) -> Bytes:
    """Least coverage of the four pixels `SHARP_PX` away from each of some pixels."""
    least = np.minimum(padded[rows - SHARP_PX, columns], padded[rows + SHARP_PX, columns])
    np.minimum(least, padded[rows, columns - SHARP_PX], out=least)
    return np.minimum(least, padded[rows, columns + SHARP_PX])


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
        apart = math.hypot(rows, columns) - _edge_of(within)
        table[code] = min(255, max(0, round(UNIT * apart)))
    return bytes(table)


@lru_cache(maxsize=64)
def _cover_table(width_px: float, factor: int = 1) -> bytes:
    """Coverage of a pixel at each distance from the ink's edge."""
    covers = (width_px + 0.5 - factor * code / UNIT for code in range(256))
    return bytes(round(255 * min(1.0, max(0.0, cover))) for cover in covers)


def _translated(codes: Bytes, table: bytes) -> Bytes:
    return np.frombuffer(codes.tobytes().translate(table), np.uint8).reshape(codes.shape).copy()
