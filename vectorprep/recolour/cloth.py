"""One cloth as the inks meet it: shades, white base or none.

Comes in: a `Blank` and whether the process has white ink.
Goes out: `Cloth`, which answers how an ink looks on it and how far it stands out at worst.
Never done here: choosing inks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from vectorprep.colour import contrast_ratio, hex_from_lab, lab, lightness, multiply, over, strength

if TYPE_CHECKING:
    from vectorprep.model import Blank

HEATHER_L = 8.0
"""A heather cloth is judged at its mean L* and this much lighter and darker (house value)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """A cloth's colour, its shades (the mean first) and whether inks lie on a white base."""

    key: str
    name: str
    colour: str
    shades: tuple[str, ...]
    white_ink: bool

    @property
    def is_light(self) -> bool:
        """Whether dark ink stands out more than light ink."""
        return contrast_ratio("#000000", self.colour) >= contrast_ratio("#ffffff", self.colour)

    @property
    def lightness(self) -> float:
        """L* of the mean shade."""
        return lightness(self.colour)

    def is_lighter(self, ink: str) -> bool:
        """Whether an ink looks lighter than the mean shade."""
        return lightness(self.looks(ink, self.colour)) > self.lightness

    def looks(self, ink: str, shade: str, alpha: float = 1.0) -> str:
        """The colour that an ink has on a shade: multiplied with it where no white base lies below, mixed where see-through."""
        covered = ink if self.white_ink else multiply(ink, shade)
        return covered if alpha >= 1 else over(covered, alpha, shade)

    def ratio(self, ink: str, alpha: float = 1.0) -> float:
        """The least contrast ratio of an ink over the shades, 1..21."""
        return min(contrast_ratio(self.looks(ink, shade, alpha), shade) for shade in self.shades)

    def strength(self, ink: str, alpha: float = 1.0) -> float:
        """The least strength of an ink over the shades (`colour.strength`)."""
        return min(strength(self.looks(ink, shade, alpha), shade) for shade in self.shades)


def cloth_of(blank: Blank, *, white_ink: bool) -> Cloth:
    """The cloth of a blank."""
    shades = [blank.colour]
    if blank.texture == "heather":
        light, a, b = lab(blank.colour)
        shades += [hex_from_lab(min(100.0, max(0.0, light + step)), a, b) for step in (HEATHER_L, -HEATHER_L)]
    return Cloth(key=blank.key, name=blank.name, colour=blank.colour, shades=tuple(shades), white_ink=white_ink)
