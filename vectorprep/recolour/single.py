"""One ink for everything: which inks of a drawing print and which stay open, so that the drawing inside survives.

Comes in: a `Case` whose policy names the ink.
Goes out: a `single-ink` treatment; its swaps are open where the cloth shows.
Never done here: drawing it.

Every ink is either printed or open, and the cloth is open: the best choice keeps the greatest length of border between unlike
neighbours (a largest cut of the graph of what touches what). Where two choices keep about the same length, the one that keeps
light light and dark dark as seen on the cloth wins.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import contrast_ratio, lightness
from vectorprep.model import Treatment
from vectorprep.recolour.moves import swaps_on
from vectorprep.recolour.words import single_reason

if TYPE_CHECKING:
    from vectorprep.model import Ink
    from vectorprep.recolour.case import Case

MOST_CHOSEN = 12
"""Inks whose state is searched through; smaller ones follow the nearest of these in lightness."""
POLARITY_WEIGHT = 0.35
"""How much keeping light light counts beside keeping borders (house value)."""
FREE_WEIGHT = 2.0
"""How much more the outline of a part that stands free counts: left open, the part is gone (house value)."""
FREE_FROM = 0.5
"""Cloth share of an ink's perimeter beyond which it stands free rather than rims other ink (house value)."""


def single_ink(case: Case) -> Treatment:
    """The drawing in the policy's single ink (`auto`: the standard ink that stands out most)."""
    policy = case.policy
    wanted = policy.single_ink
    colour = max((policy.light, policy.dark), key=case.cloth.ratio) if wanted == "auto" else wanted
    printed = _printed(case, colour)
    swaps = swaps_on({ink.colour: colour if ink.colour in printed else None for ink in case.inks}, case)
    return Treatment(kind="single-ink", single_ink=colour, swaps=swaps, reason=single_reason(case, colour, swaps), is_wish=True)


def _printed(case: Case, colour: str) -> set[str]:
    """Colours that print in the best choice of printed and open."""
    chosen = case.inks[:MOST_CHOSEN]
    if not chosen:
        return set()
    prints = _best_state(case, chosen, colour)
    printed = {ink.colour for ink, on in zip(chosen, prints, strict=True) if on}
    for ink in case.inks[MOST_CHOSEN:]:
        nearest = min(chosen, key=lambda other: abs(lightness(other.colour) - lightness(ink.colour)))
        if nearest.colour in printed:
            printed.add(ink.colour)
    return printed


def _best_state(case: Case, chosen: tuple[Ink, ...], colour: str) -> list[bool]:
    """For each ink whether it prints: the most border kept and tone suited, over all choices at once."""
    count = len(chosen)
    place = {ink.colour: i for i, ink in enumerate(chosen)}
    borders, cloth, suits, free = np.zeros((count, count)), np.zeros(count), np.zeros(count), np.zeros(count)
    for i, ink in enumerate(chosen):
        perimeter = _perimeter(ink)
        cloth[i] = perimeter * ink.own_edge_share
        free[i] = perimeter * max(0.0, ink.own_edge_share - FREE_FROM)
        for other, share in ink.touches:
            if other in place:
                borders[i, place[other]] = perimeter * share
        suits[i] = ink.area_share if _is_like(ink.colour, colour, case.cloth.colour) else -ink.area_share
    states = np.arange(1 << count)[:, None] >> np.arange(count) & 1
    kept = (
        states @ cloth
        + np.einsum("si,ij,sj->s", states, borders, 1 - states)
        + np.einsum("si,ij,sj->s", 1 - states, borders, states)
    )
    whole = max(1e-9, float(cloth.sum() + borders.sum()))
    worth = (kept + FREE_WEIGHT * (states @ free)) / whole + POLARITY_WEIGHT * (states @ suits)
    # Of equals the one that prints more.
    best = int(np.lexsort((states.sum(axis=1), worth.round(9)))[-1])
    return [bool(on) for on in states[best]]


def _perimeter(ink: Ink) -> float:
    """Length of the ink's border in arbitrary units: its part of the outline over the part of its border that is outline."""
    if ink.own_edge_share > 0:
        return ink.edge_share / ink.own_edge_share
    width = max(ink.mark_width_share, 1e-3)
    return ink.area_share / width


def _is_like(ink: str, single: str, cloth: str) -> bool:
    """Whether an ink is nearer in contrast to the single ink than to the cloth."""
    return contrast_ratio(ink, single) <= contrast_ratio(ink, cloth)
