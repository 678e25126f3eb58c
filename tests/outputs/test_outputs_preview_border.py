"""What a sticker's preview shows where its border is the art's own colours."""

from __future__ import annotations

import io
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from PIL import Image

sys.path.insert(0, str(Path(__file__).parent))
from test_outputs_cut_svg import _DISC, paths_of, picture_of  # type: ignore[import-not-found]

from vectorprep.finish import bordered, with_edge_colour
from vectorprep.model import CutRule, Placement, Raster
from vectorprep.outputs import Picture, inside, make

REACH_MM = 4.0
"""Offset of the cut and bleed beyond it."""
RING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
    '<circle cx="50" cy="50" r="30" fill="none" stroke="#c03030" stroke-width="14"/></svg>'
)


def with_border(raster: Raster, placement: Placement) -> Raster:
    """The art's colours carried past the cut, as far as the canvas goes."""
    return inside(bordered(raster, REACH_MM * placement.ppi / 25.4), placement.canvas_px)


def preview_of(picture: Picture) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.uint8]], float]:
    """Pixels of the preview and pixels per mm."""
    (made,) = make("preview-png", picture)
    return np.asarray(Image.open(io.BytesIO(made.data))), made.output.ppi / 25.4


def seen(pixels: np.ndarray[tuple[int, ...], np.dtype[np.uint8]], per_mm: float) -> float:
    """Square mm that are covered."""
    return float(pixels[..., 3].sum()) / 255 / per_mm**2


def test_a_border_of_art_is_seen_up_to_the_cut() -> None:
    """A disc with a border of 2 mm covers what the cut encloses (arithmetic; box by shapely), in its own red, and no bleed."""
    picture = replace(picture_of(_DISC), into_file=with_border)
    pixels, per_mm = preview_of(picture)
    (cut,) = make("cut-svg", picture)
    (shape,) = paths_of(cut.data)
    assert seen(pixels, per_mm) == pytest.approx(np.pi * (picture.placement.placed[0].printed_mm[0] / 2 + 2) ** 2, rel=0.002)
    rows, columns = np.nonzero(pixels[..., 3] > 127)
    box = shapely.box(columns.min() / per_mm, rows.min() / per_mm, (columns.max() + 1) / per_mm, (rows.max() + 1) / per_mm)
    assert box.bounds == pytest.approx(shape.bounds, abs=1 / per_mm)
    assert (np.abs(pixels[pixels[..., 3] == 255][:, :3].astype(int) - (0xC0, 0x30, 0x30)) <= 2).all()


def test_an_opening_that_is_cut_out_stays_open_in_the_preview() -> None:
    """The hole of a ring keeps its cut: the border stops there too, 2 mm inside the hole (arithmetic of circles)."""
    picture = picture_of(RING)
    assert picture.product.cut is not None
    rule = replace(picture.product.cut, hole_width_min_mm=8.0)
    picture = replace(picture, product=replace(picture.product, cut=rule), into_file=with_border)
    pixels, per_mm = preview_of(picture)
    outer = picture.placement.placed[0].printed_mm[0] / 2
    inner = outer * 23 / 37
    assert seen(pixels, per_mm) == pytest.approx(np.pi * ((outer + 2) ** 2 - (inner - 2) ** 2), rel=0.002)


@pytest.mark.parametrize("into_file", [None, "edge colours"])
def test_without_a_border_the_preview_is_the_ink_alone(into_file: str | None) -> None:
    """Bare paper around the art, or colours in clear pixels, change no pixel that is seen."""

    def edge(raster: Raster, placement: Placement) -> Raster:
        return replace(inside(with_edge_colour(raster), placement.canvas_px), straight=True)

    plain, per_mm = preview_of(picture_of(_DISC))
    made, _ = preview_of(replace(picture_of(_DISC), into_file=edge if into_file else None))
    assert (plain == made).all()
    size = picture_of(_DISC).placement.placed[0].printed_mm
    assert seen(plain, per_mm) == pytest.approx(np.pi * size[0] * size[1] / 4, rel=0.005)


def test_a_product_without_a_cut_keeps_its_preview() -> None:
    """Where nothing is cut there is no border to show."""
    picture = picture_of(_DISC)
    loose = replace(picture, product=replace(picture.product, cut=CutRule()), into_file=with_border)
    assert (preview_of(loose)[0] == preview_of(picture)[0]).all()
