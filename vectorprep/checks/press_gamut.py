"""The inks against a press, by its ICC profile: which it cannot print, and which take more ink than dries.

Comes in: evidence with inks and a press. Goes out: `colour-out-of-gamut`, `total-ink-over-limit`.
Never done here: pixels: what counts is an ink, not the smoothing at its edges; embedded pictures have no inks.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence
from vectorprep.checks._where import place_of
from vectorprep.colour import colour_word, delta_e_2000
from vectorprep.model import Explanation, Finding
from vectorprep.press import PressProfile, PrintedInk, printed_inks

SLUGS = {
    "colour-out-of-gamut": Explanation(
        cause="By the profile of the press an ink of the drawing lies outside what it can print.",
        consequence="The print shows a duller or shifted colour; glowing greens, blues and magentas suffer most.",
        remedy="Choose the nearest printable colour that is named, a spot ink if the printer has one, or accept it. No free profile"
        " describes printed garments, so take it as advice unless the profile is your printer's own.",
    ),
    "total-ink-over-limit": Explanation(
        cause="By the profile of the press an ink takes more cyan, magenta, yellow and black together than the limit.",
        consequence="Heavy ink dries slowly, smears and shows through on the other side.",
        remedy="Choose a lighter colour, ask the printer for a profile with more black in its dark colours, or raise"
        " total_ink_limit_percent in the settings if the process bears it.",
    ),
}
USUAL_LIMIT_PERCENT = 300.0  # common practice, no source
NOTE_DELTA_E, WARNING_DELTA_E = 5.0, 8.0  # CIEDE2000, house values
NAMED = 6  # inks named per picture, the worst first (house value)


def check(evidence: Evidence) -> Iterator[Finding]:
    """The worst inks of the picture, each once with the blanks that it is printed on."""
    press = evidence.press
    if press is None:
        return
    on = _blanks_by_ink(evidence)
    printed = printed_inks(tuple(on), press)
    beyond = sorted((one for one in printed if one.delta_e > NOTE_DELTA_E), key=lambda one: -one.delta_e)
    for one in beyond[:NAMED]:
        yield _gamut(evidence, one, press, on[one.ink])
    limit = total_ink_limit(evidence, press)
    heavy = [one for one in printed if (one.total_ink_percent or 0.0) > limit]
    for one in sorted(heavy, key=lambda one: -(one.total_ink_percent or 0.0))[:NAMED]:
        yield _total(evidence, one, press, on[one.ink])


def total_ink_limit(evidence: Evidence, press: PressProfile) -> float:
    """Percent: what the settings say, else the product, else what is usual."""
    stated = (press.total_ink_limit_percent, evidence.product.total_ink_limit_percent)
    return next((limit for limit in stated if limit is not None), USUAL_LIMIT_PERCENT)


def _blanks_by_ink(evidence: Evidence) -> dict[str, str]:
    """Each ink with the key of its only blank, or nothing where it is printed on more."""
    found: dict[str, str] = {}
    for on in evidence.on_blanks:
        for ink in on.inks:
            if ink.kind != "picture":
                found[ink.colour] = on.blank.key if ink.colour not in found else ""
    return found if len(evidence.on_blanks) > 1 else dict.fromkeys(found, "")


def _gamut(evidence: Evidence, one: PrintedInk, press: PressProfile, blank: str) -> Finding:
    warns = one.delta_e > WARNING_DELTA_E
    left = delta_e_2000(one.ink, one.nearest)
    return Finding(
        check="colour-out-of-gamut",
        severity="warning" if warns else "note",
        blank=blank,
        message=f"{colour_word(one.ink)} {one.ink} prints as {one.prints_as} by {press.name}, CIEDE2000 {one.delta_e:.1f} away;"
        f" the nearest colour that it prints is {one.nearest} ({left:.1f})",
        fix=f"use {one.nearest}, ask for a spot ink, or accept a duller print",
        measured=round(one.delta_e, 2),
        limit=WARNING_DELTA_E if warns else NOTE_DELTA_E,
        unit="CIEDE2000",
        place_mm=place_of(evidence, (one.ink,)),
        place_on="print",
    )


def _total(evidence: Evidence, one: PrintedInk, press: PressProfile, blank: str) -> Finding:
    total = one.total_ink_percent or 0.0
    return Finding(
        check="total-ink-over-limit",
        severity="warning",
        blank=blank,
        message=f"{colour_word(one.ink)} {one.ink} takes {total:.0f} % of ink by {press.name},"
        f" above {total_ink_limit(evidence, press):g} %",
        fix="choose a lighter colour, or raise total_ink_limit_percent in the settings if the printer allows it",
        measured=round(total, 1),
        limit=total_ink_limit(evidence, press),
        unit="%",
        place_mm=place_of(evidence, (one.ink,)),
        place_on="print",
    )
