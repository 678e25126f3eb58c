"""The area's path as four sides.

Comes in: path data with its map to the page. Goes out: an `Area`, or what is wrong with it in words.
The path begins at the artwork's top-left corner and runs along its top. Corners are the ends of its four pieces; where it has more
pieces, the points at which it turns sharply, or far more than at the others.
Never done here: what lies between the sides (`surface`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from fontTools.pens.recordingPen import RecordingPen
from fontTools.svgLib.path import parse_path
from fontTools.svgLib.path.arc import EllipticalArc
from shapely.geometry import Polygon

from vectorprep.errors import SceneRefused
from vectorprep.geometry import Affine
from vectorprep.model import Area
from vectorprep.model.scene import Cubic, Point, Side

TURN_DEG = 30.0
"""Sharper turns are corners (house value); the joints of a smooth side turn by a few degrees at most."""
FAINT_DEG, FAINT_FACTOR = 6.0, 3.0
"""Where fewer than four are that sharp, the four sharpest are corners if they turn by so much and so many times more than all
others (house values): the side of a cup runs on almost straight into its curved bottom."""
NOTHING_PX = 1e-3
STEPS = 24


def area_of(data: str, to_page: Affine, name: str, page: tuple[float, float]) -> Area:
    """The area that a path marks.

    Args:
        data: path data in its own units.
        to_page: map to px of the page.
        name: id of the path, for messages.
        page: width and height of the page, px.

    Raises:
        SceneRefused: not one closed path with four corners, crossed sides, or no part of it on the page.
    """
    strokes = _strokes(data, to_page, name)
    sides = strokes if len(strokes) == 4 else _parted(strokes)
    if len(sides) != 4:
        raise SceneRefused(
            f"the path '{name}' has {len(sides)} corners, where 4 are expected",
            fix="draw it with four corners, beginning at the artwork's top-left one; sides may be curves without sharp turns",
            code="scene-area-corners",
        )
    outline = [point for side in sides for point in polyline(side)[:-1]]
    _check(outline, name, page)
    if _signed_area(outline) < 0:  # drawn the other way round: the first corner stays, an artwork is never mirrored
        sides = [_reversed(side) for side in reversed(sides)]
    return Area(top=sides[0], right=sides[1], bottom=_reversed(sides[2]), left=_reversed(sides[3]))


def polyline(side: Side, steps: int = STEPS) -> list[Point]:
    """Points along a side, both ends included."""
    points = [side[0][0]]
    for piece in side:
        points += [_at(piece, step / steps) for step in range(1, steps + 1)]
    return points


def _at(piece: Cubic, t: float) -> Point:
    s = 1 - t
    weights = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
    return (
        sum(weight * point[0] for weight, point in zip(weights, piece, strict=True)),
        sum(weight * point[1] for weight, point in zip(weights, piece, strict=True)),
    )


class _Pen(RecordingPen):  # type: ignore[misc]
    """Keeps the pieces of one arc together, which are one stroke to whoever drew it."""

    def __init__(self) -> None:
        super().__init__()
        self.joined: set[int] = set()


class _Arc(EllipticalArc):  # type: ignore[misc]
    """An arc that tells its pen which pieces belong together."""

    def draw(self, pen: _Pen) -> None:
        """Draws the arc as cubic pieces."""
        first = len(pen.value)
        super().draw(pen)
        pen.joined.update(range(first + 1, len(pen.value)))


def _strokes(data: str, to_page: Affine, name: str) -> list[Side]:
    """The path's strokes in order, each of one piece, or of several where it is an arc; the closing one included."""
    pen = _Pen()
    try:
        parse_path(data, pen, arc_class=_Arc)
    except (ValueError, IndexError, TypeError, AssertionError) as error:
        raise _no_path(name, f"its path data cannot be read ({str(error)[:60]})") from error
    starts = sum(operator == "moveTo" for operator, _ in pen.value)
    if starts != 1:
        raise _no_path(name, f"it has {starts} parts" if starts else "it holds no path")
    start = at = pen.value[0][1][0]
    strokes: list[list[Cubic]] = []
    for place, (_operator, points) in enumerate(pen.value[1:], 1):
        piece = _cubic(at, points or [start])
        at = piece[3]
        if place in pen.joined:
            strokes[-1].append(piece)
        else:
            strokes.append([piece])
    strokes.append([_cubic(at, [start])])
    found = [[piece for piece in (_mapped(piece, to_page) for piece in stroke) if not _is_nothing(piece)] for stroke in strokes]
    if not all(math.isfinite(value) for stroke in found for piece in stroke for point in piece for value in point):
        raise _no_path(name, "it holds figures that are no numbers")
    return [tuple(stroke) for stroke in found if stroke]


