"""CIEDE2000 against its published test data and an outside implementation."""

from __future__ import annotations

import itertools
import random

import numpy as np
import pytest

from vectorprep.colour import arrays, ciede2000, delta_e_2000

Lab = tuple[float, float, float]

# Sharma, Wu, Dalal, Color Res. Appl. 30:21-30, 2005, table 1, in the published order.
SHARMA: tuple[tuple[Lab, Lab, float], ...] = (
    ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
    ((50.0, 3.1571, -77.2803), (50.0, 0.0, -82.7485), 2.8615),
    ((50.0, 2.8361, -74.02), (50.0, 0.0, -82.7485), 3.4412),
    ((50.0, -1.3802, -84.2814), (50.0, 0.0, -82.7485), 1.0),
    ((50.0, -1.1848, -84.8006), (50.0, 0.0, -82.7485), 1.0),
    ((50.0, -0.9009, -85.5211), (50.0, 0.0, -82.7485), 1.0),
    ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
    ((50.0, -1.0, 2.0), (50.0, 0.0, 0.0), 2.3669),
    ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0009), 7.1792),
    ((50.0, 2.49, -0.001), (50.0, -2.49, 0.001), 7.1792),
    ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0011), 7.2195),
    ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0012), 7.2195),
    ((50.0, -0.001, 2.49), (50.0, 0.0009, -2.49), 4.8045),
    ((50.0, -0.001, 2.49), (50.0, 0.001, -2.49), 4.8045),
    ((50.0, -0.001, 2.49), (50.0, 0.0011, -2.49), 4.7461),
    ((50.0, 2.5, 0.0), (50.0, 0.0, -2.5), 4.3065),
    ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
    ((50.0, 2.5, 0.0), (61.0, -5.0, 29.0), 22.8977),
    ((50.0, 2.5, 0.0), (56.0, -27.0, -3.0), 31.903),
    ((50.0, 2.5, 0.0), (58.0, 24.0, 15.0), 19.4535),
    ((50.0, 2.5, 0.0), (50.0, 3.1736, 0.5854), 1.0),
    ((50.0, 2.5, 0.0), (50.0, 3.2972, 0.0), 1.0),
    ((50.0, 2.5, 0.0), (50.0, 1.8634, 0.5757), 1.0),
    ((50.0, 2.5, 0.0), (50.0, 3.2592, 0.335), 1.0),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.263),
    ((61.2901, 3.7196, -5.3901), (61.4292, 2.248, -4.962), 1.8731),
    ((35.0831, -44.1164, 3.7933), (35.0232, -40.0716, 1.5901), 1.8645),
    ((22.7233, 20.0904, -46.694), (23.0331, 14.973, -42.5619), 2.0373),
    ((36.4612, 47.858, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    ((90.8027, -2.0831, 1.441), (91.1528, -1.6435, 0.0447), 1.4441),
    ((90.9257, -0.5406, -0.9208), (88.6381, -0.8985, -0.7239), 1.5381),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.135), (0.9033, -0.0636, -0.5514), 0.9082),
)


@pytest.mark.parametrize(("first", "second", "published"), SHARMA)
def test_published_pairs(first: Lab, second: Lab, published: float) -> None:
    """Every one of the 34 published pairs comes out to the four decimals printed, in both orders."""
    assert ciede2000(first, second) == pytest.approx(published, abs=5.1e-5)
    assert ciede2000(second, first) == pytest.approx(published, abs=5.1e-5)


def test_arrays_equal_published_pairs() -> None:
    """The array version gives the same 34 values in one call."""
    first, second = np.array([row[0] for row in SHARMA]), np.array([row[1] for row in SHARMA])
    assert np.abs(arrays.delta_e_2000(first, second) - [row[2] for row in SHARMA]).max() < 5.1e-5


def test_outside_implementation_agrees() -> None:
    """On 2,000 random pairs of Lab colours colour-science 0.4 gives the same difference."""
    science = pytest.importorskip("colour.difference")
    rng = np.random.default_rng(7)
    low, high = (0, -90, -90), (100, 90, 90)
    first, second = rng.uniform(low, high, (2000, 3)), rng.uniform(low, high, (2000, 3))
    expected = science.delta_E(first, second, method="CIE 2000")
    assert np.abs(arrays.delta_e_2000(first, second) - expected).max() < 1e-9
    ours = [ciede2000(tuple(a), tuple(b)) for a, b in zip(first.tolist(), second.tolist(), strict=True)]
    assert np.abs(np.array(ours) - expected).max() < 1e-9


def test_symmetric_zero_and_hundred() -> None:
    """Equal colours differ by 0, black and white by 100, and order does not matter."""
    picked = random.Random(3)
    colours = [f"#{picked.randrange(1 << 24):06x}" for _ in range(40)]
    assert all(delta_e_2000(c, c) == 0 for c in colours)
    assert delta_e_2000("#000000", "#ffffff") == pytest.approx(100, abs=1e-6)
    assert all(delta_e_2000(a, b) == pytest.approx(delta_e_2000(b, a)) for a, b in itertools.pairwise(colours))
