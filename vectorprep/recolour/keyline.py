"""The keyline: an outline of even width around a finished raster.

Comes in: premultiplied pixels at print size, a width in pixels, a colour.
Goes out: premultiplied pixels, larger by the outline on every side, the artwork lying over its outline.
Never done here: deciding that a keyline is wanted, vectors (`outline`).

Every pixel gets its distance to the ink's edge, found in two passes like an exact distance transform, down the columns and then
across; coverage says where within a pixel the edge runs. Distances are bytes in sixteenths of a pixel, so that
both passes are byte-wise minima and table look-ups; a wide keyline is measured on a coarser grid, since distances are smooth.
Only tiles near an edge are looked at.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from vectorprep.colour import rgb_from_hex
from vectorprep.recolour.dots import dots_alone
from vectorprep.recolour.tiles import tiles_with_edges

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from vectorprep.recolour.tiles import Tiles

    Bytes = NDArray[np.uint8]

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
OPAQUE = 247
"""Coverage from which ink hides what lies under it."""
DOT_WIDTHS = 3.0
"""Size, in widths of the outline, up to which a piece that stands alone is a dot (house value)."""
DOT_SHARE = 0.4
"""Width of a dot's outline as a share of the others': it must not outweigh the dot (house value)."""
REACH_PX = 2
"""Ink has an edge where its coverage falls within so many pixels; a shadow or glow fades more slowly and gets no outline."""
BAND_ROWS = 64
"""A plane is looked through in bands of so many rows, so that no copy of it is made."""
SHARP_FALL = 2
"""What is left there is at most half (house value)."""


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
    # Little-endian words of four channels, moved as one.
    words = result.view("<u4")[..., 0]
    paint = np.array([*rgb_from_hex(colour), 255], np.uint16)
    # A copy: tiles are painted one after the other, and the next must not take that paint for ink.
    for tiles, covered in _outlined(np.ascontiguousarray(result[..., 3]), width_px):
        cut = tiles.cores_of(words)
        _lay_under(cut.view(np.uint8).reshape(-1, 4), covered.reshape(-1), paint)
        tiles.put_back(words, cut)
    return result


def _lay_under(pixels: Bytes, cover: Bytes, paint: NDArray[np.uint16]) -> None:
    """Paint of that coverage under premultiplied pixels, in place."""
    band = np.flatnonzero((cover > 0) & (pixels[:, 3] < 255))
    below = pixels[band].astype(np.uint16)
    shown = (255 - below[:, 3]) * cover[band].astype(np.uint16)
    shown = (shown + 127) // 255
    pixels[band] = np.minimum(below + (shown[:, None] * paint + 127) // 255, 255)


def keyline_coverage(alpha: Bytes, width_px: float) -> Bytes:
    """Coverage of the outline together with the opaque ink that it surrounds, same shape as `alpha`.

    Under see-through ink there is no outline: it would shine through.
    """
    covered = np.where(alpha == 255, np.uint8(255), np.uint8(0))
    for tiles, found in _outlined(alpha, width_px):
        tiles.put_back(covered, found)
    return covered


def _outlined(alpha: Bytes, width_px: float) -> Iterator[tuple[Tiles, Bytes]]:
    """Groups of tiles that hold a part of the outline, with the coverage in their cores. Nothing else is covered but full ink."""
    factor = max(1, math.ceil(width_px / WIDEST_PX))
    halo = (math.ceil(width_px / factor) + 2 * REACH_PX + 1) * factor
    wash = _is_wash(alpha)
    dots = dots_alone(alpha, DOT_WIDTHS * width_px)
    for tiles in tiles_with_edges(alpha, halo, factor):
        own = None if dots is None else tiles.cut(dots)
        yield tiles, tiles.cores(_covered(tiles.cut(alpha), own, width_px, factor, wash=wash))


def _covered(alpha: Bytes, dots: Bytes | None, width_px: float, factor: int, *, wash: bool) -> Bytes:
    """Coverage of the outline and of opaque ink; around dots that stand alone the outline is thinner."""
    if dots is None or not dots.any():
        covered = _grown(alpha, width_px, factor, wash=wash)
    else:
        covered = _grown(alpha - dots, width_px, factor, wash=wash)
        np.maximum(covered, _grown(dots, DOT_SHARE * width_px, factor, wash=wash), out=covered)
    covered[alpha >= OPAQUE] = 255
    padded = np.pad(alpha, REACH_PX)
    inside = np.flatnonzero((padded < OPAQUE) & (padded >= (WASH_ALPHA if wash else INK_ALPHA)))
    flat, row = padded.reshape(-1), padded.shape[1]
    nearby = np.minimum(*(np.minimum(flat[inside - reach], flat[inside + reach]) for reach in (REACH_PX, REACH_PX * row)))
    level = inside[nearby >= flat[inside] // 4 * 3]
    covered[level // row - REACH_PX, level % row - REACH_PX] = 0
    return covered


def _grown(alpha: Bytes, width_px: float, factor: int, *, wash: bool) -> Bytes:
    """The ink and all within the width of it; both sides of `alpha` are multiples of `factor`."""
    if factor == 1:
        return _translated(_distances(alpha, width_px, WASH_ALPHA, wash=wash), _cover_table(width_px)).copy()
    small = np.asarray(Image.fromarray(alpha).reduce(factor))
    near = Image.fromarray(_distances(small, width_px / factor, WASH_ALPHA // factor, wash=wash))
    wide = np.asarray(near.resize((alpha.shape[1], alpha.shape[0]), Image.Resampling.BILINEAR))
    return _translated(wide, _cover_table(width_px, factor)).copy()


def _distances(alpha: Bytes, reach_px: float, faint: int, *, wash: bool) -> Bytes:
    """Distance of every pixel's centre to the ink's edge in units of 1/16 px, 0 inside, at most 255; right up to `reach_px` + 1."""
    down = _down_columns(_seeds(alpha, faint, wash=wash))
    nearest = _translated(down, _across_table(0)).copy()
    for step in range(1, math.ceil(reach_px) + 2):
        beside = _translated(down, _across_table(step))
        np.minimum(nearest[:, step:], beside[:, :-step], out=nearest[:, step:])
        np.minimum(nearest[:, :-step], beside[:, step:], out=nearest[:, :-step])
    return nearest


def _seeds(alpha: Bytes, faint: int, *, wash: bool) -> Bytes:
    """0..15 along sharp edges of ink: how far from the pixel's centre the edge lies, as `_edge_of`; 255 elsewhere.

    A pixel mostly bare beside ink is no seed itself: it moves its neighbour's edge outward. A lone one may be a hairline.
    """
    least = faint if wash else INK_ALPHA
    padded = np.pad(alpha, REACH_PX)
    found = np.full_like(padded, 255)
    flat, codes, row = padded.reshape(-1), found.reshape(-1), padded.shape[1]
    sharp = np.flatnonzero(_is_sharp(padded))
    inked = flat[sharp] >= least
    codes[sharp[inked]] = _codes(flat[sharp[inked]] / 255 - 0.5)
    edge = sharp[~inked]
    lone = flat[edge] >= faint
    for step in (1, -1, row, -row):
        meets = flat[edge + step] >= least
        lone &= ~meets
        near = edge[meets] + step
        outward = flat[near] / 255 - 0.5 + flat[edge[meets]] * (OUTWARD / 255)
        codes[near] = np.minimum(codes[near], _codes(outward))
    edge = edge[lone]
    most = np.minimum(*(np.maximum(flat[edge - reach], flat[edge + reach]) for reach in (REACH_PX, REACH_PX * row)))
    hairline = edge[most <= flat[edge] // SHARP_FALL]
    codes[hairline] = _codes(flat[hairline] / 255 - 0.5)
    return np.ascontiguousarray(found[REACH_PX:-REACH_PX, REACH_PX:-REACH_PX])


def _is_sharp(padded: Bytes) -> NDArray[np.bool_]:
    """Pixels that say where an edge runs: within `REACH_PX` the coverage falls to half of theirs."""
    least = padded.copy()
    for step in range(1, REACH_PX + 1):
        np.minimum(least[step:], padded[:-step], out=least[step:])
        np.minimum(least[:-step], padded[step:], out=least[:-step])
        np.minimum(least[:, step:], padded[:, :-step], out=least[:, step:])
        np.minimum(least[:, :-step], padded[:, step:], out=least[:, :-step])
    half = _translated(padded, bytes(code // SHARP_FALL for code in range(256)))
    return (least <= half) & (padded >= FAINTEST)


def _is_wash(alpha: Bytes) -> bool:
    """Whether the drawing is faint nearly everywhere, so that faint pixels are its ink."""
    ink = wash = 0
    for top in range(0, len(alpha), BAND_ROWS):
        rows = np.ascontiguousarray(alpha[top : top + BAND_ROWS])
        ink += int(np.count_nonzero(rows >= INK_ALPHA))
        wash += int(np.count_nonzero(rows >= WASH_ALPHA))
    return ink < WASH_SHARE * wash


def _codes(edges_px: NDArray[np.float64]) -> Bytes:
    return np.clip(np.rint((1 - edges_px) * 10), 0, 15).astype(np.uint8)


def _edge_of(code: int) -> float:
    """How far outward from a pixel's centre the ink's edge lies, px, -0.5 .. 1."""
    return 1 - code / 10


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
    return np.frombuffer(codes.tobytes().translate(table), np.uint8).reshape(codes.shape)
