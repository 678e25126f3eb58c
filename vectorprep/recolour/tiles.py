"""Square parts of a big plane that hold an edge, side by side in one strip.

Comes in: a coverage plane and how far an edge reaches. Goes out: groups of tiles, what lies in them, and results put back.
Never done here: anything to the pixels. Work along the edges of a drawing costs what the edges cost, not what its canvas costs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]
    Words = NDArray[np.uint32]

BLOCK_PX = 16
"""Blocks of this size are looked at as wholes."""
CORE_PX = 96
"""House value: of 64, 96, 128 and 256 px the quickest for 7 px wide outlines on a canvas of 13 megapixels."""
GROUP_BYTES = 1 << 20
"""A group of tiles stays within a processor's cache."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiles:
    """Some tiles of a plane: corners (y, x) of their cores, side of a core, and how much of the plane around it comes along."""

    corners: tuple[tuple[int, int], ...]
    core: int
    halo: int

    def cut(self, plane: Bytes) -> Bytes:
        """The tiles with their halos, side by side: (core + 2 halo) rows; zero beyond the plane."""
        side = self.core + 2 * self.halo
        strip = np.zeros((side, len(self.corners), side), np.uint8)
        for number, (y, x) in enumerate(self.corners):
            top, left = max(y - self.halo, 0), max(x - self.halo, 0)
            part = plane[top : y + self.core + self.halo, left : x + self.core + self.halo]
            down, right = top - y + self.halo, left - x + self.halo
            strip[down : down + part.shape[0], number, right : right + part.shape[1]] = part
        return strip.reshape(side, -1)

    def cores(self, strip: Bytes) -> Bytes:
        """The cores alone of a strip as `cut` gives it: (core, number of tiles, core)."""
        side = self.core + 2 * self.halo
        return strip.reshape(side, -1, side)[self.halo : self.halo + self.core, :, self.halo : self.halo + self.core]

    def cores_of(self, words: Words) -> Words:
        """The cores of a plane of four-byte pixels, in the order of `cores`; zero beyond it."""
        strip = np.zeros((self.core, len(self.corners), self.core), np.uint32)
        for number, (y, x) in enumerate(self.corners):
            part = words[y : y + self.core, x : x + self.core]
            strip[: part.shape[0], number, : part.shape[1]] = part
        return strip

    def put_back(self, plane: NDArray[np.uint8] | Words, cores: NDArray[np.uint8] | Words) -> None:
        """Writes cores to their places; what lies beyond the plane is left out."""
        for number, (y, x) in enumerate(self.corners):
            part = plane[y : y + self.core, x : x + self.core]
            part[...] = cores[: part.shape[0], number, : part.shape[1]]


def tiles_with_edges(alpha: Bytes, halo: int, factor: int = 1) -> Iterator[Tiles]:
    """Groups of tiles that, with their halos, hold anything but one plain level of 0 or 255.

    Args:
        alpha: coverage, maybe a plane of interleaved pixels; beyond it all is bare.
        halo: how far an edge reaches, px.
        factor: corners of tiles with their halos lie at whole multiples of it.
    """
    core = BLOCK_PX * factor * max(1, CORE_PX // (BLOCK_PX * factor))
    halo = -(-halo // factor) * factor
    if not alpha.size:
        return
    extremes = zip(_blocks(alpha), (np.maximum, np.minimum), strict=True)
    most, least = (_windows(blocks, core, halo, extreme) for blocks, extreme in extremes)
    rows, columns = np.nonzero((most > 0) & (least < 255))
    corners = [(int(row) * core, int(column) * core) for row, column in zip(rows, columns, strict=True)]
    at_once = max(1, GROUP_BYTES // (core + 2 * halo) ** 2)
    for start in range(0, len(corners), at_once):
        yield Tiles(corners=tuple(corners[start : start + at_once]), core=core, halo=halo)


def _blocks(alpha: Bytes) -> tuple[Bytes, Bytes]:
    """Greatest and least level of each block, with a border of bare ones."""
    most, least = [], []
    for top in range(0, len(alpha), BLOCK_PX):
        rows = np.ascontiguousarray(alpha[top : top + BLOCK_PX])
        most.append(rows.max(axis=0))
        least.append(rows.min(axis=0))
    starts = range(0, alpha.shape[1], BLOCK_PX)
    return np.pad(np.maximum.reduceat(most, starts, axis=1), 1), np.pad(np.minimum.reduceat(least, starts, axis=1), 1)


def _windows(blocks: Bytes, core: int, halo: int, extreme: np.ufunc) -> Bytes:
    """Greatest or least level of each tile with its halo."""
    for axis in (0, 1):
        count = blocks.shape[axis] - 2
        spans = []
        for start in range(0, count * BLOCK_PX, core):
            # Blocks are numbered from the bare border on.
            first = max((start - halo) // BLOCK_PX + 1, 0)
            last = min(-(-(start + core + halo) // BLOCK_PX) + 1, count + 2)
            spans.append(extreme.reduce(np.take(blocks, range(first, last), axis=axis), axis=axis))
        blocks = np.stack(spans, axis=axis)
    return blocks
