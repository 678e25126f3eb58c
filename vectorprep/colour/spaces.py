"""Colour spaces that CSS can name, all by way of CIE XYZ with D65 white.

Comes in: coordinates in one of the spaces of CSS Color 4, as its functions write them.
Goes out: encoded sRGB (not held to its range), XYZ, or coordinates in another of the spaces.
Never done here: parsing, rounding to 8 bits, fitting into a gamut.

Source: CSS Color 4, "Sample code for Color Conversions" (matrices and transfer curves).
"""

from __future__ import annotations

import math
from collections.abc import Callable

from vectorprep.colour.srgb import XYZ_FROM_LINEAR, Triple, transform

Matrix = tuple[Triple, Triple, Triple]
Curve = Callable[[float], float]


def _inverse(matrix: Matrix) -> Matrix:
    (a, b, c), (d, e, f), (g, h, i) = matrix
    det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    return (
        ((e * i - f * h) / det, (c * h - b * i) / det, (b * f - c * e) / det),
        ((f * g - d * i) / det, (a * i - c * g) / det, (c * d - a * f) / det),
        ((d * h - e * g) / det, (b * g - a * h) / det, (a * e - b * d) / det),
    )


_P3: Matrix = (
    (608311 / 1250200, 189793 / 714400, 198249 / 1000160),
    (35783 / 156275, 247089 / 357200, 198249 / 2500400),
    (0.0, 32229 / 714400, 5220557 / 5000800),
)
_A98: Matrix = (
    (573536 / 994567, 263643 / 1420810, 187206 / 994567),
    (591459 / 1989134, 6239551 / 9945670, 374412 / 4972835),
    (53769 / 1989134, 351524 / 4972835, 4929758 / 4972835),
)
_REC2020: Matrix = (
    (63426534 / 99577255, 20160776 / 139408157, 47086771 / 278816314),
    (26158966 / 99577255, 472592308 / 697040785, 8267143 / 139408157),
    (0.0, 19567812 / 697040785, 295819943 / 278816314),
)
_PROPHOTO_D50: Matrix = (
    (0.79776664490064230, 0.13518129740053308, 0.03134773412839220),
    (0.28807482881940130, 0.71183523424187300, 0.00008993693872564),
    (0.0, 0.0, 0.82510460251046020),
)
_D65_FROM_D50: Matrix = (
    (0.955473421488075, -0.02309845494876471, 0.06325924320057072),
    (-0.0283697093338637, 1.0099953980813041, 0.021041441191917323),
    (0.012314014864481998, -0.020507649298898964, 1.330365926242124),
)
_CONES: Matrix = (
    (0.8190224379967030, 0.3619062600528904, -0.1288737815209879),
    (0.0329836539323885, 0.9292868615863434, 0.0361446663506424),
    (0.0481771893596242, 0.2642395317527308, 0.6335478284694309),
)
_OKLAB: Matrix = (
    (0.2104542683093140, 0.7936177747023054, -0.0040720430116193),
    (1.9779985324311684, -2.4285922420485799, 0.4505937096174110),
    (0.0259040424655478, 0.7827717124575296, -0.8086757549230774),
)
_FROM_CONES, _FROM_OKLAB, _D50_FROM_D65 = _inverse(_CONES), _inverse(_OKLAB), _inverse(_D65_FROM_D50)
_D50: Triple = (0.3457 / 0.3585, 1.0, (1.0 - 0.3457 - 0.3585) / 0.3585)
_EPSILON, _KAPPA = 216 / 24389, 24389 / 27  # CIE 15


def _signed(curve: Curve) -> Curve:
    return lambda value: math.copysign(curve(abs(value)), value)


