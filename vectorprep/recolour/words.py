"""Reasons in words.

Comes in: the facts of a decision. Goes out: one sentence or two for the seller.
Never done here: decisions.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vectorprep.colour import oklch

if TYPE_CHECKING:
    from vectorprep.model import Ink, InkSwap, Verdict
    from vectorprep.recolour.cloth import Cloth
    from vectorprep.recolour.policy import RecolourPolicy

# OKLCH hue in degrees at which each name begins; house values.
_HUES: tuple[tuple[float, str], ...] = (
    (0, "pink"), (15, "red"), (45, "orange"), (80, "yellow"), (120, "green"), (175, "teal"), (220, "blue"), (285, "purple"),
    (325, "pink"),
)  # fmt: skip


def colour_name(colour: str) -> str:
    """A plain word or two for a colour, such as `dark grey` or `pale yellow`."""
    light, chroma, hue = oklch(colour)
    if chroma < 0.03:
        if light < 0.25:
            return "black"
        if light > 0.96:
            return "white"
        return "dark grey" if light < 0.5 else "grey" if light < 0.78 else "pale grey"
    name = [word for start, word in _HUES if hue >= start][-1]
    if name in ("orange", "red", "yellow") and light < 0.5 and chroma < 0.13:
        return "brown"
    return f"dark {name}" if light < 0.42 else f"pale {name}" if light > 0.86 and chroma < 0.13 else name


def named(colour: str) -> str:
    """Word and hex of a colour."""
    return f"{colour_name(colour)} {colour}"


def leave_reason(cloth: Cloth, verdict: Verdict) -> str:
    """Why an artwork is left as drawn."""
    return f"Seen as drawn on {cloth.name}: {verdict.outline_faded:.0%} of the outline fades."


def swap_reason(swaps: tuple[InkSwap, ...], cloth: Cloth, kind: str) -> str:
    """What changed and what it brought."""
    parts = [f"{named(s.before)} becomes {s.after} ({s.ratio_before:.2f}:1 to {s.ratio_after:.2f}:1)" for s in swaps]
    how = "only black, white or grey ink changes" if kind == "neutral-swap" else "hues stay, lightness moves within the cap"
    return f"On {cloth.name}: " + "; ".join(parts) + f"; {how}."


def keyline_reason(inks: tuple[Ink, ...], cloth: Cloth, policy: RecolourPolicy, colour: str) -> str:
    """Why an outline, in which colour and width."""
    fading = [ink for ink in inks if ink.in_contact and cloth.ratio(ink.colour, ink.alpha) < policy.ratio_floor]
    worst = min(fading, key=lambda ink: cloth.ratio(ink.colour, ink.alpha), default=None)
    why = (
        f"{named(worst.colour)} has {cloth.ratio(worst.colour, worst.alpha):.2f}:1 on {cloth.name}" if worst else f"On {cloth.name}"
    )
    return (
        f"{why}; every colour stays and a {policy.keyline_mm:g} mm outline in {named(colour)} "
        f"({cloth.ratio(colour):.2f}:1) goes around the artwork."
    )


def ask_reason(inks: tuple[Ink, ...], cloth: Cloth, *, has_pictures: bool) -> str:
    """What the seller can answer."""
    contact = [ink for ink in inks if ink.in_contact]
    worst = min(contact, key=lambda ink: cloth.ratio(ink.colour, ink.alpha), default=None)
    what = (
        f"{named(worst.colour)} has {cloth.ratio(worst.colour, worst.alpha):.2f}:1 on {cloth.name}"
        if worst
        else f"Unclear on {cloth.name}"
    )
    picture = " The picture in it is never recoloured." if has_pictures else ""
    return (
        f"{what} and no remedy within the limits makes it clear.{picture} "
        "Choose another blank, a version in one ink, your own colours for this blank, or accept it as it is."
    )
