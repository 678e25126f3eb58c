"""Black ink on nearly black cloth.

Comes in: evidence with inks per blank. Goes out: `black-on-dark-cloth`. Never done here: the verdict, the remedy.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence, OnBlank
from vectorprep.checks._where import place_of
from vectorprep.colour import delta_e_2000, lab, lightness
from vectorprep.model import Explanation, Finding, Ink

SLUGS = {
    "black-on-dark-cloth": Explanation(
        cause="A black ink meets cloth that is nearly black itself.",
        consequence="Printed over the white base it shows as a grey halo or a shiny patch; its edge is not seen.",
        remedy="Decide for one. Knock it out so that the cloth shows: knock_out_black = true in the settings. Outline it:"
        " treatments ="
        ' ["keyline"]. Recolour it: [artworks."NAME".colours.BLANK] with "#000000" = "#f4e2c8". Or keep it and accept the finding.',
    ),
}
DARK_L = 25.0  # L* of cloth (common practice, no source)
LIKE_CLOTH_DELTA_E = 12.0  # CIEDE2000 (common practice, no source)
BLACK_L = 25.0  # L* up to which an ink is a black one (house value)
BLACK_CHROMA = 12.0  # CIELAB chroma up to which it is no dark blue, brown or green (house value)
AREA_SHARE = 0.005  # of the ink (house value)


def check(evidence: Evidence) -> Iterator[Finding]:
    """The largest such ink on each blank that is dark enough."""
    for on in evidence.on_blanks:
        if on.ink_policy.black_on_black == "not_applicable" or on.treatment.kind in {"keyline", "knock-out"}:
            continue
        if lightness(on.blank.colour) <= DARK_L:
            yield from _worst(evidence, on)


def _worst(evidence: Evidence, on: OnBlank) -> Iterator[Finding]:
    black = [ink for ink in on.inks if _is_black_like_cloth(ink, on.blank.colour)]
    if not black:
        return
    ink = max(black, key=lambda ink: ink.area_share)
    difference = delta_e_2000(ink.colour, on.blank.colour)
    yield Finding(
        check="black-on-dark-cloth",
        severity="warning",
        blank=on.blank.key,
        message=f"black {ink.colour} on {on.blank.name.lower()} differs by {difference:.1f} CIEDE2000 only",
        fix="decide: keep it, knock it out (knock_out_black = true in the settings), outline it, or give it another colour"
        " on this blank",
        measured=round(difference, 2),
        limit=LIKE_CLOTH_DELTA_E,
        unit="CIEDE2000",
        place_mm=place_of(evidence, (ink.colour,)),
        place_on="print",
    )


def _is_black_like_cloth(ink: Ink, cloth: str) -> bool:
    return (
        ink.in_contact
        and ink.kind == "flat"
        and ink.area_share >= AREA_SHARE
        and _is_black(ink.colour)
        and delta_e_2000(ink.colour, cloth) <= LIKE_CLOTH_DELTA_E
    )


def _is_black(colour: str) -> bool:
    level, a, b = lab(colour)
    return level <= BLACK_L and math.hypot(a, b) <= BLACK_CHROMA
