"""Connected pieces of a mask and their boxes.

Comes in: boolean masks on a proof's grid. Goes out: pieces, largest first.
Never done here: deciding what matters.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Labels, Mask
    from vectorprep.model.result import Corners, PxBox


COARSE_PX = 4
"""Side of the blocks that pieces are found on: gaps up to this (1.6 % of the picture) do not part them."""


def labelled(mask: Mask) -> tuple[Labels, int]:
    """Number 1..n of the piece each pixel belongs to (0 = none), and n; blocks that touch, also by a corner, are one piece."""
    height, width = mask.shape
    rows, columns = -(-height // COARSE_PX), -(-width // COARSE_PX)
    padded = np.zeros((rows * COARSE_PX, columns * COARSE_PX), bool)
    padded[:height, :width] = mask
    blocks = np.asarray(padded.reshape(rows, COARSE_PX, columns, COARSE_PX).any(axis=(1, 3)))
    coarse, count = _block_labels(blocks)
    fine = np.repeat(np.repeat(coarse, COARSE_PX, axis=0), COARSE_PX, axis=1)[:height, :width]
    return np.where(mask, fine, 0).astype(np.int32), count


def _block_labels(blocks: Mask) -> tuple[Labels, int]:
    """Pieces of a small mask: runs of each row joined to the touching runs of the row above."""
    parents: list[int] = []

    def root(run: int) -> int:
        while parents[run] != run:
            parents[run] = parents[parents[run]]
            run = parents[run]
        return run

    runs: list[tuple[int, int, int]] = []
    above: list[tuple[int, int, int]] = []
    for row in range(blocks.shape[0]):
        here = []
        for start, stop in _runs(blocks[row]):
            number = len(parents)
            parents.append(number)
            here.append((start, stop, number))
            runs.append((row, start, stop))
            for other_start, other_stop, other in above:
                if other_start <= stop and start <= other_stop:
                    parents[root(number)] = root(other)
        above = here
    names: dict[int, int] = {}
    labels = np.zeros(blocks.shape, np.int32)
    for number, (row, start, stop) in enumerate(runs):
        labels[row, start:stop] = names.setdefault(root(number), len(names) + 1)
    return labels, len(names)


def _runs(row: Mask) -> list[tuple[int, int]]:
    steps = np.flatnonzero(np.diff(np.concatenate(([False], row, [False])).astype(np.int8)))
    return list(zip(steps[::2].tolist(), steps[1::2].tolist(), strict=True))


def box_of(mask: Mask) -> PxBox:
    """(x0, y0, x1, y1) of a mask that is not empty, px, far sides exclusive."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1


def fractions(box_px: PxBox, part: PxBox) -> Corners:
    """A part's box in fractions of another box, held to 0..1."""
    x0, y0, x1, y1 = box_px
    across = [min(1.0, max(0.0, (x - x0) / (x1 - x0))) for x in (part[0], part[2])]
    down = [min(1.0, max(0.0, (y - y0) / (y1 - y0))) for y in (part[1], part[3])]
    return across[0], down[0], across[1], down[1]
