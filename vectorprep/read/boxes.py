"""Boxes of single shapes by their geometry, strokes left out (SVG 2, 'object bounding box').

Comes in: the attributes of one shape.
Goes out: its box in user units, or None for anything but a shape with plain numbers.
Never done here: measuring ink; what is printed is measured on pixels.
"""

from __future__ import annotations

from collections.abc import Mapping

from fontTools.pens.boundsPen import BoundsPen
from fontTools.svgLib.path import parse_path

from vectorprep.geometry import Box
from vectorprep.read.numbers import length_px, numbers_in


def shape_box(name: str, attributes: Mapping[str, str]) -> Box | None:
    """The box of a shape; None where it has none or is no shape."""
    if name in {"rect", "image"}:
        x, y, width, height = (_length(attributes, key) for key in ("x", "y", "width", "height"))
        return Box(x, y, x + width, y + height)
    if name in {"circle", "ellipse"}:
        cx, cy = _length(attributes, "cx"), _length(attributes, "cy")
        rx, ry = (_length(attributes, "r"),) * 2 if name == "circle" else (_length(attributes, "rx"), _length(attributes, "ry"))
        return Box(cx - rx, cy - ry, cx + rx, cy + ry)
    if name == "line":
        xs, ys = ([_length(attributes, axis + end) for end in "12"] for axis in "xy")
        return Box(min(xs), min(ys), max(xs), max(ys))
    if name in {"polyline", "polygon"}:
        numbers = numbers_in(attributes.get("points", ""))
        xs, ys = numbers[::2], numbers[1::2]
        return Box(min(xs), min(ys), max(xs), max(ys)) if xs and ys else None
    return _path_box(attributes.get("d", "")) if name == "path" else None


def _length(attributes: Mapping[str, str], key: str) -> float:
    return length_px(attributes.get(key), percent_of=0.0) or 0.0


def _path_box(data: str) -> Box | None:
    pen = BoundsPen(None)
    try:
        parse_path(data, pen)
    except (ValueError, IndexError, ZeroDivisionError, TypeError, AssertionError):
        return None
    return Box(*map(float, pen.bounds)) if pen.bounds else None
