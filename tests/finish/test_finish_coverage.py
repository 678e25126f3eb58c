"""Cutting, clearing, knocking out, carrying colours outward."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from vectorprep.finish import cut, knocked_out, unblended, with_edge_colour, without_mist
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


def test_black_is_taken_out_by_the_rule() -> None:
    """128 64 0 becomes alpha 0.502 and 255 128 0 (arithmetic: un-blend from black), and over black it is 128 64 0 again."""
    red, green, blue, alpha = (int(level) for level in unblended(one(128, 64, 0, 255).pixels)[0, 0])
    assert alpha / 255 == pytest.approx(0.502, abs=0.003)
    assert [255 * level / alpha for level in (red, green, blue)] == pytest.approx([255, 128, 0], abs=1)
    assert (red, green, blue) == (128, 64, 0)  # premultiplied over black (published: W3C Compositing, source-over)


@pytest.mark.parametrize("ink", [(0, 0, 0), (16, 16, 16), (24, 20, 22)])
def test_black_leaves_bare_cloth(ink: tuple[int, int, int]) -> None:
    """Up to 12 CIEDE2000 from black (common practice, no source) an ink covers no more than it is lighter than black."""
    assert knocked_out(one(*ink, 255)).pixels[0, 0, 3] == max(ink)


@pytest.mark.parametrize("ink", [(255, 255, 255), (128, 64, 0), (20, 30, 90), (90, 90, 90), (120, 0, 0)])
def test_other_inks_keep_covering(ink: tuple[int, int, int]) -> None:
    """Browns, dark blues and greys are no black: they stay as they are, over their white base."""
    assert tuple(knocked_out(one(*ink, 255)).pixels[0, 0]) == (*ink, 255)


def test_the_rim_of_black_is_taken_out_and_the_ink_beside_it_not() -> None:
    """From red over a smoothed edge to black: red stays full, the edge fades out, and over black all is as before."""
    pixels = np.zeros((20, 40, 4), np.uint8)
    pixels[..., 3] = 255
    pixels[:, :20, 0] = 220
    pixels[:, 20, 0] = 110
    made = knocked_out(Raster(pixels=pixels)).pixels
    assert (made[:, :18, 3] == 255).all()
    assert (made[:, 20, 3] == 110).all()
    assert (made[:, 21:, 3] == 0).all()
    assert np.array_equal(made[..., :3], pixels[..., :3])


def test_see_through_black_goes_too() -> None:
    """A black shadow of half coverage is cloth on black cloth."""
    assert knocked_out(one(0, 0, 0, 128)).pixels[0, 0, 3] == 0


def test_parts_of_a_tall_picture_meet_without_a_seam() -> None:
    """A picture of more rows than one pass takes is treated alike everywhere."""
    pixels = np.zeros((700, 30, 4), np.uint8)
    pixels[..., 3] = 255
    pixels[:, :15, 1] = 200
    made = knocked_out(Raster(pixels=pixels)).pixels
    assert (made == made[0]).all()


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
