"""Curves through polygons stay beside them, whatever the polygon: a cutter follows every loop that a file holds."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from vectorprep.shapes.curves import cornered, fitted, on_curve

TOLERANCE, STEP, REACH = 0.02, 0.1, 0.4


def jagged(seed: int) -> np.ndarray:
    """A ring of 12 to 220 points around a circle of 5 mm, its radius off by 2, 10 or 30 %."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(12, 220))
    angles = np.sort(rng.uniform(0, 2 * np.pi, count))
    radius = 5 * (1 + rng.choice([0.02, 0.1, 0.3]) * rng.standard_normal(count)).clip(0.3, 2)
    return np.stack([radius * np.cos(angles), radius * np.sin(angles)], axis=1) + 10


@pytest.mark.parametrize("seed", range(40))
def test_no_curve_leaves_its_ring(seed: int) -> None:
    """No point of a curve is farther from the ring than the tolerance and half a step of its measuring out (distances: GEOS)."""
    ring = jagged(seed)
    line = shapely.LinearRing(ring)
    for curves in (fitted(ring, TOLERANCE, STEP), cornered(ring, TOLERANCE, STEP, REACH)):
        points = shapely.points(on_curve(curves, 16))
        assert shapely.distance(points, line).max() <= TOLERANCE + STEP / 2


def test_a_circle_takes_few_curves() -> None:
    """A circle of 5 mm is followed within the tolerance by at most eight pieces."""
    turns = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    ring = np.stack([5 * np.cos(turns), 5 * np.sin(turns)], axis=1)
    curves = fitted(ring, TOLERANCE, STEP)
    assert len(curves) <= 8
    assert np.abs(np.hypot(*on_curve(curves, 32).T) - 5).max() <= TOLERANCE
