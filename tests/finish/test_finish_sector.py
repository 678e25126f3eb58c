"""Pictures bent into the side of a tapered cup."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from scipy import ndimage

from vectorprep.finish import Wrap, bent, halved
from vectorprep.model import Raster, Taper

CUP = Taper(top_diameter_mm=88.0, bottom_diameter_mm=70.0, height_mm=150.0)
PX_PER_MM = 8.0
CANVAS = (2240, 1320)
MIDDLE = (1120.0, 16.0)
WRAP = Wrap(taper=CUP, middle_px=MIDDLE, px_per_mm=PX_PER_MM)


def dots(columns: range, rows: range, radius: int = 6) -> Raster:
    """Opaque discs whose centres lie at whole pixels of the canvas."""
    pixels = np.zeros((CANVAS[1], CANVAS[0], 4), np.uint8)
    y, x = np.mgrid[: CANVAS[1], : CANVAS[0]]
    for column in columns:
        for row in rows:
            pixels[np.hypot(x + 0.5 - column, y + 0.5 - row) <= radius] = (200, 40, 40, 255)
    return Raster(pixels=pixels)


def centres(raster: Raster) -> list[tuple[float, float]]:
    """Weighted middles of separate parts on the canvas, px, by SciPy's labels."""
    alpha = raster.pixels[..., 3].astype(float)
    labels, count = ndimage.label(alpha > 20)
    found = ndimage.center_of_mass(alpha, labels, range(1, count + 1))
    return [(x + 0.5 + raster.origin_px[0], y + 0.5 + raster.origin_px[1]) for y, x in found]


def on_the_cup(x_px: float, y_px: float) -> tuple[float, float, float]:
    """A point of the paper rolled up again: direction around the cup (rad), distance from its axis and height below its top, mm.

    Arithmetic of the cone itself: the paper's tip lies on the axis, and the whole turn of the sector is once around.
    """
    half_angle = math.atan((88 - 70) / 2 / 150)
    tip_mm = 44 / math.sin(half_angle)
    across, up = (x_px - MIDDLE[0]) / PX_PER_MM, tip_mm - (y_px - MIDDLE[1]) / PX_PER_MM
    from_tip = math.hypot(across, up)
    around = math.atan2(across, up) / math.sin(half_angle)
    return around, from_tip * math.sin(half_angle), (tip_mm - from_tip) * math.cos(half_angle)


def test_the_sector_is_a_ring_of_the_cup_s_own_area_and_edges() -> None:
    """Arcs are as long as the cup is round; area and box agree with shapely's ring sector and the frustum's lateral area.

    Source: lateral area of a frustum, pi (r1 + r2) s (geometry); shapely.
    """
    assert CUP.outer_radius_mm * CUP.angle_rad == pytest.approx(math.pi * 88)
    assert CUP.inner_radius_mm * CUP.angle_rad == pytest.approx(math.pi * 70)
    turns = np.linspace(-CUP.angle_rad / 2, CUP.angle_rad / 2, 2001)
    rim = [(radius * math.sin(turn), -radius * math.cos(turn)) for radius, turn in ((CUP.outer_radius_mm, turn) for turn in turns)]
    base = [(CUP.inner_radius_mm * math.sin(turn), -CUP.inner_radius_mm * math.cos(turn)) for turn in turns[::-1]]
    sector = shapely.Polygon([*rim, *base])
    assert sector.area == pytest.approx(math.pi * (44 + 35) * math.hypot(150, 9), rel=1e-6)
    x0, y0, x1, y1 = sector.bounds
    assert CUP.box_mm() == pytest.approx((x1 - x0, y1 - y0), abs=1e-6)


@pytest.mark.parametrize("point", [(0.0, 0.0), (60.0, 20.0), (-105.0, 150.0), (3.0, 149.0)])
def test_there_and_back_on_the_cup(point: tuple[float, float]) -> None:
    """The sector's map and its reverse undo each other (arithmetic)."""
    assert CUP.on_cup(*CUP.on_sector(*point)) == pytest.approx(point, abs=1e-9)


def test_widths_heights_and_levels_are_true_on_the_cup() -> None:
    """Discs in a grid come back, on the cone, at their distances around and down it, within a tenth of a pixel."""
    columns, rows = range(320, 1921, 200), range(120, 1121, 250)
    raster = dots(columns, rows)
    found = [on_the_cup(*centre) for centre in centres(bent(raster, WRAP, CANVAS))]
    wanted = [((column - MIDDLE[0]) / PX_PER_MM, (row - MIDDLE[1]) / PX_PER_MM) for column in columns for row in rows]
    assert len(found) == len(wanted)
    slant_per_height = math.hypot(150, 9) / 150
    for x, y in wanted:
        nearest = min(math.hypot(around * radius - x, height * slant_per_height - y) for around, radius, height in found)
        assert nearest < 0.1 / PX_PER_MM


def test_area_is_kept_and_colours_too() -> None:
    """Full ink stays full, and covers as much of the paper within two parts in a thousand (Bonne's map keeps areas)."""
    pixels = np.zeros((700, 1400, 4), np.uint8)
    pixels[...] = (200, 40, 40, 255)
    made = bent(Raster(pixels=pixels, origin_px=(420, 300)), WRAP, CANVAS).pixels
    assert made[..., 3].sum() / 255 == pytest.approx(700 * 1400, rel=0.002)
    assert (made[made[..., 3] == 255][:, :3] == (200, 40, 40)).all()
    assert (made[..., :3] <= made[..., 3:]).all()


def test_the_middle_is_not_moved() -> None:
    """On the line opposite the seam nothing moves."""
    raster = dots(range(1120, 1121), range(200, 1201, 500))
    moved = np.array(sorted(centres(bent(raster, WRAP, CANVAS)))) - np.array(sorted(centres(raster)))
    assert np.abs(moved).max() < 0.05


@pytest.mark.parametrize(("x", "y"), [(10, 20), (11, 21), (11, 20)])
def test_a_raster_of_twice_the_size_is_halved_in_place(x: int, y: int) -> None:
    """Odd corners and sizes keep their place: each pixel is the mean of its four on a whole canvas (NumPy), within a level."""
    pixels = np.random.default_rng(3).integers(0, 256, (31, 25, 4), np.uint8)
    canvas = np.zeros((80, 60, 4))
    canvas[y : y + 31, x : x + 25] = pixels
    wanted = canvas.reshape(40, 2, 30, 2, 4).mean(axis=(1, 3))
    made = halved(Raster(pixels=pixels, origin_px=(x, y)))
    left, top = made.origin_px
    height, width = made.pixels.shape[:2]
    assert np.abs(made.pixels - wanted[top : top + height, left : left + width]).max() <= 1
    wanted[top : top + height, left : left + width] = 0
    assert wanted.max() == 0
