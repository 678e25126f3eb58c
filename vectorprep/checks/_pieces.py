"""Connected pieces of a packed mask, found by its runs.

Comes in: packed masks. Goes out: runs with the number of the piece each belongs to, and figures of the pieces.
Never done here: deciding what matters.

Labels settle by hooking and pointer jumping (Shiloach and Vishkin, Journal of Algorithms 3(1):57-67, 1982), all runs at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._bits import left, positions, right

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.checks._bits import Bits

    Indexes = NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Runs:
    """Runs of set pixels in reading order: row, first column, column behind the last, number 0.. of their piece."""

    row: Indexes
    start: Indexes
    stop: Indexes
    piece: Indexes
    count: int

    @property
    def areas(self) -> Indexes:
        """Pixels of each piece."""
        return np.bincount(self.piece, self.stop - self.start, self.count).astype(np.intp)

    @property
    def boxes(self) -> Indexes:
        """(x0, y0, x1, y1) of each piece, far sides exclusive."""
        found = np.empty((self.count, 4), np.intp)
        found[:, :2], found[:, 2:] = np.iinfo(np.int32).max, -1
        np.minimum.at(found[:, 0], self.piece, self.start)
        np.minimum.at(found[:, 1], self.piece, self.row)
        np.maximum.at(found[:, 2], self.piece, self.stop)
        np.maximum.at(found[:, 3], self.piece, self.row + 1)
        return found


def pieces(bits: Bits) -> Runs:
    """The runs of a mask; pieces that touch by a corner are one."""
    row, start = positions(bits & ~right(bits))
    _, last = positions(bits & ~left(bits))
    stop = last + 1
    above, below = _touching(row, start, stop)
    piece, count = joined(len(row), above, below)
    return Runs(row=row, start=start, stop=stop, piece=piece, count=count)


def piece_at(runs: Runs, rows: Indexes, columns: Indexes) -> Indexes:
    """Number of the piece that each pixel lies in, -1 for none."""
    if not len(runs.row):
        return np.full(len(rows), -1, np.intp)
    stride = int(max(runs.stop.max(), columns.max(initial=0))) + 2
    offset = 1 - min(int(runs.start.min()), int(columns.min(initial=0)))
    stride += offset
    keys = runs.row * stride + runs.start + offset
    found = np.searchsorted(keys, rows * stride + columns + offset, side="right") - 1
    inside = (found >= 0) & (runs.row[found] == rows) & (columns < runs.stop[found])
    return np.where(inside, runs.piece[found], -1)


def _touching(row: Indexes, start: Indexes, stop: Indexes) -> tuple[Indexes, Indexes]:
    """Pairs of runs in neighbouring rows that touch, also by a corner."""
    if not len(row):
        return row, row
    stride = int(stop.max() - min(start.min(), 0)) + 4
    base = row * stride + 2 - min(int(start.min()), 0)
    # A run above touches where its stop >= this start and its start <= this stop.
    first = np.searchsorted(base + stop, base - stride + start, side="left")
    behind = np.searchsorted(base + start, base - stride + stop, side="right")
    many = np.maximum(behind - first, 0)
    below = np.repeat(np.arange(len(row)), many)
    above = np.arange(len(below)) - np.repeat(np.cumsum(many) - many, many) + np.repeat(first, many)
    return above, below


def joined(size: int, first: Indexes, second: Indexes) -> tuple[Indexes, int]:
    """Numbers 0.. of the groups that pairs make of `size` things, in the order of their first members, and how many."""
    label = np.arange(size)
    while len(first):
        low = np.minimum(label[first], label[second])
        high = np.maximum(label[first], label[second])
        apart = low != high
        if not apart.any():
            break
        first, second = first[apart], second[apart]
        np.minimum.at(label, high[apart], low[apart])
        while True:
            jumped = label[label]
            if np.array_equal(jumped, label):
                break
            label = jumped
    names, number = np.unique(label, return_inverse=True)
    return number, len(names)
