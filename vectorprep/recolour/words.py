"""Reasons in words.

Comes in: the facts of a decision. Goes out: one sentence or two for the seller.
Never done here: decisions.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vectorprep.colour import colour_word

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vectorprep.model import InkSwap, Verdict
    from vectorprep.recolour.case import Case
    from vectorprep.recolour.cloth import Cloth

_HOW = {
    "neutral-swap": "only black, white or grey ink changes",
    "shift": "hues stay, lightness moves within the cap",
    "one-ink": "the drawing has one ink: its hue stays, its lightness moves as far as the cloth asks",
}


def named(colour: str) -> str:
    """Word and hex of a colour."""
    return f"{colour_word(colour)} {colour}"


def leave_reason(cloth: Cloth, verdict: Verdict) -> str:
    """Why an artwork is left as drawn."""
    return f"Seen as drawn on {cloth.name}: {verdict.outline_faded:.0%} of the outline fades."


def swap_reason(swaps: tuple[InkSwap, ...], cloth: Cloth, kind: str) -> str:
    """What changed and what it brought."""
    parts = [f"{named(s.before)} becomes {s.after} ({s.ratio_before:.2f}:1 to {s.ratio_after:.2f}:1)" for s in swaps]
    return f"On {cloth.name}: " + "; ".join(parts) + f"; {_HOW[kind]}."


def wish_reason(case: Case, wishes: Mapping[str, str | None]) -> str:
    """What the seller decided."""
    own = [f"{named(ink)} becomes {new}" for ink, new in wishes.items() if new is not None]
    holes = [named(ink) for ink, new in wishes.items() if new is None]
    parts = [f"your own colours: {'; '.join(own)}"] if own else []
    parts += [f"enclosed white shows the cloth: {', '.join(holes)}"] if holes else []
    return f"On {case.cloth.name}, {'; '.join(parts)}."


def _weakest(case: Case) -> str:
    """The weakest ink in contact with the cloth, with its ratio."""
    contact = [ink for ink in case.inks if ink.in_contact]
    worst = min(contact, key=case.ratio, default=None)
    return f"{named(worst.colour)} has {case.ratio(worst):.2f}:1 on {case.cloth.name}" if worst else f"Unclear on {case.cloth.name}"


def keyline_reason(case: Case, colour: str, width_mm: float) -> str:
    """Why an outline, in which colour and width."""
    return (
        f"{_weakest(case)}; every colour stays and an outline {width_mm:g} mm wide in {named(colour)} "
        f"({case.cloth.ratio(colour):.2f}:1) goes around the artwork."
    )


def thicker_reason(case: Case, colour: str, width_mm: float) -> str:
    """Why lines grow."""
    return f"{_weakest(case)}; its lines are too thin to be seen and grow by {width_mm:g} mm on each side, in {named(colour)}."


def knock_out_reason(case: Case, swaps: tuple[InkSwap, ...]) -> str:
    """Why ink is left out."""
    inks = ", ".join(named(swap.before) for swap in swaps)
    return f"{inks} looks like {case.cloth.name} itself and only rims other inks that are seen; it is left out and the cloth shows."


def single_reason(case: Case, colour: str, swaps: tuple[InkSwap, ...]) -> str:
    """What prints and what stays open."""
    printed = [named(swap.before) for swap in swaps if not swap.is_open]
    opened = [named(swap.before) for swap in swaps if swap.is_open]
    return (
        f"Everything in one ink, {named(colour)} ({case.cloth.ratio(colour):.2f}:1 on {case.cloth.name}): "
        f"prints {', '.join(printed) or 'nothing'}; leaves open {', '.join(opened) or 'nothing'}."
    )


def ask_reason(case: Case, *, has_pictures: bool) -> str:
    """What the seller can answer."""
    picture = " The picture in it is never recoloured." if has_pictures else ""
    return (
        f"{_weakest(case)} and no remedy within the limits makes it clear.{picture} "
        "Choose another blank, a version in one ink, your own colours for this blank, or accept it as it is."
    )
