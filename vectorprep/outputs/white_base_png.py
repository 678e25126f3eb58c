"""The white base of a picture: black where white ink is printed under the colours, pulled in by the choke.

Comes in: a `Picture` drawn at print size on a product whose process prints a base.
Goes out: one PNG of one bit a pixel at the print's size and density; none for processes without a base.
Never done here: choosing the choke; judging lines that are too thin to carry a base.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from vectorprep import png
from vectorprep.model import Encoded
from vectorprep.outputs.picture import digest, file_stem, inside, mirrored, output_of, planned

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.outputs.picture import Picture

    Mask = NDArray[np.bool_]

KIND = "white-base-png"
NO_BASE = frozenset({"none", "film_colour"})
ROUNDING_PX = 0.25  # a disc of whole pixels of that much more comes nearest to its radius


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The mask of the base; planned only where nothing was drawn."""
    policy, placement = picture.product.ink_policy, picture.placement
    if policy.white_ink in NO_BASE:
        return ()
    path = f"{file_stem(picture)}--white-base.png"
    if picture.raster is None:
        return (planned(picture, KIND, path, placement.canvas_px, placement.ppi),)
    raster = inside(picture.raster, placement.canvas_px)
    if picture.is_mirrored:
        raster = mirrored(raster, placement.canvas_px)
    base = choked(raster.pixels[..., 3] >= max(1, round(255 * policy.alpha_cut_fraction)), policy.choke_mm * placement.ppi / 25.4)
    width, height = placement.canvas_px
    stays_white = np.ones((height, width), np.bool_)
    x, y = raster.origin_px
    stays_white[y : y + base.shape[0], x : x + base.shape[1]] = ~base
    data = png.encode_bits([stays_white], (width, height), ppi=placement.ppi, text=picture.text)
    output = replace(
        output_of(picture, KIND, path, placement.canvas_px, placement.ppi), sha256=digest(data), bytes=len(data), state="made"
    )
    return (Encoded(output=output, data=data),)


def choked(mask: Mask, radius_px: float) -> Mask:
    """What is left of a mask when it is pulled in by a radius on every side; nothing lies outside it."""
    reach = math.floor(radius_px + ROUNDING_PX)
    padded = np.pad(mask, reach)
    made = padded.copy()
    narrow, span = padded, 0
    for row in range(reach, -1, -1):
        wanted = math.floor(math.sqrt(max(0.0, (radius_px + ROUNDING_PX) ** 2 - row * row)))
        while span < wanted:
            narrow = _narrower(narrow)
            span += 1
        made &= _moved(narrow, row) & _moved(narrow, -row)
    return made[reach : reach + mask.shape[0], reach : reach + mask.shape[1]]


def _narrower(mask: Mask) -> Mask:
    """Pixels whose neighbours to the left and right are set too."""
    made = mask.copy()
    made[:, 1:] &= mask[:, :-1]
    made[:, :-1] &= mask[:, 1:]
    made[:, [0, -1]] = False
    return made


def _moved(mask: Mask, rows: int) -> Mask:
    """The mask moved down by so many rows, or up."""
    if rows == 0:
        return mask
    made = np.zeros_like(mask)
    if rows > 0:
        made[rows:] = mask[:-rows]
    else:
        made[:rows] = mask[-rows:]
    return made
