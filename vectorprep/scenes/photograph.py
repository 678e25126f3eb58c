"""A photograph's bytes as 8-bit sRGB pixels.

Comes in: bytes of a JPEG, PNG, WebP or TIFF. Goes out: pixels, and in words what was done to their colours.
Never done here: opening files; light and shade.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageCms, ImageOps

from vectorprep.errors import SceneRefused

if TYPE_CHECKING:
    from numpy.typing import NDArray

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF")
MAX_BYTES = 60_000_000  # house value
MAX_PIXELS = 80_000_000  # house value: cameras of 2026 take up to about 60 megapixels
MIN_SIDE_PX = 32


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pixels:
    """Height x width x 3 uint8 in sRGB, and what was done to get there."""

    rgb: NDArray[np.uint8]
    words: str


def pixel_size(data: bytes) -> tuple[int, int]:
    """Width and height as seen, turned as its tag says.

    Raises:
        SceneRefused: no such picture, or beyond a limit.
    """
    image = _opened(data)
    turned = image.getexif().get(0x0112, 1) in {5, 6, 7, 8}  # Exif 2.3: tag Orientation, values with sides exchanged
    return (image.height, image.width) if turned else (image.width, image.height)


def srgb_pixels(data: bytes) -> Pixels:
    """The photograph in 8-bit sRGB, turned as its tag says, on white where it is transparent.

    Raises:
        SceneRefused: truncated, or of no kind that is read.
    """
    image = _opened(data)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image.load()
            plain, words = _in_srgb(image)
            return Pixels(rgb=np.asarray(ImageOps.exif_transpose(plain)), words=words)
    except Exception as error:
        words = " ".join(str(error).split())[:100] or type(error).__name__
        raise _broken(f"it is damaged or cut short ({words})") from error


def _opened(data: bytes) -> Image.Image:
    if len(data) > MAX_BYTES:
        raise _too_big(f"{len(data) / 1e6:.0f} MB, the limit is {MAX_BYTES / 1e6:.0f} MB")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image = Image.open(io.BytesIO(data), formats=FORMATS)
    except Exception as error:
        raise _broken("it is no JPEG, PNG, WebP or TIFF picture") from error
    if image.width * image.height > MAX_PIXELS:
        raise _too_big(f"{image.width} x {image.height} px, the limit is {MAX_PIXELS / 1e6:.0f} megapixels")
    if min(image.size) < MIN_SIDE_PX:
        raise _broken(f"it has {image.width} x {image.height} px, the least is {MIN_SIDE_PX} px a side")
    return image


def _in_srgb(image: Image.Image) -> tuple[Image.Image, str]:
    icc, kind = image.info.get("icc_profile"), _KINDS.get(image.mode, image.mode)
    exif = image.getexif()
    image = _eight_bit(image)
    if isinstance(icc, bytes):
        converted = _by_profile(image, icc)
        if converted is not None:
            made, name = converted
            made.getexif().update(exif)
            return made, f"{kind}, from the profile '{name}' to sRGB"
    made = _on_white(image)
    made.getexif().update(exif)
    told = "with a profile that cannot be read, taken as sRGB" if icc else "without a profile, taken as sRGB"
    return made, f"{kind}, {told}"


def _by_profile(image: Image.Image, icc: bytes) -> tuple[Image.Image, str] | None:
    """The picture through its own profile, perceptual intent; None where the profile is of no use."""
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(icc))
        name = " ".join(ImageCms.getProfileDescription(source).split())
        base = image if image.mode in {"RGB", "CMYK", "L"} else _on_white(image)
        made = ImageCms.profileToProfile(
            base, source, ImageCms.createProfile("sRGB"), renderingIntent=ImageCms.Intent.PERCEPTUAL, outputMode="RGB"
        )
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return None
    return (made, name) if made is not None else None


def _eight_bit(image: Image.Image) -> Image.Image:
    """16-bit grey by its top byte; Pillow's own conversion clips instead."""
    if image.mode.startswith("I") or image.mode == "F":
        values = np.asarray(image, np.float64)
        top = 1.0 if image.mode == "F" and values.max() <= 1.0 else 65535.0
        return Image.fromarray((values.clip(0, top) * (255 / top) + 0.5).astype(np.uint8))
    return image


def _on_white(image: Image.Image) -> Image.Image:
    if "A" in image.getbands() or "transparency" in image.info:
        clear = image.convert("RGBA")
        return Image.alpha_composite(Image.new("RGBA", clear.size, (255, 255, 255, 255)), clear).convert("RGB")
    return image.convert("RGB")


_KINDS = {
    "CMYK": "CMYK",
    "L": "grey",
    "1": "black and white",
    "P": "palette",
    "RGB": "RGB",
    "RGBA": "RGB with transparency on white",
    "I;16": "16-bit grey",
    "I": "16-bit grey",
    "I;16B": "16-bit grey",
}


def _broken(cause: str) -> SceneRefused:
    return SceneRefused(
        f"the photograph cannot be used: {cause}",
        fix="save the photograph again as JPEG or PNG",
        code="scene-photograph-broken",
    )


def _too_big(what: str) -> SceneRefused:
    return SceneRefused(
        f"the photograph is too big: {what}", fix="scale it to the size of the pictures you need", code="scene-photograph-too-big"
    )
