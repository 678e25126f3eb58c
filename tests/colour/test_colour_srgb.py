"""Hex text, luminance, ratio and CIELAB against published values and an outside implementation."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from vectorprep.colour import (
    arrays,
    contrast_ratio,
    hex_from_lab,
    hex_from_linear,
    hex_from_rgb,
    lab,
    lightness,
    linear_from_hex,
    multiply,
    over,
    relative_luminance,
    rgb_from_hex,
    strength,
    xyz_from_hex,
)

# Pairs as they stand in the W3C texts of WCAG 2.x, values by its formula.
RATIOS = (
    ("#000000", "#ffffff", 21.0),
    ("#767676", "#ffffff", 4.5422),
    ("#777777", "#ffffff", 4.4781),
    ("#949494", "#ffffff", 3.0335),
    ("#fff000", "#ffffff", 1.1854),
)


@pytest.mark.parametrize(("first", "second", "published"), RATIOS)
def test_contrast_ratio(first: str, second: str, published: float) -> None:
    """Ratios equal those of WCAG 2.2's formula to four decimals, in both orders."""
    assert contrast_ratio(first, second) == pytest.approx(published, abs=5e-5)
    assert contrast_ratio(second, first) == contrast_ratio(first, second)


def test_ratio_of_a_colour_with_itself_is_one() -> None:
    """A colour against itself has ratio 1 exactly."""
    assert contrast_ratio("#5a3b8c", "#5a3b8c") == 1


def test_knee_of_the_curve_does_not_matter() -> None:
    """No 8-bit code lies between the two knees in print, .03928 (WCAG 2.0) and .04045 (IEC 61966-2-1)."""
    assert not [code for code in range(256) if 0.03928 < code / 255 <= 0.04045]


def test_luminance_of_primaries() -> None:
    """White is 1, black 0, and the primaries carry WCAG 2.2's weights."""
    colours = ("#ffffff", "#000000", "#ff0000", "#00ff00", "#0000ff")
    assert [relative_luminance(c) for c in colours] == pytest.approx([1, 0, 0.2126, 0.7152, 0.0722])


@pytest.mark.parametrize("text", ["", "#fff", "red", "#12345g", "#1234567", "1234567", "#-12345"])
def test_only_six_digits_are_a_colour(text: str) -> None:
    """Anything but a hash and six digits is refused."""
    with pytest.raises(ValueError, match="#rrggbb"):
        rgb_from_hex(text)


def test_hex_round_trips() -> None:
    """Hex to channels or to linear light and back is the identity; channels out of range are held."""
    colours = [f"#{(n * 104729) % (1 << 24):06x}" for n in range(3000)]
    assert [hex_from_rgb(*rgb_from_hex(c)) for c in colours] == colours
    assert [hex_from_linear(linear_from_hex(c)) for c in colours] == colours
    assert hex_from_rgb(-4, 300, 128) == "#00ff80"


def test_over_mixes_encoded_channels() -> None:
    """Half-covering white on black is middle grey of the encoding, as source-over in sRGB (CSS Compositing 1)."""
    assert over("#ffffff", 0.5, "#000000") == "#808080"
    assert over("#b3202c", 1.0, "#000000") == "#b3202c"
    assert over("#b3202c", 0.0, "#1b2340") == "#1b2340"


def test_lab_of_primaries() -> None:
    """Lab of the sRGB primaries under D65 as computed from the CSS Color 4 matrices (CIE 15 formula)."""
    assert lab("#ffffff") == pytest.approx((100, 0, 0), abs=1e-9)
    assert lab("#000000") == pytest.approx((0, 0, 0), abs=1e-9)
    # CSS Color 4, example values of `red` and `green` in lab are D50; these D65 values are from memory.
    assert lab("#ff0000") == pytest.approx((53.24, 80.09, 67.20), abs=0.02)
    assert lab("#0000ff") == pytest.approx((32.30, 79.19, -107.86), abs=0.02)


