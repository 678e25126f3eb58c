"""The paths that a cutter follows in film: for each colour its shapes as closed outlines, overlaps merged, strokes expanded.

Comes in: a `Picture` with its inks. Goes out: one SVG in mm on the page of the print file, a group for each film, bottom first.
Never done here: taking the picture apart (`_inked`), turning it over.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import shapely
from lxml import etree
from PIL import Image, ImageFilter

from vectorprep.colour import colour_word
from vectorprep.markup.tree import serialise, svg_root, svg_tag
from vectorprep.model import Encoded
from vectorprep.outputs._inked import inked
from vectorprep.outputs.picture import digest, output_of, planned
from vectorprep.shapes.curves import cornered, path_data
from vectorprep.shapes.plates import flat_region, order_of_printing

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.outputs._inked import Inked
    from vectorprep.outputs.picture import Picture

KIND = "paths-svg"
FIT_MM = 0.02
"""How far a curve may leave the edge of the ink (house value: a tenth of what a plotter repeats)."""
GRAINY_FIT_MM = 0.06
"""The same for areas gathered from a photograph, whose edges are no drawing (house value)."""
GRAIN_MM2 = 3.0
"""Areas and holes in a photograph below that are grain: a piece of 2 mm, the least line in film."""
STEP_MM = 0.1
REACH_MM = 0.4
CALM_MM = 0.5
"""Standard deviation over which the inks of a photograph are gathered into areas (house value: a quarter of the least line)."""


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The closed paths of a picture, one group for each colour."""
    path = f"{picture.stem}--paths.svg"
    canvas, ppi = picture.placement.canvas_px, picture.placement.ppi
    if picture.raster is None:
        return (planned(picture, KIND, path, canvas, ppi),)
    parts = inked(picture)
    data, pieces, nodes = _markup(picture, parts)
    facts = (("films", float(len(parts.inks))), ("path-pieces", float(pieces)), ("path-nodes", float(nodes)))
    made = replace(output_of(picture, KIND, path, canvas, ppi), facts=facts)
    return (Encoded(output=replace(made, sha256=digest(data), bytes=len(data), state="made"), data=data),)


def _markup(picture: Picture, parts: Inked) -> tuple[bytes, int, int]:
    """The file, with the number of its closed paths and of their nodes."""
    width, height = (float(side) for side in picture.product.file_size_mm)
    root = svg_root({"width": f"{width:.10g}mm", "height": f"{height:.10g}mm", "viewBox": f"0 0 {width:.10g} {height:.10g}"})
    corner = np.array(parts.corner_mm)
    is_grainy = bool(picture.whole[0].images) or not parts.is_exact
    fit = GRAINY_FIT_MM if is_grainy else FIT_MM
    coverage = dict(zip(parts.inks, _calmed(parts) if is_grainy else parts.coverage, strict=True))
    pieces = nodes = 0
    for ink in order_of_printing(parts.inks):
        group = etree.SubElement(root, svg_tag("g"), {"id": film_name(ink), "fill": ink, "fill-rule": "evenodd"})
        for part in shapely.get_parts(flat_region(coverage[ink], parts.px_per_mm)):
            outer, *inner = [np.asarray(ring.coords)[:-1] for ring in (part.exterior, *part.interiors)]
            if is_grainy and not _is_weeded(outer):
                continue
            rings = [outer, *(ring for ring in inner if not is_grainy or _is_weeded(ring))]
            curves = [cornered(ring, fit, STEP_MM, REACH_MM) + corner for ring in rings]
            etree.SubElement(group, svg_tag("path"), {"d": "".join(path_data(curve, 3) for curve in curves)})
            pieces += len(curves)
            nodes += sum(map(len, curves))
    return serialise(root), pieces, nodes


def _is_weeded(ring: NDArray[np.float64]) -> bool:
    """Whether an area or hole is large enough to be cut and weeded."""
    return float(shapely.Polygon(ring).area) >= GRAIN_MM2


def _calmed(parts: Inked) -> list[NDArray[np.uint8]]:
    """The grain of a photograph gathered into areas that film can be cut to: where an ink outweighs every other around a pixel.

    Neighbours share the line between them; the art's own edge stays.
    """
    blur = ImageFilter.GaussianBlur(CALM_MM * parts.px_per_mm)
    around = [np.asarray(Image.fromarray(one).filter(blur)) for one in parts.coverage]
    first, second = np.zeros_like(around[0]), np.zeros_like(around[0])
    for one in around:
        second = np.maximum(second, np.minimum(first, one))
        first = np.maximum(first, one)
    calmed = []
    for one in around:
        rival = np.where(one == first, second, first)
        ahead = np.where(one >= rival, 128 + np.minimum(one - rival, 127), 128 - np.minimum(rival - one, 128))
        calmed.append(np.minimum(ahead.astype(np.uint8), parts.alpha))
    return calmed


def film_name(ink: str) -> str:
    """A name for a film or ink that a person knows and a file may hold: `dark-blue-1f3a86`."""
    return f"{colour_word(ink).replace(' ', '-')}-{ink.lstrip('#')}"
