"""Colour difference CIEDE2000.

Comes in: two colours as `#rrggbb` or as (L*, a*, b*).
Goes out: one number; about 1 is just visible side by side, black to white is 100.
Never done here: thresholds.

Source: Sharma, Wu, Dalal, Color Res. Appl. 30:21-30, 2005, doi 10.1002/col.20070, equations 2-22.
"""

from __future__ import annotations

import math
from functools import lru_cache

from vectorprep.colour.cielab import lab
from vectorprep.colour.srgb import Triple

_POW25_7 = 25.0**7
HALF_TURN = 180 + 1e-9
"""Degrees; the margin keeps opposite hues, as in pair 14 of the published data, from depending on a platform's rounding."""


def _hue(a: float, b: float) -> float:
    return math.degrees(math.atan2(b, a)) % 360 if a or b else 0.0


def _hue_step(chroma_product: float, first: float, second: float) -> float:
    if chroma_product == 0:
        return 0.0
    step = second - first
    if step > HALF_TURN:
        return step - 360
    return step + 360 if step < -HALF_TURN else step


def _hue_mean(chroma_product: float, first: float, second: float) -> float:
    total = first + second
    if chroma_product == 0:
        return total
    if abs(first - second) <= HALF_TURN:
        return total / 2
    return (total + 360) / 2 if total < 360 else (total - 360) / 2


def ciede2000(first: Triple, second: Triple) -> float:
    """CIEDE2000 of two (L*, a*, b*), all weights 1."""
    (l1, a1, b1), (l2, a2, b2) = first, second
    mean_c7 = ((math.hypot(a1, b1) + math.hypot(a2, b2)) / 2) ** 7
    stretch = 1.5 - 0.5 * math.sqrt(mean_c7 / (mean_c7 + _POW25_7))
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = _hue(a1, b1), _hue(a2, b2)
    step = _hue_step(c1 * c2, h1, h2)
    d_light, d_chroma = l2 - l1, c2 - c1
    d_hue = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(step) / 2)
    mean_l, mean_c, mean_h = (l1 + l2) / 2, (c1 + c2) / 2, _hue_mean(c1 * c2, h1, h2)
    t = (
        1
        - 0.17 * math.cos(math.radians(mean_h - 30))
        + 0.24 * math.cos(math.radians(2 * mean_h))
        + 0.32 * math.cos(math.radians(3 * mean_h + 6))
        - 0.20 * math.cos(math.radians(4 * mean_h - 63))
    )
    off_mid = (mean_l - 50) ** 2
    s_light = 1 + 0.015 * off_mid / math.sqrt(20 + off_mid)
    s_chroma = 1 + 0.045 * mean_c
    s_hue = 1 + 0.015 * mean_c * t
    mean_c7 = mean_c**7
    turn = 60 * math.exp(-(((mean_h - 275) / 25) ** 2))
    rotation = -2 * math.sqrt(mean_c7 / (mean_c7 + _POW25_7)) * math.sin(math.radians(turn))
    light, chroma, hue = d_light / s_light, d_chroma / s_chroma, d_hue / s_hue
    return math.sqrt(light * light + chroma * chroma + hue * hue + rotation * chroma * hue)


@lru_cache(maxsize=1 << 16)
def delta_e_2000(first: str, second: str) -> float:
    """CIEDE2000 of two `#rrggbb` colours (Sharma, Wu, Dalal 2005)."""
    return 0.0 if first == second else ciede2000(lab(first), lab(second))
