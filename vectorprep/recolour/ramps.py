"""Gradients: the whole ramp squeezed to one side of the cloth.

Comes in: the stops of gradients among the inks, a cloth, the ratio they must reach.
Goes out: for each stop the colour it moves to; hue stays, the order of lightness stays, the span shrinks.
Never done here: weighing the move against other inks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vectorprep.colour import delta_e_2000, oklch
from vectorprep.recolour.candidates import at_lightness, is_neutral

if TYPE_CHECKING:
    from vectorprep.model import Ink
    from vectorprep.recolour.cloth import Cloth
    from vectorprep.recolour.policy import RecolourPolicy

LEAST_SPAN = 0.04
"""OKLCH lightness that a squeezed ramp keeps between its ends, so that it is still a ramp (house value)."""


def squeezed(inks: tuple[Ink, ...], fading: frozenset[str], cloth: Cloth, policy: RecolourPolicy, floor: float) -> dict[str, str]:
    """Moves that bring every ramp with a fading stop to the floor; empty where a cap forbids it."""
    moves: dict[str, str] = {}
    for group in _groups(inks):
        if not any(ink.colour in fading for ink in group):
            continue
        sides = [_to_side(group, cloth, policy, floor, lighter=lighter) for lighter in (True, False)]
        best = min((side for side in sides if side), key=_worst_move, default=None)
        if best is None:
            return {}
        moves |= best
    return {ink: new for ink, new in moves.items() if ink != new}


def _groups(inks: tuple[Ink, ...]) -> list[list[Ink]]:
    """Ramps as groups of stops that touch each other in the picture."""
    stops = {ink.colour: ink for ink in inks if ink.kind == "ramp"}
    groups: list[list[Ink]] = []
    left = list(stops)
    while left:
        reached, todo = [left[0]], [left[0]]
        while todo:
            ink = stops[todo.pop()]
            near = [c for c in stops if c not in reached and (c in dict(ink.touches) or ink.colour in dict(stops[c].touches))]
            reached += near
            todo += near
        groups.append([stops[colour] for colour in reached])
        left = [colour for colour in left if colour not in reached]
    return groups


def _to_side(group: list[Ink], cloth: Cloth, policy: RecolourPolicy, floor: float, *, lighter: bool) -> dict[str, str] | None:
    """The stops with their lightness mapped evenly into the part of the scale beyond the floor; None where a cap forbids it."""
    lights = [oklch(ink.colour)[0] for ink in group]
    near, far = (min(lights), max(lights)) if lighter else (max(lights), min(lights))
    limit = _limit(group, cloth, floor, lighter=lighter)
    if limit is None:
        return None
    if (near >= limit) if lighter else (near <= limit):
        return {ink.colour: ink.colour for ink in group}
    step = LEAST_SPAN if lighter else -LEAST_SPAN
    new_far = max(far, limit + step) if lighter else min(far, limit + step)
    scale = (new_far - limit) / (far - near) if far != near else 0.0
    moved = {
        ink.colour: at_lightness(ink.colour, min(1.0, max(0.0, limit + (light - near) * scale)))
        for ink, light in zip(group, lights, strict=True)
    }
    if any(delta_e_2000(old, new) > _cap(old, policy) for old, new in moved.items()):
        return None
    return moved


def _cap(ink: str, policy: RecolourPolicy) -> float:
    return policy.nudge_cap if is_neutral(ink, policy) else policy.shift_cap


def _limit(group: list[Ink], cloth: Cloth, floor: float, *, lighter: bool) -> float | None:
    """The OKLCH lightness from which every stop that meets the cloth reaches the floor on one side."""
    limits = []
    for ink in group:
        alpha = ink.alpha
        end = 1.0 if lighter else 0.0
        if cloth.ratio(at_lightness(ink.colour, end), alpha) < floor:
            return None
        near, far = (0.0, 1.0) if lighter else (1.0, 0.0)
        while abs(far - near) > 1e-3:
            middle = (near + far) / 2
            colour = at_lightness(ink.colour, middle)
            beyond = cloth.is_lighter(colour) == lighter
            if beyond and cloth.ratio(colour, alpha) >= floor:
                far = middle
            else:
                near = middle
        limits.append(far)
    return max(limits) if lighter else min(limits)


def _worst_move(moves: dict[str, str]) -> float:
    return max(delta_e_2000(old, new) for old, new in moves.items())
