"""The light of a photograph: how bright and of what cast a white surface would be in it."""

from __future__ import annotations

import numpy as np
import pytest

from vectorprep.colour.arrays import srgb8_from_linear
from vectorprep.scenes.light import Light, light_of, photographed_white

WARM = (1.0, 0.75, 0.5)
"""Light of a bulb: linear red, green, blue of a white surface in it (invented)."""


def _cloth(linear: tuple[float, ...]) -> Light:
    """The light on an even cloth of that colour, which is taken for white cloth, beside a white wall in warm light."""
    pixels = np.broadcast_to(srgb8_from_linear(np.array(linear)), (20, 20, 3))
    every = np.ones((20, 20), bool)
    return light_of(pixels, every, blank_colour="#ffffff", share=1.0, white=0.9 * np.array(WARM))


def test_white_cloth_in_warm_light_makes_white_ink_as_warm() -> None:
    """A white print has the cloth's own cast, within the bounds of what is believed."""
    made = _cloth((0.8, 0.6, 0.42)).exposure
    assert made[0] > made[1] > made[2]
    assert made == pytest.approx([0.63 * 1.25, 0.63 * 0.95, 0.63 * 0.8], rel=0.05)


def test_a_green_leaf_is_not_white_cloth_in_green_light() -> None:
    """Cloth of another hue than its blank says nothing of the light, which is then the white wall's."""
    made = _cloth((0.1, 0.4, 0.08)).exposure
    assert made[0] > made[1] > made[2]
    assert 0.6 < made[1] < 1


def test_the_white_of_a_photograph_is_its_brightest_part_unless_that_is_colourful() -> None:
    """A warm wall is the white; a lamp of pure orange beside it is only as bright as it is."""
    pixels = np.zeros((100, 100, 3), np.uint8)
    pixels[:, :5] = srgb8_from_linear(np.array(WARM))
    assert photographed_white(pixels) == pytest.approx(WARM, rel=0.02)
    pixels[:, :5] = srgb8_from_linear(np.array((1.0, 0.3, 0.0)))
    red, green, blue = photographed_white(pixels)
    assert red == green == blue


def test_a_hard_shadow_over_a_third_of_the_cloth_leaves_its_middle_in_the_light() -> None:
    """Ink where the cloth is lit keeps its brightness (a gain of 1), in the shadow it is darker."""
    pixels = np.full((30, 30, 3), 200, np.uint8)
    pixels[:10] = 60
    made = light_of(pixels, np.ones((30, 30), bool), blank_colour="#d0d0d0", share=1.0, white=np.ones(3))
    assert made.gain[25, 15] == pytest.approx(1.0, abs=0.01)
    assert made.gain[2, 15] < 0.4
