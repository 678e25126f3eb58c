"""Keylines: even, round, antialiased, holes filled, artwork on top."""

from __future__ import annotations

import time

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from vectorprep.recolour import keyline_raster
from vectorprep.recolour.keyline import keyline_coverage

Bytes = NDArray[np.uint8]
FINE = 8


def _drawn(shape: str, size: int = 160) -> Bytes:
    """Coverage of a shape, antialiased from 8 x 8 samples a pixel."""
    return np.asarray(Image.fromarray(_samples(shape, size)).reduce(FINE))


def _samples(shape: str, size: int) -> Bytes:
    picture = Image.new("L", (size * FINE, size * FINE))
    pen = ImageDraw.Draw(picture)
    s = size * FINE
    if shape == "disc":
        pen.ellipse((0.3 * s, 0.3 * s, 0.7 * s, 0.7 * s), fill=255)
    elif shape == "slanted":
        pen.polygon([(0.25 * s, 0.4 * s), (0.7 * s, 0.27 * s), (0.75 * s, 0.6 * s), (0.3 * s, 0.73 * s)], fill=255)
    elif shape == "needle":
        pen.polygon([(0.2 * s, 0.48 * s), (0.8 * s, 0.5 * s), (0.2 * s, 0.52 * s)], fill=255)
    else:
        pen.rectangle((0.3 * s, 0.3 * s, 0.7 * s, 0.7 * s), fill=255)
    return np.array(picture)


