"""Fine strokes and bars that lie on other ink, which the coverage alone does not show.

Comes in: evidence, its prepared picture, a limit. Goes out: marks with their colour, width and where they are seen.
Never done here: lines on bare cloth by their coverage (`_bands` measures those to the pixel).

The width is the stroke's, times the smallest stretch of its map; the picture has to confirm it: along the path the colour has to be
the stroke's, and a step beyond both of its edges another one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np
from fontTools.pens.recordingPen import RecordingPen
from fontTools.svgLib.path import parse_path

from vectorprep.checks._bands import Thin
from vectorprep.checks._drawn import Drawn, drawn, length_uu
from vectorprep.checks._slivers import bands_of, mean_width
from vectorprep.checks._thin import LENGTH_MIN_MM
from vectorprep.colour import lightness, rgb_from_hex

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.checks._evidence import Evidence
    from vectorprep.checks._print import Prepared
    from vectorprep.geometry import Affine

    Points = NDArray[np.float64]

WHITE_L = 97.0  # L* from which paint counts as white (house value)
CURVE_STEPS = 12
POINTS_MOST = 4000
SHAPES_MOST = 5000
"""Shapes looked at one by one, house value: a drawn screen of dots has tens of thousands."""
ROUND = 0.9  # house value; of a square it is 0.79, and what is rounder is no band
BEYOND_PX = 1.6  # from the edge of a stroke to where its smoothed rim has ended
CONTRAST = 48.0  # of 255 x 2, distance in red, green, blue and alpha from which two colours are seen apart (house value)
PART = 0.35  # of that distance, which the middle of a line thinner than a pixel still reaches


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FineMark:
    """A mark thinner than asked about: its colour `#rrggbb`, its width and where it is seen."""

    colour: str
    thin: Thin


def flattened(data: str) -> list[list[tuple[float, float]]]:
    """The subpaths of path data as chains of straight pieces; none where it cannot be read."""
    pen = RecordingPen()
    try:
        parse_path(data, pen)
    except (ValueError, IndexError, TypeError, AssertionError, KeyError, ZeroDivisionError):
        return []
    lines: list[list[tuple[float, float]]] = []
    for kind, points in pen.value:
        if kind == "moveTo":
            lines.append([points[0]])
        elif kind == "closePath":
            lines[-1].append(lines[-1][0])
        elif lines and points:
            lines[-1] += _piece(lines[-1][-1], points)
    return [line for line in lines if len(line) > 1]


def _piece(start: tuple[float, float], points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """A straight piece, or points on a Bezier curve of any degree."""
    if len(points) == 1:
        return [points[0]]
    return [(x, y) for x, y in (_weights(len(points)) @ np.array((start, *points), np.float64)).tolist()]


@cache
def _weights(degree: int) -> Points:
    """Bernstein polynomials at even steps behind the start, one row for each."""
    share = np.linspace(0, 1, CURVE_STEPS + 1)[1:]
    return np.stack([math.comb(degree, k) * share**k * (1 - share) ** (degree - k) for k in range(degree + 1)], axis=1)


def fine_marks(evidence: Evidence, picture: Prepared) -> tuple[FineMark, ...]:
    """Strokes and bars narrower than any limit of the evidence that are seen in its picture."""

    def find() -> tuple[FineMark, ...]:
        limits = (on.limits for on in evidence.on_blanks)
        widest = max((max(one.positive_line_min_mm or 0.0, one.negative_line_min_mm or 0.0) for one in limits), default=0.0)
        limit_px, least_px = widest * picture.px_per_mm, LENGTH_MIN_MM * picture.px_per_mm
        shown = islice((item for item in drawn(evidence) if item.is_shown), SHAPES_MOST)
        return tuple(mark for item in shown for mark in _marks(item, picture, limit_px, least_px))

    return picture.once("fine marks", find, in_colour=True)


def is_reversed(evidence: Evidence, mark: FineMark) -> bool:
    """Whether a mark is white where white is left bare: a gap in the ink rather than a line of it."""
    return lightness(mark.colour) >= WHITE_L and not any(on.ink_policy.has_white_ink for on in evidence.on_blanks)


def _marks(item: Drawn, picture: Prepared, limit_px: float, least_px: float) -> Iterator[FineMark]:
    stroke = item.colour("stroke")
    width = stroke_px(item) if stroke else 0.0
    if 0 < width < limit_px:
        for line in _lines(item):
            points = _mapped(item.to_px, line)
            if _length(points) >= least_px:
                yield from _seen(points, width, stroke, picture)
    fill = item.colour("fill")
    if fill and item.style.get("stroke", "none") == "none":
        outlines = [_mapped(item.to_px, line) for line in _lines(item)]
        bar = _bar(item, outlines)
        if bar is not None:
            if bar[1] < limit_px and _length(bar[0]) >= least_px:
                yield from _seen(bar[0], bar[1], fill, picture)
        else:
            yield from _bent(outlines, fill, picture, limit_px, least_px)


def _bent(outlines: list[Points], fill: str, picture: Prepared, limit_px: float, least_px: float) -> Iterator[FineMark]:
    """Stretches of a filled shape that is a narrow band altogether, such as a ring or a crescent."""
    around = sum(map(_length, outlines))
    width = mean_width(outlines)
    # A shape is a disc where its area, half its mean width times its outline, nears the most that its outline can hold.
    if around < least_px or width >= limit_px or (len(outlines) == 1 and 2 * math.pi * width > ROUND * around):
        return
    for middle, width in bands_of(outlines, limit_px, least_px):
        if len(middle) > 1:
            yield from _seen(middle, width, fill, picture)


def stroke_px(item: Drawn) -> float:
    """Width of an element's stroke in print, px; 0 for one that does not scale."""
    if item.style.get("vector-effect") == "non-scaling-stroke":
        return 0.0
    return length_uu(item.style.get("stroke-width"), 1.0) * least_stretch(item.to_px)


