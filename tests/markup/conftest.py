"""Pixels for the laws of colour rewriting: drawings through one fixed rasteriser."""

from __future__ import annotations

import io
from collections.abc import Callable

import numpy as np
import pytest
import resvg_py
from numpy.typing import NDArray
from PIL import Image

Pixels = NDArray[np.int16]


@pytest.fixture
def draw() -> Callable[[bytes], Pixels]:
    """Straight 8-bit RGBA of a drawing, 80 px wide, colour of clear pixels set to 0."""

    def drawn(markup: bytes) -> Pixels:
        png = bytes(resvg_py.svg_to_bytes(svg_string=markup.decode(), width=80, dpi=96, skip_system_fonts=True))
        pixels = np.asarray(Image.open(io.BytesIO(png)).convert("RGBA")).astype(np.int16)
        pixels[pixels[..., 3] == 0] = 0
        return pixels

    return drawn
