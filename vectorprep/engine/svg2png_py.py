"""The fast engine: resvg through svg2png-py, raw pixels without a PNG in between.

Comes in: clean SVG bytes with the size in the root.
Goes out: premultiplied pixels.
Never done here: documents with generic or unnamed font families (`names_families` says so), which it would leave out in silence.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import svg2png_py

from vectorprep.engine.base import Engine
from vectorprep.engine.morphology import in_two_steps
from vectorprep.engine.versions import own_version

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Svg2pngPy(Engine):
    """resvg with raw output; it has no setting for generic font families."""

    name = "svg2png-py"

    def __init__(self, font_files: tuple[str, ...] = ()) -> None:
        self.font_files = font_files
        self.version = own_version(self.name)
        self._no_fonts = svg2png_py.FontDatabase()

    @cached_property
    def _fonts(self) -> svg2png_py.FontDatabase:
        fonts = svg2png_py.FontDatabase()
        for path in self.font_files:
            fonts.load_font_file(path)
        return fonts

    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """Premultiplied pixels, straight from the engine."""
        fonts = self._fonts if b"<text" in markup else self._no_fonts
        raw, width, height = svg2png_py.svg_to_rgba(in_two_steps(markup).decode(), fonts)
        return np.frombuffer(raw, np.uint8).reshape(height, width, 4)
