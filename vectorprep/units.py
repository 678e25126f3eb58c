"""Lengths, pixels and resolutions, in exact arithmetic.

Comes in: numbers with their unit as people and files write them.
Goes out: millimetres, whole pixels, pixels per metre.
Never done here: anything that knows an artwork or a product.

Sources: CSS Values and Units 4 (absolute lengths); PNG third edition (pHYs, unit metre).
"""

from __future__ import annotations

import math
import re
from fractions import Fraction

MM_PER_INCH = Fraction(127, 5)
CSS_PX_PER_INCH = 96  # CSS Values and Units 4
PT_PER_INCH = 72  # CSS Values and Units 4

# Absolute lengths in inches, CSS Values and Units 4, section "Absolute Lengths".
INCHES_PER_UNIT: dict[str, Fraction] = {
    "in": Fraction(1),
    "cm": Fraction(50, 127),
    "mm": Fraction(5, 127),
    "q": Fraction(5, 508),
    "pt": Fraction(1, 72),
    "pc": Fraction(1, 6),
    "px": Fraction(1, 96),
}

_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*([a-z\"]*)\s*", re.IGNORECASE)


def exact(number: float | int | str | Fraction) -> Fraction:
    """The decimal that a person wrote, as a fraction; 2.667 is 2667/1000, not its binary neighbour."""
    return number if isinstance(number, Fraction) else Fraction(str(number))


def px_from_mm(length_mm: float | Fraction, ppi: float | Fraction) -> int:
    """Whole pixels of an outer size: floor(mm x ppi / 25.4 + 1/2), in exact decimal arithmetic."""
    return math.floor(exact(length_mm) * exact(ppi) / MM_PER_INCH + Fraction(1, 2))


def mm_from_px(length_px: float, ppi: float) -> float:
    """Printed millimetres of a number of pixels."""
    return length_px * 25.4 / ppi


def inches_from_mm(length_mm: float) -> float:
    """Inches of a length in millimetres; 1 in = 25.4 mm."""
    return length_mm / 25.4


def css_px_from_mm(length_mm: float) -> float:
    """CSS pixels (1/96 in) of a length in millimetres."""
    return length_mm / 25.4 * 96


def mm_from_css_px(length_px: float) -> float:
    """Millimetres of a length in CSS pixels (1/96 in)."""
    return length_px * 25.4 / 96


def px_per_metre(ppi: float) -> int:
    """Density for the PNG pHYs chunk: pixels per metre, rounded half up; 300 ppi is 11811."""
    return math.floor(exact(ppi) * 5000 / 127 + Fraction(1, 2))


def mm_from_text(text: str) -> float:
    """Millimetres of a length such as `12in`, `300mm`, `8.5 cm`, `24pt`.

    Raises:
        ValueError: no number, no unit, or a unit that is not an absolute length.
    """
    match = _LENGTH.fullmatch(text)
    unit = match.group(2).lower().replace('"', "in") if match else ""
    if match is None or unit not in INCHES_PER_UNIT:
        raise ValueError(f"'{text}' is not a length; write a number and a unit such as 12in or 300mm")
    return float(exact(match.group(1)) * INCHES_PER_UNIT[unit] * MM_PER_INCH)


def length_words(length_mm: float, *, exactly: bool = False) -> str:
    """A length for people, in both units: `11 in (279.4 mm)`; `exactly` keeps four decimals of a millimetre."""
    inch_digits, mm_digits = (3, 4) if exactly else (2, 1)
    return f"{shortest(length_mm / 25.4, inch_digits)} in ({shortest(length_mm, mm_digits)} mm)"


def size_words(width_mm: float, height_mm: float, *, exactly: bool = False) -> str:
    """A size for people, in both units: `12 x 16 in (304.8 x 406.4 mm)`."""
    inch_digits, mm_digits = (3, 4) if exactly else (2, 1)
    inches = f"{shortest(width_mm / 25.4, inch_digits)} x {shortest(height_mm / 25.4, inch_digits)} in"
    return f"{inches} ({shortest(width_mm, mm_digits)} x {shortest(height_mm, mm_digits)} mm)"


def shortest(value: float, digits: int) -> str:
    """A number with at most so many decimals and no trailing zeros."""
    text = f"{value:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
