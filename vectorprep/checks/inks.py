"""The inks against the process: white where none is printed, ratios below the floor, inks told by hue alone.

Comes in: evidence with inks and policies. Goes out: `white-ink-unavailable`, `contrast-too-low`, `contrast-hue-only`.
Never done here: the verdict, which goes by the outline.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence, OnBlank
from vectorprep.checks._where import place_of
from vectorprep.colour import colour_word, contrast_ratio, lab, lightness, worst_delta_e
from vectorprep.model import Explanation, Finding, Ink

SLUGS = {
    "white-ink-unavailable": Explanation(
        cause="The drawing holds white, and the process prints no white ink on this blank.",
        consequence="White areas are left bare: they show the blank's own colour.",
        remedy="Fine where white means the blank: accept it. Else choose a product whose process prints white, leave this blank out"
        " (blanks in the settings), or give the white parts a colour in the drawing.",
    ),
    "contrast-too-low": Explanation(
        cause="An ink that meets the product has a contrast ratio below 3:1 to it, on a good part of the art.",
        consequence="That ink reads weakly by lightness, although the outline as a whole is seen.",
        remedy='Look at it on the preview. Give the ink another colour on this blank, [artworks."NAME".colours.BLANK] with'
        ' "#1c3563" ='
        ' "#8fb0e8" in the settings, or accept it.',
    ),
    "contrast-hue-only": Explanation(
        cause="An ink is told from the product by its hue and hardly by its lightness.",
        consequence="Buyers with a colour-vision deficiency, and everybody in dim light, see it less well.",
        remedy='Accept it, or make the ink lighter or darker on this blank: [artworks."NAME".colours.BLANK] with "#ffff00"'
        ' = "#b38f00" in the'
        " settings.",
    ),
}
TOUCHING_SHARE = 0.03
"""Of an ink's own outline, as for inks that meet cloth (house value)."""
AREA_SHARE = 0.02  # of the ink; house value
WHITE_L = 97.0  # L* from which paint counts as white (house value)
HUE_DELTA_E = 20.0  # CIEDE2000 from which hue alone tells two colours apart (house value)


def check(evidence: Evidence) -> Iterator[Finding]:
    """Findings per blank, the worst ink of each kind."""
    for on in evidence.on_blanks:
        if not on.ink_policy.has_white_ink and lightness(on.blank.colour) < WHITE_L:
            yield from _white(evidence, on)
        if on.verdict.word == "clear":
            yield from _contrast(evidence, on)


def _white(evidence: Evidence, on: OnBlank) -> Iterator[Finding]:
    white = [ink for ink in on.inks if lightness(ink.colour) >= WHITE_L and ink.kind != "picture"]
    share = sum(ink.area_share for ink in white)
    if share > AREA_SHARE:
        yield Finding(
            check="white-ink-unavailable",
            severity="warning",
            blank=on.blank.key,
            message=f"{share:.0%} of the ink is white, which this process leaves bare on {on.blank.name.lower()}",
            fix="accept it where white means the blank; else choose a process with white ink, or leave this blank out"
            " (blanks in the settings)",
            measured=round(share, 4),
            limit=AREA_SHARE,
            unit="share of the ink",
            place_mm=place_of(evidence, tuple(ink.colour for ink in white)),
            place_on="print",
        )


def is_by_hue(ink: str, cloth: str) -> bool:
    """Whether two colours differ in hue and chroma more than in lightness (CIELAB)."""
    (level, a, b), (cloth_level, cloth_a, cloth_b) = lab(ink), lab(cloth)
    return math.hypot(a - cloth_a, b - cloth_b) >= abs(level - cloth_level)


def _is_in_contact(ink: Ink, on: OnBlank) -> bool:
    """Whether an ink meets what lies behind the art, over more than a few hundredths of its own outline."""
    return dict(ink.touches).get(on.behind.colour, 0.0) > TOUCHING_SHARE if on.is_on_ground else ink.in_contact


def _contrast(evidence: Evidence, on: OnBlank) -> Iterator[Finding]:
    floor = on.ink_policy.contrast_warn_below_ratio
    below = [
        ink
        for ink in on.inks
        if _is_in_contact(ink, on)
        and ink.kind == "flat"
        and ink.area_share >= AREA_SHARE
        and not (on.is_on_ground and ink.colour == on.behind.colour)
        and contrast_ratio(ink.colour, on.behind.colour) < floor
    ]
    if not below:
        return
    worst: Ink = min(below, key=lambda ink: contrast_ratio(ink.colour, on.behind.colour))
    ratio, least = contrast_ratio(worst.colour, on.behind.colour), worst_delta_e(worst.colour, on.behind.colour)
    by_hue = least >= HUE_DELTA_E and is_by_hue(worst.colour, on.behind.colour)
    words = f"{colour_word(worst.colour)} {worst.colour} on {on.behind.name.lower()}, {ratio:.2f}:1"
    yield Finding(
        check="contrast-hue-only" if by_hue else "contrast-too-low",
        severity="warning" if evidence.strict and not by_hue else "note",
        blank=on.blank.key,
        message=f"{words}, is told apart by its hue" if by_hue else f"{words}, is below {floor:g}:1",
        fix="accept it, or make this ink lighter or darker on this blank",
        measured=round(least if by_hue else ratio, 2),
        limit=HUE_DELTA_E if by_hue else floor,
        unit="CIEDE2000" if by_hue else ":1",
        place_mm=place_of(evidence, (worst.colour,)),
        place_on="print",
    )
