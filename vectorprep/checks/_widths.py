"""Local width of ink, or of the gaps in it, at single pixels and to a fraction of one.

Comes in: a prepared picture and the pixels asked about. Goes out: widths in pixels. Never done here: choosing the pixels.

A straight band of width w that crosses a row over a length s and a column over a length t has 1/w^2 = 1/s^2 + 1/t^2 (geometry), and
the sum of coverage along a row of pixels is that length exactly, wherever the edges fall between pixels. The same holds for the two
diagonals. Of the two pairs the greater width is taken: at a corner one of them runs across the tip.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.checks._print import Prepared

    Bytes = NDArray[np.uint8]
    Floats = NDArray[np.float32]
    Indexes = NDArray[np.intp]

_OUTSIDE = 8
"""Coverage (of 255) from which a run ends; the ink box's own threshold."""
_SOLID = 250
_WIDE_ENOUGH = 4
"""Pixels from which a band surely has one that is wholly covered, so that less coverage means see-through ink."""
_CHUNK = 20_000
_FAR = np.float32(1e6)
_DISAGREE = np.float32(0.88)
"""Pairs closer than this belong to a band that is straight or bends slowly."""
_LEAST = np.float32(1e-3)
_STEPS = ((0, 1), (1, 0), (1, 1), (1, -1))
"""Rows and columns of one step: across, down, falling, rising."""


def widths(picture: Prepared, rows: Indexes, columns: Indexes, reach: int, *, of_gaps: bool = False) -> Floats:
    """Width of the band at each pixel; a large number where no run across it ends within reach.

    Args:
        picture: what is looked at; nothing lies outside it.
        rows: of the pixels.
        columns: of the pixels.
        reach: how far runs are followed, px.
        of_gaps: whether the band is one without ink.
    """
    height, width = picture.pixels.shape[:2]
    turn = np.uint8(255 if of_gaps else 0)
    made = np.empty(len(rows), np.float32)
    is_inner = (rows >= reach) & (rows < height - reach) & (columns >= reach) & (columns < width - reach)
    for inner in (True, False):
        at = np.flatnonzero(is_inner if inner else ~is_inner)
        for first in range(0, len(at), _CHUNK):
            chosen = at[first : first + _CHUNK]
            look = _Look(picture=picture, rows=rows[chosen], columns=columns[chosen], reach=reach, turn=turn, is_inner=inner)
            made[chosen] = _widths(look)
    return made


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Look:
    """Pixels with all that lies within reach of them; where that is inside the picture, no bounds need be kept."""

    picture: Prepared
    rows: Indexes
    columns: Indexes
    reach: int
    turn: np.uint8
    is_inner: bool

    def at(self, step: tuple[int, int], times: Indexes) -> Bytes:
        """Coverage by ink, or by its absence, so many steps away: number of steps x pixels."""
        down, right = step
        if self.is_inner:
            flat, pitch = self.picture.bytes_px
            places = self.rows * pitch + 4 * self.columns + 3
            seen = flat[places[None, :] + times[:, None] * (down * pitch + 4 * right)]
        else:
            seen = self.picture.alpha_at(self.rows[None, :] + down * times[:, None], self.columns[None, :] + right * times[:, None])
        return np.asarray(np.bitwise_xor(seen, self.turn, out=seen))


def _widths(look: _Look) -> Floats:
    peak = np.maximum.reduce([look.at(step, np.array((-2, -1, 0, 1, 2))).max(axis=0) for step in _STEPS])
    across, down, falling, rising = (_run(look, step, peak) for step in _STEPS)
    root = np.float32(np.sqrt(2))
    runs = np.stack([across, rising * root, down, falling * root])
    straight, slanted = _crossed(runs[0], runs[2]), _crossed(runs[1], runs[3])
    both = np.maximum(straight, slanted)
    agree = np.minimum(straight, slanted) >= _DISAGREE * both
    return np.where(agree, _squarely(runs, both), both)


def _squarely(runs: Floats, otherwise: Floats) -> Floats:
    """Width by the shortest of four runs and the angle at which it crosses the band, which bends of the band hardly touch.

    The runs beside it, 45 degrees to either side, tell the angle: their reciprocals go as the cosines of theirs (geometry).
    """
    each = np.arange(runs.shape[1])
    shortest = runs.argmin(axis=0)
    beside = runs[(shortest + 1) % 4, each], runs[(shortest + 3) % 4, each]
    one, other = 1 / np.maximum(beside[0], _LEAST), 1 / np.maximum(beside[1], _LEAST)
    tangent = (one - other) / (one + other)
    width = runs[shortest, each] / np.sqrt(1 + tangent * tangent)
    return np.asarray(np.where(np.maximum(*beside) < _FAR, width, otherwise), np.float32)


def _crossed(one: Floats, other: Floats) -> Floats:
    one, other = np.minimum(one, _FAR), np.minimum(other, _FAR)
    return np.asarray(one * other / np.sqrt(one * one + other * other), np.float32)


def _run(look: _Look, step: tuple[int, int], peak: Bytes) -> Floats:
    """Covered length along one direction in steps; a large number where it goes on beyond the reach."""
    half = (peak >> 1)[None, :]
    away = np.arange(1, look.reach + 1)
    total = look.at(step, np.zeros(1, np.intp))[0].astype(np.int32)
    solid = np.ones(len(look.rows), np.int32)
    is_open = np.zeros(len(look.rows), bool)
    for sign in (1, -1):
        seen = look.at(step, sign * away)
        goes_on = seen > _OUTSIDE
        goes_on[1:] &= ~((seen[1:] > seen[:-1]) & (seen[:-1] < half))
        np.logical_and.accumulate(goes_on, axis=0, out=goes_on)
        seen *= goes_on
        total += seen.sum(axis=0, dtype=np.int32)
        solid += (seen > half).sum(axis=0, dtype=np.int32)
        is_open |= goes_on[-1]
    whole = np.where((solid >= _WIDE_ENOUGH) & (peak < _SOLID), peak, np.uint8(255))
    length = total / np.maximum(whole, 1).astype(np.float32)
    length[is_open] = _FAR
    return np.asarray(length, np.float32)
