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
from vectorprep.outputs import Picture, inside
from vectorprep.outputs.reduce import reduced


def texture_of(picture: Picture, texture_px: tuple[int, int]) -> Raster:
    """The ink, premultiplied, drawn afresh where that is exact; the bleed around the print area is cut off.

    Raises:
        ArtworkFailed: the engine gives no picture.
    """
    product, placement = picture.product, picture.placement
    px_per_mm = placement.ppi / 25.4
    scale = texture_px[0] / (product.area_size_mm[0] * px_per_mm)
    left, top = (float(corner) * px_per_mm for corner in product.area_mm[:2])
    within = replace(placement, placed=tuple(_moved(placed, left, top) for placed in placement.placed))
    if picture.engine is not None and not picture.artwork.has_filters:
        drawn = draw_reduced(picture.engine, picture.artwork, within, scale, texture_px)
        return inside(drawn if picture.finish is None else picture.finish(drawn, scale), texture_px)
    if picture.raster is None:
        raise ArtworkFailed(f"{picture.stem}: nothing was drawn for its pictures", code="engine-failed")
    x, y = picture.raster.origin_px
    moved = replace(picture.raster, origin_px=(x - round(left), y - round(top)))
    width, height = product.area_size_mm
    return reduced(inside(moved, (round(width * px_per_mm), round(height * px_per_mm))), scale, texture_px)


def _moved(placed: Placed, left: float, top: float) -> Placed:
    x0, y0, x1, y1 = placed.ink_box_px
    return replace(
        placed,
        offset_px=(placed.offset_px[0] - left, placed.offset_px[1] - top),
        ink_box_px=(math.floor(x0 - left), math.floor(y0 - top), math.ceil(x1 - left), math.ceil(y1 - top)),
    )
