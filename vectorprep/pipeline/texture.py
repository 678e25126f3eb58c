"""The ink of one print picture as the texture that a product picture takes it from.

Comes in: a `Picture` and the size of its print area in texture pixels. Goes out: a `Raster` of that print area.
Never done here: where it lies on a product picture.
"""

from __future__ import annotations

import math
from dataclasses import replace

from vectorprep.engine import draw_reduced
from vectorprep.errors import ArtworkFailed
from vectorprep.model import Placed, Placement, Raster
from vectorprep.outputs import Picture, inside
from vectorprep.outputs.reduce import reduced


def texture_of(picture: Picture, texture_px: tuple[int, int]) -> Raster:
    """The ink, premultiplied, drawn afresh where that is exact; the bleed around the print area is cut off.

    Raises:
        ArtworkFailed: the engine gives no picture.
    """
    product, placement = picture.product, picture.placement
    px_per_mm = placement.ppi / 25.4
    scale = texture_px[0] / (product.print_area_mm[0] * px_per_mm)
    bleed = product.bleed_mm * px_per_mm
    within = replace(placement, placed=tuple(_moved(placed, bleed) for placed in placement.placed))
    if picture.engine is not None and not picture.artwork.has_filters:
        drawn = draw_reduced(picture.engine, picture.artwork, within, scale, texture_px)
        return inside(drawn if picture.finish is None else picture.finish(drawn, scale), texture_px)
    if picture.raster is None:
        raise ArtworkFailed(f"{picture.stem}: nothing was drawn for its pictures", code="engine-failed")
    x, y = picture.raster.origin_px
    moved = replace(picture.raster, origin_px=(x - round(bleed), y - round(bleed)))
    return reduced(inside(moved, _size(within, bleed)), scale, texture_px)


def _moved(placed: Placed, by: float) -> Placed:
    x0, y0, x1, y1 = placed.ink_box_px
    return replace(
        placed,
        offset_px=(placed.offset_px[0] - by, placed.offset_px[1] - by),
        ink_box_px=(math.floor(x0 - by), math.floor(y0 - by), math.ceil(x1 - by), math.ceil(y1 - by)),
    )


def _size(placement: Placement, bleed: float) -> tuple[int, int]:
    """The print area in print pixels."""
    return placement.canvas_px[0] - round(2 * bleed), placement.canvas_px[1] - round(2 * bleed)
