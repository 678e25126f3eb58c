"""One ink for everything: which inks of a drawing print and which stay open, so that the drawing inside survives.

Comes in: a `Case` whose policy names the ink.
Goes out: a `single-ink` treatment; its swaps are open where the cloth shows.
Never done here: drawing it.

Every ink is either printed or open, and the cloth is open: the best choice keeps the greatest length of border between unlike
neighbours (a largest cut of the graph of what touches what). Where two choices keep about the same length, the one that keeps
light light and dark dark as seen on the cloth wins.
"""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

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
    states = max(product((True, False), repeat=len(chosen)), key=lambda state: _worth(case, chosen, state, colour))
    printed = {ink.colour for ink, prints in zip(chosen, states, strict=True) if prints}
    for ink in case.inks[MOST_CHOSEN:]:
        nearest = min(chosen, key=lambda other: abs(lightness(other.colour) - lightness(ink.colour)))
        if nearest.colour in printed:
            printed.add(ink.colour)
    return printed


def _worth(case: Case, chosen: tuple[Ink, ...], state: tuple[bool, ...], colour: str) -> float:
    """Share of border that stays a border, and of area whose tone suits its state."""
    prints = {ink.colour: on for ink, on in zip(chosen, state, strict=True)}
    border = kept = suits = area = 0.0
    for ink in chosen:
        perimeter = _perimeter(ink)
        border += perimeter
        if prints[ink.colour]:
            kept += perimeter * ink.own_edge_share
        kept += perimeter * sum(share for other, share in ink.touches if prints.get(other, False) != prints[ink.colour])
        area += ink.area_share
        suits += ink.area_share * (prints[ink.colour] == _is_like(ink.colour, colour, case.cloth.colour))
    return kept / max(border, 1e-9) + POLARITY_WEIGHT * suits / max(area, 1e-9)


def _perimeter(ink: Ink) -> float:
    """Length of the ink's border in arbitrary units: its part of the outline over the part of its border that is outline."""
    if ink.own_edge_share > 0:
        return ink.edge_share / ink.own_edge_share
    width = max(ink.mark_width_share, 1e-3)
    return ink.area_share / width


def _is_like(ink: str, single: str, cloth: str) -> bool:
    """Whether an ink is nearer in contrast to the single ink than to the cloth."""
    return contrast_ratio(ink, single) <= contrast_ratio(ink, cloth)
