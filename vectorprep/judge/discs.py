"""Growing and shrinking of masks by a disc: what lies within a distance of what.

Comes in: boolean masks and a radius in pixels. Goes out: masks of the same shape.
Never done here: colour.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Mask


@lru_cache(maxsize=64)
def _half_widths(radius: float) -> tuple[int, ...]:
    """Half width of the disc's row at each distance 0, 1, 2, ... from its middle row."""
    return tuple(math.isqrt(int(radius * radius - dy * dy)) for dy in range(int(radius) + 1))


def grow(mask: Mask, radius: float) -> Mask:
    """Pixels whose centre lies within `radius` px (straight distance) of a pixel of the mask."""
    widths = _half_widths(radius)
    height = mask.shape[0]
    grown = np.zeros_like(mask)
    row = mask
    reach = 0
    # Rows of the disc from the narrowest to the widest, so that each widening builds on the one before.
    for dy in range(len(widths) - 1, -1, -1):
        while reach < widths[dy]:
            wider = row.copy()
            wider[:, 1:] |= row[:, :-1]
            wider[:, :-1] |= row[:, 1:]
            row = wider
            reach += 1
        if dy >= height:
            continue
        if dy == 0:
            grown |= row
        else:
            grown[dy:] |= row[:-dy]
            grown[:-dy] |= row[dy:]
    return grown


def shrink(mask: Mask, radius: float) -> Mask:
    """Pixels farther than `radius` px from every pixel outside the mask; the world beyond the picture counts as inside."""
    return ~grow(~mask, radius)


def opened(mask: Mask, radius: float) -> Mask:
    """The parts of the mask that a disc of `radius` px fits into."""
    core = shrink(mask, radius)
    return grow(core, radius) & mask if core.any() else core


def inner_edge(mask: Mask) -> Mask:
    """Pixels of the mask with a 4-neighbour outside it."""
    core = mask.copy()
    core[1:] &= mask[:-1]
    core[:-1] &= mask[1:]
    core[:, 1:] &= mask[:, :-1]
    core[:, :-1] &= mask[:, 1:]
    return mask & ~core
