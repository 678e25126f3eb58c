"""One decision to take: the inks of an artwork before one cloth under one policy.

Comes in: inks as measured, a cloth, a policy, the ratio to reach.
Goes out: `Case`, which answers what touches what and which inks fade.
Never done here: choosing new inks.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from vectorprep.colour import delta_e_2000, lightness
from vectorprep.recolour.candidates import is_neutral

if TYPE_CHECKING:
    from vectorprep.model import Ink
    from vectorprep.recolour.cloth import Cloth
    from vectorprep.recolour.policy import RecolourPolicy

TOUCH_SHARE = 0.005
"""Share of an ink's perimeter from which two inks touch (house value: a stray pixel is no contact)."""
TURNED_SHARE = 0.1
"""Share of an ink's perimeter along which light and dark may change places with a neighbour (house value)."""
ORDER_MARGIN = 2.0
"""Touching inks whose L* lie this close have no order to keep (house value)."""


@dataclass(frozen=True, kw_only=True)
class Case:
    """Inks (the largest first) on a cloth; `floor` is the contrast ratio that a changed ink must reach there."""

    inks: tuple[Ink, ...]
    cloth: Cloth
    policy: RecolourPolicy
    floor: float

    @cached_property
    def by_colour(self) -> dict[str, Ink]:
        """The inks by their colour."""
        return {ink.colour: ink for ink in self.inks}

    @cached_property
    def _shares(self) -> dict[tuple[str, str], float]:
        return {(ink.colour, other): share for ink in self.inks for other, share in ink.touches}

    def touch(self, one: str, other: str) -> float:
        """Share of the perimeter of the one or the other, whichever is greater, along which the two touch."""
        return max(self._shares.get((one, other), 0.0), self._shares.get((other, one), 0.0))

    def ratio(self, ink: Ink) -> float:
        """Contrast ratio of an ink to the cloth as it stands, at worst."""
        return self.cloth.ratio(ink.colour, ink.alpha)

    def is_neutral(self, colour: str) -> bool:
        """Whether a colour counts as black, white or grey."""
        return is_neutral(colour, self.policy)

    def pair_floor(self, one: Ink, other: Ink) -> float:
        """CIEDE2000 that two inks must keep: their own, at most 10 where they touch, 5 elsewhere; stops of ramps blend anyway."""
        if one is other or one.kind == other.kind == "ramp":
            return 0.0
        touching = self.touch(one.colour, other.colour) > TOUCH_SHARE
        floor = self.policy.touching_floor if touching else self.policy.apart_floor
        return min(delta_e_2000(one.colour, other.colour), floor)

    def keeps_order(self, one: Ink, other: Ink) -> bool:
        """Whether two inks touch along a good part of either's perimeter, so that the lighter must stay the lighter."""
        apart = abs(lightness(one.colour) - lightness(other.colour))
        return self.touch(one.colour, other.colour) > TURNED_SHARE and apart > ORDER_MARGIN

    def below_floor(self) -> frozenset[str]:
        """Inks in contact with the cloth whose ratio is below the floor; pictures have no inks."""
        return frozenset(ink.colour for ink in self._in_contact() if self.ratio(ink) < self.floor)

    def lost_to_the_eye(self) -> frozenset[str]:
        """Inks in contact with the cloth that are weaker than a line must be."""
        least = self.policy.strength_floor
        return frozenset(ink.colour for ink in self._in_contact() if self.cloth.strength(ink.colour, ink.alpha) < least)

    def _in_contact(self) -> list[Ink]:
        return [ink for ink in self.inks if ink.in_contact and ink.kind != "picture"]
