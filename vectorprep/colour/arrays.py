"""The same colour science on arrays of pixels or ink lists.

Comes in: numpy arrays whose last axis holds three channels.
Goes out: arrays of the same leading shape, float32 stays float32, everything else is float64.
Never done here: alpha.

Sources as in `srgb`, `contrast`, `cielab`, `difference`, `okspace`.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from vectorprep.colour import cielab, okspace, srgb
from vectorprep.colour.difference import HALF_TURN

Floats = NDArray[np.floating[Any]]

_LINEAR = np.array(srgb.LINEAR_OF_CODE)
_LINEAR.flags.writeable = False
_LINEAR_32 = _LINEAR.astype(np.float32)
_LINEAR_32.flags.writeable = False
_POW25_7 = 25.0**7


def linear_from_srgb8(codes: NDArray[np.uint8], *, single: bool = False) -> Floats:
    """Linear light 0..1 of 8-bit channels; `single` gives float32."""
    table: Floats = _LINEAR_32 if single else _LINEAR
    return table[codes]


def srgb8_from_linear(linear: Floats) -> NDArray[np.uint8]:
    """The nearest 8-bit channels of linear light; values out of range are clipped."""
    held = np.clip(linear, 0.0, 1.0)
    encoded = np.where(held <= 0.0031308, held * 12.92, 1.055 * np.power(held, 1 / 2.4) - 0.055)  # IEC 61966-2-1
    codes: NDArray[np.uint8] = (encoded * 255 + 0.5).astype(np.uint8)
    return codes


def luminance(linear: Floats) -> Floats:
    """Relative luminance 0..1 (WCAG 2.2)."""
    result: Floats = linear @ np.array([0.2126, 0.7152, 0.0722], dtype=linear.dtype)
    return result


def _times(matrix: tuple[srgb.Triple, ...], vectors: Floats) -> Floats:
    result: Floats = vectors @ np.array(matrix, dtype=vectors.dtype).T
    return result


def oklab(linear: Floats, *, chroma: float = 1) -> Floats:
    """OKLab of linear sRGB (Ottosson 2020), a and b times `chroma`."""
    lightness, *hues = okspace.OKLAB_FROM_ROOTS
    scaled = [(chroma * red, chroma * green, chroma * blue) for red, green, blue in hues]
    return _times((lightness, *scaled), np.cbrt(_times(okspace.CONES_FROM_LINEAR, linear)))


def linear_from_oklab(coordinates: Floats) -> Floats:
    """Linear sRGB of OKLab, unclipped: outside 0..1 where sRGB has no such colour."""
    return _times(okspace.LINEAR_FROM_CONES, _times(okspace.ROOTS_FROM_OKLAB, coordinates) ** 3)


def lab(linear: Floats) -> Floats:
    """CIELAB, D65, of linear sRGB (CIE 15)."""
    parts = _times(srgb.XYZ_FROM_LINEAR, linear) / np.array(cielab.WHITE_D65, dtype=linear.dtype)
    curved = np.where(parts > cielab.EPSILON, np.cbrt(parts), (cielab.KAPPA * parts + 16) / 116)
    fx, fy, fz = curved[..., 0], curved[..., 1], curved[..., 2]
    return np.stack([116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)], axis=-1)


def delta_e_2000(first: Floats, second: Floats) -> Floats:
    """CIEDE2000 of CIELAB arrays, broadcast against each other (Sharma, Wu, Dalal 2005)."""
    l1, a1, b1 = first[..., 0], first[..., 1], first[..., 2]
    l2, a2, b2 = second[..., 0], second[..., 1], second[..., 2]
    mean_c7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(mean_c7 / (mean_c7 + _POW25_7))
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360
    product, total, apart = c1 * c2, h1 + h2, np.abs(h1 - h2)
    step = h2 - h1
    step = np.where(step > HALF_TURN, step - 360, np.where(step < -HALF_TURN, step + 360, step))
    wrapped = np.where(total < 360, (total + 360) / 2, (total - 360) / 2)
    mean_h = np.where(product == 0, total, np.where(apart <= HALF_TURN, total / 2, wrapped))
    mean_c = (c1 + c2) / 2
    off_mid = ((l1 + l2) / 2 - 50) ** 2
    light = (l2 - l1) / (1 + 0.015 * off_mid / np.sqrt(20 + off_mid))
    chroma = (c2 - c1) / (1 + 0.045 * mean_c)
    hue = 2 * np.sqrt(product) * np.sin(np.radians(step) / 2) / (1 + 0.015 * mean_c * _hue_weight(mean_h))
    mean_c7 = mean_c**7
    turn = 60 * np.exp(-(((mean_h - 275) / 25) ** 2))
    rotation = -2 * np.sqrt(mean_c7 / (mean_c7 + _POW25_7)) * np.sin(np.radians(turn))
    squared = light**2 + chroma**2 + hue**2 + rotation * chroma * hue
    result: Floats = np.sqrt(np.maximum(squared, 0))
    return result


def _hue_weight(mean_h: Floats) -> Floats:
    weight: Floats = (
        1
        - 0.17 * np.cos(np.radians(mean_h - 30))
        + 0.24 * np.cos(np.radians(2 * mean_h))
        + 0.32 * np.cos(np.radians(3 * mean_h + 6))
        - 0.20 * np.cos(np.radians(4 * mean_h - 63))
    )
    return weight
