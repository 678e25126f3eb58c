"""The box of the ink inside a region of the grid, from few pixels.

Comes in: a `Grid` and a region of it.
Goes out: boxes of ink (alpha >= 8) and of any ink (alpha >= 1) in whole grid pixels, the ink's edges to a fraction of one.
Never done here: millimetres, backgrounds, words.

A coarse picture tells where to look; the empty rest is swept at half size, because a coarse picture can lose a hairline;
the four edges are read from narrow strips on the grid itself. Drawings with filters are drawn in one piece with a wide margin.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from vectorprep.engine.coverage import ANY_ALPHA, INK_ALPHA, box_of, covered_share, edges_of, first_row
from vectorprep.errors import ArtworkFailed
from vectorprep.geometry import Box
from vectorprep.measure.grid import Alpha, Grid, fitted
from vectorprep.model.result import PxBox

COARSE_PX = 640
STRIP_PX = 26
FILTER_MARGIN_PX = 600  # strips of a drawing with filters go wrong by up to 388 px, measured
SWEEP_PX_MAX = 3_000_000
WHOLE_PX_MAX = 30_000_000
ROUGH_PX_MAX = 2_000_000
PRINT_PX = (3600, 4800)  # the print for which edges are refined: 12 x 16 in at 300 ppi
REFINE_FROM = 1.25
STRIP_LONGEST_PX = (
    100_000  # house value, twenty pages: beyond it strips are no longer small pictures, and a pixel is nobody's concern
)
VAST = 10  # grid pixels for one of a coarse picture, above which the ink is looked at once more

Turn = Callable[[Alpha], Alpha]


@dataclass(frozen=True, slots=True, kw_only=True)
class InkBoxes:
    """Boxes in grid pixels; `edges` of the ink box to a fraction of a pixel."""

    ink: PxBox | None
    any_ink: PxBox | None
    edges: Box | None


NOTHING = InkBoxes(ink=None, any_ink=None, edges=None)


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of a box: its place in (x0, y0, x1, y1), and how its strip is turned so that row 0 is the outermost line."""

    index: int
    turn: Turn

    @property
    def is_low(self) -> bool:
        """Left or top: inward is towards greater numbers."""
        return self.index < 2

    @property
    def axis(self) -> int:
        """0 for left and right, 1 for top and bottom."""
        return self.index % 2

    def strip(self, box: PxBox, start: int, depth: int) -> PxBox:
        """The strip that begins `start` lines inside the box and is `depth` lines thick, cut off at the far side."""
        edges = list(box)
        outer, far = box[self.index], box[(self.index + 2) % 4]
        if self.is_low:
            edges[self.index], edges[self.index + 2] = outer + start, min(outer + start + depth, far)
        else:
            edges[self.index], edges[self.index - 2] = outer - start, max(outer - start - depth, far)
        return edges[0], edges[1], edges[2], edges[3]

    def at(self, box: PxBox, lines: float) -> float:
        """Coordinate that lies that many lines inside the box's edge."""
        return box[self.index] + lines if self.is_low else box[self.index] - lines


_SIDES = (
    _Side(0, lambda alpha: alpha.T),
    _Side(1, lambda alpha: alpha),
    _Side(2, lambda alpha: alpha.T[::-1]),
    _Side(3, lambda alpha: alpha[::-1]),
)


def find_boxes(grid: Grid, region: PxBox, coarse: Alpha | None = None, *, is_rough: bool = False) -> InkBoxes:
    """Boxes of the ink in a region.

    Args:
        grid: of the artwork.
        region: where to look.
        coarse: alpha of the region if it was drawn before.
        is_rough: whether a drawing with filters may be looked at in a smaller picture, for boxes within a few pixels.

    Raises:
        ArtworkFailed: the engine gives no picture of the whole region either.
    """
    try:
        outer = _outer_box(grid, region, grid.alpha(region, fitted(region, COARSE_PX)) if coarse is None else coarse)
        if outer is not None and max(region[2] - region[0], region[3] - region[1]) > VAST * COARSE_PX:
            outer = _looked_closer(grid, outer)
        if outer is None:
            return NOTHING
        most = ROUGH_PX_MAX if is_rough else WHOLE_PX_MAX
        if max(outer[2] - outer[0], outer[3] - outer[1]) > STRIP_LONGEST_PX:
            return _in_one_piece(grid, outer, most)
        if grid.artwork.has_filters:
            return _in_one_piece(grid, _grown(outer, FILTER_MARGIN_PX, region), most)
        return _by_strips(grid, outer)
    except ArtworkFailed:
        return _in_one_piece(grid, region)


