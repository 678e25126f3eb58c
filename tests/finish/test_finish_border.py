"""A sticker's border of its own edge colours: far enough everywhere, each colour that of the nearest ink."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import ndimage

from vectorprep.finish import bordered
from vectorprep.model import Raster

RED, BLUE = (200, 30, 20), (20, 60, 190)


def two_halves(side: int = 120, radius: int = 40) -> Raster:
    """A disc, red on the left and blue on the right, its rim smoothed."""
    y, x = np.mgrid[0:side, 0:side] - side / 2 + 0.5
    alpha = (np.clip(radius - np.hypot(x, y) + 0.5, 0, 1) * 255).round()
    colours = np.where(x[..., None] < 0, np.array(RED), np.array(BLUE))
    pixels = np.concatenate([(colours * alpha[..., None] / 255).round(), alpha[..., None]], axis=2)
    return Raster(pixels=pixels.astype(np.uint8), origin_px=(10, 20))


@pytest.mark.parametrize("reach", [1.0, 5.0, 24.0, 47.3])
def test_it_reaches_far_enough_and_little_farther(reach: float) -> None:
    """Opaque up to the reach from ink of half coverage, bare beyond a tenth more (distances: SciPy)."""
    art = two_halves()
    made = bordered(art, reach)
    at = art.origin_px[0] - made.origin_px[0]
    assert at == art.origin_px[1] - made.origin_px[1]
    ink = np.zeros(made.pixels.shape[:2], bool)
    ink[at : at + 120, at : at + 120] = art.pixels[..., 3] >= 128
    away = ndimage.distance_transform_edt(~ink)
    alpha = made.pixels[..., 3]
    assert (alpha[away <= reach] == 255).all()
    assert (alpha[away > reach * 1.2 + 2] == 0).all()


def test_each_side_keeps_its_own_colour() -> None:
    """Left of the disc the border is red, right of it blue; the smoothed rim shows no dark or pale line."""
    made = bordered(two_halves(), 20.0)
    middle = made.pixels[made.pixels.shape[0] // 2]
    painted = middle[middle[:, 3] == 255]
    assert len(painted) >= 80 + 2 * 20
    assert painted[0, :3] == pytest.approx(RED, abs=2)
    assert painted[-1, :3] == pytest.approx(BLUE, abs=2)
    left = painted[: len(painted) // 2 - 2, :3].astype(int)
    assert np.abs(left - np.array(RED)).max() <= 3


def test_the_art_itself_is_not_changed() -> None:
    """Opaque pixels are what they were."""
    art = two_halves()
    made = bordered(art, 8.0)
    at = art.origin_px[0] - made.origin_px[0]
    inner = made.pixels[at : at + 120, at : at + 120]
    whole = art.pixels[..., 3] == 255
    assert (inner[whole] == art.pixels[whole]).all()


def test_see_through_ink_lies_on_its_own_colour() -> None:
    """A pale veil of red over half the disc turns into full red where a cut would else show the sheet."""
    pixels = np.zeros((40, 40, 4), np.uint8)
    pixels[10:30, 10:30] = (*(channel * 150 // 255 for channel in RED), 150)
    made = bordered(Raster(pixels=pixels), 4.0)
    assert made.pixels[made.pixels.shape[0] // 2, made.pixels.shape[1] // 2, :3] == pytest.approx(RED, abs=3)
