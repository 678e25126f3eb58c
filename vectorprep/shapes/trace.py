"""Coverage turned into outlines: closed polygons along the half-covered line, with as few points as a tolerance allows.

Comes in: coverage, uint8. Goes out: arrays of points in pixels, x right and y down, a pixel's centre at + 0.5.
Never done here: markup.

Sources: marching squares, with saddles joined or parted by their mean (common practice, no source); Douglas and Peucker,
Cartographica 10(2):112-122, 1973 (fewer points).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]
    Points = NDArray[np.float64]
    Indexes = NDArray[np.intp]

HALF = 127.5

# Sides of a cell: 0 top, 1 right, 2 bottom, 3 left. Corners weigh 1, 2, 4, 8 from the top left clockwise; the ink lies on the right
# of each step. Codes 5 and 10 are saddles: two steps, parted by default.
_STEPS: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((0, 3),), 2: ((1, 0),), 3: ((1, 3),), 4: ((2, 1),), 5: ((0, 3), (2, 1)), 6: ((2, 0),), 7: ((2, 3),),
    8: ((3, 2),), 9: ((0, 2),), 10: ((1, 0), (3, 2)), 11: ((1, 2),), 12: ((3, 1),), 13: ((0, 1),), 14: ((3, 0),),
}  # fmt: skip
_JOINED: dict[int, tuple[tuple[int, int], ...]] = {5: ((0, 1), (2, 3)), 10: ((3, 0), (1, 2))}


def contours(covered: Bytes) -> list[Points]:
    """Closed polygons along the line of half coverage, outer rims and holes turning opposite ways."""
    level = np.pad(covered, 1)
    inside = (level > HALF).view(np.uint8)
    code = inside[:-1, :-1] | inside[:-1, 1:] << 1 | inside[1:, 1:] << 2 | inside[1:, :-1] << 3
    sources, targets = _steps(np.asarray(code, np.uint8), level)
    if not sources.size:
        return []
    names, place = np.unique(sources, return_inverse=True)
    after = np.empty(len(names), np.intp)
    after[place] = np.searchsorted(names, targets)
    points = _crossings(names, level)
    return [points[loop] - 0.5 for loop in _loops(after)]


def _steps(code: Bytes, level: Bytes) -> tuple[Indexes, Indexes]:
    """Ends of every step as numbers of cell sides: 2 x pixel for the side to the right of it, + 1 for the side below it."""
    width = level.shape[1]
    sources, targets = [], []

    def add(rows: Indexes, columns: Indexes, steps: tuple[tuple[int, int], ...]) -> None:
        pixel = rows * width + columns
        sides = (2 * pixel, 2 * (pixel + 1) + 1, 2 * (pixel + width), 2 * pixel + 1)
        for start, end in steps:
            sources.append(sides[start])
            targets.append(sides[end])

    every_row, every_column = np.nonzero((code != 0) & (code != 15))
    kinds = code[every_row, every_column]
    for kind, steps in _STEPS.items():
        of_kind = kinds == kind
        rows, columns = every_row[of_kind], every_column[of_kind]
        if kind in _JOINED and rows.size:
            corners = ((rows, columns), (rows, columns + 1), (rows + 1, columns), (rows + 1, columns + 1))
            joined = sum(level[corner].astype(np.float64) for corner in corners) / 4 > HALF
            add(rows[joined], columns[joined], _JOINED[kind])
            rows, columns = rows[~joined], columns[~joined]
        add(rows, columns, steps)
    return np.concatenate(sources), np.concatenate(targets)


def _crossings(names: Indexes, level: Bytes) -> Points:
    """Where the line crosses each side, straight between its two pixels."""
    height, width = level.shape
    rows, columns = np.divmod(names // 2, width)
    down = names % 2
    near = level[rows, columns].astype(np.float64)
    far = level[np.minimum(rows + down, height - 1), np.minimum(columns + 1 - down, width - 1)].astype(np.float64)
    part = (HALF - near) / (far - near)
    return np.stack([columns + part * (1 - down), rows + part * down], axis=-1)


def _loops(after: Indexes) -> list[Indexes]:
    following = after.tolist()
    done = bytearray(len(following))
    loops = []
    for start in range(len(following)):
        if done[start]:
            continue
        loop, here = [], start
        while not done[here]:
            done[here] = 1
            loop.append(here)
            here = following[here]
        loops.append(np.array(loop))
    return loops


def simplified(loop: Points, tolerance_px: float) -> Points:
    """The polygon with as few of its points as keep it within the tolerance."""
    far = int(np.argmax(((loop - loop[0]) ** 2).sum(axis=1)))
    closed = np.concatenate([loop, loop[:1]])
    kept = np.zeros(len(closed), bool)
    kept[[0, far, len(loop)]] = True
    todo = [(0, far), (far, len(loop))]
    while todo:
        start, end = todo.pop()
        if end - start < 2:
            continue
        away = _away(closed[start + 1 : end], closed[start], closed[end])
        worst = int(np.argmax(away))
        if away[worst] > tolerance_px:
            middle = start + 1 + worst
            kept[middle] = True
            todo += [(start, middle), (middle, end)]
    return closed[:-1][kept[:-1]]


def _away(points: Points, start: Points, end: Points) -> Points:
    """Distance of points from a straight piece."""
    along = end - start
    length = float(np.hypot(*along))
    offsets = points - start
    if length == 0:
        return np.asarray(np.hypot(offsets[:, 0], offsets[:, 1]))
    return np.asarray(np.abs(offsets[:, 0] * along[1] - offsets[:, 1] * along[0]) / length)
