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
    return _joined_up(row, start, last + 1)


def piece_at(runs: Runs, rows: Indexes, columns: Indexes) -> Indexes:
    """Number of the piece that each of some set pixels lies in."""
    if not len(rows):
        return np.zeros(0, np.intp)
    lowest = min(int(runs.start.min()), 0)
    stride = int(runs.stop.max()) - lowest + 2
    found = np.searchsorted(runs.row * stride + runs.start - lowest, rows * stride + columns - lowest, side="right") - 1
    return np.asarray(runs.piece[found], np.intp)


def pieces_of(rows: Indexes, columns: Indexes) -> Runs:
    """The runs that some pixels make; the pixels come in any order."""
    stride = int(columns.max(initial=0)) + 2
    names = np.sort(rows * stride + columns)  # np.unique takes a hash table, ten times slower here
    names = names[np.diff(names, prepend=-2) != 0]
    first = np.flatnonzero(np.diff(names, prepend=-2) != 1)
    row, start = np.divmod(names[first], stride)
    _, last = np.divmod(names[np.append(first[1:], len(names)) - 1], stride)
    return _joined_up(row, start, last + 1)


def _joined_up(row: Indexes, start: Indexes, stop: Indexes) -> Runs:
    above, below = _touching(row, start, stop)
    piece, count = joined(len(row), above, below)
    return Runs(row=row, start=start, stop=stop, piece=piece, count=count)


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cells:
    """Squares of a few pixels that places lie in; places in squares that touch, also by a corner, lie together."""

    of_place: Indexes
    names: Indexes
    stride: int

    @classmethod
    def of(cls, rows: Indexes, columns: Indexes, side_px: int) -> Cells:
        """The squares of some pixels."""
        stride = int(columns.max(initial=0)) // side_px + 3
        names, number = np.unique((rows // side_px) * stride + columns // side_px + 1, return_inverse=True)
        return cls(of_place=number, names=names, stride=stride)

    @property
    def count(self) -> int:
        """How many squares hold a place."""
        return len(self.names)

    def groups(self, chosen: Indexes) -> tuple[Indexes, int]:
        """Number of the group that each of some places belongs to, and how many groups there are."""
        used, cell = np.unique(self.of_place[chosen], return_inverse=True)
        names = self.names[used]
        first, second = [], []
        for step in (1, self.stride - 1, self.stride, self.stride + 1):
            at = np.searchsorted(names, names + step)
            meets = np.flatnonzero((at < len(names)) & (names[np.minimum(at, len(names) - 1)] == names + step))
            first.append(meets)
            second.append(at[meets])
        number, many = joined(len(names), np.concatenate(first), np.concatenate(second))
        return number[cell], many
