"""CIELAB with D65 white.

Comes in: `#rrggbb` strings or XYZ.
Goes out: L* 0..100, a*, b*.
Never done here: differences.

Sources: CIE 15 (CIELAB, exact rational constants); white as in CSS Color 4 (chromaticity 0.3127, 0.3290).
"""

from __future__ import annotations

from functools import lru_cache

from vectorprep.colour.srgb import LINEAR_FROM_XYZ, Triple, hex_from_linear, transform, xyz_from_hex

WHITE_D65: Triple = (0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290)  # CSS Color 4
EPSILON = 216 / 24389  # CIE 15
KAPPA = 24389 / 27  # CIE 15


def _curve(part: float) -> float:
    return part ** (1 / 3) if part > EPSILON else (KAPPA * part + 16) / 116


def lab_from_xyz(xyz: Triple) -> Triple:
    """L*, a*, b* of XYZ relative to D65 white with Y = 1."""
    fx, fy, fz = (_curve(part / white) for part, white in zip(xyz, WHITE_D65, strict=True))
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


@lru_cache(maxsize=1 << 15)
def lab(colour: str) -> Triple:
    """L* 0..100, a*, b* (CIE 15, D65)."""
    return lab_from_xyz(xyz_from_hex(colour))


def lightness(colour: str) -> float:
    """L*, 0 black to 100 white (CIE 15)."""
    return lab(colour)[0]


def _uncurve(value: float) -> float:
    cube = value**3
    return cube if cube > EPSILON else (116 * value - 16) / KAPPA


def hex_from_lab(light: float, a: float, b: float) -> str:
    """The sRGB colour of CIELAB coordinates; what lies outside sRGB is clipped channel by channel."""
    fy = (light + 16) / 116
    x, y, z = (_uncurve(part) * white for part, white in zip((fy + a / 500, fy, fy - b / 200), WHITE_D65, strict=True))
    return hex_from_linear(transform(LINEAR_FROM_XYZ, (x, y, z)))
