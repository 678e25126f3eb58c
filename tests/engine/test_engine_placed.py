"""Drawing at a planned place: the finished raster's ink box is the planned one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vectorprep.engine import draw_placed, draw_reduced, open_engine
from vectorprep.engine.coverage import INK_ALPHA, alpha_of, box_of, edges_of
from vectorprep.engine.placed import INSET_PX, ink_box
from vectorprep.fonts import load_index
from vectorprep.geometry import Box
from vectorprep.model import Artwork, Placed, Placement
from vectorprep.read import read_artwork

_INDEX = load_index(system=False)
_ENGINE = open_engine(font_files=_INDEX.files)
_SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">{}</svg>'


def _artwork(content: str) -> Artwork:
    return read_artwork(_SVG.format(content).encode(), name="drawing", fonts=_INDEX)


def _plan(edges_mm: Box, x: int, y: int, width: int, canvas: tuple[int, int] = (1000, 1000)) -> Placement:
    """A copy whose ink is `width` px wide with its corner at (x, y), as a plan states it."""
    scale = (width - 2 * INSET_PX) / edges_mm.width
    height = max(1, int(edges_mm.height * scale + 2 * INSET_PX + 0.5))
    offset = x + INSET_PX - edges_mm.x0 * scale, y + (height - edges_mm.height * scale) / 2 - edges_mm.y0 * scale
    copy = Placed(px_per_mm=scale, offset_px=offset, ink_box_px=(x, y, x + width, y + height), printed_mm=(1.0, 1.0))
    return Placement(product="bench", canvas_px=canvas, ppi=300, placed=(copy,))


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    st.floats(1, 60),
    st.floats(1, 60),
    st.floats(2, 39),
    st.floats(2, 39),
    st.sampled_from(("rect", "ellipse", "diamond")),
    st.integers(40, 900),
)
def test_the_ink_box_of_the_raster_is_the_planned_one(x: float, y: float, w: float, h: float, shape: str, width: int) -> None:
    """Whatever the shape's edges, the finished raster's ink begins and ends where the plan says."""
    content = {
        "rect": f'<rect x="{x}" y="{y}" width="{w}" height="{h}"/>',
        "ellipse": f'<ellipse cx="{x + w / 2}" cy="{y + h / 2}" rx="{w / 2}" ry="{h / 2}"/>',
        "diamond": f'<path d="M{x},{y + w / 2} l{w / 2},{-w / 2} l{w / 2},{w / 2} l{-w / 2},{w / 2} z"/>',
    }[shape]
    plan = _plan(Box(x, y, x + w, y + (w if shape == "diamond" else h)), 50, 40, width, canvas=(1000, 20_000))
    raster, drawn = draw_placed(_ENGINE, _artwork(content), plan)
    assert ink_box(raster) == drawn.placed[0].ink_box_px
    assert ink_box(raster) == plan.placed[0].ink_box_px


def test_a_plan_from_wrong_edges_is_corrected() -> None:
    """Edges known a pixel wrong give a first drawing that misses; the second one fits and states its own scale."""
    true, wrong = Box(20, 30, 80, 60), Box(20.1, 30, 79.9, 60)
    plan = _plan(wrong, 100, 100, 600)
    raster, drawn = draw_placed(_ENGINE, _artwork('<rect x="20" y="30" width="60" height="30"/>'), plan)
    assert ink_box(raster) == plan.placed[0].ink_box_px == drawn.placed[0].ink_box_px
    assert drawn.placed[0].px_per_mm == pytest.approx((600 - 2 * INSET_PX) / true.width, rel=1e-3)


def test_another_drawing_at_the_same_place_keeps_the_scale() -> None:
    """Ink that is far larger than planned (an outline was added) is drawn at the planned scale, whole, and its box is stated."""
    plan = _plan(Box(20, 30, 80, 60), 100, 100, 600)
    content = '<rect x="20" y="30" width="60" height="30" stroke="#000000" stroke-width="8"/>'
    raster, drawn = draw_placed(_ENGINE, _artwork(content), plan)
    assert drawn.placed[0].px_per_mm == plan.placed[0].px_per_mm
    assert ink_box(raster) == (60, 60, 740, 440)


def test_soft_ink_beyond_the_box_is_not_cut_off() -> None:
    """Paint fainter than ink that reaches farther stays in the raster."""
    content = '<rect x="20" y="30" width="60" height="30"/><rect x="10" y="20" width="80" height="50" fill-opacity="0.02"/>'
    raster, _ = draw_placed(_ENGINE, _artwork(content), _plan(Box(20, 30, 80, 60), 150, 150, 600))
    assert box_of(alpha_of(raster), 1) == (0, 0, raster.pixels.shape[1], raster.pixels.shape[0])
    assert raster.pixels.shape[1] == pytest.approx(800, abs=2)


def test_copies_are_the_same_pixels() -> None:
    """Two copies on one canvas are equal to the pixel, each in its own box."""
    artwork = _artwork('<circle cx="50" cy="50" r="20" fill="#306090"/>')
    one = _plan(Box(30, 30, 70, 70), 100, 50, 300)
    first = one.placed[0]
    second = Placed(
        px_per_mm=first.px_per_mm,
        offset_px=(first.offset_px[0] + 500, first.offset_px[1]),
        ink_box_px=(600, 50, 900, 350),
        printed_mm=(1.0, 1.0),
    )
    raster, drawn = draw_placed(
        _ENGINE, artwork, Placement(product="bench", canvas_px=(1000, 400), ppi=300, placed=(first, second))
    )
    assert [copy.ink_box_px for copy in drawn.placed] == [(100, 50, 400, 350), (600, 50, 900, 350)]
    left = raster.origin_px[0]
    assert np.array_equal(raster.pixels[:, 100 - left : 400 - left], raster.pixels[:, 600 - left : 900 - left])


def test_ink_beyond_the_canvas_is_cut_off() -> None:
    """A copy that covers more than the canvas gives a raster of the canvas at most."""
    plan = _plan(Box(10, 10, 90, 90), -50, -50, 1100)
    raster, _ = draw_placed(_ENGINE, _artwork('<rect x="10" y="10" width="80" height="80"/>'), plan)
    assert (raster.origin_px, raster.pixels.shape) == ((0, 0), (1000, 1000, 4))


def test_no_ink_gives_an_empty_raster() -> None:
    """Nothing drawn is one empty pixel and the placement as planned."""
    plan = _plan(Box(20, 30, 80, 60), 100, 100, 600)
    raster, drawn = draw_placed(_ENGINE, _artwork("<g/>"), plan)
    assert not raster.pixels.any()
    assert drawn == plan


def test_filters_reach_into_the_region() -> None:
    """A shadow moved far from its shape is drawn in a region as on the whole canvas."""
    content = (
        '<filter id="f" filterUnits="userSpaceOnUse" x="0" y="0" width="100" height="100"><feOffset dx="30" dy="0"/></filter>'
        '<rect x="10" y="40" width="10" height="20" filter="url(#f)"/>'
    )
    raster, drawn = draw_placed(_ENGINE, _artwork(content), _plan(Box(40, 40, 50, 60), 700, 700, 200))
    assert ink_box(raster) == drawn.placed[0].ink_box_px == (700, 700, 900, 1000 if drawn.canvas_px[1] == 1000 else 1100)


def test_a_reduced_drawing_keeps_its_place() -> None:
    """At a quarter of the size the box is a quarter of the print's, to a pixel."""
    artwork = _artwork('<circle cx="50" cy="50" r="20"/>')
    _, drawn = draw_placed(_ENGINE, artwork, _plan(Box(30, 30, 70, 70), 120, 80, 400))
    small = ink_box(draw_reduced(_ENGINE, artwork, drawn, 0.25, (250, 250)))
    assert small is not None
    assert max(abs(a - b) for a, b in zip(small, (30, 20, 130, 120), strict=True)) <= 1


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.integers(0, 19), st.integers(0, 14), st.integers(0, 255)), max_size=6), st.sampled_from((1, INK_ALPHA))
)
def test_boxes_of_pixels_are_those_of_a_plain_search(dots: list[tuple[int, int, int]], least: int) -> None:
    """The quick search from the outside finds the box that looking at every pixel finds."""
    alpha = np.zeros((15, 20), np.uint8)
    for x, y, value in dots:
        alpha[y, x] = value
    rows, columns = np.nonzero(alpha >= least)
    wanted = None if not len(rows) else (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1)
    assert box_of(alpha, least) == wanted


