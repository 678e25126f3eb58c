"""The middle engine: resvg through the package of that name, PNG in between, four times as fast as the base engine.

Comes in: clean SVG bytes with the size in the root.
Goes out: premultiplied pixels.
Never done here: documents with generic or unnamed font families (`names_families` says so), which it would leave out in silence.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import resvg

from vectorprep.engine.base import Engine, png_pixels
from vectorprep.engine.morphology import in_two_steps
from vectorprep.engine.versions import own_version

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_IDENTITY = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0)  # rows (sx, kx, tx), (ky, sy, ty): another order draws nothing, without a word


class Resvg(Engine):
    """resvg by way of PNG bytes; it has no setting for generic font families."""

    name = "resvg"

    def __init__(self, font_files: tuple[str, ...] = ()) -> None:
        self.font_files = font_files
        self.version = own_version(self.name)
        self._no_fonts = _options(())

    @cached_property
    def _fonts(self) -> resvg.usvg.Options:
        return _options(self.font_files)

    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """Premultiplied pixels; text is drawn with the named font files alone."""
        options = self._fonts if b"<text" in markup else self._no_fonts
        return png_pixels(resvg.render(resvg.usvg.Tree.from_str(in_two_steps(markup).decode(), options), _IDENTITY))


def _options(font_files: tuple[str, ...]) -> resvg.usvg.Options:
    options = resvg.usvg.Options.default()
    for path in font_files:
        options.load_font_file(path)
    return options
