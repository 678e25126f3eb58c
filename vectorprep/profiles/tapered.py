"""The `[taper]` table of a product: a cup that is wider above than below.

Comes in: a product's table, and the product read from it. Goes out: its `Taper`, or none; faults are noted in the table.
Never done here: geometry (`model.taper`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from vectorprep.model import Taper
from vectorprep.model.product import RING_SECTOR

if TYPE_CHECKING:
    from vectorprep.model import Product
    from vectorprep.records import Table

ANGLE_MAX_DEG = 120.0
"""Of a sector: a cup that leans outward by more than 19 degrees is a bowl (house value)."""
SECTOR_OUTPUTS = ("print-png", "preview-png", "wrap-svg")
"""Kinds of file that hold a bent picture, or none."""


def read_taper(product: Table, most_mm: float) -> Taper | None:
    """The table's diameters and height; None without it."""
    table = product.table("taper")
    if table is None:
        return None
    taper = Taper(
        top_diameter_mm=table.number("top_diameter_mm", low=1.0, high=most_mm),
        bottom_diameter_mm=table.number("bottom_diameter_mm", low=1.0, high=most_mm),
        height_mm=table.number("height_mm", low=1.0, high=most_mm),
    )
    if table.sound("top_diameter_mm", "bottom_diameter_mm", "height_mm") and taper.top_diameter_mm <= taper.bottom_diameter_mm:
        message = f"is {taper.top_diameter_mm:g}, no wider than bottom_diameter_mm = {taper.bottom_diameter_mm:g}"
        remedy = "write the diameters at the upper and lower edge of the wrap; a straight cup has no [taper]"
        table.fault("top_diameter_mm", message, remedy)
        return None
    return taper


def check_taper(table: Table, product: Product) -> None:
    """A ring sector needs a taper, an area that holds it, and a picture of which one copy can be bent."""
    if product.print_area_kind != RING_SECTOR or not table.sound("taper", "print_area_mm", "print_area_kind"):
        return
    taper = product.taper
    if taper is None:
        if table.raw("taper") is None:
            table.fault("taper", "is missing", "a ring_sector needs top_diameter_mm, bottom_diameter_mm and height_mm", rank=2)
        return
    if math.degrees(taper.angle_rad) > ANGLE_MAX_DEG:
        message = f"leans by {taper.taper_deg:.1f} degrees, which no wrap follows"
        table.fault("taper", message, "check the diameters and the height")
    bleed = float(product.bleed_mm)
    width, height = (side - 2 * bleed for side in taper.box_mm(bleed))
    if product.print_area_mm[0] < width or product.print_area_mm[1] < height:
        stated = f"{product.print_area_mm[0]:g} x {product.print_area_mm[1]:g}"
        message = f"is {stated}, but the cup's side laid flat with its bleed takes {width:.3f} x {height:.3f} mm"
        table.fault("print_area_mm", message, f"write at least [{_up(width):g}, {_up(height):g}]")
    if product.fit != "contain":
        table.fault("fit", f'is "{product.fit}"', 'a ring_sector takes "contain" alone')
    other = [kind for kind in product.outputs if kind not in SECTOR_OUTPUTS]
    if other:
        table.fault("outputs", f"names {', '.join(other)}", f"a ring_sector is made as {', '.join(SECTOR_OUTPUTS)}")
    if product.placement.face_centres_from_left_edge_mm or product.placement.horizontal == "grid":
        table.fault("placement", "asks for several copies", "a ring_sector takes one, in the middle opposite the seam")


def _up(length_mm: float) -> float:
    return -(-length_mm * 10 // 1) / 10