@pytest.mark.parametrize("cover", [0.25, 0.5, 0.75, 1.0])
def test_edges_between_pixels_come_from_coverage(cover: float) -> None:
    """An outermost column covered to a quarter puts the edge a quarter into it, also under half-transparent ink."""
    for full in (255, 128):
        alpha = np.zeros((9, 9), np.uint8)
        alpha[2:7, 3:6] = full
        alpha[2:7, 2] = round(full * cover)
        assert edges_of(alpha, (2, 2, 6, 7)).x0 == pytest.approx(3 - cover, abs=0.01)


def test_faint_paint_far_from_the_ink_is_not_cut_off() -> None:
    """What is painted too faintly to count lies in the raster whole, although an empty band parts it from the ink."""
    plan = replace(_plan(Box(10, 10, 30, 30), 100, 100, 200), reach_mm=(10.0, 10.0, 90.0, 90.0))
    content = '<rect x="10" y="10" width="20" height="20"/><rect x="70" y="70" width="20" height="20" fill-opacity=".016"/>'
    raster, drawn = draw_placed(_ENGINE, _artwork(content), plan)
    assert drawn.placed[0].ink_box_px == (100, 100, 300, 300)
    assert raster.pixels.shape[:2] == pytest.approx((799, 799), abs=2)
    assert np.unique(alpha_of(raster)[-190:-10, -190:-10]).tolist() == [4]
