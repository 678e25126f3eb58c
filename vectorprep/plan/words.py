"""A placement in plain words, in inches and millimetres.

Comes in: a product and what was placed on it.
Goes out: one sentence for a report.
Never done here: deciding anything.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from vectorprep.model import Placed, Product
from vectorprep.plan.scale import PlaceOptions
from vectorprep.units import length_words, size_words

BOX = "the width of the print area inside its margin"
SETTINGS = "the width set by the seller"
ORIGINAL = "the drawing's own size"
COVER = "covering the whole sheet with its bleed"
SQUARE = " x 0.9 for nearly square art"
FACES = " of one face"


def ideal(size_key: str) -> str:
    """The reason of a width from the record's table."""
    return "the ideal width" if size_key in {"", "any"} else f"the ideal width for garment size {size_key}"


def grid(columns: int, rows: int) -> str:
    """The reason of a sheet of copies."""
    return f"{columns} x {rows} on the sheet"


def placement_words(product: Product, placed: Sequence[Placed], why: str, options: PlaceOptions) -> str:
    """Printed size, the rule that gave it, and where it stands."""
    printed = placed[0].printed_mm
    parts = [f"{size_words(*printed)}: {why}", where(product)]
    if options.nudge_mm != (0.0, 0.0):
        parts.append(f"nudged {options.nudge_mm[0]:g} mm right and {options.nudge_mm[1]:g} mm down")
    if options.ground and product.background != "transparent":
        parts.append(f"the sheet is filled with the drawing's own background {options.ground}")
    if product.taper is not None and product.is_bent:
        parts.append(
            f"bent into the side of the cup laid flat, a ring sector of {product.taper.outer_radius_mm:.1f} and"
            f" {product.taper.inner_radius_mm:.1f} mm radius over {math.degrees(product.taper.angle_rad):.2f} degrees"
        )
    return "; ".join(parts)


def where(product: Product) -> str:
    """Where the ink goes on the product: vertical and horizontal rule with their datum."""
    return f"{_vertical(product)}, {_horizontal(product)}"


def _vertical(product: Product) -> str:
    rule = product.placement
    datum = rule.datum.replace("_", " ")
    if rule.vertical == "top_of_ink":
        return (
            f"top of the ink {length_words(rule.top_offset_mm)} below the {datum}"
            if rule.top_offset_mm is not None
            else "at the top"
        )
    if rule.vertical == "bottom_of_ink":
        known = rule.bottom_offset_mm is not None
        return f"bottom of the ink {length_words(rule.bottom_offset_mm or 0.0)} above the {datum}" if known else "at the bottom"
    return {"grid": "in a grid", "centre_of_panel": "middle of the panel"}.get(rule.vertical, f"middle of the height ({datum})")


def _horizontal(product: Product) -> str:
    rule = product.placement
    if rule.horizontal == "centre_at_offset":
        side = rule.side.replace("wearer_", "the wearer's ")
        return f"centred {length_words(rule.horizontal_offset_mm or 0.0)} from the centre line on {side}"
    named = {
        "centre": "on the centre line",
        "centre_on_fold": "on the fold",
        "centre_opposite_seam": "opposite the seam",
        "left": "at the left",
        "right": "at the right",
        "grid": "row by row",
    }
    return named[rule.horizontal]
