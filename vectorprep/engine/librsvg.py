"""A second engine on another code base: librsvg by way of libvips, for proofs.

Comes in: clean SVG bytes with the size in the root.
Goes out: premultiplied pixels.
Never done here: print files; large blurs take it very long, so it runs on small pictures and under a time limit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pyvips

from vectorprep.engine.base import Engine, premultiplied
from vectorprep.engine.versions import own_version

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Librsvg(Engine):
    """librsvg; it takes fonts from the system."""

    name = "librsvg"

    def __init__(self, font_files: tuple[str, ...] = ()) -> None:  # noqa: ARG002 - the library offers no way to name font files
        self.version = own_version(self.name)

    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """Premultiplied pixels."""
        # libvips counts pixels of 1/72 in: at 96 dpi, which lengths in mm need, it would draw a third larger.
        picture = pyvips.Image.svgload_buffer(markup, dpi=96, scale=0.75)
        raw = np.frombuffer(picture.write_to_memory(), np.uint8)
        return premultiplied(raw.reshape(picture.height, picture.width, picture.bands))
