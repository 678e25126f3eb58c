"""An optional second engine on another code base: CairoSVG, chosen by name only.

Comes in: clean SVG bytes with the size in the root.
Goes out: premultiplied pixels.
Never done here: fetching anything a drawing links to. It draws no blur and few filters: for plain art and as a second opinion.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import cairosvg

from vectorprep.engine.base import Engine, png_pixels
from vectorprep.engine.versions import own_version

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class CairoSvg(Engine):
    """CairoSVG by way of PNG bytes; it takes fonts from the system."""

    name = "cairosvg"

    def __init__(self, font_files: tuple[str, ...] = ()) -> None:  # noqa: ARG002 - the library offers no way to name font files
        self.version = own_version(self.name)

    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """Premultiplied pixels."""
        png = cairosvg.svg2png(bytestring=markup, dpi=96, unsafe=False)
        return png_pixels(png)
