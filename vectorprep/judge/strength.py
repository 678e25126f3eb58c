"""How strongly a spot stands out from the cloth.

Comes in: linear light of picture and cloth. Goes out: one number a spot, 0 = the same.
The scale is the distance in OKLab (Ottosson 2020) after 5 % flare, with a and b doubled (house value): lightness and colour count,
where a contrast ratio cannot tell black on royal blue (2.5:1, reads) from black on charcoal (2.4:1, does not).
Never done here: limits.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import linear_from_hex
from vectorprep.colour.arrays import oklab
from vectorprep.judge.limits import FLARE

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Light


def flared(light: Light) -> Light:
    """OKLab of linear light, shape (..., 3), under stray light, with a and b doubled."""
    return oklab((light + np.float32(FLARE)) / np.float32(1 + FLARE), chroma=2)


def strength(seen: Light, cloth: str, hue: Light | float = 1.0) -> Light:
    """Strength of each spot, given by its `flared` colour, channels first (3, ...), on cloth `#rrggbb`; shape (...).

    `hue` weighs the difference in colour against that in lightness.
    """
    ground = flared(np.array(linear_from_hex(cloth), np.float32))
    total = (seen[1] - ground[1]) ** 2
    total += (seen[2] - ground[2]) ** 2
    total *= hue * hue
    total += (seen[0] - ground[0]) ** 2
    found: Light = np.sqrt(total)
    return found


def strength_of(ink: str, cloth: str) -> float:
    """Strength of a solid area of ink `#rrggbb` on cloth `#rrggbb`."""
    return float(strength(flared(np.array(linear_from_hex(ink), np.float32)), cloth))
