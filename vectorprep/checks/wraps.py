"""Whether a cup's wrap has the shape of its side.

Comes in: evidence. Goes out: `wrap-taper-needs-sector`. Never done here: the shape.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence
from vectorprep.model import Explanation, Finding

SLUGS = {
    "wrap-taper-needs-sector": Explanation(
        cause="The product's record says that the cup is tapered, and gives a rectangle as its wrap.",
        consequence="Wrapped around the cup, a rectangle climbs at its ends: lines sag, and its edges do not meet.",
        remedy='Set print_area_kind = "ring_sector" and print_area_mm to the box around the side laid flat, as in the built-in'
        " tapered tumbler; prints are then bent.",
    ),
}


def check(evidence: Evidence) -> Iterator[Finding]:
    """One finding for a tapered cup whose prints are not bent."""
    product = evidence.product
    taper = product.taper
    if taper is None or product.is_bent or taper.taper_deg <= product.taper_warn_above_deg:
        return
    bleed = product.bleed_mm
    width, height = (side - 2 * bleed for side in taper.box_mm(bleed))
    yield Finding(
        check="wrap-taper-needs-sector",
        severity="warning",
        message=f"the cup tapers by {taper.taper_deg:.1f} degrees and its wrap is a rectangle",
        measured=round(taper.taper_deg, 2),
        limit=product.taper_warn_above_deg,
        unit="degrees",
        fix=f'set print_area_kind = "ring_sector" and print_area_mm to {width:.1f} x {height:.1f} mm in the product\'s record',
    )
