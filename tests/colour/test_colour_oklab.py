"""OKLab, OKLCH, gamut mapping and simulated colour vision against published values and an outside implementation."""

from __future__ import annotations

import math

import numpy as np
import pytest

from vectorprep.colour import (
    arrays,
    hex_from_oklch,
    linear_from_hex,
    oklab,
    oklab_from_xyz,
    oklch,
    rgb_from_hex,
    simulate,
    worst_delta_e,
    xyz_from_hex,
)
from vectorprep.colour.vision import MATRICES, Deficiency

COLOURS = [f"#{(n * 104729) % (1 << 24):06x}" for n in range(600)]

Triple = tuple[float, float, float]

# Ottosson 2020, "A perceptual color space for image processing", table of test pairs, printed to three decimals.
OTTOSSON: tuple[tuple[Triple, Triple], ...] = (
    ((0.950, 1.000, 1.089), (1.000, 0.000, 0.000)),
    ((1.000, 0.000, 0.000), (0.450, 1.236, -0.019)),
    ((0.000, 1.000, 0.000), (0.922, -0.671, 0.263)),
    ((0.000, 0.000, 1.000), (0.153, -1.415, -0.449)),
)


@pytest.mark.parametrize(("xyz", "published"), OTTOSSON)
def test_published_table(xyz: Triple, published: Triple) -> None:
    """OKLab of the author's four XYZ colours equals his table to its three decimals."""
    assert oklab_from_xyz(xyz) == pytest.approx(published, abs=6e-4)


def test_two_ways_to_oklab_agree() -> None:
    """From linear sRGB and through XYZ the same OKLab comes out, within the rounding of the published matrices."""
    assert all(oklab(c) == pytest.approx(oklab_from_xyz(xyz_from_hex(c)), abs=3e-4) for c in COLOURS)


def test_outside_implementation_agrees() -> None:
    """colour-science gives the same OKLab within the rounding of its sRGB matrix."""
    colour = pytest.importorskip("colour")
    expected = colour.XYZ_to_Oklab(colour.sRGB_to_XYZ(np.array([rgb_from_hex(c) for c in COLOURS]) / 255))
    assert np.abs(np.array([oklab(c) for c in COLOURS]) - expected).max() < 4e-4


def test_colours_inside_srgb_come_back() -> None:
    """OKLCH and back is the identity on 8-bit colours: nothing inside sRGB is cut."""
    assert [hex_from_oklch(*oklch(c)) for c in COLOURS] == COLOURS


@pytest.mark.parametrize("colour", ["#b3202c", "#23479e", "#f0b323", "#1f4d36", "#5a3b8c", "#ff00ff", "#00ffff"])
@pytest.mark.parametrize("light", [0.15, 0.3, 0.45, 0.6, 0.75, 0.9])
def test_moving_lightness_keeps_lightness_and_hue(colour: str, light: float) -> None:
    """A colour moved to a lightness arrives there with its hue; only chroma gives way."""
    _, chroma, hue = oklch(colour)
    got_light, got_chroma, got_hue = oklch(hex_from_oklch(light, chroma, hue))
    assert got_light == pytest.approx(light, abs=0.006)
    assert got_chroma <= chroma + 0.006
    across = 2 * got_chroma * math.sin(math.radians(got_hue - hue) / 2)
    assert abs(across) < 0.008


def test_ends_of_lightness() -> None:
    """Lightness 0 or less is black, 1 or more is white, whatever the chroma."""
    assert hex_from_oklch(0, 0.2, 30) == "#000000"
    assert hex_from_oklch(-1, 0.2, 30) == "#000000"
    assert hex_from_oklch(1, 0.2, 30) == "#ffffff"
    assert hex_from_oklch(2, 0.2, 30) == "#ffffff"


def test_arrays_equal_strings() -> None:
    """The array version gives the same OKLab, and its inverse comes back to linear light."""
    linear = np.array([linear_from_hex(c) for c in COLOURS])
    coordinates = arrays.oklab(linear)
    assert np.abs(coordinates - [oklab(c) for c in COLOURS]).max() < 1e-9
    assert np.abs(arrays.linear_from_oklab(coordinates) - linear).max() < 1e-5


@pytest.mark.filterwarnings("ignore:.*simulation of tritanomaly is based on:Warning")
@pytest.mark.parametrize(
    ("deficiency", "name"), [("protan", "Protanomaly"), ("deutan", "Deuteranomaly"), ("tritan", "Tritanomaly")]
)
def test_matrices_of_outside_implementation(deficiency: Deficiency, name: str) -> None:
    """The three matrices are those of Machado, Oliveira, Fernandes 2009 at severity 1, as colour-science holds them."""
    blindness = pytest.importorskip("colour.blindness")
    assert np.abs(np.array(MATRICES[deficiency]) - blindness.matrix_cvd_Machado2009(name, 1.0)).max() < 2e-6


def test_greys_look_the_same_to_everyone() -> None:
    """Rows of the matrices sum to 1, so greys stay as they are."""
    greys = ["#000000", "#333333", "#808080", "#cccccc", "#ffffff"]
    assert [[simulate(g, d) for d in MATRICES] for g in greys] == [[g] * 3 for g in greys]


def test_red_and_green_come_together_for_deutan_sight() -> None:
    """A red and a green that differ widely keep less than half of it under the worst of protan and deutan sight."""
    assert worst_delta_e("#b3202c", "#1f7d36") < 30
    assert worst_delta_e("#b3202c", "#1f7d36") < worst_delta_e("#b3202c", "#2050c0")
