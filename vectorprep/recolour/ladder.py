"""The ladder: from leaving an artwork alone to asking the seller, as candidate treatments in order.

Comes in: the inks of an artwork, a blank, the policy, the verdict on the artwork as drawn.
Goes out: treatments, mildest first; the caller draws and judges them and takes the first that is clear. The last one asks.
Never done here: drawing, judging, changing markup.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vectorprep.colour import delta_e_2000
from vectorprep.model import Treatment
from vectorprep.recolour.candidates import Family, just_enough
from vectorprep.recolour.case import Case
from vectorprep.recolour.cloth import cloth_of
from vectorprep.recolour.moves import least_change, swaps_on
from vectorprep.recolour.policy import RecolourPolicy
from vectorprep.recolour.single import single_ink
from vectorprep.recolour.wishes import after_wishes, wishes_of, with_wishes
from vectorprep.recolour.words import (
    ask_reason,
    keyline_reason,
    knock_out_reason,
    leave_reason,
    swap_reason,
    thicker_reason,
    wish_reason,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from vectorprep.model import Blank, Ink, Verdict
    from vectorprep.recolour.policy import Rung

VANISH_DELTA_E = 10.0
"""Ink this close to the cloth may be left out (house value)."""
VANISH_AREA = 0.25
"""Most of the picture's area that may be left out (house value)."""
VANISH_OWN_EDGE = 0.55
"""Cloth share of its own perimeter up to which ink is a rim of other ink, not a part standing free (house value)."""
EXPOSED_PASSES = 0.9
"""Share of the edge exposed by leaving ink out that must itself be seen (house value)."""
FINE_SHARE = 0.015
"""Marks up to this share of the long side are fine lines, for which a wide outline is too much at first (house value)."""
ONE_INK_RATIOS = (3.0, 4.5, 7.0)  # WCAG 2.2: 1.4.11, 1.4.3, 1.4.6; a fine line needs more than a shape
THIN_MM = 1.5
"""Width in print up to which a line is thin, and should reach the ratio of text if it is changed (house value)."""
ASSUMED_LONG_MM = 280.0
"""Long side of a print of unknown size."""
ONE_INK_SHARE = 0.95
"""Area share from which a drawing counts as drawn in one ink (house value)."""


def propose(
    inks: tuple[Ink, ...],
    blank: Blank,
    *,
    policy: RecolourPolicy | None = None,
    verdict: Verdict | None = None,
    white_ink: bool = True,
    has_pictures: bool = False,
    has_text: bool = False,
    strict: bool = False,
    printed_long_mm: float | None = None,
) -> tuple[Treatment, ...]:
    """Treatments of an artwork on a blank, mildest first.

    Args:
        inks: what the artwork is painted with, largest area first.
        blank: the product colour.
        policy: the seller's and the product's limits; house values if absent.
        verdict: of the artwork as drawn; a clear one means that only the seller's own wishes are proposed.
        white_ink: whether the process lays white under or as ink; without it colours multiply with the cloth.
        has_pictures: the artwork holds an embedded photograph, whose colours are never changed.
        has_text: text or thin marks, which need the higher ratio.
        strict: whether contrast ratios decide instead of what the eye sees.
        printed_long_mm: long side of the print; a keyline grows with it.

    Returns:
        At least one treatment; the only one is `as-drawn` where nothing needs doing, else the last one is `ask`.
    """
    policy = policy or RecolourPolicy()
    cloth = cloth_of(blank, white_ink=white_ink)
    floor = policy.text_ratio_floor if strict and has_text else policy.ratio_floor
    case = Case(inks=inks, cloth=cloth, policy=policy, floor=floor)
    ask = Treatment(kind="ask", reason=ask_reason(case, has_pictures=has_pictures))
    if policy.single_ink:
        return single_ink(case), ask
    wishes = wishes_of(case)
    if not wishes and verdict is not None and verdict.word == "clear":
        return (Treatment(kind="as-drawn", reason=leave_reason(cloth, verdict)),)
    found: list[Treatment] = []
    left = case
    if wishes:
        left = with_wishes(case, wishes)
        found.append(Treatment(kind=_kind(case, wishes), reason=wish_reason(case, wishes), is_wish=True))
    # An outline around a rectangle that nobody sees would be the first thing seen.
    has_plate = verdict is not None and verdict.has_plate
    for rung in (rung for rung in policy.rungs if not (rung == "keyline" and has_plate)):
        found += _rung(rung, left, verdict, strict=strict, printed_long_mm=printed_long_mm or 0.0)
    return (*_distinct(after_wishes(treatment, wishes, case) for treatment in found), ask)


def _rung(rung: Rung, case: Case, verdict: Verdict | None, *, strict: bool, printed_long_mm: float) -> Iterator[Treatment]:
    if rung == "keyline":
        yield from _keylines(case, printed_long_mm)
    elif rung == "knock-out":
        yield from _knock_out(case)
    else:
        families: tuple[Family, ...] = ("swap", "nudge") if rung == "neutral-swap" else ("shift",)
        for fading in _fading_sets(case, verdict, strict=strict, neutrals_only=rung == "neutral-swap"):
            for family in families:
                swaps = least_change(case, fading, family)
                if swaps and (_kind(case, swaps) == "neutral-swap") == (rung == "neutral-swap"):
                    made = swaps_on(swaps, case)
                    reason = swap_reason(made, case.cloth, rung)
                    yield Treatment(kind=rung, swaps=made, reason=reason, keeps_shades=not _is_chiefly(case, swaps))
        if rung == "shift":
            yield from _one_ink(case, printed_long_mm or ASSUMED_LONG_MM)