_SRGB_IN = _signed(lambda v: v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4)
_SRGB_OUT = _signed(lambda v: v * 12.92 if v <= 0.0031308 else 1.055 * v ** (1 / 2.4) - 0.055)
_A, _B = 1.09929682680944, 0.018053968510807  # BT.2020, as printed in CSS Color 4
_RGB: dict[str, tuple[Matrix, Curve, Curve]] = {
    "srgb": (XYZ_FROM_LINEAR, _SRGB_IN, _SRGB_OUT),
    "srgb-linear": (XYZ_FROM_LINEAR, float, float),
    "display-p3": (_P3, _SRGB_IN, _SRGB_OUT),
    "display-p3-linear": (_P3, float, float),
    "a98-rgb": (_A98, _signed(lambda v: v ** (563 / 256)), _signed(lambda v: v ** (256 / 563))),
    "rec2020": (
        _REC2020,
        _signed(lambda v: v / 4.5 if v < _B * 4.5 else ((v + _A - 1) / _A) ** (1 / 0.45)),
        _signed(lambda v: v * 4.5 if v < _B else _A * v**0.45 - (_A - 1)),
    ),
    "prophoto-rgb": (
        _PROPHOTO_D50,
        _signed(lambda v: v / 16 if v <= 16 / 512 else v**1.8),
        _signed(lambda v: v * 16 if v < 1 / 512 else v ** (1 / 1.8)),
    ),
}
RGB_SPACES: frozenset[str] = frozenset({*_RGB, "xyz", "xyz-d50", "xyz-d65"})
"""Spaces of the `color()` function."""
POLAR_SPACES: frozenset[str] = frozenset({"hsl", "hwb", "lch", "oklch"})
SPACES: frozenset[str] = RGB_SPACES | POLAR_SPACES | {"lab", "oklab"}


def _each(curve: Curve, triple: Triple) -> Triple:
    return curve(triple[0]), curve(triple[1]), curve(triple[2])


def _lab_to_xyz50(lab: Triple) -> Triple:
    fy = (lab[0] + 16) / 116
    fx, fz = fy + lab[1] / 500, fy - lab[2] / 200
    x = fx**3 if fx**3 > _EPSILON else (116 * fx - 16) / _KAPPA
    y = fy**3 if lab[0] > _KAPPA * _EPSILON else lab[0] / _KAPPA
    z = fz**3 if fz**3 > _EPSILON else (116 * fz - 16) / _KAPPA
    return x * _D50[0], y * _D50[1], z * _D50[2]


def _xyz50_to_lab(xyz: Triple) -> Triple:
    fx, fy, fz = (
        math.cbrt(part / white) if part / white > _EPSILON else (_KAPPA * part / white + 16) / 116
        for part, white in zip(xyz, _D50, strict=True)
    )
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def _polar_to_plane(polar: Triple) -> Triple:
    angle = math.radians(polar[2])
    return polar[0], polar[1] * math.cos(angle), polar[1] * math.sin(angle)


def _plane_to_polar(plane: Triple) -> Triple:
    return plane[0], math.hypot(plane[1], plane[2]), math.degrees(math.atan2(plane[2], plane[1])) % 360


def _hsl_to_srgb(hsl: Triple) -> Triple:
    hue, saturation, light = hsl[0] % 360, hsl[1] / 100, hsl[2] / 100
    reach = saturation * min(light, 1 - light)

    def channel(offset: float) -> float:
        turn = (offset + hue / 30) % 12
        return light - reach * max(-1.0, min(turn - 3, 9 - turn, 1.0))

    return channel(0), channel(8), channel(4)


def _hwb_to_srgb(hwb: Triple) -> Triple:
    white, black = hwb[1] / 100, hwb[2] / 100
    if white + black >= 1:
        grey = white / (white + black)
        return grey, grey, grey
    red, green, blue = _hsl_to_srgb((hwb[0], 100.0, 50.0))
    span = 1 - white - black
    return red * span + white, green * span + white, blue * span + white


def _srgb_to_hue(rgb: Triple) -> float:
    red, green, blue = rgb
    high, low = max(rgb), min(rgb)
    if high == low:
        return 0.0
    if high == red:
        return 60 * ((green - blue) / (high - low) % 6)
    if high == green:
        return 60 * ((blue - red) / (high - low) + 2)
    return 60 * ((red - green) / (high - low) + 4)


def _srgb_to_hsl(rgb: Triple) -> Triple:
    high, low = max(rgb), min(rgb)
    light = (high + low) / 2
    saturation = 0.0 if high == low or light in {0.0, 1.0} else (high - light) / min(light, 1 - light)
    return _srgb_to_hue(rgb), saturation * 100, light * 100


