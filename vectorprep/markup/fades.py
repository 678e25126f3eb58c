"""Gradients that are shades and no ink of their own: one grey that fades away, as under a ball or along a fold.

Comes in: the root of a drawing. Goes out: the stops of such gradients.
Never done here: changing anything.
"""

from __future__ import annotations

from vectorprep.colour.css import CssColour, parse_colour
from vectorprep.markup.tokens import INITIAL
from vectorprep.markup.tree import Element, svg_tag

CLEAR = 0.05
"""Opacity at the faintest stop up to which a gradient fades away (house value)."""
NEUTRAL_SPREAD = 12
"""Levels between the channels up to which a colour is grey (house value)."""
_GRADIENTS = (svg_tag("linearGradient"), svg_tag("radialGradient"))


def shade_stops(root: Element) -> set[Element]:
    """All stops of gradients that run in one grey from seen to unseen.

    Only what is written on the stops themselves is read: a gradient coloured by a style sheet counts as ink.
    """
    found: set[Element] = set()
    for gradient in root.iter(*_GRADIENTS):
        stops = list(gradient.iter(svg_tag("stop")))
        if len(stops) < 2 or any(stop.get("class") is not None for stop in stops):
            continue
        colours = [_colour(stop) for stop in stops]
        if _is_shade([(colour, _opacity(stop)) for stop, colour in zip(stops, colours, strict=True)]):
            found.update(stops)
    return found


def _is_shade(stops: list[tuple[CssColour | None, float]]) -> bool:
    if any(colour is None or colour.kind != "colour" for colour, _ in stops):
        return False
    known = [(colour, colour.alpha * opacity) for colour, opacity in stops if colour is not None]
    inks = {(colour.r, colour.g, colour.b) for colour, _ in known}
    return len(inks) == 1 and min(alpha for _, alpha in known) <= CLEAR and _spread(next(iter(inks))) <= NEUTRAL_SPREAD


def _spread(channels: tuple[int, int, int]) -> int:
    return max(channels) - min(channels)


def _own(stop: Element, name: str) -> str | None:
    for declaration in reversed((stop.get("style") or "").split(";")):
        key, _, value = declaration.partition(":")
        if key.strip().lower() == name:
            return value.strip()
    return stop.get(name)


def _colour(stop: Element) -> CssColour | None:
    return parse_colour(_own(stop, "stop-color") or INITIAL["stop-color"])


def _opacity(stop: Element) -> float:
    text = (_own(stop, "stop-opacity") or "1").strip()
    try:
        return float(text[:-1]) / 100 if text.endswith("%") else float(text)
    except ValueError:
        return 1.0
