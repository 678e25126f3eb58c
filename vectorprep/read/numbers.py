"""Numbers of a drawing: finite, bounded, in the plainest syntax.

Comes in: attribute values as text.
Goes out: plain lengths and numbers, or a refusal that names element, attribute, figure and limit.
Never done here: meaning; a number is only looked at for size.
"""

from __future__ import annotations

import math
import re

from vectorprep.errors import ArtworkRefused
from vectorprep.units import INCHES_PER_UNIT

MAX_NUMBER = 10_000_000.0  # house value; renderers work in 32-bit floats, whole numbers end at 16,777,216
MAX_PATH_CHARS = 2_000_000  # house value; paths of some megabytes hang renderers
MAX_DASHES = 1_000  # house value

NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_NUMBER = re.compile(NUMBER)
# Seven digits before the point, an exponent, or a word for something that is no number.
_SUSPECT = re.compile(r"(?<![.\d])\d{7}|[eE][+]?\d|[nN][aA][nN]|[iI][nN][fF]")
_NOT_FINITE = re.compile(r"(?<![\w#(-])[+-]?(?:nan|inf(?:inity)?)(?![\w-])", re.IGNORECASE)
_LENGTH = re.compile(rf"\s*({NUMBER})\s*([a-zA-Z%]*)\s*")
_PATH_FUNCTION = re.compile(r"path\(\s*(?:(?:evenodd|nonzero)\s*,)?\s*[\"'](.*)[\"']\s*\)", re.DOTALL)


def check_numbers(element: str, attribute: str, value: str) -> None:
    """Passes numbers that a renderer can hold.

    Raises:
        ArtworkRefused: a number is not finite or too big, or the text is too long.
    """
    if len(value) > MAX_PATH_CHARS:
        raise ArtworkRefused(
            f"'{attribute}' of a {element} has {len(value)} characters, more than the limit of {MAX_PATH_CHARS}",
            fix="simplify the path in the drawing's editor",
            code="path-too-long",
        )
    if attribute == "stroke-dasharray" and value.count(",") + value.count(" ") > MAX_DASHES:
        raise ArtworkRefused(
            f"'stroke-dasharray' of a {element} has more than {MAX_DASHES} numbers",
            fix="use a shorter dash pattern",
            code="number-out-of-range",
        )
    match = _SUSPECT.search(value)
    if match is not None:
        _check_each(element, attribute, value)


def _check_each(element: str, attribute: str, value: str) -> None:
    word = _NOT_FINITE.search(value)
    big = word.group() if word else next((n for n in _NUMBER.findall(value) if abs(float(n)) > MAX_NUMBER), None)
    if big is not None:
        raise ArtworkRefused(
            f"'{attribute}' of a {element} holds {big[:40]}, outside -{MAX_NUMBER:.0f}..{MAX_NUMBER:.0f}",
            fix="bring the drawing near the page's origin, or scale it to an ordinary size",
            code="number-out-of-range",
        )


def number_or(text: str | None, default: float) -> float:
    """The number that a text begins with, or the default; never anything but finite."""
    match = _NUMBER.match(text.strip()) if text else None
    value = float(match.group()) if match else default
    return value if math.isfinite(value) else default


def numbers_in(text: str) -> list[float]:
    """All numbers of a list, in order."""
    return [float(found) for found in _NUMBER.findall(text)]


def length_px(text: str | None, *, percent_of: float, font_px: float = 16.0) -> float | None:
    """CSS px of a length; None where it is absent, `auto`, or no length. Percentages are of `percent_of`."""
    match = _LENGTH.fullmatch(text) if text else None
    if match is None:
        return None
    value, unit = float(match.group(1)), match.group(2).lower()
    factor = _FACTORS.get(unit)
    if unit == "%":
        factor = percent_of / 100
    elif unit in {"em", "rem"}:
        factor = font_px
    elif unit in {"ex", "ch"}:
        factor = font_px / 2  # CSS Values 4: 0.5em where the font's own x-height is not known
    if factor is None:
        return None
    return value * factor


_FACTORS = {"": 1.0, **{unit: float(inches * 96) for unit, inches in INCHES_PER_UNIT.items()}}


def unit_of(text: str | None) -> str:
    """Unit of a length in lower case; empty for a bare number or none."""
    match = _LENGTH.fullmatch(text) if text else None
    return match.group(2).lower() if match else ""


def plain_length(prop: str, value: str) -> str:
    """A geometry property's value as an attribute's; empty for `auto` and what no attribute can say."""
    if prop == "d":
        match = _PATH_FUNCTION.fullmatch(value)
        return match.group(1) if match else ""
    return value if _LENGTH.fullmatch(value) else ""


def written(value: float) -> str:
    """Shortest decimal text that reads back as the same number, without exponent for ordinary sizes."""
    if value == int(value) and abs(value) < 1e15:
        return str(int(value))
    text = repr(float(value))
    return text if "e" not in text else f"{value:.12f}".rstrip("0").rstrip(".")
