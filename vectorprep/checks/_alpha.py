"""Soft, faint and broken coverage in a print picture: see-through areas, mist, hairlines between abutting shapes.

Comes in: a prepared picture. Goes out: spots with their area, length, box. Never done here: limits, words.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._bands import COVERAGE_RIM
from vectorprep.checks._bits import SQUARE_3, SQUARE_5, count, dilated, eroded, opened, pack, positions
from vectorprep.checks._pieces import pieces
from vectorprep.checks._print import MIST_TO, Prepared

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.checks._bits import Bits
    from vectorprep.model.result import PxBox

    Indexes = NDArray[np.intp]

SEAM_RUN_PX = 20  # house value: a run of more than 20 px
SEAM_LEAST = 128  # coverage below is a gap
SEAM_MOST = 250  # two shapes that overlap all but wholly leave less than this unseen
CELL_PX = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Spots:
    """Pixels of one kind: how many, how many of them in the largest place, and that place's box."""

    pixels: int
    largest_px: int = 0
    box_px: PxBox | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """A hairline: its length, the least coverage found in it, its box."""

    length_px: float
    least: int
    box_px: PxBox


def soft_interior(picture: Prepared) -> Spots:
    """Pixels that are soft and have only soft neighbours, where such an area is more than a smoothed line.

    A line of less than two pixels is soft all through: an area counts from a block of 5 x 5 soft pixels on.
    """
    soft = picture.soft
    inner = eroded(soft, SQUARE_3)
    return largest(inner & dilated(eroded(soft, SQUARE_5), SQUARE_5))


def mist(picture: Prepared) -> Spots:
    """Pixels of a coverage of 1..12 more than two pixels away from stronger ink."""
    strong = picture.ink(MIST_TO + 1)
    return largest(picture.ink(1) & ~dilated(strong, SQUARE_5))


def seams(picture: Prepared) -> tuple[Seam, ...]:
    """Hairlines of less than full coverage inside opaque ink, the longest first.

    Where two smoothed edges meet, the coverage is 1 - c(1 - c), never under three quarters.
    """
    full = picture.ink(SEAM_MOST)
    not_gap = picture.ink(SEAM_LEAST)
    closed = ~opened(~full, SQUARE_3)
    thin = closed & ~full & not_gap & ~dilated(~not_gap, SQUARE_5)
    if not thin.any():
        return ()
    bridged = ~opened(~thin, SQUARE_3)
    runs = pieces(bridged)
    boxes = runs.boxes
    long_enough = np.flatnonzero(np.hypot(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]) > SEAM_RUN_PX)
    found = [_seam(picture, tuple(int(side) for side in boxes[number])) for number in long_enough]
    return tuple(sorted(found, key=lambda seam: -seam.length_px))


def _seam(picture: Prepared, box: tuple[int, ...]) -> Seam:
    x0, y0, x1, y1 = box
    window = picture.coverage[y0 + COVERAGE_RIM : y1 + COVERAGE_RIM, x0 + COVERAGE_RIM : x1 + COVERAGE_RIM]
    inside = window[window >= SEAM_LEAST]
    return Seam(length_px=math.hypot(x1 - x0, y1 - y0), least=int(inside.min()), box_px=(x0, y0, x1, y1))


def largest(bits: Bits) -> Spots:
    """How many pixels a mask has, and its largest place; cells that touch are one place."""
    many = count(bits)
    if not many:
        return Spots(pixels=0)
    rows, columns = positions(bits)
    cells = np.zeros((int(rows.max()) // CELL_PX + 1, int(columns.max()) // CELL_PX + 1), np.int64)
    np.add.at(cells, (rows // CELL_PX, columns // CELL_PX), 1)
    runs = pieces(pack(cells > 0))
    sums = np.concatenate(([0], np.cumsum(cells.ravel())))
    base = runs.row * cells.shape[1]
    weights = np.bincount(runs.piece, sums[base + runs.stop] - sums[base + runs.start], runs.count)
    best = int(weights.argmax())
    x0, y0, x1, y1 = (int(side) * CELL_PX for side in runs.boxes[best])
    here = (rows >= y0) & (rows < y1) & (columns >= x0) & (columns < x1)
    box = int(columns[here].min()), int(rows[here].min()), int(columns[here].max()) + 1, int(rows[here].max()) + 1
    return Spots(pixels=many, largest_px=int(weights[best]), box_px=box)
