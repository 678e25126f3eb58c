"""Paths of straight lines as their corner points.

Comes in: path data.
Goes out: the points of one closed polygon, or None where the path is anything else.
Never done here: curves.

Source: SVG 2, 'path data' (commands M L H V Z, absolute and relative).
"""

from __future__ import annotations

import re

from vectorprep.read.numbers import NUMBER

_TOKEN = re.compile(rf"([A-Za-z])|({NUMBER})")
_MAX_CHARS = 400  # a rectangle is short

Point = tuple[float, float]


def straight_outline(path: str) -> list[Point] | None:
    """Corner points of a path that is one polygon, the start not repeated; None for curves and several parts."""
    if len(path) > _MAX_CHARS or re.search(r"[^MmLlHhVvZz\d\s,.eE+-]", path):
        return None
    points: list[Point] = []
    at: Point = (0.0, 0.0)
    command, numbers = "", _TOKEN.findall(path)
    position = 0
    while position < len(numbers):
        letter, _ = numbers[position]
        if letter:
            command, position = letter, position + 1
            if command in "Zz":
                continue
            if command in "Mm" and points:
                return None
        taken = 2 if command in "MmLl" else 1 if command in "HhVv" else 0
        values = [float(number) for letter_, number in numbers[position : position + taken] if not letter_]
        if not taken or len(values) != taken:
            return None
        at = _moved(command, at, values)
        points.append(at)
        position += taken
    if len(points) > 1 and points[0] == points[-1]:
        points.pop()
    return points


def _moved(command: str, at: Point, values: list[float]) -> Point:
    x, y = at if command.islower() else (0.0, 0.0)
    if command in "Hh":
        return x + values[0], at[1]
    if command in "Vv":
        return at[0], y + values[0]
    return x + values[0], y + values[1]
