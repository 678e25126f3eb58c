"""The cut line of a sticker as SVG in millimetres, on the page of its print file.

Comes in: a `Picture` of a product with a cut offset. Goes out: one SVG of closed, smooth paths.
Never done here: the outline itself (`_cut`, `shapes`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lxml import etree

from vectorprep.markup.tree import serialise, svg_root, svg_tag
from vectorprep.model import Encoded
from vectorprep.outputs._cut import cut_of
from vectorprep.outputs.picture import digest, output_of, planned
from vectorprep.shapes.curves import path_data

if TYPE_CHECKING:
    from vectorprep.outputs._cut import Cut
    from vectorprep.outputs.picture import Picture

KIND = "cut-svg"
LINE_MM = "0.1"
COLOUR = "#ff00ff"
"""Magenta stands out from most art (common practice, no source)."""


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The cut of a product that is cut at an offset from its ink; nothing for other products."""
    rule = picture.product.cut
    if rule is None or rule.offset_outside_ink_mm is None:
        return ()
    path = f"{picture.stem}--cut.svg"
    canvas, ppi = picture.placement.canvas_px, picture.placement.ppi
    if picture.raster is None:
        return (planned(picture, KIND, path, canvas, ppi),)
    cut = cut_of(picture, rule)
    if cut is None:
        return ()
    data = _markup(picture, cut, rule.processing_step_type or "Cutting")
    made = replace(output_of(picture, KIND, path, canvas, ppi), printed_mm=cut.figures.size_mm, facts=cut.facts)
    return (Encoded(output=replace(made, sha256=digest(data), bytes=len(data), state="made"), data=data),)


def _markup(picture: Picture, cut: Cut, step: str) -> bytes:
    width, height = (float(side) for side in picture.product.file_size_mm)
    root = svg_root({"width": f"{width:.10g}mm", "height": f"{height:.10g}mm", "viewBox": f"0 0 {width:.10g} {height:.10g}"})
    style = f"fill:none;stroke:{COLOUR};stroke-width:{LINE_MM}"
    group = etree.SubElement(root, svg_tag("g"), {"id": step, "style": style})
    for path in cut.paths:
        etree.SubElement(group, svg_tag("path"), {"d": path_data(path, 4)})
    return serialise(root)
