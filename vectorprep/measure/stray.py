"""Specks that lie far from the drawing and make its box larger.

Comes in: the alpha of a coarse picture.
Goes out: boxes of the specks in fractions of the picture.
Never done here: removing them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorprep.engine.coverage import ANY_ALPHA
from vectorprep.geometry import Box

STRAY_SHARE = 0.001  # house value: of the ink's area
STRAY_DISTANCE = 1.5  # house value: from the middle of the rest, in its radii (half its long side)
PIECES_MAX = 12

Mask = NDArray[np.bool_]


def stray_boxes(alpha: NDArray[np.uint8]) -> tuple[Box, ...]:
    """Boxes (fractions of the picture) of little ink that an empty band cuts off from the rest and that lies far from it."""
    ink = alpha >= ANY_ALPHA
    total = float(alpha.sum(dtype=np.int64))
    rest = ink.copy()
    found: list[Box] = []
    for _ in range(PIECES_MAX):
        piece = _end_piece(alpha, rest, STRAY_SHARE * total)
        if piece is None:
            break
        rest[_slices(piece)] = False
        found.append(piece)
    main = _box(rest)
    if main is None:
        return ()
    height, width = alpha.shape
    far = [piece for piece in found if _is_far(piece, main)]
    return tuple(Box(piece.x0 / width, piece.y0 / height, piece.x1 / width, piece.y1 / height) for piece in far)


def _end_piece(alpha: NDArray[np.uint8], ink: Mask, most: float) -> Box | None:
    """The box of the ink before the first, or after the last, empty band along either axis, if it is a speck."""
    box = _box(ink)
    if box is None:
        return None
    for axis in (0, 1):
        lines = np.flatnonzero(ink.any(axis=axis))
        gaps = np.flatnonzero(np.diff(lines) > 1)
        if not len(gaps):
            continue
        for low, high in ((lines[0], lines[gaps[0]] + 1), (lines[gaps[-1] + 1], lines[-1] + 1)):
            part = np.zeros_like(ink)
            lane = (slice(None), slice(low, high)) if axis == 0 else (slice(low, high), slice(None))
            part[lane] = ink[lane]
            if 0 < alpha[part].sum(dtype=np.int64) <= most:  # by coverage: a speck is mostly edge in a coarse picture
                return _box(part)
    return None


def _is_far(piece: Box, main: Box) -> bool:
    x, y = main.centre
    dx = max(piece.x0 - x, x - piece.x1, 0.0)
    dy = max(piece.y0 - y, y - piece.y1, 0.0)
    return bool(np.hypot(dx, dy) > STRAY_DISTANCE * max(main.width, main.height) / 2)


def _box(ink: Mask) -> Box | None:
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    if not len(rows):
        return None
    return Box(float(columns[0]), float(rows[0]), float(columns[-1] + 1), float(rows[-1] + 1))


def _slices(box: Box) -> tuple[slice, slice]:
    return slice(int(box.y0), int(box.y1)), slice(int(box.x0), int(box.x1))
