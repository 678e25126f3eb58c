"""The ladder: from leaving an artwork alone to asking the seller, as candidate treatments in order.

Comes in: the inks of an artwork, a blank, the policy, the verdict on the artwork as drawn.
Goes out: treatments, mildest first; the caller draws and judges them and takes the first that is clear. The last one asks.
Never done here: drawing, judging, changing markup.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vectorprep.colour import delta_e_2000, lightness
from vectorprep.model import InkSwap, Treatment
from vectorprep.recolour.candidates import Family, candidates, is_neutral
from vectorprep.recolour.cloth import Cloth, cloth_of
from vectorprep.recolour.policy import RecolourPolicy
from vectorprep.recolour.solver import ORDER_MARGIN, Choice, Problem, solve
from vectorprep.recolour.words import ask_reason, keyline_reason, leave_reason, swap_reason

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from vectorprep.model import Blank, Ink, Verdict

MOST_INKS = 40
"""Inks that take part in the search, largest first; the rest keep their colour."""
MOST_MOVING = 12
"""Inks that may move at once; more than that is a keyline's work (house value)."""
TURNED_SHARE = 0.1
"""Share of an ink's perimeter along which light and dark may change places with a neighbour (house value)."""
TOUCH_SHARE = 0.005
"""Share of an ink's perimeter from which two inks touch (house value: a stray pixel is no contact)."""


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

    Returns:
        At least one treatment; the last one is `as-drawn` where nothing needs doing, else `ask`.
    """
    policy = policy or RecolourPolicy()
    cloth = cloth_of(blank, white_ink=white_ink)
    if verdict is not None and verdict.word == "clear":
        return (Treatment(kind="as-drawn", reason=leave_reason(cloth, verdict)),)
    floor = policy.text_ratio_floor if strict and has_text else policy.ratio_floor
    found: list[Treatment] = []
    for rung in policy.rungs:
        if rung == "keyline":
            found += _keylines(inks, cloth, policy)
        else:
            families: tuple[Family, ...] = ("swap", "nudge") if rung == "neutral-swap" else ("shift",)
            for fading in _fading_sets(inks, cloth, policy, verdict, strict=strict, floor=floor):
                for family in families:
                    found += _recoloured(inks, cloth, policy, fading=fading, family=family, floor=floor)
    found.append(Treatment(kind="ask", reason=ask_reason(inks, cloth, has_pictures=has_pictures)))
    return _distinct(found)


def _distinct(found: list[Treatment]) -> tuple[Treatment, ...]:
    kept: dict[tuple[object, ...], Treatment] = {}
    for treatment in found:
        key = (tuple((s.before, s.after) for s in treatment.swaps), treatment.keyline_colour, treatment.kind == "ask")
        kept.setdefault(key, treatment)
    return tuple(kept.values())


def _fading_sets(
    inks: tuple[Ink, ...], cloth: Cloth, policy: RecolourPolicy, verdict: Verdict | None, *, strict: bool, floor: float
) -> Iterator[frozenset[str]]:
    """The inks that must change: first those the eye loses, then all below the ratio (a thin line needs more than its colour)."""
    contact = [ink for ink in inks if ink.in_contact and ink.kind == "flat"]
    below = frozenset(ink.colour for ink in contact if cloth.ratio(ink.colour, ink.alpha) < floor)
    lost = frozenset(ink.colour for ink in contact if cloth.strength(ink.colour, ink.alpha) < policy.strength_floor)
    if verdict is not None and verdict.ink in below:
        lost |= {verdict.ink}
    sets = [below] if strict else [lost, lost | below]
    yield from dict.fromkeys(s for s in sets if s)


def _recoloured(
    inks: tuple[Ink, ...], cloth: Cloth, policy: RecolourPolicy, *, fading: frozenset[str], family: Family, floor: float
) -> list[Treatment]:
    taking_part = inks[:MOST_INKS]
    locked = set(policy.locked)
    if fading & locked or not fading <= {ink.colour for ink in taking_part}:
        return []
    helpers = _neighbours(taking_part, fading) - locked
    if len(fading) > MOST_MOVING:
        return []
    room = MOST_MOVING - len(fading)
    helpers = set([ink.colour for ink in taking_part if ink.colour in helpers][:room])
    chief = next((ink.colour for ink in taking_part if ink.colour in fading and is_neutral(ink.colour, policy)), "")
    choices = tuple(
        _choice(ink, cloth, policy, fading, helpers, family=family, floor=floor, leads=ink.colour == chief) for ink in taking_part
    )
    if any(choice.barred and len(choice.options) < 2 for choice in choices):
        return []
    swaps = solve(Problem(choices=choices, pair_floor=_pair_floors(taking_part, policy), ordered=_ordered(taking_part)))
    if not swaps:
        return []
    kind = "neutral-swap" if all(is_neutral(before, policy) for before in swaps) else "shift"
    if (family == "shift") != (kind == "shift"):
        return []
    made = swaps_on(swaps, inks, cloth)
    return [Treatment(kind="shift" if kind == "shift" else "neutral-swap", swaps=made, reason=swap_reason(made, cloth, kind))]


def swaps_on(swaps: Mapping[str, str], inks: tuple[Ink, ...], cloth: Cloth) -> tuple[InkSwap, ...]:
    """Swaps with their ratios to the cloth before and after, in the order of the inks."""
    alphas = {ink.colour: ink.alpha for ink in inks}
    order = [ink.colour for ink in inks if ink.colour in swaps] + sorted(c for c in swaps if c not in alphas)
    return tuple(
        InkSwap(
            before=before,
            after=swaps[before],
            ratio_before=cloth.ratio(before, alphas.get(before, 1.0)),
            ratio_after=cloth.ratio(swaps[before], alphas.get(before, 1.0)),
        )
        for before in order
    )


def _choice(
    ink: Ink,
    cloth: Cloth,
    policy: RecolourPolicy,
    fading: frozenset[str],
    helpers: set[str],
    *,
    family: Family,
    floor: float,
    leads: bool,
) -> Choice:
    must = ink.colour in fading
    if ink.kind != "flat" or not (must or ink.colour in helpers):
        return Choice(ink=ink.colour, options=(ink.colour,), area_share=ink.area_share)
    reach = floor if ink.in_contact else 1.0
    options = candidates(ink.colour, cloth, policy, family=family, floor=reach, must=must, leads=leads)
    return Choice(ink=ink.colour, options=options, area_share=ink.area_share, barred=must)


def _touch_shares(inks: tuple[Ink, ...]) -> dict[tuple[str, str], float]:
    return {(ink.colour, other): share for ink in inks for other, share in ink.touches}


def _neighbours(inks: tuple[Ink, ...], of: frozenset[str]) -> set[str]:
    shares = _touch_shares(inks)
    return {
        ink.colour
        for ink in inks
        if ink.colour not in of
        and any(max(shares.get((ink.colour, o), 0), shares.get((o, ink.colour), 0)) > TOUCH_SHARE for o in of)
    }


def _pair_floors(inks: tuple[Ink, ...], policy: RecolourPolicy) -> tuple[tuple[float, ...], ...]:
    """How far apart two inks must stay: their own distance, at most 10 where they touch and 5 elsewhere."""
    shares = _touch_shares(inks)

    def floor(one: Ink, other: Ink) -> float:
        touch = max(shares.get((one.colour, other.colour), 0), shares.get((other.colour, one.colour), 0)) > TOUCH_SHARE
        return min(delta_e_2000(one.colour, other.colour), policy.touching_floor if touch else policy.apart_floor)

    return tuple(tuple(0.0 if one is other else floor(one, other) for other in inks) for one in inks)


def _ordered(inks: tuple[Ink, ...]) -> tuple[tuple[int, int], ...]:
    """Pairs that touch along a good part of either's perimeter: the lighter of them stays the lighter."""
    shares = _touch_shares(inks)
    found = []
    for i, one in enumerate(inks):
        for j in range(i):
            other = inks[j]
            share = max(shares.get((one.colour, other.colour), 0), shares.get((other.colour, one.colour), 0))
            if share > TURNED_SHARE and abs(lightness(one.colour) - lightness(other.colour)) > ORDER_MARGIN:
                found.append((i, j))
    return tuple(found)


def _keylines(inks: tuple[Ink, ...], cloth: Cloth, policy: RecolourPolicy) -> list[Treatment]:
    """Outlines in the standard inks that stand out from the cloth, the strongest first."""
    colours = policy.keyline_colours or (policy.light, policy.dark)
    good = sorted((c for c in colours if cloth.ratio(c) >= policy.ratio_floor), key=lambda c: -cloth.ratio(c))
    return [
        Treatment(
            kind="keyline", keyline_colour=colour, keyline_mm=policy.keyline_mm, reason=keyline_reason(inks, cloth, policy, colour)
        )
        for colour in good
    ]
