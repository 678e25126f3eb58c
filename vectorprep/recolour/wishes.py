"""What the seller decided beforehand: own colours for a blank, and whether enclosed white is ink or cloth.

Comes in: a `Case` and its policy.
Goes out: the wishes as a map of inks, the case after them, and treatments that carry them along.
Never done here: the ladder.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vectorprep.colour import lightness, oklch
from vectorprep.recolour.case import Case
from vectorprep.recolour.moves import swaps_on
from vectorprep.recolour.policy import group_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vectorprep.model import Ink, Treatment

WHITE_L = 97.0
"""L* from which an ink may be white (house value)."""
WHITE_CHROMA = 0.01
"""OKLCH chroma up to which it is (house value)."""
OPENED_SHARE = 0.03
"""Share of its own perimeter along a hole from which an ink meets the cloth there (house value)."""


def enclosed_whites(inks: tuple[Ink, ...]) -> tuple[str, ...]:
    """White inks that nowhere meet the cloth: they may be meant as ink or as holes, which pixels cannot tell."""
    return tuple(ink.colour for ink in inks if ink.kind == "flat" and not ink.own_edge_share and _is_white(ink.colour))


def _is_white(colour: str) -> bool:
    return lightness(colour) >= WHITE_L and oklch(colour)[1] <= WHITE_CHROMA


def wishes_of(case: Case) -> dict[str, str | None]:
    """The seller's own map of the inks that the drawing has; None leaves an ink out.

    A blank's key beats its group, the group beats `all`.
    """
    found: dict[str, str | None] = {}
    if case.policy.enclosed_white == "cloth":
        found |= dict.fromkeys(enclosed_whites(case.inks))
    for where in ("all", group_of(case.cloth.colour), case.cloth.key):
        found |= {ink: new for blank, ink, new in case.policy.forced if blank == where}
    return {ink: new for ink, new in found.items() if ink != new and ink in case.by_colour}


def with_wishes(case: Case, wishes: Mapping[str, str | None]) -> Case:
    """The case after the wishes: wished inks are locked, left-out ones gone, and what touched them meets the cloth."""
    kept = [ink for ink in case.inks if wishes.get(ink.colour, "") is not None]
    inks = tuple(_after(ink, wishes) for ink in kept)
    own = tuple(new for new in wishes.values() if new is not None)
    policy = replace(case.policy, locked=(*case.policy.locked, *own))
    return Case(inks=inks, cloth=case.cloth, policy=policy, floor=case.floor)


def _after(ink: Ink, wishes: Mapping[str, str | None]) -> Ink:
    opened = sum(share for other, share in ink.touches if wishes.get(other, "") is None)
    return replace(
        ink,
        colour=wishes.get(ink.colour) or ink.colour,
        in_contact=ink.in_contact or opened > OPENED_SHARE,
        own_edge_share=min(1.0, ink.own_edge_share + opened),
        touches=tuple((wishes.get(other) or other, share) for other, share in ink.touches if wishes.get(other, "") is not None),
    )


def after_wishes(treatment: Treatment, wishes: Mapping[str, str | None], case: Case) -> Treatment:
    """The treatment of the artwork as drawn: the wishes, then the swaps that were found after them."""
    if not wishes:
        return treatment
    later: dict[str, str | None] = {swap.before: None if swap.is_open else swap.after for swap in treatment.swaps}
    swaps = {ink: new if new is None else later.get(new, new) for ink, new in wishes.items()}
    swaps |= {ink: new for ink, new in later.items() if ink not in wishes and ink in case.by_colour}
    return replace(treatment, swaps=swaps_on(swaps, case))
