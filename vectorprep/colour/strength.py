"""How strongly a flat ink stands out from a cloth.

Comes in: two `#rrggbb` colours.
Goes out: one distance, 0 = the same; a line wants about .135 to be seen, a broad shape about .08 (house values).
Never done here: limits, pictures.

Source: OKLab (Ottosson 2020); the 5 % flare is that of WCAG 2.2's contrast ratio; doubling a and b is a house value.
"""

from __future__ import annotations

from functools import lru_cache

from vectorprep.colour.contrast import FLARE
from vectorprep.colour.okspace import oklab_from_linear
from vectorprep.colour.srgb import Triple, linear_from_hex

CHROMA_WEIGHT = 2.0
"""Colour against lightness: black on royal blue reads where black on charcoal does not, at one contrast ratio."""


def _flared(colour: str) -> Triple:
    red, green, blue = ((part + FLARE) / (1 + FLARE) for part in linear_from_hex(colour))
    return oklab_from_linear((red, green, blue))


@lru_cache(maxsize=1 << 15)
def strength(ink: str, cloth: str) -> float:
    """Distance of an ink from the cloth in OKLab after flare, a and b doubled."""
    (l1, a1, b1), (l2, a2, b2) = _flared(ink), _flared(cloth)
    squared = (l1 - l2) ** 2 + CHROMA_WEIGHT**2 * ((a1 - a2) ** 2 + (b1 - b2) ** 2)
    return float(squared**0.5)
