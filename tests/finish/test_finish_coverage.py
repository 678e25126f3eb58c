"""Cutting, clearing, knocking out, carrying colours outward."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from vectorprep.finish import cut, knocked_out, with_edge_colour, without_mist
from vectorprep.model import Raster


def one(*pixel: int) -> Raster:
    """A picture of one pixel, premultiplied."""
    return Raster(pixels=np.array([[pixel]], np.uint8), origin_px=(5, 6))


@pytest.mark.parametrize(("alpha", "after"), [(127, 0), (128, 255), (255, 255), (1, 0)])
def test_a_cut_leaves_all_or_nothing(alpha: int, after: int) -> None:
    """From half coverage on ink is full, and keeps its own colour."""
    made = cut(one(alpha, alpha // 2, 0, alpha), 0.5)
    assert made.pixels[0, 0, 3] == after
    assert made.origin_px == (5, 6)
    if after:
        assert np.abs(made.pixels[0, 0, :3].astype(int) - [255, 127, 0]).max() <= 1


@pytest.mark.parametrize(("alpha", "after"), [(12, 0), (13, 13), (200, 200)])
def test_mist_is_cleared_and_nothing_else(alpha: int, after: int) -> None:
    """Coverage of 1 to 12 of 255 goes (common practice, no source)."""
    assert without_mist(one(0, 0, 0, alpha)).pixels[0, 0, 3] == after


def test_black_is_knocked_out_by_the_rule() -> None:
    """128 64 0 becomes alpha 0.502 and 255 128 0 (arithmetic: un-blend from black), and over black it is 128 64 0 again."""
    red, green, blue, alpha = (int(level) for level in knocked_out(one(128, 64, 0, 255)).pixels[0, 0])
    assert alpha / 255 == pytest.approx(0.502, abs=0.003)
    assert [255 * level / alpha for level in (red, green, blue)] == pytest.approx([255, 128, 0], abs=1)
    assert (red, green, blue) == (128, 64, 0)  # premultiplied over black (published: W3C Compositing, source-over)


def test_black_leaves_bare_cloth() -> None:
    """Black goes, white stays."""
    assert knocked_out(one(0, 0, 0, 255)).pixels[0, 0, 3] == 0
    assert knocked_out(one(255, 255, 255, 255)).pixels[0, 0, 3] == 255


def test_a_later_resize_makes_no_fringe() -> None:
    """A red square, reduced as straight colours by a program that forgets alpha, stays red beside its edge."""
    pixels = np.zeros((40, 40, 4), np.uint8)
    pixels[10:30, 10:30] = (255, 0, 0, 255)
    made = with_edge_colour(Raster(pixels=pixels))
    assert made.straight
    assert np.array_equal(made.pixels[4:-4, 4:-4, 3], pixels[..., 3])
    careless = np.asarray(Image.fromarray(np.ascontiguousarray(made.pixels[..., :3])).reduce(4))
    seen = np.asarray(Image.fromarray(np.ascontiguousarray(made.pixels[..., 3])).reduce(4)) > 60
    assert (careless[seen] >= (250, 0, 0)).all()