def _parted(strokes: Sequence[Side]) -> list[Side]:
    """The strokes joined into sides that end where the path turns sharply; the first side begins at the first such place."""
    pieces = [piece for stroke in strokes for piece in stroke]
    ends = _corners([_turn(pieces[place - 1], piece) for place, piece in enumerate(pieces)])
    if not ends:
        return []
    around = pieces[ends[0] :] + pieces[: ends[0]]
    starts = [end - ends[0] for end in ends]
    return [tuple(around[a:b]) for a, b in zip(starts, [*starts[1:], len(around)], strict=True)]


def _corners(turns: Sequence[float]) -> list[int]:
    """Which places of a path are its corners, by how many degrees it turns at each."""
    sharp = [place for place, turn in enumerate(turns) if turn > TURN_DEG]
    if len(sharp) >= 4:
        return sharp
    order = sorted(range(len(turns)), key=lambda place: -turns[place])
    least, next_one = (turns[order[at]] if at < len(order) else 0.0 for at in (3, 4))
    return sorted(order[:4]) if least > max(FAINT_DEG, FAINT_FACTOR * next_one) else sharp


def _mapped(piece: Cubic, to_page: Affine) -> Cubic:
    a, b, c, d = (to_page.point(*point) for point in piece)
    return a, b, c, d


def _is_nothing(piece: Cubic) -> bool:
    return all(math.dist(piece[0], point) < NOTHING_PX for point in piece[1:])


def _cubic(at: Point, points: Sequence[Point]) -> Cubic:
    """A line, quadratic or cubic piece as a cubic one."""
    if len(points) == 1:
        return at, _between(at, points[0], 1 / 3), _between(at, points[0], 2 / 3), points[0]
    if len(points) == 2:
        return at, _between(at, points[0], 2 / 3), _between(points[1], points[0], 2 / 3), points[1]
    return at, points[0], points[1], points[2]


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _turn(before: Cubic, after: Cubic) -> float:
    """Degrees by which the direction changes between two pieces."""
    a, b = _direction(before[::-1]), _direction(after)
    return abs(math.degrees(math.atan2(-a[0] * b[1] + a[1] * b[0], -a[0] * b[0] - a[1] * b[1])))


def _direction(points: Sequence[Point]) -> Point:
    """From the first point to the next that differs."""
    other = next((point for point in points[1:] if math.dist(points[0], point) >= NOTHING_PX), points[-1])
    return other[0] - points[0][0], other[1] - points[0][1]


def _reversed(side: Side) -> Side:
    return tuple((d, c, b, a) for a, b, c, d in reversed(side))


def _check(outline: Sequence[Point], name: str, page: tuple[float, float]) -> None:
    if not Polygon(outline).is_valid:
        raise SceneRefused(
            f"the sides of the path '{name}' cross each other, or it encloses nothing",
            fix="draw the corners in turn around the print area: top left, top right, bottom right, bottom left",
            code="scene-area-crossed",
        )
    xs, ys = [point[0] for point in outline], [point[1] for point in outline]
    if max(xs) <= 0 or max(ys) <= 0 or min(xs) >= page[0] or min(ys) >= page[1]:
        raise SceneRefused(
            f"the path '{name}' lies outside the picture: x {min(xs):.0f}..{max(xs):.0f}, y {min(ys):.0f}..{max(ys):.0f} "
            f"on a page of {page[0]:.0f} x {page[1]:.0f} px",
            fix="move it onto the picture, or make the page as large as the picture",
            code="scene-area-outside",
        )


def _signed_area(outline: Sequence[Point]) -> float:
    """Positive where the outline runs clockwise as seen, y down."""
    after = [*outline[1:], outline[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, after, strict=True)) / 2


def _no_path(name: str, cause: str) -> SceneRefused:
    return SceneRefused(
        f"the path '{name}' cannot be the print area: {cause}",
        fix="draw one closed path of four sides and give it this id",
        code="scene-area-corners",
    )
