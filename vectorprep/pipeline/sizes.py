"""How large an artwork is on a product, for `measure`.

Comes in: a measurement and its placement. Goes out: a record. Never done here: placing, drawing.
"""

from __future__ import annotations

from typing import Any

from vectorprep.checks.bitmaps import effective_ppi
from vectorprep.model import Measurement, Placement
from vectorprep.report.records import rounded


def size_record(artwork: str, product: str, measured: Measurement, placement: Placement) -> dict[str, Any]:
    """Printed size, place and canvas of one artwork on one product, and the resolution that its bitmaps have there."""
    one = placement.placed[0]
    found = [effective_ppi(image, one.px_per_mm / (placement.ppi / 25.4)) for image in measured.artwork.images]
    return {
        "artwork": artwork,
        "product": product,
        "printed_mm": [rounded(length, 3) for length in one.printed_mm],
        "ink_box_px": list(one.ink_box_px),
        "canvas_px": list(placement.canvas_px),
        "words": placement.words,
        "image_ppi": [rounded(ppi, 1) for ppi in found if ppi is not None],
    }
