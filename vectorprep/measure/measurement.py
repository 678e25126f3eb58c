"""The measurement of one artwork, put together.

Comes in: an `Artwork`, an engine, whether to clip at the page and what to do with a plate behind the art.
Goes out: a `Measurement` with its findings.
Never done here: looking at single pixels; placing; judging.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from vectorprep.measure import words
from vectorprep.measure.background import find_plate
from vectorprep.measure.edges import COARSE_PX, InkBoxes, find_boxes
from vectorprep.measure.grid import Grid, fitted, grid_of
from vectorprep.measure.inks import list_inks
from vectorprep.measure.outside import boxes_beyond
from vectorprep.measure.stray import stray_boxes
from vectorprep.model import Artwork, Finding, Measurement

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from vectorprep.engine import Engine
    from vectorprep.geometry import Box
    from vectorprep.measure.background import Plate
    from vectorprep.measure.words import Sides
    from vectorprep.model.result import PxBox

OUTSIDE_FROM_PX = 1.0  # less beyond the page is the smoothed edge of ink that ends there
TOUCH_PX = 1.0  # common practice, no source: within one pixel of the page's edge is taken for a crop
DIFFER_PX = 1  # house value: any-ink box and ink box apart by more are two answers


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """What the pictures of one artwork showed. `rest` are the boxes without a plate that was kept."""

    grid: Grid
    coarse: NDArray[np.uint8]
    boxes: InkBoxes
    plate: Plate | None
    is_dropped: bool
    rest: InkBoxes | None
    outside_mm: Sides


def measure(
    artwork: Artwork,
    engine: Engine,
    *,
    page: Literal["clip", "recover"] = "clip",
    background: Literal["keep", "drop"] = "keep",
    with_inks: bool = True,
) -> Measurement:
    """Page, ink boxes, plate, ink beyond the page, inks and findings of one artwork.

    Its `artwork` is the one that the figures are true of and that is to be drawn: without the plate where that was dropped,
    `is_unclipped` where ink beyond the page was recovered.

    Args:
        artwork: as read.
        engine: from `open_engine`.
        page: `recover` counts ink beyond the page; `clip` only reports it.
        background: `drop` takes a plain plate over the page out of the drawing; `keep` only reports it.
        with_inks: list the inks too.

    Raises:
        ArtworkFailed: the engine gives no picture.
    """
    seen = _seen(grid_of(artwork, engine), recovers=page == "recover", drops=background == "drop")
    grid, boxes = seen.grid, seen.boxes
    ink_box = _mm(grid, boxes.ink)
    return Measurement(
        artwork=grid.artwork,
        page_mm=(artwork.page.width_mm, artwork.page.height_mm),
        ink_box_mm=ink_box,
        any_ink_box_mm=_mm(grid, boxes.any_ink),
        ink_edges_mm=_mm(grid, boxes.edges),
        tolerance_mm=1 / grid.px_per_mm,
        background=seen.plate.colour if seen.plate else None,
        box_without_background_mm=_mm(grid, (seen.rest or boxes).ink) if seen.plate else None,
        outside_mm=seen.outside_mm,
        inks=list_inks(grid.artwork, engine, ink_box) if with_inks and ink_box else (),
        findings=_findings(seen),
    )


def _seen(grid: Grid, *, recovers: bool, drops: bool) -> _Seen:
    coarse = _coarse(grid)
    plate = find_plate(grid, coarse)
    rest = find_boxes(grid.with_artwork(plate.artwork), grid.page) if plate else None
    if rest is not None and rest.ink is None:  # nothing but the plate: it is the artwork
        plate, rest = None, None
    if plate is not None and drops:
        grid = grid.with_artwork(plate.artwork)
        coarse = _coarse(grid)
    beyond = boxes_beyond(grid, is_rough=not recovers)
    outside = _outside_mm(grid, beyond)
    if recovers and beyond is not None and any(outside):
        grid = grid.with_artwork(replace(grid.artwork, is_unclipped=True)).unclipped()
        boxes = beyond
    else:
        boxes = find_boxes(grid, grid.page, coarse[..., 3])
    return _Seen(
        grid=grid,
        coarse=coarse,
        boxes=boxes,
        plate=plate,
        is_dropped=plate is not None and drops,
        rest=None if drops else rest,
        outside_mm=outside,
    )


def _findings(seen: _Seen) -> tuple[Finding, ...]:
    page, grid = seen.grid.artwork.page, seen.grid
    found: list[Finding] = []
    boxes = seen.rest or seen.boxes
    if boxes.ink is None:
        found.append(words.no_ink(any_ink=boxes.any_ink is not None))
    if seen.plate is not None:
        found.append(words.plate(seen.plate.colour, page, is_dropped=seen.is_dropped))
    if any(seen.outside_mm):
        found.append(words.ink_outside(seen.outside_mm, page, is_recovered=grid.artwork.is_unclipped))
    touched = _touched(seen, boxes.ink)
    if touched and not grid.artwork.is_unclipped:
        found.append(words.ink_touches(touched, page))
    strays = () if seen.plate is not None and not seen.is_dropped else stray_boxes(seen.coarse[..., 3])
    found.extend(words.stray_ink(box, page) for box in strays)
    if boxes.ink is not None and boxes.any_ink is not None and _apart(boxes.ink, boxes.any_ink) > DIFFER_PX:
        found.append(words.any_ink_differs(grid.mm(boxes.ink), grid.mm(boxes.any_ink), _apart(boxes.ink, boxes.any_ink)))
    return tuple(found)


def _coarse(grid: Grid) -> NDArray[np.uint8]:
    return grid.pixels(grid.page, fitted(grid.page, COARSE_PX))


def _mm(grid: Grid, box: PxBox | Box | None) -> Box | None:
    return None if box is None else grid.mm(box)


def _outside_mm(grid: Grid, beyond: InkBoxes | None) -> Sides:
    """How far ink reaches beyond the page: left, top, right, bottom."""
    if beyond is None or beyond.edges is None:
        return 0.0, 0.0, 0.0, 0.0
    edges, page, step = beyond.edges, grid.artwork.page, grid.px_per_mm
    reach = (-edges.x0 / step, -edges.y0 / step, edges.x1 / step - page.width_mm, edges.y1 / step - page.height_mm)
    left, top, right, bottom = (side if side * step >= OUTSIDE_FROM_PX else 0.0 for side in reach)
    return left, top, right, bottom


def _touched(seen: _Seen, ink: PxBox | None) -> tuple[str, ...]:
    """Names of the page's sides that the ink ends at, those left out beyond which there is more."""
    if ink is None:
        return ()
    page, step = seen.grid.artwork.page, seen.grid.px_per_mm
    gaps = (ink[0], ink[1], page.width_mm * step - ink[2], page.height_mm * step - ink[3])
    return tuple(
        name for name, gap, outside in zip(words.SIDES, gaps, seen.outside_mm, strict=True) if gap <= TOUCH_PX and not outside
    )


def _apart(one: PxBox, other: PxBox) -> int:
    return max(abs(a - b) for a, b in zip(one, other, strict=True))
