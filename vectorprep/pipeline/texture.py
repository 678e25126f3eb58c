"""The ink of one print picture as the texture that a product picture takes it from.

Comes in: a `Picture` and the size of its print area in texture pixels. Goes out: a `Raster` of that print area.
Never done here: where it lies on a product picture.
"""

from __future__ import annotations

import math
from dataclasses import replace

from vectorprep.engine import draw_reduced
from vectorprep.errors import ArtworkFailed
from vectorprep.model import Placed, Raster
from vectorprep.outputs import Picture, inside, within_cut
from vectorprep.outputs.reduce import reduced
from vectorprep.pipeline.plates import Plates, is_scalable


def texture_of(picture: Picture, texture_px: tuple[int, int], plates: Plates | None = None) -> Raster:
    """The ink, premultiplied, drawn afresh where that is exact; the bleed around the print area is cut off.

    A sticker's own border is there as far as its cut.

    Args:
        picture: with its print pixels where its filters depend on the number of pixels.
        texture_px: size of the texture, the whole print area.
        plates: keeps drawings with filters from one texture to the next.

    Raises:
        ArtworkFailed: the engine gives no picture.
    """
    product, placement = picture.product, picture.placement
    px_per_mm = placement.ppi / 25.4
    scale = texture_px[0] / (product.area_size_mm[0] * px_per_mm)
    left, top = (float(corner) * px_per_mm for corner in product.area_mm[:2])
    within = replace(placement, placed=tuple(_moved(placed, left, top) for placed in placement.placed))
    if picture.engine is not None and is_scalable(picture.artwork):
        shared = plates.ink(picture.artwork, within, scale, texture_px) if plates and picture.artwork.has_filters else None
        drawn = shared or draw_reduced(picture.engine, picture.artwork, within, scale, texture_px)
        return _cut_out(picture, drawn if picture.finish is None else picture.finish(drawn, scale), scale, texture_px)
    if picture.raster is None:
        raise ArtworkFailed(f"{picture.stem}: nothing was drawn for its pictures", code="engine-failed")
    x, y = picture.raster.origin_px
    moved = replace(picture.raster, origin_px=(x - round(left), y - round(top)))
    width, height = product.area_size_mm
    whole = reduced(inside(moved, (round(width * px_per_mm), round(height * px_per_mm))), scale, texture_px)
    return _cut_out(picture, whole, scale, texture_px)


def _cut_out(picture: Picture, ink: Raster, scale: float, texture_px: tuple[int, int]) -> Raster:
    """With the border that a sticker's art is given; its cut is known on the whole canvas, of which the texture is a part."""
    per_mm = picture.placement.ppi / 25.4 * scale
    left, top = (round(float(corner) * per_mm) for corner in picture.product.area_mm[:2])
    x, y = ink.origin_px
    width, height = picture.placement.canvas_px
    canvas = round(width * scale), round(height * scale)
    made = within_cut(picture, replace(ink, origin_px=(x + left, y + top)), scale, canvas)
    x, y = made.origin_px
    return inside(replace(made, origin_px=(x - left, y - top)), texture_px)


def _moved(placed: Placed, left: float, top: float) -> Placed:
    x0, y0, x1, y1 = placed.ink_box_px
    return replace(
        placed,
        offset_px=(placed.offset_px[0] - left, placed.offset_px[1] - top),
        ink_box_px=(math.floor(x0 - left), math.floor(y0 - top), math.ceil(x1 - left), math.ceil(y1 - top)),
    )
