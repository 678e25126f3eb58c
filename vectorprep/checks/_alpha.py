"""Soft, faint and broken coverage in a print picture: see-through areas, mist, hairlines between abutting shapes.

Comes in: a prepared picture. Goes out: spots with their area, length, box. Never done here: limits, words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._bits import (
    CELL_PX,
    SQUARE_3,
    SQUARE_5,
    box_within,
    cells_covered,
    count,
    dilated,
    eroded,
    halved,
    left,
    opened,
    pack,
)
from vectorprep.checks._pieces import Cells, pieces
from vectorprep.checks._print import MIST_TO, Prepared

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.checks._bits import Bits
    from vectorprep.model.result import PxBox

    Indexes = NDArray[np.intp]

SEAM_RUN_PX = 20  # house value: a run of more than 20 px
SEAM_LEAST = 128  # coverage below is a gap
SEAM_MOST = 250  # two shapes that overlap all but wholly leave less than this unseen
BRIDGED_PX = 2  # renderers leave single opaque pixels in a steep seam


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
    squares = halved(soft)
    if not (squares[:-1] & squares[1:] & left(squares[:-1] & squares[1:])).any():  # in each block of 5 x 5 lie 2 x 2 squares
        return Spots(pixels=0)
    inner = eroded(soft, SQUARE_3)
    return largest(inner & dilated(eroded(soft, SQUARE_5), SQUARE_5))


def mist(picture: Prepared, least_px: float) -> Spots:
    """Pixels of a coverage of 1..12 more than two pixels away from stronger ink; not looked for where no more than the least."""
    strong = picture.ink(MIST_TO + 1)
    if count(picture.ink(1) & ~strong) <= least_px:
        return Spots(pixels=0)
    return largest(picture.ink(1) & ~dilated(strong, SQUARE_5))


def seams(picture: Prepared) -> tuple[Seam, ...]:
    """Hairlines of less than full coverage inside opaque ink, the longest first.

    Where two smoothed edges meet, the coverage is 1 - c(1 - c), never under three quarters.
    """
    rows, columns = _broken(picture)
    if not len(rows):
        return ()
    alpha = picture.alpha_at(rows, columns)
    group, many = Cells.of(rows, columns, BRIDGED_PX).groups(np.arange(len(rows)))
    order = np.argsort(group, kind="stable")
    starts = np.searchsorted(group[order], np.arange(many))
    x0, y0 = (np.minimum.reduceat(side[order], starts) for side in (columns, rows))
    x1, y1 = (np.maximum.reduceat(side[order], starts) + 1 for side in (columns, rows))
    least = np.minimum.reduceat(alpha[order], starts)
    length = np.hypot(x1 - x0, y1 - y0)
    found = [
        Seam(length_px=float(length[n]), least=int(least[n]), box_px=(int(x0[n]), int(y0[n]), int(x1[n]), int(y1[n])))
        for n in np.flatnonzero(length > SEAM_RUN_PX)
    ]
    return tuple(sorted(found, key=lambda seam: -seam.length_px))


def _broken(picture: Prepared) -> tuple[Indexes, Indexes]:
    """Pixels of not quite full coverage between full ones, at most two of them wide, with no gap near."""
    squares = eroded(picture.all_of(SEAM_LEAST), SQUARE_3) & ~picture.all_of(SEAM_MOST)
    rows, columns = picture.pixels_of(squares & ~opened(squares, SQUARE_3))
    is_open = picture.alpha_at(rows, columns) < SEAM_MOST
    rows, columns = rows[is_open], columns[is_open]
    is_seam = np.zeros(len(rows), np.bool_)
    for down, right in ((0, 1), (1, 0), (1, 1), (1, -1)):
        far, near, after, beyond = (
            picture.alpha_at(rows + times * down, columns + times * right) >= SEAM_MOST for times in (-2, -1, 1, 2)
        )
        is_seam |= (near & after) | (near & beyond) | (far & after)
    return rows[is_seam], columns[is_seam]


def largest(bits: Bits) -> Spots:
    """How many pixels a mask has, and its largest place; cells that touch are one place."""
    many = count(bits)
    if not many:
        return Spots(pixels=0)
    cells = np.rint(cells_covered(bits) * CELL_PX**2).astype(np.int64)
    runs = pieces(pack(cells > 0))
    sums = np.concatenate(([0], np.cumsum(cells.ravel())))
    base = runs.row * cells.shape[1]
    weights = np.bincount(runs.piece, sums[base + runs.stop] - sums[base + runs.start], runs.count)
    best = int(weights.argmax())
    x0, y0, x1, y1 = (int(side) * CELL_PX for side in runs.boxes[best])
    box = box_within(bits, (x0, y0, x1, y1))
    return Spots(pixels=many, largest_px=int(weights[best]), box_px=box)