def _xyz_to_srgb(xyz: Triple) -> Triple:
    return _rgb_from_xyz("srgb", xyz)


def _rgb_from_xyz(space: str, xyz: Triple) -> Triple:
    matrix, _, curve = _RGB[space]
    source = transform(_D50_FROM_D65, xyz) if space == "prophoto-rgb" else xyz
    return _each(curve, transform(_inverse(matrix), source))


def _rgb_to_xyz(space: str, rgb: Triple) -> Triple:
    matrix, curve, _ = _RGB[space]
    xyz = transform(matrix, _each(curve, rgb))
    return transform(_D65_FROM_D50, xyz) if space == "prophoto-rgb" else xyz


def _oklab_to_xyz(oklab: Triple) -> Triple:
    return transform(_FROM_CONES, _each(lambda root: root**3, transform(_FROM_OKLAB, oklab)))


_TO_XYZ: dict[str, Callable[[Triple], Triple]] = {
    "xyz": lambda c: c,
    "xyz-d65": lambda c: c,
    "xyz-d50": lambda c: transform(_D65_FROM_D50, c),
    "lab": lambda c: transform(_D65_FROM_D50, _lab_to_xyz50(c)),
    "lch": lambda c: transform(_D65_FROM_D50, _lab_to_xyz50(_polar_to_plane(c))),
    "oklab": _oklab_to_xyz,
    "oklch": lambda c: _oklab_to_xyz(_polar_to_plane(c)),
    "hsl": lambda c: _rgb_to_xyz("srgb", _hsl_to_srgb(c)),
    "hwb": lambda c: _rgb_to_xyz("srgb", _hwb_to_srgb(c)),
}


def _xyz_to_hwb(xyz: Triple) -> Triple:
    rgb = _xyz_to_srgb(xyz)
    return _srgb_to_hue(rgb), min(rgb) * 100, (1 - max(rgb)) * 100


_FROM_XYZ: dict[str, Callable[[Triple], Triple]] = {
    "xyz": lambda c: c,
    "xyz-d65": lambda c: c,
    "xyz-d50": lambda c: transform(_D50_FROM_D65, c),
    "lab": lambda c: _xyz50_to_lab(transform(_D50_FROM_D65, c)),
    "lch": lambda c: _plane_to_polar(_xyz50_to_lab(transform(_D50_FROM_D65, c))),
    "oklab": lambda c: transform(_OKLAB, _each(math.cbrt, transform(_CONES, c))),
    "oklch": lambda c: _plane_to_polar(transform(_OKLAB, _each(math.cbrt, transform(_CONES, c)))),
    "hsl": lambda c: _srgb_to_hsl(_xyz_to_srgb(c)),
    "hwb": _xyz_to_hwb,
}


def to_xyz(space: str, coordinates: Triple) -> Triple:
    """CIE XYZ (D65, white at Y = 1) of coordinates in `space`; hues in degrees, hsl and hwb shares in percent."""
    return _rgb_to_xyz(space, coordinates) if space in _RGB else _TO_XYZ[space](coordinates)


def from_xyz(space: str, xyz: Triple) -> Triple:
    """Coordinates in `space` of CIE XYZ (D65)."""
    return _rgb_from_xyz(space, xyz) if space in _RGB else _FROM_XYZ[space](xyz)


def to_srgb(space: str, coordinates: Triple) -> Triple:
    """Encoded sRGB; 0..1 where the colour fits, beyond it where it does not."""
    direct = {"srgb": lambda c: c, "hsl": _hsl_to_srgb, "hwb": _hwb_to_srgb}.get(space)
    return direct(coordinates) if direct else _xyz_to_srgb(to_xyz(space, coordinates))


def convert(coordinates: Triple, source: str, target: str) -> Triple:
    """Coordinates of the same colour in another space."""
    if source == target:
        return coordinates
    if source in {"srgb", "hsl", "hwb"} and target in {"srgb", "hsl"}:
        rgb = to_srgb(source, coordinates)
        return rgb if target == "srgb" else _srgb_to_hsl(rgb)
    return from_xyz(target, to_xyz(source, coordinates))
