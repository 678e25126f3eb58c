"""Where a point of the print area lies on the picture, and back."""

from __future__ import annotations

import math

import numpy as np
import pytest

from vectorprep.geometry import Affine
from vectorprep.model import SceneRecord
from vectorprep.scenes.outline import area_of
from vectorprep.scenes.surface import Surface, surface_of

PAGE = (2000.0, 2000.0)
FLAT = SceneRecord(products=("a",), kind="photograph")
INNER = np.linspace(0.02, 0.98, 13)
U, V = np.meshgrid(INNER, INNER)


def _surface(path: str, record: SceneRecord = FLAT, *, wrap_deg: float | None = None) -> Surface:
    return surface_of(area_of(path, Affine(), "area", PAGE), record, wrap_deg=wrap_deg)


def test_a_quadrilateral_is_the_homography_that_another_method_finds() -> None:
    """Grid points agree with the direct linear solution (Hartley and Zisserman, section 4.1) by singular values."""
    corners = np.array([[310.0, 220.0], [1480.0, 460.0], [1390.0, 1700.0], [420.0, 1510.0]])
    unit = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    rows = []
    for (u, v), (x, y) in zip(unit, corners, strict=True):
        rows += [[u, v, 1, 0, 0, 0, -x * u, -x * v, -x], [0, 0, 0, u, v, 1, -y * u, -y * v, -y]]
    solved = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    points = solved @ np.stack([U.ravel(), V.ravel(), np.ones(U.size)])
    x, y = _surface("M310 220 L1480 460 L1390 1700 L420 1510 Z").to_page(U, V)
    assert np.abs(x.ravel() - points[0] / points[2]).max() < 1e-6
    assert np.abs(y.ravel() - points[1] / points[2]).max() < 1e-6


@pytest.mark.parametrize(
    "path",
    [
        "M300 200 H1500 V1800 H300 Z",
        "M310 220 L1480 460 L1390 1700 L420 1510 Z",
        "M300 300 C600 420 1200 420 1500 300 L1450 1700 C1200 1850 600 1850 350 1700 Z",
        "M300 300 C600 220 1200 420 1500 300 C1560 700 1400 1300 1450 1700 C1200 1650 600 1850 350 1700 C250 1300 380 700 300 300Z",
    ],
)
def test_there_and_back_is_the_same_point(path: str) -> None:
    """Straight, slanting and curved areas are undone to a hundredth of a pixel."""
    surface = _surface(path)
    u, v = surface.from_page(*surface.to_page(U, V))
    assert np.abs(u - U).max() * 1200 < 0.01
    assert np.abs(v - V).max() * 1600 < 0.01


def test_sides_and_corners_of_a_curved_area_lie_on_its_path() -> None:
    """Points of the top side lie on the cubic that was drawn (Bernstein form, computed here), corners exactly on its ends."""
    surface = _surface("M300 300 C600 420 1200 420 1500 300 L1450 1700 C1200 1850 600 1850 350 1700 Z")
    t = np.linspace(0, 1, 20001)
    curve_y = 300 * (1 - t) ** 3 + 420 * 3 * (1 - t) ** 2 * t + 420 * 3 * (1 - t) * t**2 + 300 * t**3
    curve_x = 300 * (1 - t) ** 3 + 600 * 3 * (1 - t) ** 2 * t + 1200 * 3 * (1 - t) * t**2 + 1500 * t**3
    x, y = surface.to_page(np.linspace(0, 1, 41), np.zeros(41))
    apart = np.hypot(x[:, None] - curve_x[None], y[:, None] - curve_y[None]).min(axis=1)
    assert apart.max() < 0.1
    for u, v, corner in ((0, 0, (300, 300)), (1, 0, (1500, 300)), (1, 1, (1450, 1700)), (0, 1, (350, 1700))):
        x, y = surface.to_page(np.array([float(u)]), np.array([float(v)]))
        assert (x[0], y[0]) == pytest.approx(corner, abs=1e-6)


