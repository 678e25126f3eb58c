"""A finished picture as the bytes of a file.

Comes in: pixels in sRGB, a format, a quality. Goes out: bytes that say they are sRGB where the format can, and hold no time.
Never done here: names of files.
"""

from __future__ import annotations

import io
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

import numpy as np
from PIL import Image, ImageCms

from vectorprep import png
from vectorprep.model import Raster

if TYPE_CHECKING:
    from numpy.typing import NDArray

Format = Literal["webp", "jpeg", "png"]
EXTENSIONS: dict[str, str] = {"webp": "webp", "jpeg": "jpg", "png": "png"}
WEBP_METHOD = 1
"""Of libwebp's 0..6: 4, the default, takes two to three times as long for files of about the same size."""
FULL_COLOUR_FROM = 90
"""JPEG quality from which colours keep every pixel (house value)."""
PPI = 96.0


def picture_bytes(pixels: NDArray[np.uint8], form: Format, quality: int, *, text: tuple[tuple[str, str], ...] = ()) -> bytes:
    """The file.

    Args:
        pixels: height x width x 3.
        form: `webp`, `jpeg` or `png`.
        quality: 1..100 of WebP and JPEG; a PNG is always exact.
        text: what a PNG says of itself.
    """
    height, width = pixels.shape[:2]
    if form == "png":
        return png.encode(Raster(pixels=_opaque(pixels)), (width, height), ppi=PPI, text=text, background="#ffffff")
    image = Image.fromarray(pixels)
    data = io.BytesIO()
    if form == "webp":
        image.save(data, "WEBP", quality=quality, method=WEBP_METHOD, icc_profile=srgb_profile())
    else:
        sampling = 0 if quality >= FULL_COLOUR_FROM else 2
        image.save(data, "JPEG", quality=quality, subsampling=sampling, optimize=True, icc_profile=srgb_profile())
    return data.getvalue()


@lru_cache(maxsize=1)
def srgb_profile() -> bytes:
    """A profile that says sRGB, the same in every run: the library writes the time of day into it, which is taken out."""
    made = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    made[24:36] = bytes((7, 208, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0))  # ICC.1: dateTimeNumber of the header; 2000-01-01 00:00
    made[84:100] = bytes(16)  # ICC.1: profile ID, zero = not computed
    return bytes(made)


def _opaque(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    return np.concatenate([pixels, np.full((*pixels.shape[:2], 1), 255, np.uint8)], axis=-1)
