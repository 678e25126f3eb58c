"""What may be done to inks: the seller's and the product's policy, with the house values as defaults.

Comes in: nothing; the caller fills the record from settings and profile.
Goes out: `RecolourPolicy`.
Never done here: any decision.

Values marked "house value" were chosen by looking at pictures on a screen, not on cloth.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from vectorprep.colour import lightness

Rung = Literal["neutral-swap", "shift", "knock-out", "keyline"]

PALE_L = 75.0
"""L* from which a cloth belongs to the group `pale` (house value)."""
DARK_L = 45.0
"""L* up to which a cloth belongs to the group `dark` (house value)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecolourPolicy:
    """Limits and preferences of recolouring. Colours are `#rrggbb`, differences CIEDE2000, ratios WCAG 2.2."""

    light: str = "#fafaf8"  # house value: white without glare
    dark: str = "#1a1a1a"  # house value
    rungs: tuple[Rung, ...] = ("neutral-swap", "shift", "keyline")
    """Order in which remedies are tried; asking the seller always comes last.

    `knock-out` is tried only where it is asked for: colours alone cannot tell a rim from a thin leg that would be lost with it.
    """
    ratio_floor: float = 3.0  # WCAG 2.2, 1.4.11, borrowed from screens
    text_ratio_floor: float = 4.5  # WCAG 2.2, 1.4.3, borrowed from screens
    strength_floor: float = 0.135  # house value: the strength a line needs (colour.strength)
    shift_cap: float = 12.0  # house value
    nudge_cap: float = 12.0  # house value: for neutrals that keep their place; greyer blacks flatten a drawing
    neutral_chroma: float = 0.035  # house value, OKLCH
    touching_floor: float = 10.0  # house value
    apart_floor: float = 5.0  # house value
    locked: tuple[str, ...] = ()
    """Inks that are never changed."""
    forced: tuple[tuple[str, str, str], ...] = ()
    """(blank key or `pale`, `dark`, `all`; ink; the ink to print there): the seller's own map, taken before any rung."""
    keyline_mm: float = 0.6  # common practice, no source: 0.5-0.7 mm
    keyline_share: float = 0.004  # house value: of the print's long side; 1.1 mm on 28 cm, where 0.6 mm is too thin to be seen
    keyline_colours: tuple[str, ...] = ()
    """Colours a keyline may have; empty: standard light and dark."""
    single_ink: str = ""
    """Print everything in this one ink; `auto` takes standard light or dark; empty: off."""
    enclosed_white: Literal["ink", "cloth"] = "ink"
    """Whether white that no other colour of the cloth touches is printed, or meant as a hole that shows the cloth."""
    mark_share: float = 0.05  # house value
    """Marks up to this share of the long side are lines or lettering, which may turn from dark to light; shapes may not."""
    chief_share: float = 0.6  # house value: of the ink area; a drawing that is mostly one neutral ink may turn as a whole


def group_of(colour: str) -> str:
    """`pale`, `dark` or `middle`: the group of a cloth colour."""
    light = lightness(colour)
    if light >= PALE_L:
        return "pale"
    return "dark" if light <= DARK_L else "middle"
