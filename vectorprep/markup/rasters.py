"""Pictures inside a drawing, sent through the same mapping of inks, pixel by pixel.

Comes in: the root of a drawing, a mapping of inks, and how to rewrite a nested drawing.
Goes out: the tree with flat pictures replaced by PNG data, and an issue for each picture that keeps its colours.
Never done here: opening anything outside the data of the drawing, tinting photographs.
"""

from __future__ import annotations

import base64
import binascii
import io
import warnings
from collections.abc import Callable, Collection
from urllib.parse import unquote_to_bytes

import numpy as np
from numpy.typing import NDArray
from PIL import Image, UnidentifiedImageError

from vectorprep.errors import ArtworkRefused
from vectorprep.markup.issues import PaintIssue, describe
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import XLINK_HREF, Element, href_of, serialise, svg_tag

Mapping = Callable[[str], str]
RewriteNested = Callable[[Element, Mapping, int], list[PaintIssue]]
Pixels = NDArray[np.uint8]
Tones = Callable[[Pixels], Pixels]
"""What becomes of a picture of tones: straight RGBA pixels to pixels; the very same array where nothing changes."""

FLAT_COLOURS = 64  # house value: a flat picture is told by few colours ...
FLAT_SHARE = 0.8  # ... that hold this share of its visible pixels; house value
SOFT_SHARE = 0.2  # of a picture's visible pixels that are soft all around, from which it is a blur; house value
NEUTRAL_SPREAD = 12  # levels between the channels up to which a pixel is grey; house value
MAX_COLOURS = 65_536  # distinct colours sent through the mapping one by one, house value
MAX_PIXELS = 50_000_000  # house value, the reader's own limit
MAX_DEPTH = 3  # drawings inside drawings, house value
_FORMATS = ("PNG", "GIF", "WEBP")
_PLACES = (svg_tag("image"), svg_tag("feImage"))


class _Kept(Exception):
    def __init__(self, feature: str, message: str) -> None:
        super().__init__(message)
        self.feature = feature


def rewrite_pictures(
    root: Element,
    mapping: Mapping,
    *,
    pinned: Collection[Element],
    nested: RewriteNested,
    depth: int = 0,
    tones: Tones | None = None,
) -> list[PaintIssue]:
    """Sends embedded flat pictures and nested drawings through `mapping`, in place.

    Args:
        root: the drawing.
        mapping: `#rrggbb` to `#rrggbb`.
        pinned: elements that keep their colours (content of luminance masks).
        nested: rewrites the root of a drawing inside this one.
        depth: how many drawings lie around this one.
        tones: draws pictures of tones instead of the mapping: photographs, JPEG data, and grey blurs such as a soft shadow, which
            the mapping alone would turn into a glow.

    Returns:
        pictures that keep their colours, with the reason.
    """
    issues: list[PaintIssue] = []
    done: dict[str, str] = {}
    for element in root.iter(*_PLACES):
        href = href_of(element)
        if not href or href.startswith("#") or element in pinned:
            continue
        try:
            if href not in done:
                done[href], more = _rewritten(href, mapping, nested, depth, tones)
                issues += more
        except _Kept as kept:
            issues.append(PaintIssue(slug="picture-kept", message=str(kept), element=describe(element), feature=kept.feature))
            continue
        element.set("href" if element.get("href") is not None else XLINK_HREF, done[href])
    return issues


def _rewritten(href: str, mapping: Mapping, nested: RewriteNested, depth: int, tones: Tones | None) -> tuple[str, list[PaintIssue]]:
    data = _payload(href)
    if _looks_like_svg(href, data):
        return _nested_drawing(data, mapping, nested, depth)
    if tones is not None:
        pixels = _opened(data, ("JPEG", *_FORMATS))
        if _is_jpeg(data) or _is_blur(pixels) or not _is_flat(_counted(pixels)[2]):
            drawn = tones(pixels)
            return href if drawn is pixels else _as_png(drawn), []
    return _as_png(_mapped_picture(data, mapping)), []


