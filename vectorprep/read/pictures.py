"""Pictures embedded in a drawing: decoded here, written anew, so that no renderer ever sees bytes from outside.

Comes in: the value of an `href`.
Goes out: a `data:` URI of an 8-bit sRGB PNG (or of a clean SVG) and what the picture was; or a refusal with the cause.
Never done here: following a link.
"""

from __future__ import annotations

import base64
import binascii
import io
import re
import warnings
from dataclasses import dataclass
from urllib.parse import unquote_to_bytes

from PIL import Image, ImageCms

from vectorprep.errors import ArtworkRefused

MAX_PIXELS = 50_000_000  # house value
MAX_ALL_PIXELS = 100_000_000  # all pictures of a drawing, house value
FORMATS = ("PNG", "JPEG", "GIF", "WEBP")
_DATA = re.compile(r"data:([^,]*),(.*)", re.IGNORECASE | re.DOTALL)
_BLANKS = re.compile(rb"\s+")
_PNG = b"\x89PNG\r\n\x1a\n"
_WORDS_OF_PNG = frozenset((b"tEXt", b"zTXt", b"iTXt"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A decoded picture: the URI to draw, its own pixels, what it was."""

    uri: str
    width_px: int
    height_px: int
    mode: str
    has_alpha: bool
    icc: str = ""
    lossy: bool = False
    is_animated: bool = False


def data_of(href: str) -> bytes:
    """Bytes of a `data:` URI, base64 or percent-encoded.

    Raises:
        ArtworkRefused: it holds no readable data.
    """
    match = _DATA.match(href)
    if match is None:
        raise _broken("its data: address has no data")
    head, body = match.group(1).lower(), match.group(2)
    raw = unquote_to_bytes(body)
    if not head.rstrip().endswith("base64"):
        return raw
    packed = _BLANKS.sub(b"", raw)
    packed += b"=" * (-len(packed) % 4)
    try:
        return base64.b64decode(packed, validate=True)
    except (binascii.Error, ValueError) as error:
        raise _broken(f"its base64 text is damaged ({error})") from error


def looks_like_svg(data: bytes) -> bool:
    """Whether bytes are a drawing rather than pixels, by their first characters."""
    head = data[:3]
    return head.startswith((b"\x1f\x8b", b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf")) or data[:300].lstrip().startswith(b"<")


def svg_uri(markup: bytes) -> str:
    """A clean drawing as a `data:` URI."""
    return "data:image/svg+xml;base64," + base64.b64encode(markup).decode("ascii")


def decoded(data: bytes) -> Picture:
    """A picture decoded in full and written anew as an 8-bit sRGB PNG.

    Raises:
        ArtworkRefused: of another kind, damaged, or too big; the text says which.
    """
    if not data:
        raise _broken("it holds no bytes")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        image = _opened(data)
        return _written_anew(image)


def _opened(data: bytes) -> Image.Image:
    try:
        image = Image.open(io.BytesIO(_without_words(data)), formats=FORMATS)
    except Image.DecompressionBombError as error:
        raise _bomb(error) from error
    except Exception as error:
        if "too large" in str(error):
            raise _broken("its colour profile unpacks to more than a megabyte") from error
        raise _broken(f"{_kind_of(data)} ({_words(error)})") from error
    if image.width * image.height > MAX_PIXELS:
        raise _too_big(f"{image.width} x {image.height} px")
    if image.format == "PNG" and image.mode == "P" and image.palette is None:
        raise _broken("its palette is missing")
    return image


def _without_words(data: bytes) -> bytes:
    """The data; a PNG without its texts, which nobody sees and which may be bombs (PNG third edition, 11.3.3)."""
    if not data.startswith(_PNG):
        return data
    kept, start = [_PNG], len(_PNG)
    while start + 12 <= len(data):
        stop = start + 12 + int.from_bytes(data[start : start + 4], "big")
        if data[start + 4 : start + 8] not in _WORDS_OF_PNG:
            kept.append(data[start:stop])
        start = stop
    return b"".join((*kept, data[start:]))


def _written_anew(image: Image.Image) -> Picture:
    mode, icc = image.mode, image.info.get("icc_profile")
    lossy, is_animated = image.format == "JPEG", bool(getattr(image, "is_animated", False))
    try:
        image.load()
        plain, icc_name = _in_srgb(image, icc if isinstance(icc, bytes) else None)
        out = io.BytesIO()
        plain.save(out, "PNG", compress_level=1)
    except Image.DecompressionBombError as error:
        raise _bomb(error) from error
    except Exception as error:
        raise _broken(f"it is damaged ({_words(error)})") from error
    return Picture(
        uri="data:image/png;base64," + base64.b64encode(out.getvalue()).decode("ascii"),
        width_px=plain.width,
        height_px=plain.height,
        mode=mode,
        has_alpha=plain.mode == "RGBA" and _least_alpha(plain) < 255,
        icc=icc_name,
        lossy=lossy,
        is_animated=is_animated,
    )


def _least_alpha(image: Image.Image) -> int:
    histogram = image.getchannel("A").histogram()
    return next((level for level, count in enumerate(histogram) if count), 255)


def _in_srgb(image: Image.Image, icc: bytes | None) -> tuple[Image.Image, str]:
    """8-bit RGB or RGBA in sRGB, and the description of the profile that was honoured."""
    has_alpha = "A" in image.getbands() or "transparency" in image.info or image.mode in {"La", "RGBa"}
    wanted = "RGBA" if has_alpha else "RGB"
    if image.mode.startswith("I") or image.mode == "F":
        image = _eight_bit(image)
    if icc is None:
        return image.convert(wanted), ""
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(icc))
        name = ImageCms.getProfileDescription(source).strip()
        base = image if image.mode in {"RGB", "RGBA", "CMYK", "L"} else image.convert(wanted)
        target = ImageCms.createProfile("sRGB")
        made = ImageCms.profileToProfile(base, source, target, outputMode=wanted if base.mode == "RGBA" else "RGB")
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return image.convert(wanted), "unreadable profile"
    if made is None:
        return image.convert(wanted), "unreadable profile"
    if has_alpha and made.mode != "RGBA":
        made.putalpha(image.convert("RGBA").getchannel("A"))
    return made, name


def _eight_bit(image: Image.Image) -> Image.Image:
    """16-bit grey brought to 8 bits by its top byte; Pillow's own conversion clips instead."""
    return image.point(lambda value: value * (1 / 256)).convert("L")


def _words(error: BaseException) -> str:
    text = " ".join(str(error).split())
    text = re.sub(r"<_io\.BytesIO[^>]*>", "the data", text)
    return text[:120] or type(error).__name__


def _kind_of(data: bytes) -> str:
    """What unreadable bytes are by their first ones, in words."""
    kinds = {_PNG: "PNG", b"\xff\xd8": "JPEG", b"GIF8": "GIF", b"RIFF": "WebP"}
    others = {b"BM": "BMP", b"II*\0": "TIFF", b"MM\0*": "TIFF", b"%PDF": "PDF", b"\0\0\1\0": "icon"}
    known = next((kind for magic, kind in kinds.items() if data.startswith(magic)), "")
    other = next((kind for magic, kind in others.items() if data.startswith(magic)), "picture of another kind, or none")
    return f"it is a damaged {known}" if known else f"it is no PNG, JPEG, GIF or WebP but a {other}"


def _bomb(error: Image.DecompressionBombError) -> ArtworkRefused:
    pixels = re.search(r"\d+", str(error))
    return _too_big(f"its header says {pixels.group() if pixels else 'too many'} px")


def _broken(cause: str) -> ArtworkRefused:
    return ArtworkRefused(
        f"an embedded picture cannot be used: {cause}",
        fix="embed the picture again as PNG or JPEG in the drawing's editor",
        code="picture-broken",
    )


def _too_big(what: str) -> ArtworkRefused:
    return ArtworkRefused(
        f"an embedded picture is too big: {what}; the limit is {MAX_PIXELS} px",
        fix="scale the picture to the size it is printed at (300 ppi) and embed it again",
        code="picture-too-big",
    )
