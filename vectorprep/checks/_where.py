"""Where an ink lies in a print.

Comes in: evidence, colours. Goes out: a box in mm of the print file. Never done here: deciding which colours matter.

The print picture is looked at in a grid of points, which is enough to point at a place.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._bits import pack
from vectorprep.checks._evidence import ink_corners
from vectorprep.checks._pieces import pieces
from vectorprep.checks._print import Prepared, prepared
from vectorprep.colour import rgb_from_hex

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.checks._evidence import Evidence
    from vectorprep.model.result import Corners, PxBox

    Mask = NDArray[np.bool_]

WHOLE = (0.0, 0.0, 1.0, 1.0)
POINTS_MOST = 160_000
LIKE = 28  # of 255: an ink is the middle of colours that its drawing varies by (house value)
SEEN = 128  # coverage from which a point has a colour


def place_of(evidence: Evidence, colours: tuple[str, ...], *, of_others: bool = False) -> Corners:
    """Box of the largest place of some inks in the print, mm; that of all ink where none of them is found.

    Args:
        evidence: with its picture, if there is one.
        colours: `#rrggbb`.
        of_others: whether what has none of the colours is looked for.
    """
    picture = prepared(evidence)
    if picture is None or not picture.pixels.size:
        return ink_corners(evidence, WHOLE)
    box = picture.once(("place", colours, of_others), lambda: _largest(picture, colours, of_others=of_others), in_colour=True)
    return ink_corners(evidence, WHOLE) if box is None else picture.corners(box)


def _largest(picture: Prepared, colours: tuple[str, ...], *, of_others: bool) -> PxBox | None:
    height, width = picture.pixels.shape[:2]
    step = max(1, math.ceil(math.sqrt(height * width / POINTS_MOST)))
    covered, shades = picture.once(("points", step), lambda: _points(picture, step), in_colour=True)
    like = np.zeros(len(shades[0]), np.bool_)
    for colour in colours:
        near = [np.abs(shade - np.float32(level)) <= LIKE for shade, level in zip(shades, rgb_from_hex(colour), strict=True)]
        like |= near[0] & near[1] & near[2]
    mask: Mask = np.zeros(covered.shape, np.bool_)
    mask[covered] = ~like if of_others else like
    runs = pieces(pack(mask))
    if not runs.count:
        return None
    x0, y0, x1, y1 = (int(side) * step for side in runs.boxes[int(runs.areas.argmax())])
    return x0, y0, min(x1, width), min(y1, height)


def _points(picture: Prepared, step: int) -> tuple[Mask, list[NDArray[np.float32]]]:
    """Which points of a grid are covered, and red, green and blue of those, alpha taken out."""
    words = np.ascontiguousarray(picture.pixels.view("<u4")[::step, ::step, 0])
    covered = words >= np.uint32(SEEN << 24)
    inked = words[covered].view(np.uint8).reshape(-1, 4).T.astype(np.float32)
    return covered, [channel * (255 / inked[3]) for channel in inked[:3]]
