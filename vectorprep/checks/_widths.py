"""Local width of ink, or of the gaps in it, at single pixels and to a fraction of one.

Comes in: coverage and the pixels asked about. Goes out: widths in pixels. Never done here: choosing the pixels.

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
"""Pairs closer than this belong to a straight band; the one whose runs are both closed is then exact."""


def widths(coverage: Bytes, places: Indexes, reach: int, *, of_gaps: bool = False) -> Floats:
    """Width of the band at each place, px; a large number where no run across it ends within reach.

    Args:
        coverage: two-dimensional, uint8, contiguous, with a rim wider than `reach` around every place.
        places: flat indexes into it.
        reach: how far runs are followed, px.
        of_gaps: whether the band is one without ink.
    """
    look = _Look(flat=coverage.reshape(-1), stride=coverage.shape[1], reach=reach, turn=np.uint8(255 if of_gaps else 0))
    parts = [_widths(look, places[at : at + _CHUNK]) for at in range(0, len(places), _CHUNK)]
    return np.concatenate(parts) if parts else np.zeros(0, np.float32)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Look:
    flat: Bytes
    stride: int
    reach: int
    turn: np.uint8

    def at(self, places: Indexes) -> Bytes:
        """Coverage by ink, or by its absence."""
        seen = self.flat[places]
        return np.bitwise_xor(seen, self.turn, out=seen)


def _widths(look: _Look, places: Indexes) -> Floats:
    steps = (1, look.stride, look.stride + 1, look.stride - 1)
    peak = look.at(places)
    for step in steps:
        for offset in (-2 * step, -step, step, 2 * step):
            np.maximum(peak, look.at(places + offset), out=peak)
    across, down, falling, rising = (_run(look, places, step, peak) for step in steps)
    root = np.float32(np.sqrt(2))
    straight, slanted = _crossed(across, down), _crossed(falling * root, rising * root)
    longest_straight, longest_slanted = np.maximum(across, down), np.maximum(falling, rising)
    return _chosen(straight, slanted, longest_straight >= _FAR, longest_slanted >= _FAR)


def _chosen(straight: Floats, slanted: Floats, straight_open: NDArray[np.bool_], slanted_open: NDArray[np.bool_]) -> Floats:
    both = np.maximum(straight, slanted)
    agree = np.minimum(straight, slanted) >= _DISAGREE * both
    both = np.where(agree & straight_open & ~slanted_open, slanted, both)
    return np.where(agree & slanted_open & ~straight_open, straight, both)


def _crossed(one: Floats, other: Floats) -> Floats:
    one, other = np.minimum(one, _FAR), np.minimum(other, _FAR)
    return np.asarray(one * other / np.sqrt(one * one + other * other), np.float32)


def _run(look: _Look, places: Indexes, step: int, peak: Bytes) -> Floats:
    """Covered length along one direction in steps; a large number where it goes on beyond the reach."""
    half = (peak >> 1)[None, :]
    offsets = np.arange(1, look.reach + 1)[:, None] * step
    total = look.at(places).astype(np.int32)
    solid = np.ones(len(places), np.int32)
    is_open = np.zeros(len(places), bool)
    for sign in (1, -1):
        seen = look.at(places[None, :] + sign * offsets)
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
