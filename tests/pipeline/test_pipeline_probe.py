"""Drawings that take too long at the size of a print fail at two small trials, with the reason; plain ones are never tried."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from vectorprep.engine import Engine, open_engine
from vectorprep.errors import ArtworkFailed
from vectorprep.fonts import FontIndex
from vectorprep.model import Raster
from vectorprep.pipeline.catalogue import open_catalogue
from vectorprep.pipeline.probe import require_drawable
from vectorprep.read import read_artwork

PRODUCTS = [open_catalogue(()).products[key] for key in ("tee-adult-front-dtg", "mug-11oz-wrap-sub")]
NOISE = '<filter id="f" x="0" y="0" width="1" height="1">' + '<feTurbulence baseFrequency=".05" numOctaves="8"/>' * 12 + "</filter>"
SHADOW = '<filter id="f"><feGaussianBlur stdDeviation="1"/></filter>'


class Counting(Engine):
    """An engine that counts its pictures."""

    name = "counting"

    def __init__(self) -> None:
        self.inner = open_engine()
        self.sizes: list[tuple[int, int]] = []

    def draw(self, markup: bytes, width_px: int, height_px: int) -> Raster:
        """One more picture."""
        self.sizes.append((width_px, height_px))
        return self.inner.draw(markup, width_px, height_px)

    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """What the inner engine draws."""
        return self.inner.pixels(markup)


def drawing(filters: str) -> bytes:
    """A page that one filter covers."""
    use = ' filter="url(#f)"' if filters else ""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
        f'<defs>{filters}</defs><rect width="100" height="100" fill="#b3202c"{use}/></svg>'
    ).encode()


def test_twelve_layers_of_noise_fail_with_figures_and_cause() -> None:
    """Half a minute of noise for a shirt is not begun: the words name seconds, the limit and the filter steps."""
    artwork = read_artwork(drawing(NOISE), name="noise", fonts=FontIndex(system=False))
    engine = Counting()
    with pytest.raises(ArtworkFailed) as caught:
        require_drawable(artwork, engine, PRODUCTS, 10.0)
    assert caught.value.code == "too-costly-to-draw"
    assert "12 filter steps" in caught.value.message
    assert max(max(size) for size in engine.sizes) <= 800


def test_one_shadow_passes() -> None:
    """A blur over the whole page is drawn in the time that a shirt and a mug are given."""
    artwork = read_artwork(drawing(SHADOW), name="shadow", fonts=FontIndex(system=False))
    require_drawable(artwork, open_engine(), PRODUCTS, 60.0)


def test_plain_drawings_are_not_tried() -> None:
    """Without anything costly no trial is drawn at all."""
    artwork = read_artwork(drawing(""), name="plain", fonts=FontIndex(system=False))
    engine = Counting()
    require_drawable(artwork, engine, PRODUCTS, 10.0)
    assert engine.sizes == []
