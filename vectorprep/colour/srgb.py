"""The sRGB encoding: hex text, 8-bit channels, linear light, XYZ.

Comes in and goes out: `#rrggbb` strings and tuples of three floats.
Never done here: CSS names and functions, alpha other than `over`.

Sources: IEC 61966-2-1 (transfer curve); CSS Color 4 (matrix to XYZ D65, as exact fractions).
"""

from __future__ import annotations

import re
from functools import lru_cache

_HEX = re.compile("#[0-9a-fA-F]{6}")

Triple = tuple[float, float, float]

# Linear sRGB to XYZ with D65 white; CSS Color 4, "Sample code for Color Conversions".
XYZ_FROM_LINEAR: tuple[Triple, Triple, Triple] = (
    (506752 / 1228815, 87881 / 245763, 12673 / 70218),
    (87098 / 409605, 175762 / 245763, 12673 / 175545),
    (7918 / 409605, 87881 / 737289, 1001167 / 1053270),
)

# The inverse, from the same source.
LINEAR_FROM_XYZ: tuple[Triple, Triple, Triple] = (
    (12831 / 3959, -329 / 214, -1974 / 3959),
    (-851781 / 878810, 1648619 / 878810, 36519 / 878810),
    (705 / 12673, -2585 / 12673, 705 / 667),
)


def _linear(code: int) -> float:
    encoded = code / 255
    return encoded / 12.92 if encoded <= 0.04045 else ((encoded + 0.055) / 1.055) ** 2.4  # IEC 61966-2-1


LINEAR_OF_CODE: tuple[float, ...] = tuple(_linear(code) for code in range(256))


def rgb_from_hex(colour: str) -> tuple[int, int, int]:
    """Red, green, blue 0..255 of `#rrggbb`.

    Raises:
        ValueError: the text is anything but a hash and six hex digits.
    """
    if _HEX.fullmatch(colour) is None:
        raise ValueError(f"'{colour}' is not a colour of the form #rrggbb")
    value = int(colour[1:], 16)
    return value >> 16, value >> 8 & 255, value & 255


def hex_from_rgb(red: int, green: int, blue: int) -> str:
    """`#rrggbb` in lower case; channels are held to 0..255."""
    return "#{:02x}{:02x}{:02x}".format(*(min(255, max(0, channel)) for channel in (red, green, blue)))


@lru_cache(maxsize=1 << 15)
def linear_from_hex(colour: str) -> Triple:
    """Linear light 0..1 of each channel."""
    red, green, blue = rgb_from_hex(colour)
    return LINEAR_OF_CODE[red], LINEAR_OF_CODE[green], LINEAR_OF_CODE[blue]


def _code(linear: float) -> int:
    held = min(1.0, max(0.0, linear))
    encoded = held * 12.92 if held <= 0.0031308 else 1.055 * held ** (1 / 2.4) - 0.055  # IEC 61966-2-1
    return int(encoded * 255 + 0.5)


def hex_from_linear(linear: Triple) -> str:
    """The nearest `#rrggbb` of linear light; channels out of range are clipped."""
    return hex_from_rgb(_code(linear[0]), _code(linear[1]), _code(linear[2]))


def transform(matrix: tuple[Triple, Triple, Triple], vector: Triple) -> Triple:
    """Matrix times column vector."""
    x, y, z = vector
    (a, b, c), (d, e, f), (g, h, i) = matrix
    return a * x + b * y + c * z, d * x + e * y + f * z, g * x + h * y + i * z


def xyz_from_hex(colour: str) -> Triple:
    """CIE XYZ of D65 white = (0.9505, 1, 1.0891)."""
    return transform(XYZ_FROM_LINEAR, linear_from_hex(colour))


def multiply(ink: str, cloth: str) -> str:
    """What ink without a white base looks like: its colour multiplied with the cloth's, per channel in encoded sRGB."""
    red, green, blue = ((i * c + 127) // 255 for i, c in zip(rgb_from_hex(ink), rgb_from_hex(cloth), strict=True))
    return hex_from_rgb(red, green, blue)


def over(ink: str, alpha: float, cloth: str) -> str:
    """What see-through ink looks like on a cloth: mixed per channel in encoded sRGB, as browsers and rasterisers do."""
    mixed = (alpha * i + (1 - alpha) * c for i, c in zip(rgb_from_hex(ink), rgb_from_hex(cloth), strict=True))
    red, green, blue = (int(channel + 0.5) for channel in mixed)
    return hex_from_rgb(red, green, blue)
