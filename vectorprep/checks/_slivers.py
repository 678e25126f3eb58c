"""Filled shapes that are bands: their middle line and width, whatever way they bend.

Comes in: outlines in pixels. Goes out: stretches of middle line with the mean width there. Never done here: pixels.

From points along an outline a ray goes inward; where it meets the outline again after less than the width asked about, the shape is
a band there, and half way lies its middle.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Points = NDArray[np.float64]
    Floats = NDArray[np.float64]

RAYS_MOST = 240  # per outline (house value)
PIECES_MOST = 1500  # house value
STEP_PX = 2.0
OFF_PX = 1e-3  # a ray leaves its own piece of outline
JUMP_SHARE = 0.3  # widths beside each other that differ more belong to a corner (house value)


def mean_width(outlines: list[Points]) -> float:
    """Area over half the circumference: the width of a band. Outlines within one are holes, whichever way they turn."""
    areas, around = [], 0.0
    for line in outlines:
        closed = np.vstack([line, line[:1]])
        x, y = closed.T
        areas.append(float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1])) / 2)
        around += float(np.hypot(*np.diff(closed, axis=0).T).sum())
    sizes = np.abs(areas)
    area = min(abs(sum(areas)), abs(2 * float(sizes.max(initial=0.0)) - float(sizes.sum())))
    return 2 * area / around if around > 0 else 0.0


def bands_of(outlines: list[Points], widest_px: float, least_px: float = 0.0) -> Iterator[tuple[Points, float]]:
    """Middle lines of stretches narrower than a width, each with its mean width; surely shorter ones than a length left out."""
    pieces = np.vstack([np.hstack([line, np.roll(line, -1, axis=0)]) for line in outlines])
    pieces = pieces[np.hypot(pieces[:, 2] - pieces[:, 0], pieces[:, 3] - pieces[:, 1]) > OFF_PX]
    if not 0 < len(pieces) <= PIECES_MOST:
        return
    for line in outlines:
        points, normals, step = _along(line)
        if not len(points):
            continue
        ahead = _across(points, normals, pieces)
        width = np.minimum(ahead, _across(points, -normals, pieces))
        inward = np.where(ahead == width, 1.0, -1.0)
        near = width < widest_px
        for first, last in _runs(near, width):
            # A middle line within a bend is longer than its outline, hardly ever twice as long.
            if 2 * step * (last - first) < least_px:
                continue
            own = slice(first, last)
            middle = points[own] + (inward[own] * width[own] / 2)[:, None] * normals[own]
            yield middle, float(np.median(width[own]))


def _along(line: Points) -> tuple[Points, Points, float]:
    """Points at even steps around an outline, the unit normals there, and the step."""
    closed = np.vstack([line, line[:1]])
    pieces = np.diff(closed, axis=0)
    lengths = np.hypot(*pieces.T)
    kept = lengths > OFF_PX
    if not kept.any():
        return np.zeros((0, 2)), np.zeros((0, 2)), STEP_PX
    starts, pieces, lengths = closed[:-1][kept], pieces[kept], lengths[kept]
    ends = np.cumsum(lengths)
    step = max(STEP_PX, float(ends[-1]) / RAYS_MOST)
    along = np.arange(step / 2, float(ends[-1]), step)
    at = np.minimum(np.searchsorted(ends, along), len(ends) - 1)
    direction = pieces[at] / lengths[at][:, None]
    points = starts[at] + direction * (along - (ends[at] - lengths[at]))[:, None]
    return points, np.stack([-direction[:, 1], direction[:, 0]], axis=1), step


def _across(points: Points, rays: Points, pieces: Points) -> Floats:
    """Distance from each point along its ray to the next piece of outline whose inside lies between; infinite for none."""
    ax, ay = pieces[:, 0], pieces[:, 1]
    dx, dy = pieces[:, 2] - ax, pieces[:, 3] - ay
    rx, ry = rays[:, :1], rays[:, 1:]
    gone = rx * dy - ry * dx
    with np.errstate(divide="ignore", invalid="ignore"):
        far = ((ax - points[:, :1]) * dy - (ay - points[:, 1:]) * dx) / gone
        share = ((ax - points[:, :1]) * ry - (ay - points[:, 1:]) * rx) / gone
    meets = (share >= 0) & (share <= 1) & (far > OFF_PX * 100) & np.isfinite(far)
    hits = np.where(meets, far, np.inf)
    # An even number of crossings ahead means that the ray began outward.
    return np.where(meets.sum(axis=1) % 2 == 1, hits.min(axis=1), np.inf)


def _runs(near: NDArray[np.bool_], width: Floats) -> Iterator[tuple[int, int]]:
    """Stretches of neighbouring points that are near and hardly differ in width."""
    begin = None
    for at in range(len(near) + 1):
        goes_on = at < len(near) and near[at]
        if goes_on and begin is not None and abs(width[at] - width[at - 1]) > JUMP_SHARE * max(width[at], width[at - 1]):
            yield begin, at
            begin = at
        elif goes_on and begin is None:
            begin = at
        elif not goes_on and begin is not None:
            yield begin, at
            begin = None
