"""Shapes of a clean drawing that carry a name, as path data with their map to the page.

Comes in: an `Artwork`, names. Goes out: `NamedShape`s in drawing order.
Never done here: what a name means.
"""

from __future__ import annotations

from dataclasses import dataclass

from vectorprep.geometry import Affine
from vectorprep.markup.tree import Element, local_name, parse_clean
from vectorprep.model import Artwork
from vectorprep.read.numbers import length_px, numbers_in
from vectorprep.read.survey import places


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedShape:
    """A shape with an id: its outline as path data in its own units, and the map from those to CSS px of the page.

    `data` is empty where the element is no path, rectangle, polygon or polyline.
    """

    name: str
    data: str
    to_page: Affine


def named_shapes(artwork: Artwork) -> tuple[NamedShape, ...]:
    """Every drawn element of the drawing that has an id."""
    return tuple(
        NamedShape(name=element.get("id", ""), data=_data(element), to_page=here)
        for element, here in places(parse_clean(artwork.markup), artwork.page)
        if "id" in element.attrib
    )


def _data(element: Element) -> str:
    name = local_name(element)
    if name == "path":
        return element.get("d", "")
    if name == "rect":
        x, y, width, height = (length_px(element.get(side), percent_of=0.0) or 0.0 for side in ("x", "y", "width", "height"))
        return f"M{x!r} {y!r}h{width!r}v{height!r}h{-width!r}z"
    if name in {"polygon", "polyline"}:
        points = [repr(number) for number in numbers_in(element.get("points", ""))]
        return f"M{' '.join(points)}z" if points else ""
    return ""
