"""The print file: the product's canvas at its exact size and density.

Comes in: a `Picture` with the ink drawn at print size.
Goes out: one PNG, straight alpha, its ink box read from the pixels.
Never done here: drawing.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vectorprep.model import Encoded
from vectorprep.outputs.picture import canvas_box, digest, file_stem, mirrored, output_of, planned, png_bytes

if TYPE_CHECKING:
    from vectorprep.outputs.picture import Picture

KIND = "print-png"


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The print file of a picture; planned only where nothing was drawn."""
    placement = picture.placement
    path = f"{file_stem(picture)}.png"
    if picture.raster is None:
        return (planned(picture, KIND, path, placement.canvas_px, placement.ppi),)
    raster = picture.raster if picture.into_file is None else picture.into_file(picture.raster, placement)
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
    return (Encoded(output=output, data=data),)
