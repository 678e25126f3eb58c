"""Dots that stand alone: found whatever lies around, and outlined thinly."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorprep.recolour.dots import dots_alone
from vectorprep.recolour.keyline import DOT_SHARE, keyline_coverage


def _ring_of_dots(side: int = 300, radius: int = 110, dot: int = 5, count: int = 36) -> NDArray[np.uint8]:
    """A large disc in the middle of a ring of small ones."""
    rows, columns = np.mgrid[:side, :side] - side / 2
    alpha = np.where(np.hypot(rows, columns) < 60, np.uint8(255), np.uint8(0))
    for turn in np.linspace(0, 2 * np.pi, count, endpoint=False):
        alpha[np.hypot(rows - radius * np.sin(turn), columns - radius * np.cos(turn)) < dot] = 255
    return alpha


def test_every_dot_of_a_ring_is_found_and_the_disc_is_not() -> None:
    """All that lies outside the disc is dots, wherever on the ring."""
    alpha = _ring_of_dots()
    found = dots_alone(alpha, 15.0)
    assert found is not None
    rows, columns = np.mgrid[:300, :300] - 150
    assert np.array_equal(found, np.where(np.hypot(rows, columns) > 80, alpha, 0))


def test_larger_pieces_and_thin_long_ones_are_no_dots() -> None:
    """A disc of twice the size and a line as thin as a dot belong to the drawing."""
    assert dots_alone(_ring_of_dots(dot=16, count=12), 15.0) is None
    alpha = _ring_of_dots(count=0)
    alpha[20:24, 20:280] = 255
    assert dots_alone(alpha, 15.0) is None


def test_a_drawing_made_of_dots_has_none() -> None:
    """Where dots are most of the ink they are the drawing."""
    alpha = _ring_of_dots()
    rows, columns = np.mgrid[:300, :300] - 150
    alpha[np.hypot(rows, columns) < 80] = 0
    assert dots_alone(alpha, 15.0) is None


def test_the_outline_of_a_dot_is_thinner_and_that_of_the_rest_is_not() -> None:
    """Measured along a row through the middle: from the disc the full width, from the dot its share of it, to half a pixel."""
    width = 6.0
    alpha = _ring_of_dots(radius=120)
    row = keyline_coverage(alpha, width)[150].astype(float) / 255
    disc = row[150:230].sum() - np.count_nonzero(alpha[150, 150:230])
    dot = row[256:].sum() - np.count_nonzero(alpha[150, 256:])
    assert abs(disc - width) < 0.5
    assert abs(dot - 2 * DOT_SHARE * width) < 1.0
