"""Which colours an ink may become on a cloth.

Comes in: an ink, a cloth, the policy, and which family of moves is asked for.
Goes out: tuples of `#rrggbb`, the ink itself first.
Never done here: weighing one ink against another.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from vectorprep.colour import delta_e_2000, hex_from_oklch, oklch

if TYPE_CHECKING:
    from vectorprep.model import Ink
    from vectorprep.recolour.cloth import Cloth
    from vectorprep.recolour.policy import RecolourPolicy

Family = Literal["swap", "nudge", "shift"]
"""`swap`: neutrals go to the standard light or dark; `nudge`: neutrals move a little; `shift`: colours move under the cap too."""

STEP = 0.03
"""Lightness step of OKLCH between candidates; about 3 CIEDE2000 (house value)."""


def is_neutral(ink: str, policy: RecolourPolicy) -> bool:
    """Whether an ink counts as black, white or grey."""
    return oklch(ink)[1] < policy.neutral_chroma


def at_lightness(ink: str, light: float) -> str:
    """The ink moved to an OKLCH lightness at its own hue, chroma cut where sRGB ends."""
    _, chroma, hue = oklch(ink)
    return hex_from_oklch(light, chroma, hue)


def just_enough(ink: str, cloth: Cloth, ratio: float, alpha: float = 1.0) -> tuple[str, ...]:
    """The nearest lighter and the nearest darker colours of the same hue that reach a ratio on the cloth, where they exist."""
    found = []
    start = oklch(ink)[0]
    for end in (1.0, 0.0):
        if cloth.ratio(at_lightness(ink, end), alpha) < ratio:
            continue
        near, far = start, end
        while abs(far - near) > 1e-3:
            middle = (near + far) / 2
            if cloth.ratio(at_lightness(ink, middle), alpha) >= ratio:
                far = middle
            else:
                near = middle
        found.append(at_lightness(ink, far))
    return tuple(found)


def standard_neutrals(cloth: Cloth, policy: RecolourPolicy, ratio: float, alpha: float = 1.0) -> tuple[str, ...]:
    """The standard inks that reach a ratio, the stronger first; pure white or black where neither does."""
    for inks in ((policy.light, policy.dark), ("#ffffff", "#000000")):
        good = sorted((ink for ink in inks if cloth.ratio(ink, alpha) >= ratio), key=lambda ink: -cloth.ratio(ink, alpha))
        if good:
            return tuple(good)
    return ()


def _between(standard: str, cloth: Cloth, ratio: float, alpha: float) -> list[str]:
    """Neutrals from the standard ink towards the cloth that still reach the ratio, so that several inks stay apart."""
    light = oklch(standard)[0]
    away = 1 if cloth.lightness < 50 else -1
    steps = (at_lightness(standard, light - away * step * 2 * STEP) for step in range(1, 8))
    return [ink for ink in steps if cloth.ratio(ink, alpha) >= ratio]


def _steps(ink: str, cap: float) -> list[str]:
    """Colours of the same hue in steps of lightness, no farther than the cap."""
    light = oklch(ink)[0]
    found = []
    for direction in (1, -1):
        for step in range(1, 12):
            moved = at_lightness(ink, min(1.0, max(0.0, light + direction * step * STEP)))
            if delta_e_2000(ink, moved) > cap:
                break
            found.append(moved)
    return found


def candidates(
    ink: Ink, cloth: Cloth, policy: RecolourPolicy, *, family: Family, floor: float, must: bool, leads: bool, may_turn: bool
) -> tuple[str, ...]:
    """What an ink may become, itself first.

    Args:
        ink: the ink as measured.
        cloth: what it is printed on.
        policy: caps and standard inks.
        family: which moves are tried.
        floor: the contrast ratio that a changed ink must reach where it meets the cloth; 1 where it does not.
        must: whether the ink fades and has to move; helpers, which only keep clear of others, never leave their own tone.
        leads: whether it is the chief of the fading neutrals, which takes the standard ink itself; the others may stay below it.
        may_turn: whether it may go from dark to light or back.
    """
    neutral = is_neutral(ink.colour, policy)
    found: list[str] = [ink.colour]
    if neutral and must and may_turn and family in ("swap", "shift"):
        standards = standard_neutrals(cloth, policy, floor, ink.alpha)[:1]
        found += standards
        if not leads:
            found += [grey for standard in standards for grey in _between(standard, cloth, floor, ink.alpha)]
    if neutral and (family in ("nudge", "shift") or not must):
        found += _within(ink, cloth, floor, policy.nudge_cap)
    if not neutral and family == "shift":
        found += _within(ink, cloth, floor, policy.shift_cap)
    return tuple(dict.fromkeys(found))


def _within(ink: Ink, cloth: Cloth, floor: float, cap: float) -> list[str]:
    near = [moved for moved in just_enough(ink.colour, cloth, floor, ink.alpha) if delta_e_2000(ink.colour, moved) <= cap]
    return near + [moved for moved in _steps(ink.colour, cap) if cloth.ratio(moved, ink.alpha) >= floor]
