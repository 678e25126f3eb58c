"""See-through ink in dots: tone, size of dots, no seams, colours."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import ndimage

from vectorprep.finish import Screen, screened
from vectorprep.model import Raster

MM = 300 / 25.4
FILM = Screen(cell_px=25.4 / 25 * MM, angle_deg=22.5, dot_px=0.8 * MM, gap_px=0.7 * MM)
"""25 lines per inch, dots of 0.8 mm, holes of 0.7 mm at 300 ppi (common practice, no source)."""
SCATTERED = Screen(cell_px=25.4 / 25 * MM, angle_deg=0.0, dot_px=0.8 * MM, gap_px=0.7 * MM, is_scattered=True)
FINE = Screen(cell_px=25.4 / 45 * MM, angle_deg=45.0, dot_px=2.0, gap_px=2.0)
SCREENS = {"halftone": FILM, "stipple": SCATTERED, "fine": FINE}


def flat(alpha: int, side: int = 420, colour: tuple[int, int, int] = (200, 40, 90)) -> Raster:
    """A square of one coverage."""
    pixels = np.empty((side, side, 4), np.uint8)
    pixels[..., :3] = np.array(colour) * alpha // 255
    pixels[..., 3] = alpha
    return Raster(pixels=pixels, origin_px=(7, 3))


def share(raster: Raster, margin: int) -> float:
    """Share covered, away from the border."""
    alpha = raster.pixels[margin:-margin, margin:-margin, 3]
    assert set(np.unique(alpha)) <= {0, 255}
    return float(alpha.mean()) / 255


@pytest.mark.parametrize("name", SCREENS)
@pytest.mark.parametrize("percent", [2, 5, 12, 25, 40, 49, 52, 60, 75, 90, 97])
def test_tone_holds_within_three_percent_of_area(name: str, percent: int) -> None:
    """The area that dots cover is the tone, at every step from nothing to solid."""
    alpha = round(percent * 2.55)
    made = screened(flat(alpha, 600), SCREENS[name])
    assert share(made, 60) == pytest.approx(alpha / 255, abs=0.03)


@pytest.mark.parametrize("name", SCREENS)
def test_a_ramp_keeps_its_tone_all_along(name: str) -> None:
    """A fade from nothing to solid over 127 mm, in steps of a twentieth."""
    pixels = np.zeros((480, 1500, 4), np.uint8)
    pixels[..., 3] = np.linspace(0, 255, 1500).round().astype(np.uint8)
    made = screened(Raster(pixels=pixels), SCREENS[name])
    margin = -made.origin_px[0]
    alpha = made.pixels[margin:-margin, margin:-margin, 3].astype(np.float64) / 255
    for left in range(0, 1500, 75):
        wanted = pixels[0, left : left + 75, 3].mean() / 255
        assert alpha[40:-40, left : left + 75].mean() == pytest.approx(wanted, abs=0.03)


@pytest.mark.parametrize("name", SCREENS)
@pytest.mark.parametrize("percent", [3, 20, 35, 48])
def test_no_dot_is_smaller_than_the_least(name: str, percent: int) -> None:
    """Every separate dot has at least the area of the least one, those that reach over the edge too."""
    made = screened(flat(round(2.55 * percent)), SCREENS[name])
    labels, many = ndimage.label(made.pixels[..., 3] > 0, np.ones((3, 3)))
    areas = ndimage.sum_labels(np.ones_like(labels), labels, np.arange(1, many + 1))
    assert many > 3
    assert 2 * math.sqrt(areas.min() / math.pi) >= SCREENS[name].dot_px


@pytest.mark.parametrize("percent", [60, 80, 96])
def test_no_hole_is_smaller_than_the_least(percent: int) -> None:
    """The same of the holes, inside the area."""
    made = screened(flat(round(2.55 * percent), 600), FILM)
    labels, many = ndimage.label(made.pixels[..., 3] == 0)
    edge = set(np.unique(np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])))
    inner = [n for n in range(1, many + 1) if n not in edge]
    boxes = ndimage.find_objects(labels)
    safe = [n for n in inner if min(s.start for s in boxes[n - 1]) > 60 and max(s.stop for s in boxes[n - 1]) < 560]
    areas = ndimage.sum_labels(np.ones_like(labels), labels, safe)
    assert len(safe) > 3
    assert 2 * math.sqrt(areas.min() / math.pi) >= FILM.gap_px


@pytest.mark.parametrize("name", SCREENS)
def test_a_part_has_the_dots_of_the_whole(name: str) -> None:
    """Dots belong to the canvas: cut in two, the picture shows no seam."""
    whole = flat(76, 700)
    part = Raster(pixels=whole.pixels[200:], origin_px=(7, 203))
    first, second = screened(whole, SCREENS[name]), screened(part, SCREENS[name])
    down = second.origin_px[1] - first.origin_px[1]
    assert np.array_equal(first.pixels[down + 100 : -100, 100:-100], second.pixels[100:-100, 100:-100])


def test_flat_tone_shows_no_streaks() -> None:
    """Bands of two cells' width, in either direction, hold the same share of ink within a tenth of it."""
    made = screened(flat(64, 900), FILM)
    alpha = made.pixels[60:-60, 60:-60, 3].astype(np.float64) / 255
    wide = round(4 * FILM.pitch_px)
    for turned in (alpha, alpha.T):
        means = [turned[top : top + wide].mean() for top in range(0, len(turned) - wide, wide)]
        assert max(means) - min(means) < 0.1 * 0.25


def test_solid_ink_and_smooth_edges_are_no_tone() -> None:
    """A disc with smoothed edges stays a disc: nothing of it becomes dots."""
    y, x = np.mgrid[0:200, 0:200]
    pixels = np.zeros((200, 200, 4), np.uint8)
    pixels[...] = (np.clip(80.5 - np.hypot(x - 100, y - 100), 0, 1) * 255).round().astype(np.uint8)[..., None]
    made = screened(Raster(pixels=pixels), FILM)
    margin = -made.origin_px[0]
    inner = made.pixels[margin:-margin, margin:-margin, 3]
    assert np.array_equal(inner > 0, pixels[..., 3] >= 128)


def test_dots_have_the_full_colour_of_what_they_stand_for() -> None:
    """A red at a tenth of its strength gives dots of that red, the faintest part included."""
    made = screened(flat(26, colour=(240, 20, 20)), FILM)
    inked = made.pixels[made.pixels[..., 3] == 255][:, :3].astype(int)
    assert np.abs(inked - np.array([240, 20, 20])).max() <= 12
