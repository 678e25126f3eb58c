"""Rectangles in the colour of the cloth behind an artwork, and fine lines told by hue alone."""

from __future__ import annotations

import numpy as np
import pytest

from vectorprep.judge import judge
from vectorprep.model import Blank, Raster

WHITE_CLOTH = Blank(key="white", name="White", colour="#ffffff")
BLACK_CLOTH = Blank(key="black", name="Black", colour="#141414")
ROYAL = Blank(key="royal", name="Royal", colour="#23479e")


def _plate(*, mark: tuple[int, int, int] | None = (20, 20, 20), tint: int = 250) -> Raster:
    """A near-white rectangle with a disc of another colour in its middle."""
    pixels = np.full((512, 512, 4), tint, np.uint8)
    pixels[..., 3] = 255
    rows, columns = np.mgrid[:512, :512]
    if mark is not None:
        pixels[(rows - 256) ** 2 + (columns - 256) ** 2 < 120**2] = (*mark, 255)
    return Raster(pixels=pixels)


def test_a_plate_like_the_cloth_is_not_missed_where_what_stands_on_it_is_seen() -> None:
    """A black disc on a near-white rectangle is clear on white, and the words name the rectangle."""
    verdict = judge(_plate(), WHITE_CLOTH)
    assert verdict.word == "clear"
    assert verdict.has_plate
    assert verdict.deciding.endswith("a rectangle behind it is nearly the colour of the cloth and not missed")


def test_what_stands_on_a_plate_is_judged_on_the_cloth() -> None:
    """A pale disc on the plate fades as it would on white cloth without it, at its own place."""
    verdict = judge(_plate(mark=(232, 232, 228)), WHITE_CLOTH)
    assert verdict.word != "clear"


def test_a_body_that_is_nearly_the_cloth_keeps_its_outline_among_the_remedies() -> None:
    """A dark grey box on black with hardly anything seen on it is weak, and no plate: an outline may go around it."""
    raster = _plate(mark=(60, 60, 60), tint=34)
    verdict = judge(raster, BLACK_CLOTH)
    assert verdict.word != "clear"
    assert not verdict.has_plate


def test_a_bare_rectangle_like_the_cloth_is_lost() -> None:
    """Where the rectangle is all there is, it is the artwork."""
    verdict = judge(_plate(mark=None), WHITE_CLOTH)
    assert verdict.word == "lost"
    assert not verdict.has_plate


def test_a_round_shape_like_the_cloth_is_missed() -> None:
    """A near-white disc with a mark on it is no plate: its outline is its drawing."""
    raster = _plate()
    rows, columns = np.mgrid[:512, :512]
    pixels = raster.pixels.copy()
    pixels[(rows - 256) ** 2 + (columns - 256) ** 2 > 255**2] = 0
    verdict = judge(Raster(pixels=pixels), WHITE_CLOTH)
    assert verdict.word == "weak"
    assert not verdict.has_plate


def test_a_plate_is_nothing_special_on_another_cloth() -> None:
    """On black the rectangle is seen and is no plate."""
    verdict = judge(_plate(), BLACK_CLOTH)
    assert verdict.word == "clear"
    assert not verdict.has_plate


@pytest.mark.parametrize(("width_mm", "is_clear"), [(1.2, False), (6.0, True)])
def test_dark_green_on_royal_needs_wide_lines(width_mm: float, is_clear: bool) -> None:
    """Told by hue alone (#1f4d36 on #23479e has a ratio of 1.1:1), fine lines fade where broad ones are seen, at printed size."""
    side, printed = 512, 250.0
    width = round(width_mm * side / printed)
    pixels = np.zeros((side, side, 4), np.uint8)
    for start in range(0, side - width + 1, 64):
        pixels[start : start + width] = (0x1F, 0x4D, 0x36, 255)
    assert (judge(Raster(pixels=pixels), ROYAL, printed_mm=(printed, printed)).word == "clear") is is_clear
