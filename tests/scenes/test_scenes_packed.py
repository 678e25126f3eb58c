"""Pixels and coordinates that are kept packed."""

from __future__ import annotations

import numpy as np
import pytest

from vectorprep.scenes.curves import curves
from vectorprep.scenes.packed import as_it_is, packed

RNG = np.random.default_rng(4)
EVEN = np.repeat(RNG.integers(0, 256, (700, 4, 3), np.uint8), 300, axis=1)
GRAIN = RNG.integers(0, 256, (40, 50, 3), np.uint8)


@pytest.mark.parametrize("array", [EVEN, EVEN[..., 0], GRAIN])
def test_what_is_unpacked_is_what_was_packed(array: np.ndarray) -> None:
    """Whole, by rows across the seams of the parts, and by boxes, of even layers and of grain."""
    kept = packed(array)
    assert np.array_equal(kept.rows(), array)
    assert np.array_equal(kept.rows(3, 39), array[3:39])
    assert np.array_equal(kept.box((5, 1, 41, 33)), array[1:33, 5:41])


def test_even_layers_take_little_and_grain_is_left_as_it_is() -> None:
    """Packing is for layers that are worth it."""
    assert packed(EVEN).nbytes < EVEN.nbytes / 20
    assert packed(GRAIN).is_open
    assert packed(GRAIN).nbytes == GRAIN.nbytes
    assert as_it_is(EVEN).is_open


def test_coordinates_come_back_within_a_hundredth() -> None:
    """A curved plane with holes keeps its numbers within 1/128; holes lie far below zero."""
    down, across = np.mgrid[0:60, 0:900].astype(np.float64)
    plane = 3000 * np.arcsin(across / 900) + 0.3 * down + np.sin(across / 40)
    plane[10:20, 100:200] = np.nan
    numbers = curves(plane).numbers()
    seen = np.isfinite(plane)
    assert np.abs(numbers - plane)[seen].max() < 0.0079
    assert numbers[~seen].max() < -1000
    assert curves(plane).nbytes < plane.nbytes / 20
