"""Rectangles laid close together on a strip, or on several of limited length.

Comes in: sizes and the strip's width, whole numbers of any unit. Goes out: a `Spot` for each size.
Never done here: gaps and margins (they are part of the sizes), what lies in the rectangles.

The laying is rectpack's (maximal rectangles and skylines, after Jylänki, "A thousand ways to pack the bin", 2010): several of its
ways and orders are tried and the best kept, always the same for the same sizes.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

WAYS = ("MaxRectsBl", "MaxRectsBssf", "MaxRectsBaf", "SkylineBlWm")
ORDERS = ("SORT_SSIDE", "SORT_LSIDE", "SORT_AREA", "SORT_PERI")
"""Names in rectpack, an optional part that is asked for when something is laid."""
FEW, MANY = 150, 500
"""Up to so many rectangles every way is tried; above, those that stay quick: a way costs half a second at 300."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where a rectangle lies: number of its strip, top-left corner, whether it is turned by a quarter."""

    strip: int
    x: int
    y: int
    is_turned: bool


def nested(sizes: Sequence[tuple[int, int]], width: int, length: int, *, may_turn: bool) -> list[Spot]:
    """A place for every size, as short as is found; strips after the first only where one is not long enough.

    Raises:
        ValueError: a size that fits on no strip.
    """
    for size in sizes:
        if not fits(size, width, length, may_turn=may_turn):
            raise ValueError(f"{size[0]} x {size[1]} does not fit on {width} x {length}")
    left = list(range(len(sizes)))
    found: dict[int, Spot] = {}
    for strip in itertools.count():
        if not left:
            break
        laid = _best([(at, sizes[at]) for at in left], width, length, may_turn=may_turn)
        found |= {at: Spot(strip=strip, x=x, y=y, is_turned=(w, h) != sizes[at]) for at, (x, y, w, h) in laid.items()}
        left = [at for at in left if at not in laid]
    return [found[at] for at in range(len(sizes))]


def fits(size: tuple[int, int], width: int, length: int, *, may_turn: bool) -> bool:
    """Whether a strip takes a rectangle at all."""
    turned = size[1] <= width and size[0] <= length
    return (size[0] <= width and size[1] <= length) or (may_turn and turned)


def row_length(sizes: Sequence[tuple[int, int]], width: int) -> int:
    """Length that the rectangles take when they are laid in rows in their order, none turned: what nesting is held against."""
    length = across = row = 0
    for w, h in sizes:
        if across + w > width:
            length, across, row = length + row, 0, 0
        across, row = across + w, max(row, h)
    return length + row


def _best(
    sized: Sequence[tuple[int, tuple[int, int]]], width: int, length: int, *, may_turn: bool
) -> dict[int, tuple[int, int, int, int]]:
    """One strip: all of them as short as possible, else as much of their area as it takes."""
    tries = [_laid(sized, width, length, way, order, may_turn=may_turn) for way, order in _tries(len(sized))]

    def worth(laid: dict[int, tuple[int, int, int, int]]) -> tuple[int, int]:
        return sum(w * h for _, _, w, h in laid.values()), -max(y + h for _, y, _, h in laid.values())

    return max(tries, key=worth)


def _tries(count: int) -> list[tuple[str, str]]:
    if count <= FEW:
        return list(itertools.product(WAYS, ORDERS))
    skylines = [("SkylineBlWm", order) for order in ORDERS]
    return [("MaxRectsBl", "SORT_LSIDE"), *skylines] if count <= MANY else skylines


def _laid(
    sized: Sequence[tuple[int, tuple[int, int]]], width: int, length: int, way: str, order: str, *, may_turn: bool
) -> dict[int, tuple[int, int, int, int]]:
    """What one way lays on one strip: left, top, width, height by number."""
    import rectpack

    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=getattr(rectpack, way),
        sort_algo=getattr(rectpack, order),
        rotation=may_turn,
    )
    for at, (w, h) in sized:
        packer.add_rect(w, h, at)
    packer.add_bin(width, length)
    packer.pack()
    return {at: (x, y, w, h) for _, x, y, w, h, at in packer.rect_list()}