def least_stretch(affine: Affine) -> float:
    """Smallest singular value of the linear part."""
    a, b, c, d = affine.a, affine.b, affine.c, affine.d
    total, det = a * a + b * b + c * c + d * d, abs(affine.determinant)
    return math.sqrt(max(0.0, (total - math.sqrt(max(0.0, total * total - 4 * det * det))) / 2))


def _lines(item: Drawn) -> list[list[tuple[float, float]]]:
    """The outline of an element as straight pieces, in its own units."""
    data = _path_data(item)
    return flattened(data) if data else []


def _path_data(item: Drawn) -> str:
    n = item.number
    if item.name == "path":
        return item.element.get("d", "")
    if item.name == "line":
        return f"M{n('x1')} {n('y1')}L{n('x2')} {n('y2')}"
    if item.name in {"polyline", "polygon"}:
        points = item.element.get("points", "").strip()
        return f"M{points}" + ("Z" if item.name == "polygon" else "") if points else ""
    if item.name == "rect":
        return f"M{n('x')} {n('y')}h{n('width')}v{n('height')}h{-n('width')}Z"
    if item.name in {"circle", "ellipse"}:
        rx, ry = (n("r"), n("r")) if item.name == "circle" else (n("rx"), n("ry"))
        return f"M{n('cx') - rx} {n('cy')}a{rx} {ry} 0 1 0 {2 * rx} 0a{rx} {ry} 0 1 0 {-2 * rx} 0Z" if rx and ry else ""
    return ""


def _bar(item: Drawn, outlines: list[Points]) -> tuple[Points, float] | None:
    """Middle line and width of a filled shape of four corners."""
    if item.name not in {"rect", "polygon", "path"} or len(item.element.get("d", "")) > 200 or len(outlines) != 1:
        return None
    corners = outlines[0]
    if len(corners) == 5 and np.allclose(corners[0], corners[4]):
        corners = corners[:4]
    if len(corners) != 4:
        return None
    sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    turn = 0 if sides[0] + sides[2] < sides[1] + sides[3] else 1
    ends = np.roll(corners, -turn, axis=0)
    line = np.stack([(ends[0] + ends[1]) / 2, (ends[2] + ends[3]) / 2])
    length = float(np.hypot(*(line[1] - line[0])))
    x, y = corners.T
    area = abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))) / 2
    return (line, area / length) if length > 0 else None


def _mapped(affine: Affine, line: list[tuple[float, float]]) -> Points:
    points = np.asarray(line, np.float64)
    x, y = points.T
    return np.stack([affine.a * x + affine.c * y + affine.e, affine.b * x + affine.d * y + affine.f], axis=1)


def _length(line: Points) -> float:
    return float(np.hypot(*np.diff(line, axis=0).T).sum())


def _seen(line: Points, width: float, colour: str, picture: Prepared) -> Iterator[FineMark]:
    """The part of a line along which the picture shows the mark between other colours."""
    middle, normal, step = _walked(line - np.asarray(picture.corner_px))
    if not len(middle):
        return
    own = np.asarray([*rgb_from_hex(colour), 255], np.float64)
    here = _colours(picture, middle)
    is_mark = np.ones(len(middle), bool)
    for side in (-1, 1):
        beside = _colours(picture, middle + side * (width / 2 + BEYOND_PX) * normal)
        apart = np.linalg.norm(beside - own, axis=1)
        is_mark &= (apart >= CONTRAST) & (np.linalg.norm(here - beside, axis=1) >= PART * apart)
        is_mark &= np.linalg.norm(here - own, axis=1) <= (1 - PART) * apart
    if not is_mark.any():
        return
    points = middle[is_mark]
    low, high = np.floor(points.min(axis=0) - width / 2), np.ceil(points.max(axis=0) + width / 2)
    box = int(low[0]), int(low[1]), int(high[0]) + 1, int(high[1]) + 1
    yield FineMark(colour=colour, thin=Thin(width_px=width, length_px=float(is_mark.sum() * step), box_px=box))


def _walked(line: Points) -> tuple[Points, Points, float]:
    """Points at even steps along a line, the unit normals there, and the step."""
    pieces = np.diff(line, axis=0)
    lengths = np.hypot(*pieces.T)
    kept = lengths > 1e-6
    if not kept.any():
        return np.zeros((0, 2)), np.zeros((0, 2)), 1.0
    starts, pieces, lengths = line[:-1][kept], pieces[kept], lengths[kept]
    ends = np.cumsum(lengths)
    step = max(1.0, float(ends[-1]) / POINTS_MOST)
    along = np.arange(step / 2, float(ends[-1]), step)
    at = np.minimum(np.searchsorted(ends, along), len(ends) - 1)
    direction = pieces[at] / lengths[at][:, None]
    points = starts[at] + direction * (along - (ends[at] - lengths[at]))[:, None]
    return points, np.stack([-direction[:, 1], direction[:, 0]], axis=1), step


def _colours(picture: Prepared, points: Points) -> Points:
    """Premultiplied colours at the pixels that hold some points; nothing outside the picture."""
    columns, rows = np.floor(points).astype(np.intp).T
    height, width = picture.pixels.shape[:2]
    inside = (columns >= 0) & (rows >= 0) & (columns < width) & (rows < height)
    found = np.zeros((len(points), 4))
    found[inside] = picture.pixels[rows[inside], columns[inside]]
    return found
