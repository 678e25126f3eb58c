"""Tiny pieces that stand alone in a picture: dots, for which the outline of the rest would be a blot.

Comes in: coverage, a size in pixels. Goes out: the coverage of such pieces alone, None where there are none.
Never done here: outlines.

On a coarse grid every cell learns from its neighbours how far its piece reaches, for as many steps as a tiny piece has cells: a
tiny piece is then known wholly, a large one to be large.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]
    Mask = NDArray[np.bool_]
    Reach = NDArray[np.int16]

CELLS = 6
"""Cells of the coarse grid that the largest tiny piece spans."""
LARGE_CELL = 4
JOINED = 96
"""Coverage from which neighbouring cells make one piece; below it lies the smoothing between two dots (house value)."""
MOST = 0.5
"""Share of the ink that dots may be: a drawing made of dots is outlined like any other (house value)."""


def dots_alone(alpha: Bytes, largest_px: float) -> Bytes | None:
    """Coverage of the pieces that fit a square of `largest_px`, zero elsewhere.

    Args:
        alpha: coverage.
        largest_px: width and height up to which a piece is tiny; a cell more or less.
    """
    cell = max(1, round(largest_px / CELLS))
    if cell > LARGE_CELL:
        cell -= cell % 2
    height, width = alpha.shape
    ink = _most(alpha, cell) >= JOINED
    alone = _tiny(ink)
    count = np.count_nonzero(alone)
    if not count or count > MOST * np.count_nonzero(ink):
        return None
    # The faint rim of a dot belongs to it.
    alone |= (_spread(alone.astype(np.int16), np.ones_like(ink)) > 0) & ~ink
    # 255 where a dot lies, so that one "and" cuts it out.
    fine = np.repeat(np.repeat(alone.astype(np.uint8) * np.uint8(255), cell, axis=1)[:, :width], cell, axis=0)[:height]
    fine &= alpha
    return fine


def _most(alpha: Bytes, cell: int) -> Bytes:
    """The greatest coverage in each cell; of large cells every second row and column is looked at."""
    step = 2 if cell >= LARGE_CELL and not cell % 2 else 1
    height, width = alpha.shape
    rows = np.maximum.reduceat(alpha[::step, ::step], np.arange(0, -(-height // step), cell // step), axis=0)
    return np.maximum.reduceat(rows, np.arange(0, -(-width // step), cell // step), axis=1)


def _tiny(ink: Mask) -> Mask:
    """Cells of pieces that span no more than `CELLS` across and down; cells that touch by a corner are one piece."""
    height, width = ink.shape
    down, across = np.arange(height, dtype=np.int16)[:, None], np.arange(width, dtype=np.int16)[None]
    found = ink
    for place, size in ((down, height), (across, width)):
        first = np.where(ink, np.int16(size) - place, np.int16(0))
        last = np.where(ink, place, np.int16(0))
        for _ in range(CELLS):
            first, last = _spread(first, ink), _spread(last, ink)
        found = found & (last - (size - first) < CELLS)
    return found


def _spread(reach: Reach, ink: Mask) -> Reach:
    """The greatest of each cell and its eight neighbours, in ink alone."""
    tall = reach.copy()
    np.maximum(tall[1:], reach[:-1], out=tall[1:])
    np.maximum(tall[:-1], reach[1:], out=tall[:-1])
    wide = tall.copy()
    np.maximum(wide[:, 1:], tall[:, :-1], out=wide[:, 1:])
    np.maximum(wide[:, :-1], tall[:, 1:], out=wide[:, :-1])
    wide *= ink
    return wide
