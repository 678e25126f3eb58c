"""A plain plate behind a drawing: the page-wide rectangle that somebody forgot.

Comes in: a `Grid` and the coarse picture of its page.
Goes out: the plate's colour and the artwork without it, or None.
Never done here: deciding whether it should be kept.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import TYPE_CHECKING

from vectorprep.colour import hex_from_rgb
from vectorprep.markup.tree import local_name, parse_clean, serialise, svg_elements
from vectorprep.measure.grid import fitted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from vectorprep.markup.tree import Element
    from vectorprep.measure.grid import Grid
    from vectorprep.model import Artwork

PLATE_SHARE = 0.98  # house value, from common practice: share of the page that a plate covers
OPAQUE = 250
PLAIN_LEVELS = 2  # house value: levels of 255 between the lightest and darkest pixel of a plain colour
LOOK_PX = 200
PLATES_MAX = 3
UNSEEN_MAX = 8  # shapes below everything that paint nothing, passed over

_SHAPES = frozenset({"rect", "path", "polygon", "circle", "ellipse"})
_PAINTED = _SHAPES | {"use", "image", "text", "polyline", "line", "foreignObject"}
_STORED = frozenset({"defs", "symbol", "clipPath", "mask", "pattern", "marker", "linearGradient", "radialGradient", "filter"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """Colour `#rrggbb` of the topmost plate, and the drawing without any."""

    colour: str
    artwork: Artwork


def find_plate(grid: Grid, coarse: NDArray[np.uint8]) -> Plate | None:
    """The plain plate over at least 98 % of the page below everything else, or None.

    Args:
        grid: of the artwork.
        coarse: premultiplied coarse picture of the page.
    """
    if not _is_covered(coarse):
        return None
    plate: Plate | None = None
    artwork = grid.artwork
    for _ in range(PLATES_MAX):
        found = _lowest_plate(grid.with_artwork(artwork))
        if found is None:
            break
        plate, artwork = found, found.artwork
    return plate


def _lowest_plate(grid: Grid) -> Plate | None:
    root = parse_clean(grid.artwork.markup)
    for element in _painted(root)[:UNSEEN_MAX]:
        pixels = _alone(grid, element)
        if not pixels[..., 3].any():
            continue
        if local_name(element) not in _SHAPES or not _is_covered(pixels):
            return None
        seen = pixels[pixels[..., 3] >= OPAQUE][:, :3]
        if (seen.max(axis=0) - seen.min(axis=0)).max() > PLAIN_LEVELS:
            return None
        red, green, blue = (int(level) for level in seen[len(seen) // 2])
        parent = element.getparent()
        if parent is not None:
            parent.remove(element)
        return Plate(colour=hex_from_rgb(red, green, blue), artwork=dataclasses.replace(grid.artwork, markup=serialise(root)))
    return None


def _painted(root: Element) -> list[Element]:
    """Elements that may paint, in the order in which they are painted."""
    return [
        element
        for element in svg_elements(root)
        if local_name(element) in _PAINTED and not any(local_name(above) in _STORED for above in element.iterancestors())
    ]


def _alone(grid: Grid, element: Element) -> NDArray[np.uint8]:
    """Small picture of the page with one element painted and every other taken out of a copy of the tree."""
    root = element.getroottree().getroot()
    place = _painted(root).index(element)
    copy = parse_clean(serialise(root))
    for other_place, other in enumerate(_painted(copy)):
        parent = other.getparent()
        if other_place != place and parent is not None:
            parent.remove(other)
    bare = dataclasses.replace(grid.artwork, markup=serialise(copy))
    return grid.with_artwork(bare).pixels(grid.page, fitted(grid.page, LOOK_PX))


def _is_covered(pixels: NDArray[np.uint8]) -> bool:
    return float((pixels[..., 3] >= OPAQUE).mean()) >= PLATE_SHARE
