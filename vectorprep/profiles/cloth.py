"""Which limits and which ink policy a product has on a blank of a given colour.

Comes in: a product and a blank.
Goes out: the `InkPolicy` and `Limits` that apply there.
Never done here: judging whether ink is seen.
"""

from __future__ import annotations

from vectorprep.colour import lightness
from vectorprep.model import Blank, InkPolicy, Limits, Product

WITHOUT_WHITE_FROM_L_STAR = 95.0  # house value: on cloth this light inkjet prints no white base
PALE_FROM_L_STAR = 75.0  # house value
DARK_TO_L_STAR = 45.0  # house value


def is_light_cloth(blank: Blank) -> bool:
    """Whether a process that can do without a white base does so on this blank (L* of at least 95)."""
    return lightness(blank.colour) >= WITHOUT_WHITE_FROM_L_STAR


def policy_for(product: Product, blank: Blank) -> InkPolicy:
    """The ink policy on this blank: the one for light cloth where the product has one and the blank is light."""
    light = product.ink_policy_on_light_cloth
    return light if light is not None and is_light_cloth(blank) else product.ink_policy


def limits_for(product: Product, blank: Blank) -> Limits:
    """The limits on this blank: those for light cloth where the product has some and the blank is light."""
    light = product.limits_on_light_cloth
    return light if light is not None and is_light_cloth(blank) else product.limits


def group_of(blank: Blank) -> str:
    """`pale` (L* of at least 75), `dark` (L* of at most 45) or `middle`."""
    level = lightness(blank.colour)
    return "pale" if level >= PALE_FROM_L_STAR else "dark" if level <= DARK_TO_L_STAR else "middle"