def _outer_box(grid: Grid, region: PxBox, coarse: Alpha) -> PxBox | None:
    """A box outside which nothing is painted, in whole grid pixels; None where nothing is painted at all."""
    found = box_of(coarse, ANY_ALPHA)
    outer = None if found is None else _scaled_back(found, _size(coarse), region, slack=1)
    if grid.artwork.has_filters:
        return outer
    if outer is None:
        return _swept(grid, region)
    for side in _SIDES:
        margin = _outside(side, region, outer)
        missed = _swept(grid, margin) if margin else None
        if missed:
            outer = _union(outer, missed)
    return outer


def _looked_closer(grid: Grid, outer: PxBox) -> PxBox:
    """The box again from a coarse picture of itself alone: one pixel of a vast region's picture is hundreds of the grid."""
    closer = box_of(grid.alpha(outer, size := fitted(outer, COARSE_PX)), ANY_ALPHA)
    if closer is None:
        return outer
    return _scaled_back(closer, size, outer, slack=1)


def _outside(side: _Side, region: PxBox, outer: PxBox) -> PxBox | None:
    """What lies between a side of the region and the same side of the box; the left and right parts take the box's rows only."""
    x0, y0, x1, y1 = region
    parts = ((x0, outer[1], outer[0], outer[3]), (x0, y0, x1, outer[1]), (outer[2], outer[1], x1, outer[3]), (x0, outer[3], x1, y1))
    part = parts[side.index]
    return part if part[2] > part[0] and part[3] > part[1] else None


def _swept(grid: Grid, region: PxBox) -> PxBox | None:
    """Box of anything painted in a region that ought to be empty, from a picture of half size or less."""
    width, height = region[2] - region[0], region[3] - region[1]
    # Engines pay for a clip or mask by the canvas, painted or not.
    finest = 0.25 if b"<clipPath" in grid.artwork.markup or b"<mask" in grid.artwork.markup else 0.5
    scale = min(finest, math.sqrt(SWEEP_PX_MAX / (width * height)))
    alpha = grid.alpha(region, (max(1, math.ceil(width * scale)), max(1, math.ceil(height * scale))))
    found = box_of(alpha, ANY_ALPHA) if alpha.any() else None
    return None if found is None else _scaled_back(found, _size(alpha), region, slack=1)


def _by_strips(grid: Grid, outer: PxBox) -> InkBoxes:
    lines = [_lines(grid, side, outer) for side in _SIDES]
    any_ink = _box(tuple(side.at(outer, found[0]) for side, found in zip(_SIDES, lines, strict=True)))
    if any(found[1] is None for found in lines):
        return InkBoxes(ink=None, any_ink=any_ink, edges=None)
    ink = _box(tuple(side.at(outer, found[1] or 0) for side, found in zip(_SIDES, lines, strict=True)))
    edges = Box(*(side.at(outer, found[2]) for side, found in zip(_SIDES, lines, strict=True)))
    return InkBoxes(ink=ink, any_ink=any_ink, edges=_refined(grid, ink, edges))


def _lines(grid: Grid, side: _Side, outer: PxBox) -> tuple[int, int | None, float]:
    """Lines inside a side of the box of the first pixel with any ink, with ink, and of the ink's edge.

    Raises:
        ArtworkFailed: the strips hold nothing, although the coarse picture does.
    """
    depth, start = STRIP_PX, 0
    length = outer[side.axis + 2] - outer[side.axis]
    first_any: int | None = None
    while start < length:
        alpha = side.turn(grid.alpha(side.strip(outer, start, depth)))
        ends = start + len(alpha) >= length
        if first_any is None and (any_line := first_row(alpha, ANY_ALPHA)) is not None:
            first_any = start + any_line
        line = first_row(alpha, INK_ALPHA)
        if line is not None and (line < len(alpha) - 1 or ends):
            return first_any or 0, start + line, start + line + 1 - covered_share(alpha.T, line, 1)
        # Two lines again, so that the edge's coverage can be read from the lines on both sides of it.
        start, depth = (length if ends else start + len(alpha) - 2), depth * 2
    if first_any is None:
        raise ArtworkFailed("the strips at the ink's edges are empty", code="strips-empty")
    return first_any, None, 0.0


