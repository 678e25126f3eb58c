"""What every engine is: a name, a version, and markup into pixels under a pixel cap.

Comes in: clean SVG bytes and a size in whole pixels.
Goes out: a premultiplied `Raster`, or `ArtworkFailed` with the engine's words.
Never done here: calls of a particular library.
"""

from __future__ import annotations

import io
from abc import ABC, abstractmethod
from typing import TYPE_CHECKING

import numpy as np
from PIL.PngImagePlugin import PngImageFile

from vectorprep.engine.root_tag import resized
from vectorprep.errors import ArtworkFailed
from vectorprep.model import Raster

if TYPE_CHECKING:
    from numpy.typing import NDArray

PIXELS_MAX = 400_000_000  # house value: 1.6 GB of pixels; the engines abort the process on far bigger canvases


class Engine(ABC):
    """One rasteriser. `name` and `version` go into the manifest."""

    name: str = ""
    version: str = ""

    def draw(self, markup: bytes, width_px: int, height_px: int) -> Raster:
        """The whole page of a drawing at a size in pixels, premultiplied.

        Raises:
            ArtworkFailed: the canvas is above the pixel cap, or the engine gives no picture.
        """
        check_canvas(width_px, height_px)
        sized = resized(markup, width_px, height_px)
        try:
            pixels = self.pixels(sized)
        except (KeyboardInterrupt, SystemExit, ArtworkFailed):
            raise
        except BaseException as fault:  # noqa: BLE001 - a panic of the Rust engines is a BaseException and cannot be pickled
            raise _failed(self.name, fault) from None
        if pixels.shape != (height_px, width_px, 4):
            raise ArtworkFailed(
                f"{self.name} drew {pixels.shape[1]} x {pixels.shape[0]} px where {width_px} x {height_px} px were asked for",
                fix="check width, height and viewBox of the drawing",
                code="engine-size",
            )
        pixels.flags.writeable = False
        return Raster(pixels=pixels)

    @abstractmethod
    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """Premultiplied pixels (height, width, 4) of markup whose root carries the size."""


def check_canvas(width_px: int, height_px: int) -> None:
    """Refuses a canvas without area or above the pixel cap, before an engine allocates it.

    Raises:
        ArtworkFailed: with the figure and the limit.
    """
    if width_px < 1 or height_px < 1:
        raise ArtworkFailed(
            f"a canvas of {width_px} x {height_px} px has no area", fix="use at least 1 x 1 px", code="canvas-empty"
        )
    if width_px * height_px > PIXELS_MAX:
        raise ArtworkFailed(
            f"a canvas of {width_px} x {height_px} px has {width_px * height_px / 1e6:.0f} megapixels, above {PIXELS_MAX // 10**6}",
            fix="lower the product's resolution_ppi or its print area",
            code="canvas-too-big",
        )


def png_pixels(data: bytes) -> NDArray[np.uint8]:
    """Premultiplied pixels of the PNG that an engine made."""
    # The class itself, not Image.open, which warns of big pictures: the canvas was capped before.
    with PngImageFile(io.BytesIO(data)) as picture:
        straight = picture if picture.mode == "RGBA" else picture.convert("RGBA")
        return premultiplied(np.asarray(straight))


def premultiplied(straight: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Straight-alpha pixels with colours multiplied by alpha, rounded to nearest; a new array."""
    out = np.array(straight, np.uint8, order="C")
    words = out.view("<u4").reshape(-1)
    # 0 < alpha < 255 in one comparison: unsigned numbers wrap round. So with a colour of no alpha: 0 < word < 1 << 24.
    partial = np.flatnonzero((words - np.uint32(1 << 24)) < np.uint32(0xFE000000))
    flat = out.reshape(-1, 4)
    picked = flat[partial].astype(np.uint16)
    flat[partial, :3] = (picked[:, :3] * picked[:, 3:] + 127) // 255
    words[(words - np.uint32(1)) < np.uint32((1 << 24) - 1)] = 0
    return out


def _failed(name: str, fault: BaseException) -> ArtworkFailed:
    words = " ".join(str(fault).split())[:300] or type(fault).__name__
    return ArtworkFailed(
        f"{name} could not draw it: {words}",
        fix="simplify the drawing in its editor, or save it as plain SVG",
        code="engine-fault",
    )
