"""The print file: the product's canvas at its exact size and density.

Comes in: a `Picture` with the ink drawn at print size.
Goes out: one PNG, straight alpha, its ink box read from the pixels.
A picture for a tapered cup is drawn larger and bent. Never done here: how it is bent.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vectorprep.engine import draw_reduced
from vectorprep.model import Encoded
from vectorprep.outputs.picture import canvas_box, digest, file_stem, inside, mirrored, output_of, planned, png_bytes

if TYPE_CHECKING:
    from collections.abc import Callable

    from vectorprep.model import Raster
    from vectorprep.outputs.picture import Picture

KIND = "print-png"
FINER = 2
"""How much larger a picture is drawn that is then bent: sampling between pixels blurs by half of one."""


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The print file of a picture; planned only where nothing was drawn."""
    placement = picture.placement
    path = f"{file_stem(picture)}.png"
    if picture.raster is None:
        return (planned(picture, KIND, path, placement.canvas_px, placement.ppi),)
    raster = picture.raster if picture.bend is None else _bent(picture, picture.raster, picture.bend)
    bent_box = canvas_box(raster) if picture.bend is not None else None
    if picture.into_file is not None:
        raster = picture.into_file(raster, placement)
    if picture.is_mirrored:
        raster = mirrored(raster, placement.canvas_px)
    data = png_bytes(picture, raster, placement.canvas_px, placement.ppi, placement.background)
    output = replace(
        output_of(picture, KIND, path, placement.canvas_px, placement.ppi),
        ink_box_px=canvas_box(raster),
        sha256=digest(data),
        bytes=len(data),
        state="made",
    )
    if bent_box is not None:
        box = output.ink_box_px or bent_box
        output = replace(output, placements=((box, placement.placed[0].printed_mm),))
    return (Encoded(output=output, data=data),)


def _bent(picture: Picture, raster: Raster, bend: Callable[[Raster, int], Raster]) -> Raster:
    """The print bent from a drawing of twice its size, or from itself where filters make a drawing depend on its size."""
    if picture.engine is None or picture.artwork.has_filters or (picture.treatment.kind == "keyline" and picture.finish is None):
        return bend(raster, 1)
    canvas = picture.placement.canvas_px[0] * FINER, picture.placement.canvas_px[1] * FINER
    fine = draw_reduced(picture.engine, picture.artwork, picture.placement, float(FINER), canvas)
    return bend(fine if picture.finish is None else inside(picture.finish(fine, float(FINER)), canvas), FINER)
