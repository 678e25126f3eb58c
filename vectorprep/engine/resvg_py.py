"""The base engine: resvg through resvg-py, there on every platform.

Comes in: clean SVG bytes with the size in the root.
Goes out: premultiplied pixels.
Never done here: loading fonts that were not named, or links.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import resvg_py

from vectorprep.engine.base import Engine, png_pixels
from vectorprep.engine.morphology import in_two_steps
from vectorprep.engine.versions import own_version

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class ResvgPy(Engine):
    """resvg by way of PNG bytes."""

    name = "resvg-py"

    def __init__(self, font_files: tuple[str, ...] = ()) -> None:
        self.font_files = list(font_files)
        self.version = own_version(self.name)

    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """Premultiplied pixels; text is drawn with the named font files alone."""
        png = resvg_py.svg_to_bytes(
            svg_string=in_two_steps(markup).decode(),
            skip_system_fonts=True,
            font_files=self.font_files if b"<text" in markup else None,
            dpi=96.0,  # its default 0 loses strokes in pt and roots in mm
        )
        return png_pixels(png)
