"""Boxes and lengths of single shapes by their geometry, strokes left out (SVG 2, 'object bounding box', 'distance along a path').

Comes in: the attributes of one shape.
Goes out: its box, or the length of its outline, in user units; None for anything but a shape with plain numbers.
Never done here: measuring ink; what is printed is measured on pixels.
"""

from __future__ import annotations

from collections.abc import Mapping

from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.perimeterPen import PerimeterPen
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


def outline_length(name: str, attributes: Mapping[str, str]) -> float | None:
    """Length of a shape's whole outline; None where it has none or is no shape."""
    box = shape_box(name, attributes)
    if box is None:
        return None
    rx, ry = box.width / 2, box.height / 2
    data = {
        "path": attributes.get("d", ""),
        "rect": _rect_data(attributes, box),
        "line": f"M0 0L{box.width} {box.height}",
        "polyline": "M" + attributes.get("points", ""),
        "polygon": "M" + attributes.get("points", "") + "z",
    }
    return _path_length(data.get(name, f"M{box.x0} {box.y0 + ry}a{rx} {ry} 0 0 1 {2 * rx} 0a{rx} {ry} 0 0 1 {-2 * rx} 0z"))


def _rect_data(attributes: Mapping[str, str], box: Box) -> str:
    stated = [_length(attributes, key) if key in attributes else None for key in ("rx", "ry")]
    rx = min(next((value for value in stated if value is not None), 0.0), box.width / 2)
    ry = min(next((value for value in reversed(stated) if value is not None), 0.0), box.height / 2)
    across, down = box.width - 2 * rx, box.height - 2 * ry
    return (
        f"M{box.x0 + rx} {box.y0}h{across}a{rx} {ry} 0 0 1 {rx} {ry}v{down}a{rx} {ry} 0 0 1 {-rx} {ry}"
        f"h{-across}a{rx} {ry} 0 0 1 {-rx} {-ry}v{-down}a{rx} {ry} 0 0 1 {rx} {-ry}z"
    )


def _path_length(data: str) -> float | None:
    pen = PerimeterPen(tolerance=1e-3)
    try:
        parse_path(data, pen)
    except (ValueError, IndexError, ZeroDivisionError, TypeError, AssertionError):
        return None
    return float(pen.value) or None
