"""Growing and shrinking of masks by a disc: what lies within a distance of what.

Comes in: boolean masks and a radius in pixels. Goes out: masks of the same shape.
Never done here: colour.

A mask is worked on as one long integer, a bit a pixel: shifting a few kilobytes costs less than calling an array function.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from vectorprep.judge.kinds import Mask


@lru_cache(maxsize=256)
def _half_widths(radius: float) -> tuple[int, ...]:
    """Half width of the disc's row at each distance 0, 1, 2, ... from its middle row."""
    return tuple(math.isqrt(int(radius * radius - dy * dy)) for dy in range(int(radius) + 1))


def _bits(mask: Mask, stride: int) -> int:
    """The mask as an integer, rows `stride` bits apart."""
    wide = np.zeros((mask.shape[0], stride), bool)
    wide[:, : mask.shape[1]] = mask
    return int.from_bytes(np.packbits(wide, bitorder="little").tobytes(), "little")


def _mask(bits: int, shape: tuple[int, ...], stride: int) -> Mask:
    """The mask that the lowest rows of an integer stand for."""
    count = shape[0] * stride
    held = (bits & ((1 << count) - 1)).to_bytes(-(-count // 8), "little")
    wide = np.unpackbits(np.frombuffer(held, np.uint8), bitorder="little", count=count)
    return wide.reshape(shape[0], stride)[:, : shape[1]].astype(bool)


def _grown(bits: int, widths: tuple[int, ...], stride: int) -> int:
    """The integer grown by a disc of half widths; rows must stand at least its radius apart."""
    row, grown, reach = bits, 0, 0
    # From the disc's narrowest row to its widest: each widening builds on the one before.
    for dy in range(len(widths) - 1, -1, -1):
        while reach < widths[dy]:
            step = min(widths[dy] - reach, 2 * reach + 1)
            row |= row << step | row >> step
            reach += step
        grown |= row << dy * stride | row >> dy * stride
    return grown


def grow(mask: Mask, radius: float) -> Mask:
    """Pixels whose centre lies within `radius` px (straight distance) of a pixel of the mask."""
    widths = _half_widths(radius)
    # Rows stand a radius apart, so that nothing grows from the end of one into the next.
    stride = mask.shape[1] + widths[0]
    return _mask(_grown(_bits(mask, stride), widths, stride), mask.shape, stride)


def shrink(mask: Mask, radius: float) -> Mask:
    """Pixels farther than `radius` px from every pixel outside the mask; the world beyond the picture counts as inside."""
    return ~grow(~mask, radius)


def opened(mask: Mask, radius: float) -> Mask:
    """The parts of the mask that a disc of `radius` px fits into; the world beyond the picture counts as inside."""
    return openings(mask, (radius,))[0]


def openings(mask: Mask, radii: Sequence[float]) -> list[Mask]:
    """The same for several radii, the mask made ready once."""
    discs = [_half_widths(radius) for radius in radii]
    stride = mask.shape[1] + max(widths[0] for widths in discs)
    bits = _bits(mask, stride)
    inside = _inside(mask.shape[0], mask.shape[1], stride)
    found = []
    for widths in discs:
        core = inside & ~_grown(inside & ~bits, widths, stride)
        found.append(_mask(_grown(core, widths, stride) & bits, mask.shape, stride))
    return found


@lru_cache(maxsize=64)
def _inside(height: int, width: int, stride: int) -> int:
    """All pixels of a picture as an integer."""
    return _bits(np.ones((height, width), bool), stride)


def inner_edge(mask: Mask) -> Mask:
    """Pixels of the mask with a 4-neighbour outside it."""
    core = mask.copy()
    core[1:] &= mask[:-1]
    core[:-1] &= mask[1:]
    core[:, 1:] &= mask[:, :-1]
    core[:, :-1] &= mask[:, 1:]
    return mask & ~core


def without_holes(mask: Mask) -> Mask:
    """The mask with all it encloses; ways out are followed by blocks of 2 x 2, so that a gap of one pixel is a way out."""
    height, width = mask.shape
    open_ground = ~mask[: height // 2 * 2, : width // 2 * 2]
    halved = open_ground[::2] | open_ground[1::2]
    ground = np.pad(halved[:, ::2] | halved[:, 1::2], 1, constant_values=True)
    stride = ground.shape[1]
    ways = _bits(ground, stride)
    outside, before = (1 << stride) - 1, 0
    while outside != before:
        before = outside
        # The rim is open all around, so that running over from one row into the next is no short cut.
        outside |= (outside << 1 | outside >> 1 | outside << stride | outside >> stride) & ways
    enclosed = (ground & ~_mask(outside, ground.shape, stride))[1:-1, 1:-1]
    filled = mask.copy()
    filled[: height // 2 * 2, : width // 2 * 2] |= np.repeat(np.repeat(enclosed, 2, axis=0), 2, axis=1)
    return filled
