"""`color-mix()`: two colours blended in a named space.

Comes in: the text between the brackets, and how to read one colour token.
Goes out: space, coordinates and alpha of the mixture.
Never done here: reading plain colours, fitting into sRGB.

Source: CSS Color 5, section 2 (syntax, percentages), CSS Color 4, section 12 (interpolation, premultiplied alpha, hue arcs).
"""

from __future__ import annotations

import re
from collections.abc import Callable

from vectorprep.colour.spaces import POLAR_SPACES, SPACES, convert
from vectorprep.colour.srgb import Triple

Spot = tuple[str, Triple, float]
"""Space, coordinates, alpha."""
ReadSpot = Callable[[str], "Spot | str | None"]
_METHOD = re.compile(r"in\s+([a-z0-9-]+)(?:\s+(shorter|longer|increasing|decreasing)\s+hue)?")
_PERCENT = re.compile(r"(?:^|\s)(\d*\.?\d+)%(?=\s|$)")
_HUE_PLACE = {"hsl": 0, "hwb": 0, "lch": 2, "oklch": 2}


def split_arguments(body: str) -> list[str]:
    """The arguments of a function, split at commas outside inner brackets."""
    parts, depth, start = [], 0, 0
    for place, sign in enumerate(body):
        depth += (sign == "(") - (sign == ")")
        if sign == "," and depth == 0:
            parts.append(body[start:place].strip())
            start = place + 1
    return [*parts, body[start:].strip()]


def _outside_brackets(text: str) -> str:
    """The text with everything between brackets blanked, so that inner percentages are not seen."""
    depth, shown = 0, []
    for sign in text:
        depth += sign == "("
        shown.append(sign if depth == 0 else "_")
        depth -= sign == ")"
    return "".join(shown)


def _part(text: str) -> tuple[str, float | None]:
    found = _PERCENT.search(_outside_brackets(text))
    if found is None:
        return text, None
    return (text[: found.start()] + text[found.end() :]).strip(), float(found[1]) / 100


def _shares(first: float | None, second: float | None) -> tuple[float, float, float] | None:
    """Shares of both colours, and the factor of the alpha (below 1 where they do not fill up to 100 %)."""
    if first is None and second is None:
        return 0.5, 0.5, 1.0
    one = first if first is not None else 1 - (second or 0.0)
    two = second if second is not None else 1 - one
    total = one + two
    return None if total <= 0 or one < 0 or two < 0 else (one / total, two / total, min(1.0, total))


def _hues(one: float, two: float, arc: str) -> tuple[float, float]:
    one, two = one % 360, two % 360
    gap = two - one
    turn = {
        "shorter": -360.0 if gap > 180 else 360.0 if gap < -180 else 0.0,
        "longer": -360.0 if 0 < gap < 180 else 360.0 if -180 < gap <= 0 else 0.0,
        "increasing": 360.0 if gap < 0 else 0.0,
        "decreasing": -360.0 if gap > 0 else 0.0,
    }[arc]
    return one, two + turn


def mix(body: str, read: ReadSpot) -> Spot | str | None:
    """The mixture written by `color-mix(body)`; `unresolved` where a part depends on others, None where invalid."""
    arguments = split_arguments(body)
    method = _METHOD.fullmatch(arguments[0])
    if len(arguments) != 3 or method is None or method[1] not in SPACES:
        return None
    (text_one, share_one), (text_two, share_two) = _part(arguments[1]), _part(arguments[2])
    shares, one, two = _shares(share_one, share_two), read(text_one), read(text_two)
    if shares is None or one is None or two is None:
        return None
    if isinstance(one, str) or isinstance(two, str):
        return "unresolved"
    return _blend(method[1], method[2] or "shorter", one, two, shares)


def _blend(space: str, arc: str, one: Spot, two: Spot, shares: tuple[float, float, float]) -> Spot:
    here, there = convert(one[1], one[0], space), convert(two[1], two[0], space)
    hue_at = _HUE_PLACE[space] if space in POLAR_SPACES else -1
    if hue_at >= 0:
        here, there = _agree_on_hue(space, here, there)
    alpha = one[2] * shares[0] + two[2] * shares[1]
    mixed = []
    for place, (a, b) in enumerate(zip(here, there, strict=True)):
        if place == hue_at:
            start, end = _hues(a, b, arc)
            mixed.append(start * shares[0] + end * shares[1])
        else:
            mixed.append((a * one[2] * shares[0] + b * two[2] * shares[1]) / alpha if alpha else 0.0)
    return space, (mixed[0], mixed[1], mixed[2]), alpha * shares[2]


def _agree_on_hue(space: str, here: Triple, there: Triple) -> tuple[Triple, Triple]:
    """A grey has no hue of its own: it takes the other's (CSS Color 4, powerless components)."""
    if _is_grey(space, here) and not _is_grey(space, there):
        return _with_hue(space, here, there), there
    if _is_grey(space, there) and not _is_grey(space, here):
        return here, _with_hue(space, there, here)
    return here, there


def _is_grey(space: str, polar: Triple) -> bool:
    if space == "hwb":
        return polar[1] + polar[2] >= 100 - 1e-3
    return polar[1] <= {"hsl": 1e-3, "lch": 1.5e-3, "oklch": 4e-6}[space]


def _with_hue(space: str, polar: Triple, other: Triple) -> Triple:
    return (other[0], polar[1], polar[2]) if _HUE_PLACE[space] == 0 else (polar[0], polar[1], other[2])
