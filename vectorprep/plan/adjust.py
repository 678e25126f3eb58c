"""What happens to a placement afterwards: nudges by hand, and a canvas trimmed to the ink.

Comes in: placed copies, the seller's nudge.
Goes out: moved copies, a smaller canvas.
Never done here: scaling.
"""

from __future__ import annotations

import math
from dataclasses import replace

from vectorprep.errors import ArtworkRefused
from vectorprep.model import Placed, Placement
from vectorprep.model.result import PxBox
from vectorprep.plan import area
from vectorprep.plan.scale import Job, rounded
from vectorprep.units import exact


def nudge_px(job: Job) -> tuple[int, int]:
    """The nudge in whole pixels, right and down."""
    dx_mm, dy_mm = job.options.nudge_mm
    return rounded(exact(dx_mm) * job.px_per_mm), rounded(exact(dy_mm) * job.px_per_mm)


def nudged(job: Job, placed: Placed) -> Placed:
    """The copy moved by the nudge; it may use the safe margin, but not leave the print area.

    Raises:
        ArtworkRefused: the ink would leave the print area.
    """
    dx, dy = nudge_px(job)
    if dx == 0 and dy == 0:
        return placed
    shifted = moved(placed, dx, dy)
    limit, keyline_px = area.print_area(job.product), job.keyline_mm * job.px_per_mm
    x0, y0, x1, y1 = shifted.ink_box_px
    over_px = keyline_px + max(
        limit.x0 * job.px_per_mm - x0,
        limit.y0 * job.px_per_mm - y0,
        x1 - limit.x1 * job.px_per_mm,
        y1 - limit.y1 * job.px_per_mm,
    )
    if over_px > 1:  # a pixel is lost in rounding the area to whole pixels
        raise nudge_refused(job, f"{float(over_px / job.px_per_mm):.1f} mm outside the print area")
    return shifted


def nudge_refused(job: Job, where: str) -> ArtworkRefused:
    """The error of a nudge that goes too far."""
    dx, dy = job.options.nudge_mm
    width, height = job.product.print_area_mm
    message = (
        f"the nudge of {dx:g} mm right and {dy:g} mm down puts the ink {where} of {job.product.key} ({width:g} x {height:g} mm)"
    )
    return ArtworkRefused(message, fix="nudge less, or ask for a smaller width", code="nudge-outside")


def moved(placed: Placed, dx: int, dy: int) -> Placed:
    """The copy moved by whole pixels."""
    x0, y0, x1, y1 = placed.ink_box_px
    offset = (placed.offset_px[0] + dx, placed.offset_px[1] + dy)
    return replace(placed, offset_px=offset, ink_box_px=(x0 + dx, y0 + dy, x1 + dx, y1 + dy))


def trimmed(job: Job, placement: Placement) -> Placement:
    """The canvas cut to all that is painted, faint ink and keyline too."""
    border = math.ceil(job.keyline_mm * job.px_per_mm)
    boxes = [_reach_px(job, one) for one in placement.placed]
    left, top = min(box[0] for box in boxes) - border, min(box[1] for box in boxes) - border
    right, bottom = max(box[2] for box in boxes) + border, max(box[3] for box in boxes) + border
    x_mm, y_mm = placement.canvas_origin_mm
    return replace(
        placement,
        canvas_px=(right - left, bottom - top),
        placed=tuple(moved(one, -left, -top) for one in placement.placed),
        canvas_origin_mm=(x_mm + float(left / job.px_per_mm), y_mm + float(top / job.px_per_mm)),
    )


def _reach_px(job: Job, placed: Placed) -> PxBox:
    """Whole pixels of everything painted, within the full canvas."""
    x0, y0, x1, y1 = placed.ink_box_px
    reach = job.reach.scaled(placed.px_per_mm).shifted(*placed.offset_px)
    width, height = job.product.file_size_px
    return (
        min(x0, max(math.floor(reach.x0), 0)),
        min(y0, max(math.floor(reach.y0), 0)),
        max(x1, min(math.ceil(reach.x1), width)),
        max(y1, min(math.ceil(reach.y1), height)),
    )
