"""Ink where the product has a window, a slot or a button.

Comes in: evidence with its picture, areas of the product's record. Goes out: `ink-in-keep-out-area`. Never done here: cutting.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._evidence import Evidence, print_corners
from vectorprep.model import Explanation, Finding

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import KeepOut, Raster

SLUGS = {
    "ink-in-keep-out-area": Explanation(
        cause="A part of the art lies where the product has a window, a slot or a button, or closer to it than the record allows.",
        consequence="It is cut away, or printed on an edge where ink chips.",
        remedy="Nudge the art, print it smaller, or let a plain ground run through there. The built-in outlines are examples: put"
        " those of your product's maker under [placement.keep_out] of its record.",
    ),
}
INK = 8  # coverage that counts as ink, as everywhere
SHARE_LEAST = 0.002  # of the area's own size: below that it is a smoothed edge (house value)
GROUND_SHARE = 0.98  # of the area in one colour: a ground that runs through it (house value)
LIKE = 24  # levels of 255 by which a ground may vary (house value)


def check(evidence: Evidence) -> Iterator[Finding]:
    """One finding for each area."""
    rule = evidence.product.placement
    raster = evidence.raster
    if not rule.keep_out or raster is None or evidence.placement.canvas_px != evidence.product.file_size_px:
        return
    for area in rule.keep_out:
        inside = _pixels_in(evidence, raster, area, rule.keep_out_clear_min_mm)
        share = float(np.where(inside[:, 3] >= INK, inside[:, 3], 0).mean()) / 255 if len(inside) else 0.0
        if share > SHARE_LEAST and not _is_ground(inside):
            yield _finding(evidence, area, share, rule.keep_out_clear_min_mm)


def _outline(evidence: Evidence, area: KeepOut, clear_mm: float) -> NDArray[np.float64]:
    """Corners of the area with the clearance around it, in pixels of the canvas."""
    from shapely import Polygon

    grown = Polygon(area.corners_mm).buffer(clear_mm)
    return np.asarray((np.asarray(grown.exterior.coords) + evidence.product.bleed_mm) * evidence.px_per_mm, np.float64)


def _pixels_in(evidence: Evidence, raster: Raster, area: KeepOut, clear_mm: float) -> NDArray[np.uint8]:
    """All pixels of the area, n x 4, premultiplied; those outside the picture are empty."""
    from PIL import Image, ImageDraw

    outline = _outline(evidence, area, clear_mm)
    width, height = evidence.placement.canvas_px
    left, top = np.clip(np.floor(outline.min(axis=0)), 0, (width, height)).astype(int)
    right, bottom = np.clip(np.ceil(outline.max(axis=0)) + 1, 0, (width, height)).astype(int)
    mask = Image.new("1", (max(1, right - left), max(1, bottom - top)))
    ImageDraw.Draw(mask).polygon([(x - left, y - top) for x, y in outline], fill=1)
    found = np.zeros((*mask.size[::-1], 4), np.uint8)
    x, y = raster.origin_px
    rows, columns = raster.pixels.shape[:2]
    x0, x1, y0, y1 = max(left, x), min(right, x + columns), max(top, y), min(bottom, y + rows)
    if x0 < x1 and y0 < y1:
        found[y0 - top : y1 - top, x0 - left : x1 - left] = raster.pixels[y0 - y : y1 - y, x0 - x : x1 - x]
    return np.asarray(found[np.asarray(mask)])


def _is_ground(inside: NDArray[np.uint8]) -> bool:
    """Whether one colour fills the area."""
    middle = np.median(inside, axis=0)
    like = np.abs(inside.astype(np.float32) - middle).max(axis=1) <= LIKE
    return bool(middle[3] >= INK and like.mean() >= GROUND_SHARE)


def _finding(evidence: Evidence, area: KeepOut, share: float, clear_mm: float) -> Finding:
    outline = _outline(evidence, area, clear_mm)
    (x0, y0), (x1, y1) = outline.min(axis=0), outline.max(axis=0)
    return Finding(
        check="ink-in-keep-out-area",
        severity="warning",
        message=f"ink covers {max(share, 0.001):.1%} of the {area.name} and the {clear_mm:g} mm around it that stay clear",
        fix="nudge the art away from it, print it smaller, or let a plain ground run through there",
        measured=round(share, 4),
        limit=0.0,
        unit="share of the area",
        place_mm=print_corners(evidence, (float(x0), float(y0), float(x1), float(y1))),
        place_on="print",
    )