def _refined(grid: Grid, ink: PxBox, edges: Box) -> Box:
    """Edges of ink that is small on its page, read again at the scale of a print."""
    zoom = min(PRINT_PX[0] / (ink[2] - ink[0]), PRINT_PX[1] / (ink[3] - ink[1]))
    if zoom < REFINE_FROM:
        return edges
    times = 1 if b"<pattern" in grid.artwork.markup else min(math.ceil(zoom), 64)  # a tile is drawn whole, times larger too
    if times == 1:
        return edges
    refined = []
    for side, coarse in zip(_SIDES, edges.corners, strict=True):
        strip = side.strip(_grown(ink, 1, None), 0, 4)
        size = (strip[2] - strip[0]) * times, (strip[3] - strip[1]) * times
        alpha = side.turn(grid.alpha(strip, size))
        line = first_row(alpha, INK_ALPHA)
        if line is None or line >= len(alpha) - 1:
            refined.append(coarse)
        else:
            share = covered_share(alpha.T, line, 1)
            refined.append(side.at(_grown(ink, 1, None), (line + 1 - share) / times))
    return Box(*refined)


def _in_one_piece(grid: Grid, region: PxBox, most_px: int = WHOLE_PX_MAX) -> InkBoxes:
    """Boxes from one picture of the whole region, reduced where it would be huge."""
    width, height = region[2] - region[0], region[3] - region[1]
    scale = min(1.0, math.sqrt(most_px / (width * height)))
    alpha = grid.alpha(region, (max(1, round(width * scale)), max(1, round(height * scale))))
    any_ink, ink = box_of(alpha, ANY_ALPHA), box_of(alpha, INK_ALPHA)
    if any_ink is None:
        return NOTHING
    if ink is None:
        return InkBoxes(ink=None, any_ink=_scaled_back(any_ink, _size(alpha), region), edges=None)
    steps = width / alpha.shape[1], height / alpha.shape[0]
    inner = edges_of(alpha, ink)
    edges = Box(inner.x0 * steps[0], inner.y0 * steps[1], inner.x1 * steps[0], inner.y1 * steps[1]).shifted(*region[:2])
    return InkBoxes(ink=_scaled_back(ink, _size(alpha), region), any_ink=_scaled_back(any_ink, _size(alpha), region), edges=edges)


def _size(alpha: Alpha) -> tuple[int, int]:
    return alpha.shape[1], alpha.shape[0]


def _scaled_back(box: PxBox, size_px: tuple[int, int], region: PxBox, slack: int = 0) -> PxBox:
    """A box of a reduced picture in grid pixels, some picture pixels wider, inside the region."""
    steps = (region[2] - region[0]) / size_px[0], (region[3] - region[1]) / size_px[1]
    return (
        max(region[0] + math.floor((box[0] - slack) * steps[0]), region[0]),
        max(region[1] + math.floor((box[1] - slack) * steps[1]), region[1]),
        min(region[0] + math.ceil((box[2] + slack) * steps[0]), region[2]),
        min(region[1] + math.ceil((box[3] + slack) * steps[1]), region[3]),
    )


def _grown(box: PxBox, by: int, limit: PxBox | None) -> PxBox:
    x0, y0, x1, y1 = box[0] - by, box[1] - by, box[2] + by, box[3] + by
    if limit is None:
        return x0, y0, x1, y1
    return max(x0, limit[0]), max(y0, limit[1]), min(x1, limit[2]), min(y1, limit[3])


def _union(one: PxBox, other: PxBox) -> PxBox:
    return min(one[0], other[0]), min(one[1], other[1]), max(one[2], other[2]), max(one[3], other[3])


def _box(corners: tuple[float, ...]) -> PxBox:
    x0, y0, x1, y1 = (int(np.rint(corner)) for corner in corners)
    return x0, y0, x1, y1
