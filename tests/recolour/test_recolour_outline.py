"""Keylines as vectors: traced lines and the artwork over its path."""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from vectorprep.engine import draw_window, open_engine
from vectorprep.geometry import Box
from vectorprep.model import Artwork, Raster
from vectorprep.recolour import keyline_raster, with_outline
from vectorprep.shapes.trace import contours, simplified

MakeArtwork = Callable[..., Artwork]
PX = 25.4 / 96


def _disc(size: int = 200, radius: float = 60) -> NDArray[np.uint8]:
    fine = Image.new("L", (size * 8, size * 8))
    middle = size * 4
    ImageDraw.Draw(fine).ellipse((middle - radius * 8, middle - radius * 8, middle + radius * 8, middle + radius * 8), fill=255)
    return np.asarray(fine.reduce(8))


def _area(loop: NDArray[np.float64]) -> float:
    x, y = loop[:, 0], loop[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def test_line_runs_at_half_coverage() -> None:
    """Every traced point of an antialiased disc lies on its circle within a quarter of a pixel: area coverage is not linear."""
    (loop,) = contours(_disc())
    radii = np.hypot(loop[:, 0] - 100, loop[:, 1] - 100)
    assert np.abs(radii - 60).max() < 0.25


def test_hole_turns_the_other_way() -> None:
    """A ring gives two loops of opposite turn, so that either fill rule leaves the hole open."""
    ring = _disc(radius=80).astype(int) - _disc(radius=40)
    outer, inner = sorted((_area(loop) for loop in contours(ring.astype(np.uint8))), key=abs, reverse=True)
    assert outer * inner < 0
    assert abs(outer) == pytest.approx(np.pi * 80**2, rel=0.01)
    assert abs(inner) == pytest.approx(np.pi * 40**2, rel=0.01)


def test_loops_close_whatever_the_picture() -> None:
    """In noise, saddles and rims included, loops enclose exactly the pixels above half: winding equals the picture."""
    rng = np.random.default_rng(4)
    picture = np.where(rng.random((24, 24)) < 0.5, 255, 0).astype(np.uint8)
    drawn = Image.new("1", (24 * 16, 24 * 16))
    for loop in sorted(contours(picture), key=lambda part: -abs(_area(part))):
        corners = [(x * 16, y * 16) for x, y in loop.tolist()]
        ImageDraw.Draw(drawn).polygon(corners, fill=int(_area(loop) > 0))
    assert (np.asarray(drawn)[8::16, 8::16] == (picture > 0)).all()


def test_fewer_points_stay_within_the_tolerance() -> None:
    """A simplified circle has far fewer points and every dropped point lies within the tolerance of it."""
    (loop,) = contours(_disc())
    fewer = simplified(loop, 0.2)
    assert len(fewer) < len(loop) / 4
    ends = np.roll(fewer, -1, axis=0)
    for point in loop:
        along = ends - fewer
        part = np.clip(((point - fewer) * along).sum(axis=1) / (along**2).sum(axis=1), 0, 1)
        nearest = fewer + along * part[:, None]
        assert np.hypot(*(point - nearest).T).min() <= 0.2 + 1e-9


def test_nothing_has_no_line() -> None:
    """An empty picture has no loops."""
    assert contours(np.zeros((5, 5), np.uint8)) == []


def _raster(artwork: Artwork, window: Box, width_px: int) -> Raster:
    engine = open_engine("resvg-py")
    return draw_window(engine, artwork, window, width_px, round(width_px * window.height / window.width))


def test_vector_outline_looks_like_the_raster_one(make_artwork: MakeArtwork) -> None:
    """Drawn again, the outlined artwork equals the raster keyline: under 0.5 % of pixels differ by more than 64 levels."""
    artwork = make_artwork('<g stroke="#b3202c" stroke-width="8" fill="none"><path d="M20 70L50 25L80 70"/></g>')
    window = Box(0, 0, 100 * PX, 100 * PX)
    raster = _raster(artwork, window, 600)
    outlined = with_outline(artwork, raster, window, 4 * PX, "#1a1a1a")
    assert (outlined.page.width_px, outlined.page.height_px) == (100, 100)
    ours = _raster(outlined, window, 600).pixels.astype(int)
    expected = keyline_raster(np.array(raster.pixels), 24, "#1a1a1a")[24:-24, 24:-24].astype(int)
    assert (np.abs(ours - expected).max(axis=2) > 64).mean() < 0.005


def test_page_grows_for_the_outline(make_artwork: MakeArtwork) -> None:
    """Ink at the page's edge gets its whole outline: the page grows by it, the drawing keeps its size."""
    artwork = make_artwork('<rect width="100" height="50" fill="#b3202c"/>')
    window = Box(0, 0, 100 * PX, 100 * PX)
    outlined = with_outline(artwork, _raster(artwork, window, 500), window, 3 * PX, "#1a1a1a")
    assert outlined.page.width_px == pytest.approx(106, abs=2)
    assert outlined.page.height_px == pytest.approx(103, abs=2)
    drawn = _raster(outlined, Box(0, 0, outlined.page.width_mm, outlined.page.height_mm), round(outlined.page.width_px * 5)).pixels
    red = (drawn[..., 0] > 150) & (drawn[..., 3] == 255)
    assert red.sum() == pytest.approx(100 * 50 * 25, rel=0.01)


def test_style_sheet_does_not_reach_the_outline(make_artwork: MakeArtwork) -> None:
    """Rules of the drawing for all paths leave the outline's colour alone."""
    artwork = make_artwork("<style>path{fill:#00ff00;stroke:#0000ff;stroke-width:9px}</style><path d='M40 40h20v20h-20z'/>")
    window = Box(0, 0, 100 * PX, 100 * PX)
    outlined = with_outline(artwork, _raster(artwork, window, 500), window, 5 * PX, "#1a1a1a")
    drawn = _raster(outlined, window, 500).pixels
    assert tuple(drawn[250, 165]) == (0x1A, 0x1A, 0x1A, 255)
    assert tuple(drawn[250, 250]) == (0, 255, 0, 255)


def test_outline_is_one_path_and_small(make_artwork: MakeArtwork) -> None:
    """A plain shape's outline is one path of a few kilobytes."""
    artwork = make_artwork('<circle cx="50" cy="50" r="30"/>')
    window = Box(0, 0, 100 * PX, 100 * PX)
    outlined = with_outline(artwork, _raster(artwork, window, 1500), window, 2 * PX, "#fafaf8")
    assert len(re.findall(rb"<path", outlined.markup)) == 1
    assert len(outlined.markup) < 5000
