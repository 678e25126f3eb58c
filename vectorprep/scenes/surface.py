"""Where a point of the print area lies on the picture, and back.

Comes in: an `Area` with its kind, and for a cylinder its angles. Goes out: a `Surface` with maps between (u, v), shares of the
print area's width and height, and px of the page.
Never done here: pixels.

Straight sides make a homography, which is what a flat thing looks like in perspective. Curved sides bend it by a Coons patch of
their distances from the straight ones. On a cylinder seen from afar a point at the angle a from the viewer lies at its sine, on a
cone that narrows downward at its sine times how wide the cone still is there.
Sources: Heckbert, "Fundamentals of Texture Mapping and Image Warping", 1989 (square to quadrilateral); Coons, "Surfaces for
computer-aided design of space forms", 1967.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.scenes.outline import polyline

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Area, SceneRecord
    from vectorprep.model.scene import Side

    Floats = NDArray[np.floating[Any]]

SAMPLES = 1024
"""Places at which a side is kept; between them it is straight, which errs by under 0.001 px on sides of 2000 px."""
NEWTON_TURNS = 12
NEAR_PX = 1e-3
NEAR = 0.05
STEP = 1e-4
STEPS = 400
"""Points of a side for each of its pieces."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Surface:
    """The maps of one area.

    `homography` takes shares (s, t) of the quadrilateral of the corners to px; `bends` holds what top, bottom, left and right add
    to it at even steps along them. `angles` are those of the left and right side in radians, None for a flat area; `turn` and
    `wrap` say where the middle of the print area looks and how much of the round it takes, at the top of a cone that is
    `narrowing` times as wide at its bottom. The quadrilateral of a cone is upright and as wide as its top.
    """

    homography: Floats
    bends: tuple[Floats, Floats, Floats, Floats]
    angles: tuple[float, float] | None = None
    turn: float = 0.0
    wrap: float = 1.0
    narrowing: float = 1.0

    def to_page(self, u: Floats, v: Floats) -> tuple[Floats, Floats]:
        """Px of the page of shares of the print area; nan where a cylinder hides the point."""
        return self._patch(*self._seen(u, v))

    def from_page(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Shares of the print area of px of the page; values outside 0..1 lie outside it, nan lies off the surface altogether."""
        s, t = _through(np.linalg.inv(self.homography), x, y)
        if any(np.abs(bend).max() > NEAR_PX for bend in self.bends):
            s, t = self._refined(s, t, x, y)
        return self._shares(s, t)

    def _seen(self, u: Floats, v: Floats) -> tuple[Floats, Floats]:
        """Shares of the quadrilateral for shares of the print area."""
        if self.angles is None:
            return u, v
        first, last = self.angles
        wide = self._wide(v)
        angle = self.turn + (u - 0.5) * self.wrap / wide
        sine = np.where(np.abs(angle) < math.pi / 2, np.sin(angle), np.nan) * wide
        return (sine - math.sin(first)) / (math.sin(last) - math.sin(first)), v

    def _shares(self, s: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Shares of the print area for shares of the quadrilateral; nothing is printed beyond the path's own sides."""
        if self.angles is None:
            return s, t
        first, last = (math.sin(angle) for angle in self.angles)
        wide = self._wide(t)
        sine = (first + s * (last - first)) / wide
        u = (np.arcsin(np.clip(sine, -1.0, 1.0)) - self.turn) * wide / self.wrap + 0.5
        beyond = 0.02 * (last - first)
        return np.where((sine < first - beyond) | (sine > last + beyond), np.nan, u), t

    def _wide(self, t: Floats) -> Floats:
        """How wide a cone is at shares of its height, for its top."""
        return 1 - (1 - self.narrowing) * np.clip(t, -1.0, 2.0)

    def _patch(self, s: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Px of shares of the quadrilateral."""
        x, y = _through(self.homography, s, t)
        top, bottom, left, right = self.bends
        above, below = self._at_ends(s, t)
        for bend, along, weight in ((top, above, 1 - t), (bottom, below, t), (left, t, 1 - s), (right, t, s)):
            if np.abs(bend).max() > NEAR_PX:
                x = x + _along(bend[:, 0], along) * weight
                y = y + _along(bend[:, 1], along) * weight
        return x, y

    def _at_ends(self, s: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Where the line down the side through a point meets the top and the bottom: on a cone it runs towards its axis."""
        if self.angles is None or self.narrowing == 1.0:
            return s, s
        first, last = (math.sin(angle) for angle in self.angles)
        axis = -first / (last - first)
        outward = (s - axis) / self._wide(t)
        return axis + outward, axis + outward * self.narrowing

    def _refined(self, s: Floats, t: Floats, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Newton's method from the straight-sided guess."""
        s, t = np.clip(s, -0.5, 1.5), np.clip(t, -0.5, 1.5)
        for _ in range(NEWTON_TURNS):
            px, py = self._patch(s, t)
            dx, dy = x - px, y - py
            is_near = (s > -NEAR) & (s < 1 + NEAR) & (t > -NEAR) & (t < 1 + NEAR)  # far outside there may be no such point
            if max(np.abs(dx[is_near]).max(initial=0.0), np.abs(dy[is_near]).max(initial=0.0)) < NEAR_PX:
                break
            sx, sy = self._patch(s + STEP, t)
            tx, ty = self._patch(s, t + STEP)
            a, b, c, d = (sx - px) / STEP, (tx - px) / STEP, (sy - py) / STEP, (ty - py) / STEP
            det = a * d - b * c
            det = np.where(np.abs(det) < 1e-9, 1e-9, det)
            s = np.clip(s + np.clip((d * dx - b * dy) / det, -0.3, 0.3), -0.5, 1.5)
            t = np.clip(t + np.clip((a * dy - c * dx) / det, -0.3, 0.3), -0.5, 1.5)
        return s, t


def surface_of(area: Area, record: SceneRecord, *, wrap_deg: float | None = None, narrowing: float = 1.0) -> Surface:
    """The surface of an area.

    Args:
        area: its sides.
        record: kind and angles.
        wrap_deg: angle that the whole print area takes on the product's own cylinder; the record's own figure wins.
        narrowing: width of the product's lower edge for its upper one, where it is a tapered cup.
    """
    is_cone = narrowing != 1.0 and record.area == "cylinder"
    homography = square_to_quad(_upright(area) if is_cone else area.corners)
    along, across = np.linspace(0.0, 1.0, SAMPLES + 1), np.zeros(SAMPLES + 1)
    straight = [
        np.stack(_through(homography, u, v), axis=1)
        for u, v in ((along, across), (along, across + 1), (across, along), (across + 1, along))
    ]
    sides = (area.top, area.bottom, area.left, area.right)
    if record.area != "cylinder":
        top, bottom, left, right = (_bend_by_length(side, line) for side, line in zip(sides, straight, strict=True))
        return Surface(homography=homography, bends=(top, bottom, left, right))
    first, last = (math.radians(angle) for angle in record.angles_deg)
    wrap = record.wrap_deg if record.wrap_deg is not None else wrap_deg
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = area.corners
    axis = np.array([dx - ax + cx - bx, dy - ay + cy - by])
    nothing = np.zeros((2, 2))
    return Surface(
        homography=homography,
        bends=(_bend_along(area.top, straight[0], axis), _bend_along(area.bottom, straight[1], axis), nothing, nothing),
        angles=(first, last),
        turn=math.radians(record.turn_deg),
        wrap=math.radians(wrap) if wrap is not None else last - first,
        narrowing=narrowing if is_cone else 1.0,
    )


def _upright(area: Area) -> tuple[tuple[float, float], ...]:
    """The parallelogram on the top side of a cone, down to the level of its bottom side."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = area.corners
    down_x, down_y = (cx + dx - ax - bx) / 2, (cy + dy - ay - by) / 2
    return (ax, ay), (bx, by), (bx + down_x, by + down_y), (ax + down_x, ay + down_y)


def square_to_quad(corners: tuple[tuple[float, float], ...]) -> Floats:
    """The 3 x 3 homography of the unit square's corners (0,0), (1,0), (1,1), (0,1) to four points (Heckbert 1989)."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    dx1, dx2, dx3 = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
    dy1, dy2, dy3 = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
    det = dx1 * dy2 - dx2 * dy1
    g = (dx3 * dy2 - dx2 * dy3) / det
    h = (dx1 * dy3 - dx3 * dy1) / det
    return np.array([[x1 - x0 + g * x1, x3 - x0 + h * x3, x0], [y1 - y0 + g * y1, y3 - y0 + h * y3, y0], [g, h, 1.0]])


def _through(matrix: Floats, x: Floats, y: Floats) -> tuple[Floats, Floats]:
    w = matrix[2, 0] * x + matrix[2, 1] * y + matrix[2, 2]
    w = np.where(np.abs(w) < 1e-12, 1e-12, w)
    return (
        (matrix[0, 0] * x + matrix[0, 1] * y + matrix[0, 2]) / w,
        (matrix[1, 0] * x + matrix[1, 1] * y + matrix[1, 2]) / w,
    )


def _bend_by_length(side: Side, straight: Floats) -> Floats:
    """What a side adds to the straight one, on a flat thing that is bent.

    Equal lengths of the artwork lie on equal lengths of the side, as foreshortened as the straight side is.
    """
    points = np.array(polyline(side, STEPS))
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    shares = np.hypot(*(straight - straight[0]).T) / max(float(np.hypot(*(straight[-1] - straight[0]))), 1e-9)
    return _apart(points, run, shares * run[-1], straight)


def _bend_along(side: Side, straight: Floats, axis: Floats) -> Floats:
    """What a side adds to the straight one on a cylinder: a point leaves the chord along the axis alone."""
    points = np.array(polyline(side, STEPS))
    across = np.array([-axis[1], axis[0]]) / max(float(np.hypot(*axis)), 1e-9)
    across = across * np.sign((points[-1] - points[0]) @ across)
    run = np.maximum.accumulate((points - straight[0]) @ across)  # a cone's bottom begins further in than its straight side
    wanted = (straight - straight[0]) @ across
    reached = np.clip(wanted, run[0], run[-1])
    return _apart(points, run, reached, straight + np.outer(reached - wanted, across))


def _apart(points: Floats, run: Floats, wanted: Floats, straight: Floats) -> Floats:
    on_side = np.stack([np.interp(wanted, run, points[:, axis]) for axis in (0, 1)], axis=1)
    bend: Floats = on_side - straight
    bend[[0, -1]] = 0.0
    return bend


def _along(values: Floats, share: Floats) -> Floats:
    """Values at even steps of 0..1, straight between them, carried on at both ends."""
    last = len(values) - 1
    scaled = np.clip(np.nan_to_num(share), 0.0, 1.0) * last
    low = np.minimum(scaled.astype(np.intp), last - 1)
    part = scaled - low
    result: Floats = values[low] * (1 - part) + values[low + 1] * part
    return result
