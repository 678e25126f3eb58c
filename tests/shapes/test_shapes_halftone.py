"""Dots of a screen against the arithmetic of a round dot in a square cell."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import ndimage

from vectorprep.shapes.halftone import Screen, dots

FINE_PPI = 5080  # 0.005 mm a pixel
PLATE_PPI = 900


def diameter_mm(tone: float, lpi: float) -> float:
    """Diameter of a disc with the area of one whole dot."""
    side = round(6 * FINE_PPI / lpi)
    bits = dots(np.full((side, side), tone, np.float32), Screen(ruling_lpi=lpi, angle_deg=0.0, shape="round"), FINE_PPI, (0, 0))
    labels, _ = ndimage.label(bits)
    areas = np.bincount(labels[side // 4 : -side // 4, side // 4 : -side // 4].reshape(-1))[1:]
    return float(2 * np.sqrt(areas.max() / np.pi) * 25.4 / FINE_PPI)


def test_a_dot_of_five_per_cent_at_55_lines_is_0_117_mm() -> None:
    """Its diameter is 0.117 mm (trade value H02; arithmetic: area of a round dot in a square cell)."""
    assert diameter_mm(0.05, 55) == pytest.approx(0.117, abs=0.002)


@pytest.mark.parametrize(("lpi", "tone"), [(25.0, 0.19), (35.0, 0.373)])
def test_the_tone_at_which_a_dot_reaches_half_a_millimetre(lpi: float, tone: float) -> None:
    """At 25 lines it is 19 %, at 35 lines 37.3 % (trade value H07; arithmetic: area of a round dot in a square cell).

    Its third, 61.6 % at 45 lines, is of a disc alone in its cell; dots of this screen have met their neighbours from half tone on.
    """
    assert diameter_mm(tone, lpi) == pytest.approx(0.5, abs=0.01)


def test_65_lines_at_45_degrees_are_46_along_the_grid() -> None:
    """Measured along a row of pixels, the period of the screen is that of 46 lines (trade value H06).

    Trade press: Screen Printing magazine, 46.
    """
    side = 2048
    bits = dots(np.full((side, side), 0.4, np.float32), Screen(ruling_lpi=65, angle_deg=45, shape="round"), PLATE_PPI, (0, 0))
    power = np.abs(np.fft.rfft(bits - bits.mean(), axis=1)).mean(axis=0)
    assert int(power.argmax()) / side * PLATE_PPI == pytest.approx(46, abs=0.5)


def test_plates_are_fine_enough_for_256_tones() -> None:
    """A cell of 16 x 16 at 55 lines needs 880 dpi (trade value H03): 900 hold every tone.

    Arithmetic; trade press: a 16 x 16 cell for 255 steps.
    """
    side, steps = 720, 32
    screen = Screen(ruling_lpi=55, angle_deg=22.5)
    means = [dots(np.full((side, side), at / steps, np.float32), screen, PLATE_PPI, (0, 0)).mean() for at in range(steps + 1)]
    assert np.all(np.diff(means) > 0.5 / steps)
    assert np.abs(np.array(means) - np.arange(steps + 1) / steps).max() < 0.5 / steps


def test_bands_join() -> None:
    """A screen made in two bands is the screen made at once."""
    tone, screen = np.full((300, 200), 0.35, np.float32), Screen(ruling_lpi=45, angle_deg=22.5)
    whole = dots(tone, screen, PLATE_PPI, (7, 11))
    halves = [dots(tone[:128], screen, PLATE_PPI, (7, 11)), dots(tone[128:], screen, PLATE_PPI, (7, 139))]
    assert np.array_equal(np.concatenate(halves), whole)
