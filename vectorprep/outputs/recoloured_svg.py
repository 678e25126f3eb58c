"""The recoloured drawing as SVG, still vector.

Comes in: a `Picture` whose artwork carries the treated markup.
Goes out: one SVG file.
Never done here: recolouring; drawing.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vectorprep.model import Encoded
from vectorprep.outputs.picture import digest, output_of
from vectorprep.units import CSS_PX_PER_INCH

if TYPE_CHECKING:
    from vectorprep.outputs.picture import Picture

KIND = "recoloured-svg"


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The treated drawing; its size is stated in CSS px (96 to the inch)."""
    page = picture.artwork.page
    data = picture.artwork.markup
    size = max(1, round(page.width_px)), max(1, round(page.height_px))
    output = replace(
        output_of(picture, KIND, f"{picture.stem}.svg", size, float(CSS_PX_PER_INCH)),
        printed_mm=(page.width_mm, page.height_mm),
        sha256=digest(data),
        bytes=len(data),
        state="made",
    )
    return (Encoded(output=output, data=data),)
