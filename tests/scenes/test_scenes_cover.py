"""Light and shade laid over a picture."""

from __future__ import annotations

import numpy as np

from vectorprep.geometry import Affine, Box
from vectorprep.model import Blank, SceneRecord
from vectorprep.read import read_artwork
from vectorprep.scenes.compose import bare
from vectorprep.scenes.packed import packed
from vectorprep.scenes.scene import scene_of
from vectorprep.scenes.source import taken_apart
from vectorprep.scenes.stage import Stage
from vectorprep.scenes.view import View

DATA = b'<svg xmlns="http://www.w3.org/2000/svg" width="4" height="4"><path id="area" d="M0 0H4V4H0Z"/></svg>'
WHITE = Blank(key="white", name="White", colour="#ffffff")


def _stage(shade: tuple[int, int, int, int]) -> Stage:
    """A white picture of 4 x 4 px under one even layer."""
    source = taken_apart(DATA, lambda name: b"")
    drawing = read_artwork(source.drawing, name="plain")
    record = SceneRecord(products=("shirt",), kind="drawing")
    shapes = [("area", "M0 0H4V4H0Z", Affine(1.0, 0.0, 0.0, 1.0, 0.0, 0.0))]
    scene = scene_of("plain", "plain.svg", record=record, source=source, drawing=drawing, shapes=shapes)
    view = View(window=Box(0.0, 0.0, 4.0, 4.0), size_px=(4, 4))
    pixels = np.broadcast_to(np.array(shade, np.uint8), (4, 4, 4))
    return Stage(scene=scene, view=view, black=packed(np.full((4, 4, 3), 255, np.uint8)), share=None, shade=packed(pixels))


def test_light_brighter_than_its_coverage_stays_white() -> None:
    """A rasteriser's colour of one above its coverage makes white, and not black, on white."""
    assert bare(_stage((9, 9, 9, 8)), WHITE).min() == 255


def test_shade_darkens_by_its_coverage() -> None:
    """Black of a coverage of 51 of 255 leaves four fifths of white."""
    assert bare(_stage((0, 0, 0, 51)), WHITE).max() == 204
