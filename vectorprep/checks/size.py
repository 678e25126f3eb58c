"""The printed size against the record's ideal width.

Comes in: evidence. Goes out: `print-width-off-ideal`. Never done here: placing.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence
from vectorprep.model import Explanation, Finding
from vectorprep.units import length_words

SLUGS = {
    "print-width-off-ideal": Explanation(
        cause="The art is printed much narrower or wider than the ideal width of the product.",
        consequence="It looks lost on the product, or crowds it; tall art bounded by its height is the usual case.",
        remedy="Accept it for tall art; else set width or scale for this artwork, or check the drawing for stray ink.",
    ),
}
LEAST, MOST = 0.75, 1.1  # common practice, no source: shares of the ideal width


def check(evidence: Evidence) -> Iterator[Finding]:
    """One finding where the printed width is outside 0.75 to 1.1 of the ideal for the garment size placed for."""
    ideal = dict(evidence.product.ideal_width_mm_by_garment_size).get(evidence.placement.garment_size)
    if ideal is None:
        return
    width = evidence.placement.placed[0].printed_mm[0]
    if LEAST * ideal <= width <= MOST * ideal:
        return
    yield Finding(
        check="print-width-off-ideal",
        severity="warning",
        message=f"printed {length_words(width)} wide, {width / ideal:.0%} of the ideal {length_words(ideal)}",
        fix="accept it for tall art; else set width or scale for this artwork in the settings",
        measured=round(width, 2),
        limit=round((LEAST if width < ideal else MOST) * ideal, 2),
        unit="mm",
    )
