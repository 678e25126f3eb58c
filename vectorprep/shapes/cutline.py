"""The line that a cutter follows around ink: a parallel curve outside it, with no corner sharper than a knife can turn.

Comes in: coverage of the ink, pixels per mm, the limits of the cutter.
Goes out: the region inside the cut, in mm, and its figures.
Never done here: curves for a file (`curves`), drawing, findings.

The parallel curve is the rim of ink widened by a disc; its outward corners are arcs of the offset's radius at least. Closing with a
disc of the inner radius rounds its inward corners; where pieces must hang together, a wider disc fills the narrows between them.
Widening polygons is shapely's (GEOS): exact to the chords of its arcs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from vectorprep.shapes.trace import contours

if TYPE_CHECKING:
    from numpy.typing import NDArray

ARC_STEPS = 32
"""Chords in a quarter turn: an arc of 5 mm is off by 0.002 mm."""
LEAST_INK_MM2 = 0.05
"""Ink below that, with what hangs together with it, gets no cut of its own (house value: a dot of 0.25 mm)."""
TOLERANCE_MM = 0.05
"""What a cutter does not follow (house value): narrower remains do not count as a fault of the outline."""
ROUNDING_MM = 0.02
"""What a hole may fall short of its least width by the pixels that it was traced from."""
SIMPLER_PX = 0.1
"""The traced ink's points are thinned as long as its edge stays within so many pixels."""
WIDEST_JOIN = 3.0
"""A narrow is filled by discs of up to this many times the least one (house value)."""
EMPTY = shapely.Polygon()


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLimits:
    """What a cut has to keep, in mm; 0 = no such limit."""

    offset_mm: float
    inner_radius_mm: float = 0.0
    outer_radius_mm: float = 0.0
    gap_mm: float = 0.0
    bridge_mm: float = 0.0
    fills_holes: bool = True
    hole_mm: float = math.inf
    """Holes in the ink that are at least so wide are left open where the others are filled, unless ink lies in them."""
    is_one_piece: bool = False
    """Whether pieces are to be joined whatever their distance, as far as discs reach."""

    @property
    def fills_all(self) -> bool:
        """Whether no hole stays."""
        return self.fills_holes and math.isinf(self.hole_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutFigures:
    """What a cut came to: pieces, least gap between two (inf with one), whether its narrows hold, least radii up to the limits."""

    pieces: int
    gap_mm: float
    bridges_hold: bool
    inner_radius_mm: float
    outer_radius_mm: float
    size_mm: tuple[float, float]
    least_side_mm: float
    """Long side of the smallest piece."""
    holes: int = 0
    """Openings inside pieces that are cut out."""
    hole_mm: float = 0.0
    """Width of the narrowest of them: of the widest disc in it."""


def ink_region(
    alpha: NDArray[np.uint8],
    px_per_mm: float,
    *,
    fills_holes: bool = True,
    least_mm2: float = LEAST_INK_MM2,
    hole_mm: float = 0.0,
) -> BaseGeometry:
    """The ink at half coverage or more as polygons in mm from the top-left corner of the coverage.

    With `fills_holes` no hole stays; else those whose box is narrower than `hole_mm` are filled.
    """
    loops = [loop for loop in contours(alpha) if len(loop) > 3]
    if not loops:
        return EMPTY
    of_loop = np.repeat(np.arange(len(loops)), [len(loop) for loop in loops])
    drawn = shapely.polygons(shapely.linearrings(np.concatenate(loops) / px_per_mm, indices=of_loop))
    rings = shapely.simplify(drawn, SIMPLER_PX / px_per_mm)
    parts = _assembled(rings[~shapely.is_empty(rings)], math.inf if fills_holes else hole_mm)
    large = _group_areas(parts) >= least_mm2
    ink = shapely.MultiPolygon((parts[large] if large.any() else parts).tolist())
    return ink if ink.is_valid else shapely.union_all(shapely.make_valid(shapely.get_parts(ink)))


def _assembled(rings: NDArray[np.object_], hole_mm: float) -> NDArray[np.object_]:
    """Polygons of ink: outer rims turn one way, and each hole, which turns the other way, lies in the least rim around it."""
    is_rim = shapely.is_ccw(shapely.get_exterior_ring(rings))  # ink lies on the right of each step, which is the left with y up
    x0, y0, x1, y1 = shapely.bounds(rings).T
    rims, holes = rings[is_rim], rings[~is_rim & (np.minimum(x1 - x0, y1 - y0) >= hole_mm)]
    inside: list[list[shapely.LinearRing]] = [[] for _ in rims]
    owners = _owners(holes, rims)
    for hole in np.flatnonzero(owners >= 0):
        inside[owners[hole]].append(holes[hole].exterior)
    is_shown = np.ones(rims.size, bool) if holes.size else _owners(rims, rims) < 0
    found = [shapely.Polygon(rim.exterior, within) if within else rim for rim, within in zip(rims, inside, strict=True)]
    return np.array(found, object)[is_shown]


def _group_areas(parts: NDArray[np.object_]) -> NDArray[np.float64]:
    """For each part the area of all that hang together with it: a hair breaks into specks of a pixel where it runs out."""
    one, other = shapely.STRtree(parts).query(parts, "dwithin", TOLERANCE_MM)
    group = np.arange(parts.size)
    while True:
        least = group.copy()
        np.minimum.at(least, one, group[other])
        if (least == group).all():
            return np.asarray(np.bincount(group, shapely.area(parts), parts.size)[group], np.float64)
        group = least[least]


def _owners(rings: NDArray[np.object_], rims: NDArray[np.object_]) -> NDArray[np.intp]:
    """For each ring the number of the least rim around it, -1 = none; rings do not cross."""
    owner = np.full(rings.size, -1, np.intp)
    if rings.size:
        starts = shapely.get_point(shapely.get_exterior_ring(rings), 0)
        around, which = shapely.STRtree(starts).query(rims, "contains")  # GEOS prepares those that ask, here the rims
        greatest_first = np.argsort(-shapely.area(rims)[around], kind="stable")
        owner[which[greatest_first]] = around[greatest_first]
    return owner


def cut_region(ink: BaseGeometry, limits: CutLimits) -> BaseGeometry:
    """Everything inside the cut: the ink widened, inward corners rounded, pieces that lie too close or must be one joined."""
    openings = shapely.union_all(_openings(ink, limits))
    grown = _without_holes(_grown(_without_holes(ink, limits, openings), limits.offset_mm), limits, openings)
    region = _closed(grown, limits.inner_radius_mm)
    if limits.gap_mm or limits.bridge_mm:
        region = _joined(region, limits)
    region = _uncusped(region, limits)
    return _without_holes(region, limits, openings)


def figures(region: BaseGeometry, limits: CutLimits) -> CutFigures:
    """What a finished cut came to."""
    parts = _polygons(region)
    gaps = [a.distance(b) for place, a in enumerate(parts) for b in parts[:place]]
    holes = [hole for part in parts for hole in _holes(part)]
    x0, y0, x1, y1 = region.bounds if parts else (0.0, 0.0, 0.0, 0.0)
    return CutFigures(
        pieces=len(parts),
        gap_mm=min(gaps, default=math.inf),
        bridges_hold=all(len(_cores(part, limits.bridge_mm, TOLERANCE_MM)) == 1 for part in parts),
        inner_radius_mm=_least_radius(region, limits.inner_radius_mm, 1),
        outer_radius_mm=_least_radius(region, limits.outer_radius_mm, -1),
        size_mm=(x1 - x0, y1 - y0),
        least_side_mm=min((max(part.bounds[2] - part.bounds[0], part.bounds[3] - part.bounds[1]) for part in parts), default=0.0),
        holes=len(holes),
        hole_mm=min((2 * shapely.maximum_inscribed_circle(hole, TOLERANCE_MM / 5).length for hole in holes), default=0.0),
    )


def _polygons(region: BaseGeometry) -> list[shapely.Polygon]:
    return [part for part in shapely.get_parts(region) if isinstance(part, shapely.Polygon) and not part.is_empty]


def _grown(region: BaseGeometry, width_mm: float) -> BaseGeometry:
    """The region widened by a disc; each part for itself, as GEOS takes minutes for thousands of them at once."""
    return shapely.union_all(shapely.buffer(shapely.get_parts(region), width_mm, quad_segs=ARC_STEPS))


def _closed(region: BaseGeometry, radius_mm: float) -> BaseGeometry:
    return _grown(_grown(region, radius_mm), -radius_mm) if radius_mm > 0 else region


def _opened(region: BaseGeometry, radius_mm: float) -> BaseGeometry:
    return _grown(_grown(region, -radius_mm), radius_mm) if radius_mm > 0 else region


def _holes(part: shapely.Polygon) -> list[shapely.Polygon]:
    return [shapely.Polygon(ring) for ring in part.interiors]


def _openings(ink: BaseGeometry, limits: CutLimits) -> list[shapely.Polygon]:
    """Holes of the ink that are cut out where the others are filled: wide enough, and empty, or what lies in them falls out."""
    if math.isinf(limits.hole_mm) or not limits.fills_holes:
        return []
    parts = _polygons(ink)
    wide = [hole for part in parts for hole in _holes(part) if not _grown(hole, ROUNDING_MM - limits.hole_mm / 2).is_empty]
    taken = set(shapely.STRtree(parts).query(wide, "contains")[0].tolist()) if wide else set()
    return [hole for number, hole in enumerate(wide) if number not in taken]


def _without_holes(region: BaseGeometry, limits: CutLimits, openings: BaseGeometry) -> BaseGeometry:
    """The region without its holes, those in openings of the ink apart; pockets between widened parts are none."""
    if not limits.fills_holes or not shapely.get_num_interior_rings(shapely.get_parts(region)).any():
        return region
    if openings.is_empty:
        return shapely.union_all([shapely.Polygon(part.exterior) for part in _polygons(region)])
    within = _grown(openings, ROUNDING_MM)
    kept = [(part, [hole for hole in _holes(part) if within.contains(hole)]) for part in _polygons(region)]
    return shapely.union_all(
        [shapely.Polygon(part.exterior, [hole.exterior.coords for hole in holes]) for part, holes in kept],
    )


def _cores(region: BaseGeometry, bridge_mm: float, slack_mm: float) -> list[shapely.Polygon]:
    """The parts that are left when narrows below the bridge's width, less some slack at each side, are taken away."""
    return _polygons(_grown(region, -(bridge_mm / 2 - slack_mm))) if bridge_mm else _polygons(region)


def _joined(region: BaseGeometry, limits: CutLimits) -> BaseGeometry:
    """Narrows between pieces filled by ever wider discs, until the pieces hang together as widely as a bridge, or stay apart."""
    least = max(limits.gap_mm / 2, limits.inner_radius_mm, limits.bridge_mm / 2)
    for factor in np.linspace(1.0, WIDEST_JOIN, 5):
        cores = _cores(region, limits.bridge_mm, -TOLERANCE_MM)  # wider than asked, so that rounding does not undo it
        if len(cores) < 2 or _is_apart(region, cores, limits):
            break
        filled = _closed(region, least * float(factor))
        narrows = [part for part in _polygons(filled.difference(region)) if _meets_two(part, cores, limits.bridge_mm)]
        region = _closed(
            shapely.union_all([region, *(_grown(part, TOLERANCE_MM / 50) for part in narrows)]), limits.inner_radius_mm
        )
    return region


def _uncusped(region: BaseGeometry, limits: CutLimits) -> BaseGeometry:
    """Cusps, which stand where discs on both sides of a narrow overlap, filled by ever wider discs."""
    for factor in np.linspace(1.25, WIDEST_JOIN, 6):
        lost = region.difference(_opened(region, limits.outer_radius_mm))
        cusps = [part for part in _polygons(lost) if not _grown(part, -TOLERANCE_MM / 2).is_empty]
        if not cusps:
            break
        reach = shapely.union_all(cusps).buffer(TOLERANCE_MM)
        filled = _closed(region, limits.inner_radius_mm * float(factor)).difference(region)
        patches = [_grown(part, TOLERANCE_MM / 50) for part in _polygons(filled) if part.intersects(reach)]
        region = _closed(shapely.union_all([region, *patches]), limits.inner_radius_mm)
    return region


def _is_apart(region: BaseGeometry, cores: list[shapely.Polygon], limits: CutLimits) -> bool:
    """Whether the pieces keep their gap and each holds together."""
    parts = _polygons(region)
    near = any(a.distance(b) < limits.gap_mm for place, a in enumerate(parts) for b in parts[:place])
    return not near and len(cores) == len(parts) and not limits.is_one_piece


def _meets_two(part: shapely.Polygon, cores: list[shapely.Polygon], bridge_mm: float) -> bool:
    reach = bridge_mm / 2 + TOLERANCE_MM
    return sum(bool(part.distance(core) <= reach) for core in cores) > 1


def _least_radius(region: BaseGeometry, limit_mm: float, side: int) -> float:
    """The widest disc up to the limit that rolls along the outside (side 1) or inside (-1) and touches all of the rim."""
    if not limit_mm or region.is_empty or _rolls(region, limit_mm, side):
        return limit_mm
    low, high = 0.0, limit_mm
    for _ in range(6):
        middle = (low + high) / 2
        low, high = (middle, high) if _rolls(region, middle, side) else (low, middle)
    return low


def _rolls(region: BaseGeometry, radius_mm: float, side: int) -> bool:
    rolled = _grown(_grown(region, side * radius_mm), -side * radius_mm)
    return bool(_grown(rolled.symmetric_difference(region), -TOLERANCE_MM / 2).is_empty)
