"""The cut of a sticker on its print file, shared by the kinds of output that hold one.

Comes in: a `Picture` of a product with a cut rule. Goes out: `Cut`: smooth closed pieces in mm of the print file, with figures.
Never done here: markup, PDF, findings.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
import shapely
import shapely.affinity

from vectorprep.engine import draw_reduced
from vectorprep.engine.coverage import alpha_of
from vectorprep.errors import ArtworkFailed
from vectorprep.shapes.curves import fitted, on_curve, straight
from vectorprep.shapes.cutline import CutFigures, CutLimits, cut_region, figures, ink_region

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from vectorprep.model import CutRule, Raster
    from vectorprep.outputs.picture import Picture

FINE_SIDE_PX = 3000
"""Long side of one copy as drawn for its outline: a pixel is 0.025 mm on a sticker of 76 mm."""
FINEST_SCALE = 4.0
FIT_MM = 0.015
"""How far the smooth curve may leave the parallel curve (house value)."""
STEP_MM = 0.1
CURVE_STEPS = 16


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cut:
    """Closed paths of cubic pieces (n, 4, 2) in mm of the print file, for every copy, and the figures of one copy."""

    paths: tuple[NDArray[np.float64], ...]
    figures: CutFigures
    gap_mm: float
    """Least distance between any two paths on the file; inf with one."""
    bridge_mm: float
    """Least width asked of a strip that holds two parts together; 0 = none."""

    @property
    def facts(self) -> tuple[tuple[str, float], ...]:
        """The figures by name, for checks."""
        one = self.figures
        return (
            ("cut-pieces", float(one.pieces)),
            ("cut-gap-mm", self.gap_mm),
            ("cut-bridges-hold", float(one.bridges_hold)),
            ("cut-bridge-limit-mm", self.bridge_mm),
            ("cut-inner-radius-mm", one.inner_radius_mm),
            ("cut-outer-radius-mm", one.outer_radius_mm),
            ("cut-side-mm", one.least_side_mm),
            ("cut-holes", float(one.holes)),
            ("cut-hole-width-mm", one.hole_mm),
            ("cut-nodes", float(max(map(len, self.paths), default=0))),
        )


def limits_of(rule: CutRule) -> CutLimits:
    """A record's cut rule as limits of the outline; a strip between two outward arcs is as wide as both at least."""
    return CutLimits(
        offset_mm=rule.offset_outside_ink_mm or 0.0,
        inner_radius_mm=rule.inner_radius_min_mm or 0.0,
        outer_radius_mm=rule.outer_radius_min_mm or 0.0,
        gap_mm=rule.gap_between_cuts_min_mm or 0.0,
        bridge_mm=max(rule.spike_width_min_mm or 0.0, 2 * (rule.outer_radius_min_mm or 0.0)),
        fills_holes=rule.fill_holes,
        hole_mm=math.inf if rule.hole_width_min_mm is None else rule.hole_width_min_mm,
        is_one_piece=rule.single_piece,
    )


@lru_cache(maxsize=1)  # every kind of file of one picture asks for it
def cut_of(picture: Picture, rule: CutRule) -> Cut | None:
    """The cut around every copy; None where no ink covers half of anything.

    Raises:
        ArtworkFailed: there is nothing drawn to cut around.
    """
    drawn, scale = _fine(picture)
    px_per_mm = picture.placement.ppi / 25.4 * scale
    limits = limits_of(rule)
    corner = np.array(drawn.origin_px) / px_per_mm
    least_hole = limits.hole_mm if limits.fills_holes else 0.0
    ink = ink_region(np.ascontiguousarray(alpha_of(drawn)), px_per_mm, fills_holes=limits.fills_all, hole_mm=least_hole)
    if ink.is_empty:
        return None
    paths, shape = _smooth(cut_region(ink, limits))
    moves = _moves(picture)
    copies = [shapely.affinity.translate(shape, *move) for move in moves]
    found = figures(shape, limits)
    between = [a.distance(b) for place, a in enumerate(copies) for b in copies[:place]]
    placed = tuple(path + corner + move for move in moves for path in paths)
    return Cut(paths=placed, figures=found, gap_mm=min([found.gap_mm, *between]), bridge_mm=limits.bridge_mm)


def _smooth(region: BaseGeometry) -> tuple[list[NDArray[np.float64]], BaseGeometry]:
    """Curves along the rim, and what lies inside them; the rim's own chords where curves would cross."""
    parts = [[np.asarray(ring.coords)[:-1] for ring in (part.exterior, *part.interiors)] for part in shapely.get_parts(region)]
    curves = [[fitted(ring, FIT_MM, STEP_MM) for ring in rings] for rings in parts]
    drawn = [[on_curve(path, CURVE_STEPS) for path in paths] for paths in curves]
    shape = shapely.MultiPolygon([shapely.Polygon(shell, holes) for shell, *holes in drawn])
    if shape.is_valid:
        return [path for paths in curves for path in paths], shape
    return [straight(ring) for rings in parts for ring in rings], region


def _moves(picture: Picture) -> list[NDArray[np.float64]]:
    """Where each copy lies from the first, mm."""
    per_mm = picture.placement.ppi / 25.4
    first = picture.placement.placed[0].ink_box_px
    return [np.array([one.ink_box_px[0] - first[0], one.ink_box_px[1] - first[1]]) / per_mm for one in picture.placement.placed]


def _fine(picture: Picture) -> tuple[Raster, float]:
    """The first copy drawn finely, where the drawing alone is the picture, else the print's own pixels; and its scale."""
    placement, raster = picture.placement, picture.raster
    first = placement.placed[0]
    x0, y0, x1, y1 = first.ink_box_px
    if picture.engine is not None and picture.treatment.kind != "keyline":
        scale = max(1.0, min(FINEST_SCALE, FINE_SIDE_PX / max(x1 - x0, y1 - y0)))
        canvas = round(placement.canvas_px[0] * scale), round(placement.canvas_px[1] * scale)
        alone = replace(placement, placed=(first,))
        return draw_reduced(picture.engine, picture.artwork, alone, scale, canvas), scale
    if raster is None:
        raise ArtworkFailed(f"{picture.stem}: nothing was drawn to cut around", code="engine-failed")
    margin = round(placement.keyline_mm * placement.ppi / 25.4) + 2
    left, top = max(x0 - margin - raster.origin_px[0], 0), max(y0 - margin - raster.origin_px[1], 0)
    right, bottom = x1 + margin - raster.origin_px[0], y1 + margin - raster.origin_px[1]
    part = raster.pixels[top:bottom, left:right]
    return replace(raster, pixels=part, origin_px=(raster.origin_px[0] + left, raster.origin_px[1] + top)), 1.0
