"""OKLab and OKLCH: where inks are moved, because hue stays put there.

Comes in: `#rrggbb`, XYZ, or OKLCH coordinates (lightness 0..1, chroma, hue in degrees).
Goes out: OKLab or OKLCH coordinates, or the `#rrggbb` of such coordinates inside sRGB.
Never done here: choosing where an ink moves.

Source: Ottosson 2020, "A perceptual color space for image processing", bottosson.github.io/posts/oklab.
"""

from __future__ import annotations

import math
from functools import lru_cache

from vectorprep.colour.srgb import Triple, hex_from_linear, linear_from_hex, transform

Matrix = tuple[Triple, Triple, Triple]

CONES_FROM_LINEAR: Matrix = (
    (0.4122214708, 0.5363325363, 0.0514459929),
    (0.2119034982, 0.6806995451, 0.1073969566),
    (0.0883024619, 0.2817188376, 0.6299787005),
)
CONES_FROM_XYZ: Matrix = (
    (0.8189330101, 0.3618667424, -0.1288597137),
    (0.0329845436, 0.9293118715, 0.0361456387),
    (0.0482003018, 0.2643662691, 0.6338517070),
)
OKLAB_FROM_ROOTS: Matrix = (
    (0.2104542553, 0.7936177850, -0.0040720468),
    (1.9779984951, -2.4285922050, 0.4505937099),
    (0.0259040371, 0.7827717662, -0.8086757660),
)
ROOTS_FROM_OKLAB: Matrix = (
    (1.0, 0.3963377774, 0.2158037573),
    (1.0, -0.1055613458, -0.0638541728),
    (1.0, -0.0894841775, -1.2914855480),
)
LINEAR_FROM_CONES: Matrix = (
    (4.0767416621, -3.3077115913, 0.2309699292),
    (-1.2684380046, 2.6097574011, -0.3413193965),
    (-0.0041960863, -0.7034186147, 1.7076147010),
)

_SLACK = 1e-4  # linear light; far below one 8-bit step, hides the rounding of the published matrices
_CUTS = 24  # halvings of the chroma: below 1e-7 of it


def _cube_root(value: float) -> float:
    return math.copysign(abs(value) ** (1 / 3), value)


def _from_cones(cones: Triple) -> Triple:
    return transform(OKLAB_FROM_ROOTS, (_cube_root(cones[0]), _cube_root(cones[1]), _cube_root(cones[2])))


def oklab_from_xyz(xyz: Triple) -> Triple:
    """OKLab of XYZ with D65 white and Y = 1."""
    return _from_cones(transform(CONES_FROM_XYZ, xyz))


def oklab_from_linear(linear: Triple) -> Triple:
    """OKLab of linear sRGB."""
    return _from_cones(transform(CONES_FROM_LINEAR, linear))


@lru_cache(maxsize=1 << 15)
def oklab(colour: str) -> Triple:
    """OKLab: lightness 0..1, green-red a, blue-yellow b."""
    return oklab_from_linear(linear_from_hex(colour))


def oklch(colour: str) -> Triple:
    """OKLCH: lightness 0..1, chroma 0..about 0.33, hue in degrees 0..360."""
    light, a, b = oklab(colour)
    return light, math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360


def _linear_from_oklab(light: float, a: float, b: float) -> Triple:
    long, medium, short = transform(ROOTS_FROM_OKLAB, (light, a, b))
    return transform(LINEAR_FROM_CONES, (long**3, medium**3, short**3))


def hex_from_oklab(light: float, a: float, b: float) -> str:
    """The sRGB colour of OKLab coordinates; lightness and hue are kept, chroma is cut until it fits."""
    if light <= 0:
        return "#000000"
    if light >= 1:
        return "#ffffff"
    linear = _linear_from_oklab(light, a, b)
    if _fits(linear):
        return hex_from_linear(linear)
    low, high = 0.0, 1.0
    for _ in range(_CUTS):
        middle = (low + high) / 2
        if _fits(_linear_from_oklab(light, a * middle, b * middle)):
            low = middle
        else:
            high = middle
    return hex_from_linear(_linear_from_oklab(light, a * low, b * low))


def _fits(linear: Triple) -> bool:
    return min(linear) >= -_SLACK and max(linear) <= 1 + _SLACK


def hex_from_oklch(light: float, chroma: float, hue: float) -> str:
    """The sRGB colour of OKLCH coordinates (hue in degrees), mapped into sRGB by cutting chroma alone."""
    angle = math.radians(hue)
    return hex_from_oklab(light, chroma * math.cos(angle), chroma * math.sin(angle))