def test_outside_lab_agrees() -> None:
    """colour-science gives the same XYZ and Lab within the rounding of its own sRGB matrix."""
    colour = pytest.importorskip("colour")
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    colours = [f"#{(n * 104729) % (1 << 24):06x}" for n in range(500)]
    xyz = colour.sRGB_to_XYZ(np.array([rgb_from_hex(c) for c in colours]) / 255)
    assert np.abs(np.array([xyz_from_hex(c) for c in colours]) - xyz).max() < 2e-4
    expected = colour.XYZ_to_Lab(xyz, white)
    assert np.abs(np.array([lab(c) for c in colours]) - expected).max() < 0.05


def test_arrays_equal_strings() -> None:
    """Array versions of linear light, luminance and Lab equal the string versions."""
    colours = [f"#{(n * 7919 * 97) % (1 << 24):06x}" for n in range(2000)]
    linear = arrays.linear_from_srgb8(np.array([rgb_from_hex(c) for c in colours], dtype=np.uint8))
    assert np.abs(arrays.luminance(linear) - [relative_luminance(c) for c in colours]).max() < 1e-12
    assert np.abs(arrays.lab(linear) - [lab(c) for c in colours]).max() < 1e-9
    assert np.abs(arrays.lab(linear)[:, 0] - [lightness(c) for c in colours]).max() < 1e-9


def test_arrays_round_trip_all_codes() -> None:
    """All 256 codes survive to linear light and back, in both precisions."""
    codes = np.arange(256, dtype=np.uint8)
    assert (arrays.srgb8_from_linear(arrays.linear_from_srgb8(codes)) == codes).all()
    single = arrays.linear_from_srgb8(codes, single=True)
    assert single.dtype == np.float32
    assert (arrays.srgb8_from_linear(single) == codes).all()


def test_strings_need_no_numpy() -> None:
    """Asking for a ratio does not load numpy."""
    code = (
        "import sys; from vectorprep.colour import contrast_ratio, delta_e_2000;"
        "contrast_ratio('#000000', '#ffffff'); delta_e_2000('#102030', '#405060'); sys.exit('numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_lab_comes_back() -> None:
    """Hex to CIELAB and back is the identity; Lab outside sRGB is clipped into it."""
    colours = [f"#{(n * 104729) % (1 << 24):06x}" for n in range(1500)]
    assert [hex_from_lab(*lab(c)) for c in colours] == colours
    assert hex_from_lab(120, 0, 0) == "#ffffff"


def test_multiply_is_ink_without_a_base() -> None:
    """White paint is bare cloth, black stays black, and order does not matter (CSS Compositing 1, `multiply`)."""
    assert multiply("#ffffff", "#efe6d2") == "#efe6d2"
    assert multiply("#000000", "#efe6d2") == "#000000"
    assert multiply("#b3202c", "#efe6d2") == multiply("#efe6d2", "#b3202c") == "#a81d24"


# House values: figures by which the limits of `colour.strength` were set, to three decimals.
STRENGTHS = (
    ("#000000", "#141414", 0.016),
    ("#000000", "#1b2340", 0.068),
    ("#000000", "#4e342a", 0.098),
    ("#000000", "#4a4b4f", 0.124),
    ("#000000", "#1f4d36", 0.130),
    ("#000000", "#5d6138", 0.192),
    ("#000000", "#5a3b8c", 0.244),
    ("#000000", "#23479e", 0.270),
    ("#f3d2a2", "#efe6d2", 0.094),
    ("#f3d2a2", "#ffffff", 0.176),
    ("#333333", "#1f4d36", 0.088),
)


@pytest.mark.parametrize(("ink", "cloth", "expected"), STRENGTHS)
def test_strength(ink: str, cloth: str, expected: float) -> None:
    """Strengths come out as when the limits were set; order does not matter."""
    assert strength(ink, cloth) == pytest.approx(expected, abs=6e-4)
    assert strength(cloth, ink) == pytest.approx(strength(ink, cloth))


def test_strength_tells_apart_what_the_ratio_cannot() -> None:
    """Black reads on royal blue and not on charcoal at nearly one contrast ratio."""
    assert contrast_ratio("#000000", "#23479e") == pytest.approx(contrast_ratio("#000000", "#4a4b4f"), abs=0.1)
    assert strength("#000000", "#23479e") > 2 * strength("#000000", "#4a4b4f")