def _distance_to(samples: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Distance of each pixel's centre to the samples, in px, by an exact distance transform on the fine grid."""
    ndimage = pytest.importorskip("scipy.ndimage")
    far: NDArray[np.float64] = ndimage.distance_transform_edt(~samples) / FINE
    return far[FINE // 2 :: FINE, FINE // 2 :: FINE]


def _distance_to_shape(shape: str, size: int = 160) -> NDArray[np.float64]:
    """Distance to all of the shape."""
    return _distance_to(_samples(shape, size) > 0)


def _distance_to_solid(shape: str, size: int = 160) -> NDArray[np.float64]:
    """Distance to the shape without slivers that cover less than half of every pixel: their ends are uncertain."""
    ndimage = pytest.importorskip("scipy.ndimage")
    solid = ndimage.binary_dilation(_drawn(shape, size) >= 128)
    return _distance_to(np.kron(solid, np.ones((FINE, FINE), bool)) & (_samples(shape, size) > 0))


@pytest.mark.parametrize("shape", ["disc", "slanted", "needle", "square"])
@pytest.mark.parametrize("width_px", [5.0, 7.087, 11.3, 13.0, 17.5, 30.0])
def test_width_is_even_within_a_tenth(shape: str, width_px: float) -> None:
    """Pixels nearer than 0.9 widths are covered and pixels beyond 1.1 widths bare, whatever the direction (scipy's transform)."""
    covered = keyline_coverage(_drawn(shape), width_px)
    slack = 0.1 * width_px
    assert covered[_distance_to_solid(shape) < width_px - slack].min() >= 128
    assert covered[_distance_to_shape(shape) > width_px + slack].max() <= 127


@pytest.mark.parametrize("width_px", [7.087, 17.5])
def test_edge_runs_at_the_width(width_px: float) -> None:
    """The covered area equals that of the shape grown by the width, within 1 % (pi r squared for a disc)."""
    covered = keyline_coverage(_drawn("disc"), width_px)
    assert covered.sum() / 255 == pytest.approx(np.pi * (0.2 * 160 + width_px) ** 2, rel=0.01)


def test_edge_is_smooth() -> None:
    """Around a disc the rim has pixels of many partial coverages: it is antialiased."""
    covered = keyline_coverage(_drawn("disc"), 7.087)
    assert len(np.unique(covered)) > 10
    assert np.count_nonzero((covered > 16) & (covered < 239)) > 150


def test_no_spikes_at_sharp_tips() -> None:
    """At the tip of a needle the outline is round: nothing reaches farther than the width."""
    covered = keyline_coverage(_drawn("needle"), 9.0)
    assert covered[_distance_to_shape("needle") > 10.0].max() == 0


@pytest.mark.parametrize(("hole_px", "is_filled"), [(12, True), (26, False)])
def test_holes_narrower_than_twice_the_width_are_filled(hole_px: int, is_filled: bool) -> None:
    """A slit below twice the width closes, a wider one stays open in its middle."""
    alpha = np.full((80, 120), 255, np.uint8)
    alpha[:, 60 - hole_px // 2 : 60 + hole_px // 2] = 0
    covered = keyline_coverage(alpha, 7.0)
    assert (covered[40, 60] == 255) == is_filled


def test_artwork_lies_over_its_outline() -> None:
    """Opaque pixels keep their colour, soft edges mix with the outline beneath, the raster grows by the rounded-up width."""
    pixels = np.zeros((20, 20, 4), np.uint8)
    pixels[8:12, 8:12] = (200, 0, 0, 255)
    pixels[12, 8:12] = (100, 0, 0, 128)
    result = keyline_raster(pixels, 3.2, "#ffffff")
    assert result.shape == (28, 28, 4)
    assert (result[12:16, 12:16] == (200, 0, 0, 255)).all()
    assert (result[16, 13] == (227, 127, 127, 255)).all()
    assert (result[10, 13] == (255, 255, 255, 255)).all()
    assert not result[0, 0].any()


def test_result_is_premultiplied() -> None:
    """No channel exceeds its alpha."""
    alpha = _drawn("slanted")
    pixels = np.stack([alpha // 3, alpha // 2, alpha, alpha], axis=-1)
    result = keyline_raster(pixels, 6.3, "#fafaf8")
    assert (result[..., :3] <= result[..., 3:]).all()


def test_soft_shadow_gets_no_outline() -> None:
    """Ink fading out below half coverage is no edge: the outline follows the solid ink only."""
    alpha = np.zeros((60, 120), np.uint8)
    alpha[20:40, 20:40] = 255
    alpha[20:40, 40:100] = np.linspace(100, 0, 60).astype(np.uint8)
    covered = keyline_coverage(alpha, 4.0)
    assert covered[30, 60] == 0
    assert covered[30, 42] == 255


def test_pale_wash_gets_an_outline() -> None:
    """A drawing that is faint all over is outlined at its rim."""
    alpha = np.zeros((60, 60), np.uint8)
    alpha[20:40, 20:40] = 80
    assert keyline_coverage(alpha, 4.0)[17, 30] > 200


def test_see_through_ink_is_not_underlaid() -> None:
    """Half-covering ink keeps its half cover inside; only its rim gets the outline."""
    pixels = np.zeros((60, 60, 4), np.uint8)
    pixels[20:40, 20:40] = (0, 0, 0, 140)
    result = keyline_raster(pixels, 4.0, "#ffffff")
    assert tuple(result[34, 34]) == (0, 0, 0, 140)
    assert tuple(result[34, 22]) == (255, 255, 255, 255)


def test_nothing_stays_nothing() -> None:
    """An empty raster gets no outline."""
    assert not keyline_raster(np.zeros((30, 30, 4), np.uint8), 5, "#000000").any()


def test_print_size_takes_under_a_third_of_a_second() -> None:
    """3300 x 3300 px of ink take less than 0.3 s of CPU for 0.6 mm at 300 ppi; twice that is allowed on a busy machine."""
    picture = Image.new("L", (3300, 3300))
    pen = ImageDraw.Draw(picture)
    for k in range(12):
        pen.ellipse((k * 270, k * 200, k * 270 + 900, k * 200 + 700), outline=255, width=40)
    alpha = np.asarray(picture)
    pixels = np.stack([alpha // 2] * 3 + [alpha], axis=-1)
    spent = []
    for _ in range(3):
        start = time.process_time()
        keyline_raster(pixels, 7.087, "#fafaf8")
        spent.append(time.process_time() - start)
    assert min(spent) < 0.6


def test_a_large_outline_has_no_spikes_where_its_tiles_meet() -> None:
    """On a picture of many tiles the outline is that of the coverage alone, pixel by pixel: no tile sees its neighbour's paint."""
    rows, columns = np.mgrid[:2000, :2000] - 1000.0
    wave = np.hypot(rows, columns) + 12 * np.sin(np.arctan2(rows, columns) * 40)
    cover = np.clip(900.5 - wave, 0, 1) - np.clip(860.5 - wave, 0, 1)
    pixels = np.zeros((2000, 2000, 4), np.uint8)
    pixels[..., 3] = np.rint(255 * cover)
    outlined = keyline_raster(pixels, 13.0, "#ffffff")
    own = np.pad(pixels[..., 3], 13)
    expected = np.maximum(own, keyline_coverage(own, 13.0))
    assert np.abs(outlined[..., 3].astype(int) - np.where(own > 0, outlined[..., 3], expected)).max() <= 1
