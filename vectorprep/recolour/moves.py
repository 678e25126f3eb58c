"""Recolouring proper: the least lawful change of inks of one family of moves.

Comes in: a `Case`, the inks that fade, a family of moves.
Goes out: swaps, or None where the rules cannot be met.
Never done here: the order of remedies.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vectorprep.model import InkSwap
from vectorprep.recolour.candidates import Family, candidates
from vectorprep.recolour.case import TOUCH_SHARE, Case
from vectorprep.recolour.ramps import squeezed
from vectorprep.recolour.solver import Choice, Problem, solve

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vectorprep.model import Ink

MOST_INKS = 40
"""Inks that take part in the search, largest first; the rest keep their colour."""
MOST_MOVING = 12
"""Inks that may move at once; more than that is a keyline's work (house value)."""


def least_change(case: Case, fading: frozenset[str], family: Family) -> dict[str, str] | None:
    """The cheapest change of inks that lets every fading ink be seen and breaks no rule; None where there is none."""
    inks = case.inks[:MOST_INKS]
    locked = set(case.policy.locked)
    if fading & locked or len(fading) > MOST_MOVING or not fading <= {ink.colour for ink in inks}:
        return None
    ramp_moves = squeezed(inks, fading, case.cloth, case.policy, case.floor)
    if any(case.by_colour[colour].kind == "ramp" and colour not in ramp_moves for colour in fading):
        return None
    neighbours = {
        ink.colour for ink in inks if ink.colour not in fading and any(case.touch(ink.colour, o) > TOUCH_SHARE for o in fading)
    }
    helpers = [ink.colour for ink in inks if ink.colour in neighbours - locked][: MOST_MOVING - len(fading)]
    chief = next((ink.colour for ink in inks if ink.colour in fading and case.is_neutral(ink.colour)), "")
    choices = []
    for ink in inks:
        if ink.kind == "ramp":
            choices.append(_ramp_choice(ink, ramp_moves))
        elif ink.colour in fading or ink.colour in helpers:
            choices.append(_choice(case, ink, family=family, must=ink.colour in fading, leads=ink.colour == chief))
        else:
            choices.append(Choice(ink=ink.colour, options=(ink.colour,), area_share=ink.area_share))
    if any(choice.barred and len(choice.options) < 2 for choice in choices):
        return None
    floors = tuple(tuple(case.pair_floor(one, other) for other in inks) for one in inks)
    ordered = tuple((i, j) for i in range(len(inks)) for j in range(i) if case.keeps_order(inks[i], inks[j]))
    return solve(Problem(choices=tuple(choices), pair_floor=floors, ordered=ordered))


def _choice(case: Case, ink: Ink, *, family: Family, must: bool, leads: bool) -> Choice:
    reach = case.floor if ink.in_contact else 1.0
    turns = may_turn(case, ink)
    options = candidates(ink, case.cloth, case.policy, family=family, floor=reach, must=must, leads=leads, may_turn=turns)
    return Choice(ink=ink.colour, options=options, area_share=ink.area_share, barred=must)


def _ramp_choice(ink: Ink, moves: Mapping[str, str]) -> Choice:
    moved = moves.get(ink.colour)
    options = (ink.colour,) if moved is None else (ink.colour, moved)
    return Choice(ink=ink.colour, options=options, area_share=ink.area_share, barred=moved is not None)


def may_turn(case: Case, ink: Ink) -> bool:
    """Whether dark may become light: lines and lettering may, and a drawing mostly of this ink; a shape among others may not."""
    chief = max(ink.area_share, ink.edge_share) >= case.policy.chief_share
    return chief or ink.mark_width_share <= case.policy.mark_share


def swaps_on(swaps: Mapping[str, str | None], case: Case) -> tuple[InkSwap, ...]:
    """Swaps with their ratios to the cloth before and after, in the order of the inks; None leaves an ink out."""
    order = [ink.colour for ink in case.inks if ink.colour in swaps]
    order += sorted(colour for colour in swaps if colour not in case.by_colour)
    return tuple(_swap(before, swaps[before], case) for before in order)


def _swap(before: str, after: str | None, case: Case) -> InkSwap:
    ink = case.by_colour.get(before)
    alpha = ink.alpha if ink else 1.0
    ratio = case.cloth.ratio(before, alpha)
    if after is None:
        return InkSwap(before=before, after=case.cloth.colour, ratio_before=ratio, ratio_after=1.0, is_open=True)
    return InkSwap(before=before, after=after, ratio_before=ratio, ratio_after=case.cloth.ratio(after, alpha))
