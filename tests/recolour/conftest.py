"""Small drawings for the tests of recolouring."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from vectorprep.engine import draw_window, open_engine
from vectorprep.geometry import Affine, Box
from vectorprep.markup.paint import normalise_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import serialise
from vectorprep.model import Artwork, Page

MakeArtwork = Callable[..., Artwork]
Draw = Callable[..., NDArray[np.uint8]]


@pytest.fixture
def make_artwork() -> MakeArtwork:
    """An artwork of 100 x 100 user units (= CSS px) from the markup inside its root."""

    def make(inside: str, *, root: str = "", unclipped: bool = False) -> Artwork:
        text = f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" viewBox="0 0 100 100" {root}>{inside}</svg>'
        tree = parse_untrusted(text.encode())
        normalise_colours(tree)
        page = Page(width_px=100, height_px=100, uu_to_px=Affine())
        return Artwork(name="a", slug="a", path="a.svg", sha256="0", markup=serialise(tree), page=page, is_unclipped=unclipped)

    return make


@pytest.fixture
def draw() -> Draw:
    """Straight RGBA pixels of the whole page at a size, drawn by the first engine."""
    engine = open_engine("resvg-py")

    def pixels(artwork: Artwork, size: int = 100) -> NDArray[np.uint8]:
        page = Box(0, 0, artwork.page.width_mm, artwork.page.height_mm)
        return draw_window(engine, artwork, page, size, size).pixels

    return pixels
