"""Relative luminance and contrast ratio.

Comes in: `#rrggbb` strings.
Goes out: luminance 0..1, ratio 1..21, never rounded.
Never done here: thresholds.

Source: WCAG 2.2, "relative luminance" and "contrast ratio".
"""

from __future__ import annotations

from functools import lru_cache

from vectorprep.colour.srgb import linear_from_hex

FLARE = 0.05  # WCAG 2.2: typical viewing flare


@lru_cache(maxsize=1 << 15)
def relative_luminance(colour: str) -> float:
    """Luminance 0..1 relative to white (WCAG 2.2, 'relative luminance')."""
    red, green, blue = linear_from_hex(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast_ratio(first: str, second: str) -> float:
    """Contrast ratio 1..21; order does not matter (WCAG 2.2, 'contrast ratio')."""
    one, other = relative_luminance(first), relative_luminance(second)
    return (max(one, other) + FLARE) / (min(one, other) + FLARE)
