"""Inks side by side turned into stencils that forgive: the lighter spread under the darker, a base drawn in below them all.

Comes in: coverage of each ink, or regions in mm, with trap and choke. Goes out: regions in mm.
Never done here: bits, halftones, names, files.

Widening polygons is shapely's (GEOS): exact to the chords of its arcs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely
from PIL import Image

from vectorprep.colour import lightness
from vectorprep.shapes.cutline import ARC_STEPS, EMPTY, ink_region

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    Bytes = NDArray[np.uint8]
    Bits = NDArray[np.bool_]

FAINT, FULL = 10, 245
"""Coverage between these is a tone where it is no edge (house value: 4 % and 96 %)."""
LEAST_TONAL_PX = 40
"""Fewer pixels of tone are corners and crossings, no tone (house value)."""
GROWN_PX = 3
"""How far around its middle a tone reaches: its own pixels at its rim."""
LEAST_MM2 = 0.01
"""Specks below that fall out of a plate (house value: a dot of 0.11 mm, far below what any stencil holds)."""


def flat_region(coverage: Bytes, px_per_mm: float) -> BaseGeometry:
    """Where an ink covers half or more, mm from the corner of the grid."""
    return ink_region(coverage, px_per_mm, fills_holes=False, least_mm2=LEAST_MM2)


def tonal(coverage: Bytes) -> Bits:
    """Where an ink is neither there nor away over more than an edge: what a halftone has to show."""
    soft = (coverage > FAINT) & (coverage < FULL)
    core = np.pad(soft, GROWN_PX)  # so that what rolls over an edge of the picture is bare
    for axis in (0, 1):  # an edge is at most two pixels wide; three in a row are a tone
        core = core & np.roll(core, 1, axis) & np.roll(core, -1, axis)
    if np.count_nonzero(core) < LEAST_TONAL_PX:
        return np.zeros_like(soft)
    grown = _grown(core, GROWN_PX)[GROWN_PX:-GROWN_PX, GROWN_PX:-GROWN_PX]
    return np.asarray(grown & (coverage > 0))


def _grown(bits: Bits, by_px: int) -> Bits:
    wide = bits.copy()
    for axis in (0, 1):
        line = wide.copy()
        for step in range(1, by_px + 1):
            line |= np.roll(wide, step, axis) | np.roll(wide, -step, axis)
        wide = line
    return wide


def order_of_printing(inks: Sequence[str]) -> tuple[str, ...]:
    """Inks from light to dark (common practice, no source)."""
    return tuple(sorted(inks, key=lambda ink: (-lightness(ink), ink)))


def trapped(regions: Mapping[str, BaseGeometry], trap_mm: float) -> dict[str, BaseGeometry]:
    """Each ink with a rim of that width under every darker ink that it touches; the darker one keeps its shape and overprints."""
    order = order_of_printing(tuple(regions))
    spread: dict[str, BaseGeometry] = {}
    for at, ink in enumerate(order):
        darker = shapely.union_all([regions[other] for other in order[at + 1 :]]) if at + 1 < len(order) else EMPTY
        region = regions[ink]
        if trap_mm > 0 and not darker.is_empty and not region.is_empty:
            rim = region.buffer(trap_mm, quad_segs=ARC_STEPS).intersection(darker)
            region = _areas(shapely.union_all([region, rim]))
        spread[ink] = region
    return spread


def base_below(region: BaseGeometry, choke_mm: float) -> BaseGeometry:
    """The white base of an artwork: its shape, drawn in by the choke on every side."""
    return _areas(region.buffer(-choke_mm, quad_segs=ARC_STEPS))


def _areas(region: BaseGeometry) -> BaseGeometry:
    parts = [part for part in shapely.get_parts(region) if isinstance(part, shapely.Polygon) and not part.is_empty]
    return shapely.MultiPolygon(parts)


def enlarged(coverage: Bytes, size_px: tuple[int, int], window_px: tuple[float, float, float, float]) -> Bytes:
    """A window of a grid (left, top, right, bottom, in its own pixels) at another size, straight between pixels."""
    picture = Image.fromarray(coverage)
    return np.asarray(picture.resize(size_px, Image.Resampling.BILINEAR, box=window_px))
