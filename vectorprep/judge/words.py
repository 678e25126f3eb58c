"""Plain words for colours and verdicts.

Comes in: `#rrggbb` colours and figures. Goes out: short text for a seller.
Never done here: deciding.
"""

from __future__ import annotations

from vectorprep.colour import colour_word


def percent(share: float) -> str:
    """A share 0..1 as whole percent; a trace is `under 1 %`."""
    return "under 1 %" if 0 < share < 0.01 else f"{share * 100:.0f} %"


def fades_words(ink: str, blank_name: str, ratio: float, share: float) -> str:
    """What fades where, how weak it is, on how much of the outline."""
    return f"{colour_word(ink)} on {blank_name.lower()} fades, {ratio:.1f}:1, on {percent(share)} of the outline"


def seen_words(share: float, limit: float) -> str:
    """That nothing of weight fades."""
    return "nothing fades" if share == 0 else f"{percent(share)} of the outline fades, below the limit of {percent(limit)}"


def ratio_words(ink: str, blank_name: str, ratio: float, floor: float) -> str:
    """An ink against the floor asked for."""
    state = "reaches" if ratio >= floor else "is below"
    return f"{colour_word(ink)} on {blank_name.lower()}, {ratio:.2f}:1, {state} {floor:g}:1"