def test_a_cylinder_is_its_analytic_projection() -> None:
    """A point at the angle a from the viewer lies at r sin a across, and its circle, seen from above by e, at e r cos a down."""
    radius, lift, first, last, turn, wrap = 500.0, 60.0, -70.0, 55.0, 20.0, 300.0
    a, b = math.radians(first), math.radians(last)
    x0, x1 = 1000 + radius * math.sin(a), 1000 + radius * math.sin(b)
    y0, y1 = 400 + lift * math.cos(a), 400 + lift * math.cos(b)
    arc = f"A{radius} {lift} 0 0 0 {x1} {y1} V{y1 + 900} A{radius} {lift} 0 0 1 {x0} {y0 + 900} Z"
    record = SceneRecord(products=("a",), kind="drawing", area="cylinder", angles_deg=(first, last), turn_deg=turn, wrap_deg=wrap)
    surface = _surface(f"M{x0} {y0} {arc}", record)
    angle = np.radians(np.linspace(first + 0.5, last - 0.5, 101))
    u = (angle - math.radians(turn)) / math.radians(wrap) + 0.5
    for v in (0.0, 0.4, 1.0):
        x, y = surface.to_page(u, np.full_like(u, v))
        assert np.abs(x - (1000 + radius * np.sin(angle))).max() < 0.1
        assert np.abs(y - (400 + lift * np.cos(angle) + 900 * v)).max() < 0.1
        back_u, back_v = surface.from_page(x, y)
        assert np.abs(back_u - u).max() < 1e-5
        assert np.abs(back_v - v).max() < 1e-5


def test_a_cone_is_its_analytic_projection() -> None:
    """A point at the angle a lies at r(v) sin a across and e r(v) cos a down; widths along circles are those of the print."""
    top, narrowing, lift, high, side = 500.0, 0.8, 0.12, 900.0, math.radians(80)
    x, y = top * math.sin(side), lift * top * math.cos(side)
    path = (
        f"M{1000 - x} {400 + y} A{top} {lift * top} 0 0 0 {1000 + x} {400 + y} L{1000 + narrowing * x} {400 + high + narrowing * y}"
        f" A{narrowing * top} {narrowing * lift * top} 0 0 1 {1000 - narrowing * x} {400 + high + narrowing * y} Z"
    )
    record = SceneRecord(products=("a",), kind="drawing", area="cylinder", angles_deg=(-80, 80))
    area = area_of(path, Affine(), "area", PAGE)
    surface = surface_of(area, record, wrap_deg=360 * narrowing, narrowing=narrowing)
    around = 2 * math.pi * narrowing * top  # the print area is as wide as the cup is round at its bottom
    u = np.linspace(0.5 - 0.2, 0.5 + 0.2, 81)
    for v in (0.0, 0.3, 1.0):
        radius = top * (1 - (1 - narrowing) * v)
        angle = (u - 0.5) * around / radius
        across, down = surface.to_page(u, np.full_like(u, v))
        assert np.abs(across - (1000 + radius * np.sin(angle))).max() < 0.1
        assert np.abs(down - (400 + lift * radius * np.cos(angle) + high * v)).max() < 0.1
        back_u, back_v = surface.from_page(across, down)
        assert np.abs(back_u - u).max() < 1e-5
        assert np.abs(back_v - v).max() < 1e-5


def test_what_looks_away_from_the_viewer_is_not_seen() -> None:
    """A wrap around a cup shows only what lies before its sides."""
    record = SceneRecord(products=("a",), kind="drawing", area="cylinder", angles_deg=(-80.0, 80.0))
    surface = _surface("M500 300 H1500 V1500 H500 Z", record, wrap_deg=302.0)
    x, _ = surface.to_page(np.array([0.05, 0.5, 0.95]), np.full(3, 0.5))
    assert np.isnan(x).tolist() == [True, False, True]
    assert x[1] == pytest.approx(1000)