def _payload(href: str) -> bytes:
    head, comma, body = href.partition(",")
    if not head[:5].lower() == "data:" or not comma:
        raise _Kept("linked-picture", "a linked picture keeps its colours: it is not part of the drawing")
    try:
        if head.lower().rstrip().endswith(";base64"):
            return base64.b64decode("".join(unquote_to_bytes(body).decode("ascii").split()) + "==", validate=False)
        return unquote_to_bytes(body)
    except (binascii.Error, ValueError) as error:
        raise _Kept("broken-picture", f"an embedded picture cannot be decoded: {error}") from error


def _looks_like_svg(href: str, data: bytes) -> bool:
    return "svg" in href[:40].lower().partition(",")[0] or data[:400].lstrip().startswith((b"<svg", b"<?xml", b"<!DOCTYPE svg"))


def _nested_drawing(data: bytes, mapping: Mapping, nested: RewriteNested, depth: int) -> tuple[str, list[PaintIssue]]:
    if depth >= MAX_DEPTH:
        raise _Kept("nested-svg", f"a drawing inside drawings more than {MAX_DEPTH} deep keeps its colours")
    try:
        root = parse_untrusted(data)
    except ArtworkRefused as error:
        raise _Kept("nested-svg", f"a drawing inside the drawing cannot be read: {error.message}") from error
    issues = nested(root, mapping, depth + 1)
    return "data:image/svg+xml;base64," + base64.b64encode(serialise(root)).decode("ascii"), issues


def _is_jpeg(data: bytes) -> bool:
    return data[:3] == b"\xff\xd8\xff"


def _opened(data: bytes, formats: tuple[str, ...] = _FORMATS) -> Pixels:
    if _is_jpeg(data) and "JPEG" not in formats:
        raise _Kept("jpeg", "JPEG data keeps its colours: its blocks mix neighbouring colours")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=formats) as picture:
                if picture.width * picture.height > MAX_PIXELS:
                    raise _Kept("photo", f"a picture of {picture.width} x {picture.height} px is beyond {MAX_PIXELS} px")
                return np.array(picture.convert("RGBA"))
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise _Kept("broken-picture", f"an embedded picture cannot be decoded: {error}") from error


def _as_png(pixels: Pixels) -> str:
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, format="PNG")
    return "data:image/png;base64," + base64.b64encode(out.getvalue()).decode("ascii")


def _counted(pixels: Pixels) -> tuple[NDArray[np.uint32], NDArray[np.intp], NDArray[np.intp]]:
    """Distinct colours 0xrrggbb of the visible pixels, the place of each pixel among them, how often each occurs."""
    packed = pixels[pixels[..., 3] > 0][:, :3].astype(np.uint32) @ np.array([1 << 16, 1 << 8, 1], dtype=np.uint32)
    return np.unique(packed, return_inverse=True, return_counts=True)


def _mapped_picture(data: bytes, mapping: Mapping) -> Pixels:
    pixels = _opened(data)
    colours, places, counts = _counted(pixels)
    if not _is_flat(counts):
        raise _Kept("photo", f"a photograph ({len(colours)} colours) keeps its colours")
    mapped = np.array([int(mapping(f"#{int(colour):06x}")[1:], 16) for colour in colours], dtype=np.uint32)[places]
    pixels[pixels[..., 3] > 0, :3] = np.stack([mapped >> 16, mapped >> 8 & 255, mapped & 255], axis=-1).astype(np.uint8)
    return pixels


def _is_flat(counts: NDArray[np.intp]) -> bool:
    """Drawn with few colours: the commonest hold most of the picture, smoothed edges hold the rest."""
    total = int(counts.sum())
    return len(counts) <= MAX_COLOURS and int(np.sort(counts)[::-1][:FLAT_COLOURS].sum()) >= FLAT_SHARE * total


def _is_blur(pixels: Pixels) -> bool:
    """Grey that fades over more than the smoothing of an edge: a soft shadow or glow."""
    alpha = pixels[..., 3]
    soft = np.pad((alpha > 0) & (alpha < 255), 1)
    around = soft[1:-1, 1:-1] & soft[:-2, 1:-1] & soft[2:, 1:-1] & soft[1:-1, :-2] & soft[1:-1, 2:]
    if np.count_nonzero(around) < max(1.0, SOFT_SHARE * np.count_nonzero(alpha)):
        return False
    seen = pixels[alpha > 0]
    return bool((np.ptp(seen[:, :3], axis=1) <= NEUTRAL_SPREAD).all())
