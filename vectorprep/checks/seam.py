"""Prints that go round a cup: whether what reaches the seam meets there, and whether ink comes near the lip.

Comes in: evidence with its picture. Goes out: `wrap-edges-do-not-meet`, `ink-in-lip-zone`. Never done here: bending.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._evidence import Evidence, print_corners
from vectorprep.model import Explanation, Finding

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Column = NDArray[np.float32]

SLUGS = {
    "wrap-edges-do-not-meet": Explanation(
        cause="The print goes all round, and at the seam the left and the right edge show different things.",
        consequence="A visible step or break runs down the finished cup.",
        remedy="Draw the art so that it runs on from the right edge to the left, or keep it clear of both edges, or give it a plain"
        " ground there.",
    ),
    "ink-in-lip-zone": Explanation(
        cause="Ink lies within the strip below the rim that the product's record keeps clear.",
        consequence="A print there may come into contact with food and mouth, and transfers print unevenly close to a rim.",
        remedy="Print the art smaller or nudge it down. What may be printed near a drinking rim is a matter of local rules on food"
        " contact: ask the maker of the blank.",
    ),
}
LIKE = 24.0
"""Levels of 255 by which premultiplied colour and coverage may differ and still pass for the same (house value)."""
ROWS_LEAST = 3  # fewer are the smoothed rim of a slanted edge (house value)


def check(evidence: Evidence) -> Iterator[Finding]:
    """At most one finding of each kind."""
    if evidence.placement.canvas_px != evidence.product.file_size_px:  # a canvas trimmed to the ink has no seam and no rim
        return
    yield from _seam(evidence)
    yield from _lip(evidence)


def _seam(evidence: Evidence) -> Iterator[Finding]:
    allowed = evidence.product.edge_match_tolerance_mm
    if allowed is None or evidence.raster is None or evidence.product.is_bent:  # a bent wrap's sides are no columns
        return
    left, right = _edges(evidence)
    per_mm = evidence.px_per_mm
    reach = round(allowed * per_mm) + 1  # edges are whole pixels
    broken = max((*_broken(left, right, reach), *_broken(right, left, reach)), default=None)
    if broken is None:
        return
    off, top, bottom = broken
    words = "show different things" if math.isinf(off) else f"are {off / per_mm:.1f} mm apart"
    yield Finding(
        check="wrap-edges-do-not-meet",
        severity="warning",
        message=f"where the wrap closes, its left and right edge {words}, {top / per_mm:.0f} mm below the top of the file",
        fix="let the art run on over the seam, or keep it clear of both edges",
        measured=None if math.isinf(off) else round(off / per_mm, 2),
        limit=allowed,
        unit="mm",
        place_mm=print_corners(evidence, (0, top, min(evidence.placement.canvas_px[0], 3 * per_mm), bottom)),
        place_on="print",
    )


def _edges(evidence: Evidence) -> tuple[Column, Column]:
    """The columns of the canvas that come to lie on each other at the seam, left and right, rows x 4."""
    bleed = round(evidence.product.bleed_mm * evidence.px_per_mm)
    width, height = evidence.placement.canvas_px
    return _column(evidence, bleed, height), _column(evidence, width - bleed - 1, height)


def _column(evidence: Evidence, at: int, height: int) -> Column:
    column = np.zeros((height, 4), np.float32)
    raster = evidence.raster
    assert raster is not None
    x, y = raster.origin_px
    rows, columns = raster.pixels.shape[:2]
    if 0 <= at - x < columns:
        column[y : y + rows] = raster.pixels[:, at - x]
    return column


def _broken(one: Column, other: Column, reach: int) -> Iterator[tuple[float, int, int]]:
    """Stretches of one edge that have nothing like them on the other within so many rows.

    How many rows away their like lies at the most (infinite where there is none), their first row and the row behind the last.
    """
    nearest = np.full(len(one), np.inf, np.float32)
    wide = np.pad(other, ((reach, reach), (0, 0)))
    for shift in range(2 * reach + 1):
        np.minimum(nearest, np.abs(wide[shift : shift + len(one)] - one).max(axis=1), out=nearest)
    apart = np.concatenate(([False], nearest > LIKE, [False]))
    bounds = np.flatnonzero(apart[1:] != apart[:-1])
    for top, bottom in zip(bounds[::2], bounds[1::2], strict=True):
        if bottom - top >= ROWS_LEAST:
            rows = (top + 1, (top + bottom) // 2, bottom - 2)
            yield max(_distance(one[row], other, row) for row in rows), int(top), int(bottom)


def _distance(colour: Column, other: Column, row: int) -> float:
    """How many rows away the nearest like of a colour lies, infinite where there is none."""
    alike = np.flatnonzero(np.abs(other - colour).max(axis=1) <= LIKE)
    return float(np.abs(alike - row).min()) if len(alike) else math.inf


def _lip(evidence: Evidence) -> Iterator[Finding]:
    clear = evidence.product.placement.rim_clear_min_mm
    if not clear:
        return
    per_mm = evidence.px_per_mm
    limit = (evidence.product.bleed_mm + clear) * per_mm
    box = min((placed.ink_box_px for placed in evidence.placement.placed), key=lambda corners: corners[1])
    if box[1] >= limit - 1:  # boxes are whole pixels
        return
    left = box[1] / per_mm - evidence.product.bleed_mm
    yield Finding(
        check="ink-in-lip-zone",
        severity="warning",
        message=f"ink begins {left:.1f} mm below the upper edge of the wrap; {clear:g} mm below the rim stay clear",
        fix=f"nudge the art down by {clear - left:.1f} mm, or print it smaller",
        measured=round(left, 2),
        limit=clear,
        unit="mm",
        place_mm=print_corners(evidence, (box[0], box[1], box[2], min(box[3], limit))),
        place_on="print",
    )
