"""The side of a tapered cup laid flat, as SVG in millimetres on the page of its print file: what the paper is cut along.

Comes in: a `Picture` of a product that is a ring sector. Goes out: one SVG: the sector, its bleed, its middle line.
Never done here: the picture itself.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lxml import etree

from vectorprep.markup.tree import serialise, svg_root, svg_tag
from vectorprep.model import Encoded
from vectorprep.outputs.picture import digest, file_stem, output_of, planned

if TYPE_CHECKING:
    from vectorprep.model import Product, Taper
    from vectorprep.outputs.picture import Picture

KIND = "wrap-svg"
STYLES = (
    ("wrap", "fill:none;stroke:#ff00ff;stroke-width:0.1"),
    ("bleed", "fill:none;stroke:#00a0ff;stroke-width:0.1"),
    ("middle", "fill:none;stroke:#808080;stroke-width:0.1"),
)


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The outline of a tapered cup's wrap; nothing for other products. It is the same both ways round."""
    product = picture.product
    if product.taper is None or not product.is_bent:
        return ()
    path = f"{file_stem(picture)}--wrap.svg"
    canvas, ppi = picture.placement.canvas_px, picture.placement.ppi
    if picture.raster is None:
        return (planned(picture, KIND, path, canvas, ppi),)
    data = _markup(product, product.taper)
    made = replace(output_of(picture, KIND, path, canvas, ppi), printed_mm=product.taper.box_mm())
    return (Encoded(output=replace(made, sha256=digest(data), bytes=len(data), state="made"), data=data),)


def _markup(product: Product, taper: Taper) -> bytes:
    width, height = (float(side) for side in product.file_size_mm)
    root = svg_root({"width": f"{width:.10g}mm", "height": f"{height:.10g}mm", "viewBox": f"0 0 {width:.10g} {height:.10g}"})
    x, y = width / 2, float(product.area_mm[1])
    middle = f"M{x:.4f} {y:.4f}V{y + taper.slant_mm:.4f}"
    shapes = (_sector(taper, x, y, 0.0), _sector(taper, x, y, float(product.bleed_mm)), middle)
    for (name, style), data in zip(STYLES, shapes, strict=True):
        etree.SubElement(root, svg_tag("path"), {"id": name, "style": style, "d": data})
    return serialise(root)


def _sector(taper: Taper, x: float, y: float, grown_mm: float) -> str:
    """Path of the sector with its sides moved outward; (x, y) is the middle of its upper arc."""
    outer, inner = taper.outer_radius_mm + grown_mm, taper.inner_radius_mm - grown_mm
    (wide, top), (narrow, bottom) = taper.corners_mm(grown_mm)
    return (
        f"M{x - wide:.4f} {y + top:.4f}A{outer:.4f} {outer:.4f} 0 0 1 {x + wide:.4f} {y + top:.4f}"
        f"L{x + narrow:.4f} {y + bottom:.4f}A{inner:.4f} {inner:.4f} 0 0 0 {x - narrow:.4f} {y + bottom:.4f}Z"
    )
