"""The fast engine: resvg through svg2png-py, raw pixels without a PNG in between.

Comes in: clean SVG bytes with the size in the root.
Goes out: premultiplied pixels.
Never done here: documents with generic or unnamed font families (`covers` says so), which it would leave out in silence.
"""

from __future__ import annotations

import re
from functools import cached_property
from importlib.metadata import version
from typing import TYPE_CHECKING

import numpy as np
import svg2png_py

from vectorprep.engine.base import Engine

if TYPE_CHECKING:
    from numpy.typing import NDArray

_FAMILY = re.compile(rb"""font-family\s*[:=]\s*["']?([^;"'<>}]*)""")
_GENERIC = re.compile(rb"(?:^|,)\s*(?:serif|sans-serif|monospace|cursive|fantasy|system-ui|ui-[a-z-]+)\s*(?:,|$)", re.IGNORECASE)


class Svg2pngPy(Engine):
    """resvg with raw output; it has no setting for generic font families."""

    name = "svg2png-py"

    def __init__(self, font_files: tuple[str, ...] = ()) -> None:
        self.font_files = font_files
        self.version = f"{version('svg2png-py')} (resvg 0.47)"
        self._no_fonts = svg2png_py.FontDatabase()

    @cached_property
    def _fonts(self) -> svg2png_py.FontDatabase:
        fonts = svg2png_py.FontDatabase()
        for path in self.font_files:
            fonts.load_font_file(path)
        return fonts

    @staticmethod
    def covers(markup: bytes) -> bool:
        """Whether every text of the document names a family that is not generic."""
        if b"<text" not in markup:
            return True
        families = _FAMILY.findall(markup)
        return bool(families) and not any(_GENERIC.search(family.strip()) for family in families)

    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """Premultiplied pixels, straight from the engine."""
        fonts = self._fonts if b"<text" in markup else self._no_fonts
        raw, width, height = svg2png_py.svg_to_rgba(markup.decode(), fonts)
        return np.frombuffer(raw, np.uint8).reshape(height, width, 4)