def _is_chiefly(case: Case, swaps: Mapping[str, str]) -> bool:
    """Whether one of the inks that change is the drawing: what fades in it is then no shade of something else."""
    return any(case.by_colour[ink].area_share >= case.policy.chief_share for ink in swaps)


def _one_ink(case: Case, printed_long_mm: float) -> Iterator[Treatment]:
    """Line art in one colour, lighter or darker at its own hue as far as the cloth asks: nothing in it must be kept apart."""
    ink = case.inks[0] if case.inks else None
    if ink is None or ink.area_share < ONE_INK_SHARE or ink.mark_width_share > case.policy.mark_share or ink.kind != "flat":
        return
    if case.is_neutral(ink.colour) or ink.colour in case.policy.locked:
        return
    is_thin = ink.mark_width_share * printed_long_mm <= THIN_MM
    for ratio in (*ONE_INK_RATIOS[1:], ONE_INK_RATIOS[0]) if is_thin else ONE_INK_RATIOS:
        found = just_enough(ink.colour, case.cloth, max(ratio, case.floor), ink.alpha)
        for moved in sorted(found, key=lambda colour: delta_e_2000(ink.colour, colour)):
            made = swaps_on({ink.colour: moved}, case)
            yield Treatment(kind="shift", swaps=made, reason=swap_reason(made, case.cloth, "one-ink"))


def _kind(case: Case, swaps: Mapping[str, str | None]) -> Rung:
    if all(after is None for after in swaps.values()):
        return "knock-out"
    return "neutral-swap" if all(case.is_neutral(before) for before in swaps) else "shift"


def _fading_sets(case: Case, verdict: Verdict | None, *, strict: bool, neutrals_only: bool) -> Iterator[frozenset[str]]:
    """The inks that must change: first those the eye loses, then all below the ratio (a thin line needs more than its colour)."""
    below = case.below_floor()
    lost = case.lost_to_the_eye()
    if verdict is not None and verdict.ink in below:
        lost |= {verdict.ink}
    sets = [below] if strict else [lost, lost | below]
    if neutrals_only:
        sets = [frozenset(ink for ink in s if case.is_neutral(ink)) for s in sets]
    yield from dict.fromkeys(s for s in sets if s)


def _keylines(case: Case, printed_long_mm: float) -> Iterator[Treatment]:
    """Lines in one ink made thicker; else outlines in the standard inks that stand out from the cloth, the strongest first."""
    policy, cloth = case.policy, case.cloth
    yield from _thicker(case)
    width = round(max(policy.keyline_mm, policy.keyline_share * printed_long_mm), 2)
    is_fine = bool(case.inks) and all(ink.mark_width_share <= FINE_SHARE for ink in case.inks)
    widths = dict.fromkeys((policy.keyline_mm if is_fine else width, width, 2 * width))
    colours = policy.keyline_colours or (policy.light, policy.dark)
    good = sorted((c for c in colours if cloth.ratio(c) >= case.floor), key=lambda c: -cloth.ratio(c))
    for colour in good:
        for width_mm in widths:
            yield Treatment(
                kind="keyline", keyline_colour=colour, keyline_mm=width_mm, reason=keyline_reason(case, colour, width_mm)
            )


def _thicker(case: Case) -> Iterator[Treatment]:
    """Thin line art in one ink: the line itself, in the ink that stands out, a little wider."""
    ink = case.inks[0] if case.inks else None
    if ink is None or ink.area_share < ONE_INK_SHARE or ink.mark_width_share > case.policy.mark_share or ink.kind != "flat":
        return
    turned = {} if case.ratio(ink) >= case.floor else _turned(case, ink)
    if turned is None:
        return
    colour = turned.get(ink.colour, ink.colour)
    for width_mm in (case.policy.keyline_mm / 2, case.policy.keyline_mm):
        yield Treatment(
            kind="keyline",
            swaps=swaps_on(turned, case),
            keyline_colour=colour,
            keyline_mm=width_mm,
            reason=thicker_reason(case, colour, width_mm),
        )


def _turned(case: Case, ink: Ink) -> dict[str, str] | None:
    families: tuple[Family, ...] = ("swap", "shift")
    tries = (least_change(case, frozenset({ink.colour}), family) for family in families)
    return next((swaps for swaps in tries if swaps), None)


def _knock_out(case: Case) -> Iterator[Treatment]:
    """A rim of ink like the cloth may be left out where what it surrounds is seen without it."""
    faint = [ink for ink in case.inks if ink.in_contact and delta_e_2000(ink.colour, case.cloth.colour) < VANISH_DELTA_E]
    if not faint or sum(ink.area_share for ink in faint) > VANISH_AREA:
        return
    if all(_is_rim(case, ink) for ink in faint):
        swaps = swaps_on({ink.colour: None for ink in faint}, case)
        yield Treatment(kind="knock-out", swaps=swaps, reason=knock_out_reason(case, swaps))


def _is_rim(case: Case, ink: Ink) -> bool:
    shares = [(case.by_colour[other], share) for other, share in ink.touches if other in case.by_colour]
    exposed = sum(share for _, share in shares)
    passing = sum(share for other, share in shares if case.ratio(other) >= case.floor)
    thin = case.is_neutral(ink.colour) and ink.mark_width_share <= case.policy.mark_share
    if not thin or ink.kind != "flat" or ink.alpha < 1 or ink.colour in case.policy.locked:
        return False
    return ink.own_edge_share <= VANISH_OWN_EDGE and exposed > 0 and passing >= EXPOSED_PASSES * exposed


def _distinct(found: Iterator[Treatment]) -> list[Treatment]:
    kept: dict[tuple[object, ...], Treatment] = {}
    for t in found:
        key = (tuple((s.before, s.after) for s in t.swaps), t.keyline_colour, t.keyline_mm, t.single_ink)
        kept.setdefault(key, t)
    return list(kept.values())
