"""Ink carried from the texture to the pixels of the picture.

Comes in: a `Sampler`, a premultiplied raster of the print area's ink. Goes out: `Ink` at every pixel that it reaches.
Never done here: where the pixels lie (`sampling`), the cloth, light.

A pixel whose neighbours in the texture are all of one opaque colour is that colour, with no arithmetic. Only the rest, mostly
edges, is averaged, in linear light, which is what the eye gets from a pixel that is partly ink.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.colour.arrays import linear_from_srgb8

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Raster
    from vectorprep.scenes.sampling import Band, Sampler, Slanted

    Floats = NDArray[np.floating[Any]]
    Bytes = NDArray[np.uint8]
    Places = NDArray[np.int32]
    Packs = NDArray[np.uint32]

ALPHA = 3
"""Channel of coverage in a texture pixel."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ink:
    """Ink on some rows of a sampler's box; places count the pixels of the whole box, row by row.

    `flat` are those that are one opaque colour (`packs`, its four bytes as one number), `mixed` all others that any ink reaches
    (`rgba`, n x 4 float32, premultiplied, linear).
    """

    flat: Places
    packs: Packs
    mixed: Places
    rgba: Floats


def ink_of(sampler: Sampler, raster: Raster) -> Iterator[Ink]:
    """The ink of a raster, some rows of the sampler's box at a time; rows that it does not reach are left out.

    Args:
        sampler: of the area.
        raster: premultiplied, 8-bit, the part of the print area that holds ink, at the sampler's texture size.
    """
    height, width = raster.pixels.shape[:2]
    padded = np.zeros((height + 2, width + 2, 4), np.uint8)
    padded[1:-1, 1:-1] = raster.pixels
    texture = padded.view(np.uint32)[..., 0]
    corner = raster.origin_px[0] - 1, raster.origin_px[1] - 1
    for band in sampler.bands:
        found = [_of_band(texture, corner, band), *(_of_slanted(texture, corner, one) for one in band.slanted)]
        ink = Ink(
            flat=np.concatenate([one.flat for one in found]),
            packs=np.concatenate([one.packs for one in found]),
            mixed=np.concatenate([one.mixed for one in found]),
            rgba=np.concatenate([one.rgba for one in found]),
        )
        if len(ink.flat) or len(ink.mixed):
            yield ink


def _near(texture: Packs, x: Floats, y: Floats) -> NDArray[np.bool_]:
    """Which coordinates of the padded texture have four pixels of it around them."""
    near: NDArray[np.bool_] = (x >= 0) & (x < texture.shape[1] - 1) & (y >= 0) & (y < texture.shape[0] - 1)
    return near


def _of_band(texture: Packs, corner: tuple[int, int], band: Band) -> Ink:
    x = band.x.numbers().ravel() - np.float32(corner[0])
    y = band.y.numbers().ravel() - np.float32(corner[1])
    chosen = np.flatnonzero(_near(texture, x, y)).astype(np.int32)
    x, y = x[chosen], y[chosen]
    columns, rows = x.astype(np.int32), y.astype(np.int32)
    taps = _taps(texture, columns, rows)
    is_even = (taps[0] == taps[1]) & (taps[0] == taps[2]) & (taps[0] == taps[3])
    is_flat = is_even & _is_opaque(taps[0])
    is_mixed = ~(is_flat | (is_even & (taps[0] == 0)))
    flat, mixed = np.flatnonzero(is_flat), np.flatnonzero(is_mixed)
    share_x, share_y = x[mixed] - columns[mixed], y[mixed] - rows[mixed]
    return Ink(
        flat=chosen[flat] + np.int32(band.first),
        packs=taps[0][flat],
        mixed=chosen[mixed] + np.int32(band.first),
        rgba=_mean([tap[mixed] for tap in taps], share_x, share_y),
    )


def _of_slanted(texture: Packs, corner: tuple[int, int], one: Slanted) -> Ink:
    """The mean over the points of each pixel; they are few and lie where the surface turns away, so all of them are averaged."""
    total = np.zeros((len(one.places), 4), np.float32)
    height, width = texture.shape
    for x, y in one.points():
        across = np.clip(x - np.float32(corner[0]), 0, np.float32(width - 1.001))
        down = np.clip(y - np.float32(corner[1]), 0, np.float32(height - 1.001))
        columns, rows = across.astype(np.int32), down.astype(np.int32)
        total += _mean(_taps(texture, columns, rows), across - columns, down - rows)
    total *= np.float32(1.0 / one.count**2)
    seen = np.flatnonzero(total[:, ALPHA] > 0)
    return Ink(flat=np.zeros(0, np.int32), packs=np.zeros(0, np.uint32), mixed=one.places[seen], rgba=total[seen])


def _taps(texture: Packs, columns: Places, rows: Places) -> list[Packs]:
    """The four texture pixels around each place: upper left and right, lower left and right."""
    flat, width = texture.ravel(), texture.shape[1]
    at = rows.astype(np.intp) * width + columns
    return [flat.take(at + step) for step in (0, 1, width, width + 1)]


def _is_opaque(packs: Packs) -> NDArray[np.bool_]:
    opaque: NDArray[np.bool_] = packs.view(np.uint8).reshape(-1, 4)[:, ALPHA] == 255
    return opaque


def _mean(taps: list[Packs], share_x: Floats, share_y: Floats) -> Floats:
    """Bilinear means in linear light."""
    a, b, c, d = (linear_ink(tap.view(np.uint8).reshape(-1, 4)) for tap in taps)
    across, down = share_x[:, None], share_y[:, None]
    b -= a
    b *= across
    a += b
    d -= c
    d *= across
    c += d
    c -= a
    c *= down
    a += c
    return a


def linear_ink(pixels: Bytes) -> Floats:
    """Premultiplied ink in linear light, n x 4 float32, of premultiplied 8-bit pixels."""
    made: Floats = linear_from_srgb8(pixels, single=True)
    alpha = pixels[:, ALPHA]
    made[:, ALPHA] = alpha * np.float32(1 / 255)
    partial = np.flatnonzero((alpha > 0) & (alpha < 255))
    if len(partial):
        edge = pixels[partial].astype(np.float32)
        cover = edge[:, ALPHA:] / 255
        straight = np.clip(edge[:, :ALPHA] / cover + np.float32(0.5), 0, 255).astype(np.uint8)
        made[partial, :ALPHA] = linear_from_srgb8(straight, single=True) * cover
    return made
