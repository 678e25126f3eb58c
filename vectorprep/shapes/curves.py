"""Closed curves through dense polygons: cubic Bezier pieces that share their tangents, save at corners.

Comes in: a closed polygon. Goes out: cubic pieces, their path data, points on them.
Never done here: rounding corners (`cutline`).

Source: Schneider, "An algorithm for automatically fitting digitized curves", Graphics Gems, 1990.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Points = NDArray[np.float64]
    Indexes = NDArray[np.intp]

CORNER_DEG = 35.0
"""A turn above that within the reach is a corner (house value)."""
TURNS = 4
"""Rounds in which a piece's parameters are drawn to their nearest points before it is split."""
FIRST_PIECES = 4
"""Pieces that a ring begins with; each spans half a turn of a circle at most, which a cubic can follow."""


def fitted(ring: Points, tolerance: float, step: float) -> Points:
    """Cubic pieces (n, 4, 2) around a ring, each beginning where the one before ends, in its direction.

    Args:
        ring: closed polygon without its first point repeated.
        tolerance: how far the pieces may leave the points.
        step: distance of the points that the ring is first measured out in.
    """
    points = _even(ring, step)
    count = len(points)
    reach = max(1, min(3, count // 16))
    tangents = np.roll(points, -reach, axis=0) - np.roll(points, reach, axis=0)
    tangents /= np.maximum(np.hypot(tangents[:, 0], tangents[:, 1]), 1e-12)[:, None]
    stops = np.linspace(0, count, FIRST_PIECES + 1).astype(int)
    todo = list(zip(stops[:-1].tolist(), stops[1:].tolist(), strict=True))[::-1]
    pieces: list[Points] = []
    while todo:
        start, end = todo.pop()
        part = points[np.arange(start, end + 1) % count]
        piece, error, worst = _piece(part, tangents[start % count], -tangents[end % count], tolerance)
        if error > tolerance and end - start > 2:
            middle = start + min(max(worst, 1), end - start - 1)
            todo += [(middle, end), (start, middle)]
        else:
            pieces.append(piece)
    return np.array(pieces)


def cornered(ring: Points, tolerance: float, step: float, reach: float) -> Points:
    """Cubic pieces (n, 4, 2) around a ring that keeps its corners: smooth between them, straight where it is straight.

    Args:
        ring: closed polygon without its first point repeated.
        tolerance: how far the pieces may leave the points.
        step: distance of the points that the ring is measured out in.
        reach: length on either side of a point over which its turn is looked at.
    """
    corners = _corners(ring, reach)
    if not len(corners):
        return fitted(ring, tolerance, step)
    turned = np.roll(ring, -corners[0], axis=0)
    stops = [*((corners - corners[0]).tolist()), len(turned)]
    closed = np.concatenate([turned, turned[:1]])
    runs = [_run(closed[start : end + 1], tolerance, step) for start, end in itertools.pairwise(stops)]
    return np.concatenate(runs)


def _corners(ring: Points, reach: float) -> Indexes:
    """Points of a ring where it turns by more than a smooth curve does within its reach."""
    lengths = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T)
    around = float(lengths.sum())
    along = np.concatenate([[0.0], np.cumsum(lengths)])
    near = min(reach, around / 8)
    closed = np.concatenate([ring, ring[:1]])

    def at(places: Points) -> Points:
        return np.stack([np.interp(places % around, along, closed[:, axis]) for axis in (0, 1)], axis=-1)

    before, after = ring - at(along[:-1] - near), at(along[:-1] + near) - ring
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turns = np.abs(np.degrees(np.arctan2(cross, (before * after).sum(axis=1))))
    sharp = np.flatnonzero(turns > CORNER_DEG)
    kept: list[int] = []
    for place in sharp[np.argsort(-turns[sharp], kind="stable")].tolist():
        apart = np.abs(along[kept] - along[place]) if kept else np.array([around])
        if np.minimum(apart, around - apart).min() > near * 0.75:
            kept.append(place)
    return np.array(sorted(kept), np.intp)


def _run(line: Points, tolerance: float, step: float) -> Points:
    """Cubic pieces along an open line, one straight piece where that is near enough."""
    chord = line[-1] - line[0]
    length = float(np.hypot(*chord))
    offsets = line - line[0]
    away = np.abs(offsets[:, 0] * chord[1] - offsets[:, 1] * chord[0]) / length if length else np.array([np.inf])
    if away.max() <= tolerance:
        return straight(np.array([line[0], line[-1]]))[:1]
    points = _even_line(line, step)
    count = len(points) - 1
    reach = max(1, min(3, count // 4))
    places = np.arange(count + 1)
    tangents = points[np.minimum(places + reach, count)] - points[np.maximum(places - reach, 0)]
    tangents /= np.maximum(np.hypot(tangents[:, 0], tangents[:, 1]), 1e-12)[:, None]
    todo, pieces = [(0, count)], []
    while todo:
        start, end = todo.pop()
        piece, error, worst = _piece(points[start : end + 1], tangents[start], -tangents[end], tolerance)
        if error > tolerance and end - start > 2:
            middle = start + min(max(worst, 1), end - start - 1)
            todo += [(middle, end), (start, middle)]
        else:
            pieces.append(piece)
    return np.array(pieces)


def straight(ring: Points) -> Points:
    """The sides of a polygon as cubic pieces."""
    ends = np.roll(ring, -1, axis=0)
    return np.stack([ring, ring + (ends - ring) / 3, ring + (ends - ring) * 2 / 3, ends], axis=1)


def on_curve(pieces: Points, steps: int) -> Points:
    """Points on the pieces, so many to each, the last one's end left out."""
    t = np.arange(steps) / steps
    return np.asarray(np.einsum("kt,nkd->ntd", _weights(t), pieces).reshape(-1, 2))


def path_data(pieces: Points, decimals: int) -> str:
    """The pieces as one closed subpath of SVG path data."""
    text = [f"{value:.{decimals}f}" for value in pieces.reshape(-1)]
    words = [f"M{text[0]},{text[1]}"]
    words += [
        f"C{text[at + 2]},{text[at + 3]} {text[at + 4]},{text[at + 5]} {text[at + 6]},{text[at + 7]}"
        for at in range(0, len(text), 8)
    ]
    return "".join([*words, "Z"])


def _even_line(line: Points, step: float) -> Points:
    """An open line measured out in equal steps, both ends kept."""
    lengths = np.hypot(*np.diff(line, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(lengths)])
    places = np.linspace(0, along[-1], max(4, round(float(along[-1]) / step)) + 1)
    return np.stack([np.interp(places, along, line[:, axis]) for axis in (0, 1)], axis=-1)


def _even(ring: Points, step: float) -> Points:
    """The ring measured out in equal steps."""
    closed = np.concatenate([ring, ring[:1]])
    lengths = np.hypot(*np.diff(closed, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(lengths)])
    count = max(16, round(float(along[-1]) / step))
    places = np.arange(count) * (along[-1] / count)
    return np.stack([np.interp(places, along, closed[:, axis]) for axis in (0, 1)], axis=-1)


def _weights(t: Points) -> Points:
    s = 1 - t
    return np.stack([s**3, 3 * s * s * t, 3 * s * t * t, t**3])


def _piece(part: Points, first: Points, last: Points, tolerance: float) -> tuple[Points, float, int]:
    """The best cubic through points with given directions at its ends, its worst distance, and where."""
    lengths = np.hypot(*np.diff(part, axis=0).T)
    t = np.concatenate([[0.0], np.cumsum(lengths)])
    t /= t[-1]
    piece, error, worst = _solved(part, first, last, t)
    for _ in range(TURNS):
        if error <= tolerance:
            break
        t = _nearer(piece, part, t)
        piece, error, worst = _solved(part, first, last, t)
    return piece, error, worst


def _solved(part: Points, first: Points, last: Points, t: Points) -> tuple[Points, float, int]:
    weights = _weights(t)
    chord = float(np.hypot(*(part[-1] - part[0])))
    left, right = weights[1][:, None] * first, weights[2][:, None] * last
    rest = part - (weights[0] + weights[1])[:, None] * part[0] - (weights[2] + weights[3])[:, None] * part[-1]
    a, b, c = float((left * left).sum()), float((left * right).sum()), float((right * right).sum())
    d, e = float((left * rest).sum()), float((right * rest).sum())
    det = a * c - b * b
    one, two = ((d * c - b * e) / det, (a * e - b * d) / det) if abs(det) > 1e-12 * max(a * c, 1e-30) else (0.0, 0.0)
    least, most = 1e-3 * chord, float(np.hypot(*np.diff(part, axis=0).T).sum())
    if not (least <= one <= most and least <= two <= most):  # a handle that turns back or runs far ahead would make a loop
        one = two = chord / 3
    piece = np.array([part[0], part[0] + one * first, part[-1] + two * last, part[-1]])
    away = np.hypot(*(weights.T @ piece - part).T)
    worst = int(np.argmax(away))
    return piece, float(away[worst]), worst


def _nearer(piece: Points, part: Points, t: Points) -> Points:
    """Parameters moved by one step of Newton's towards the nearest point of the piece."""
    speed = 3 * np.diff(piece, axis=0)
    turn = 2 * np.diff(speed, axis=0)
    s = 1 - t
    at = _weights(t).T @ piece - part
    velocity = np.stack([s * s, 2 * s * t, t * t], axis=-1) @ speed
    bend = np.stack([s, t], axis=-1) @ turn
    slope = (velocity * velocity).sum(axis=1) + (at * bend).sum(axis=1)
    moved = t - np.where(np.abs(slope) > 1e-12, (at * velocity).sum(axis=1) / np.where(slope == 0, 1, slope), 0)
    moved = np.clip(moved, 0, 1)
    moved[0], moved[-1] = 0, 1
    return np.asarray(np.maximum.accumulate(moved))
