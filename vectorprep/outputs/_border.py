"""A sticker as it is seen once it is cut out: its cut, and the border that its art is given past it.

Comes in: a `Picture`, its ink at some size. Goes out: the cut in shares of the print area; the ink with its border, inside the cut.
Never done here: the border itself, how a cut is found.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw

from vectorprep.model import Raster
from vectorprep.outputs._cut import cut_of
from vectorprep.shapes.curves import on_curve

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.outputs._cut import Cut
    from vectorprep.outputs.picture import Picture

FINER = 4
"""Samples along a pixel for the rim of the cut."""
CURVE_STEPS = 32


def within_cut(picture: Picture, small: Raster, scale: float, size_px: tuple[int, int]) -> Raster:
    """The ink with the art's own border up to the cut; the ink alone where bare paper lies there, or nothing is cut.

    Args:
        picture: with its print pixels.
        small: its ink, premultiplied, at another size.
        scale: pixels of that size per pixel of the print.
        size_px: the canvas at that size.
    """
    rule = picture.product.cut
    if picture.into_file is None or rule is None or rule.offset_outside_ink_mm is None:
        return small
    ppi = picture.placement.ppi * scale
    made = picture.into_file(small, replace(picture.placement, ppi=ppi, canvas_px=size_px))
    if made.straight:  # colours carried into clear pixels are not seen
        return small
    cut = cut_of(picture, rule)
    if cut is None:
        return small
    mask = _mask(cut, made, ppi / 25.4)
    clipped = ((made.pixels.astype(np.uint16) * mask[..., None] + 127) // 255).astype(np.uint8)
    clipped.flags.writeable = False
    return Raster(pixels=clipped, origin_px=made.origin_px)


def cut_paths(picture: Picture) -> tuple[NDArray[np.float64], ...]:
    """The cut of a sticker's art: closed paths of cubic pieces (n, 4, 2) in shares of the print area; none where nothing is cut.

    Raises:
        ArtworkFailed: there is nothing drawn to cut around.
    """
    product = picture.product
    if product.cut is None or product.cut.offset_outside_ink_mm is None:
        return ()
    cut = cut_of(picture, product.cut)
    corner = np.array([float(side) for side in product.area_mm[:2]])
    size = np.array([float(side) for side in product.area_size_mm])
    return tuple((path - corner) / size for path in cut.paths) if cut is not None else ()


def _mask(cut: Cut, raster: Raster, px_per_mm: float) -> NDArray[np.uint8]:
    """How much of each pixel lies inside the cut, 0..255; a path within a path is an opening."""
    height, width = raster.pixels.shape[:2]
    inside = np.zeros((height * FINER, width * FINER), bool)
    for path in cut.paths:
        points = (on_curve(path, CURVE_STEPS) * px_per_mm - raster.origin_px) * FINER - 0.5
        shape = Image.new("1", (width * FINER, height * FINER))
        ImageDraw.Draw(shape).polygon([(float(x), float(y)) for x, y in points], fill=1)
        inside ^= np.asarray(shape)
    return np.asarray(Image.fromarray((inside * 255).astype(np.uint8)).reduce(FINER))
