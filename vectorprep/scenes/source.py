"""The file of a picture taken apart: what it states of itself, its drawing, its photograph.

Comes in: bytes of an SVG, and a function that fetches a file lying beside it. Goes out: a `SceneSource`.
The photograph leaves the drawing here, so that the reader of drawings need open no link for it; a plain shape keeps its place.
Never done here: cleaning the drawing (`read`), decoding pixels (`photograph`).
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from urllib.parse import unquote

from lxml import etree

from vectorprep.errors import ArtworkRefused, SceneRefused
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import Element, href_of, local_name, serialise, svg_elements, svg_tag
from vectorprep.scenes.photograph import pixel_size
from vectorprep.scenes.record import ELEMENT

FRAME = "vectorprep-photograph"
"""Id of the shape that stands for the photograph in the drawing."""
AREA = "area"
Fetch = Callable[[str], bytes]
"""Bytes of a file that lies beside the picture's, by its name."""

_HIDING = re.compile(r"(?:^|;)\s*(?:display|visibility|opacity)\s*:[^;]*")
_DATA = re.compile(r"data:([^,]*),(.*)", re.DOTALL | re.IGNORECASE)
_GEOMETRY = ("x", "y", "width", "height", "transform", "style", "class")


@dataclass(frozen=True, slots=True, kw_only=True)
class SceneSource:
    """The parts of a picture's file. `photograph` holds its name and bytes, None for a drawing."""

    attributes: Mapping[str, str]
    drawing: bytes
    photograph: tuple[str, bytes] | None = None
    keeps_aspect: bool = True

    @property
    def digest(self) -> str:
        """SHA-256 of drawing and photograph."""
        parts = hashlib.sha256(self.drawing)
        if self.photograph is not None:
            parts.update(self.photograph[1])
        return parts.hexdigest()


def taken_apart(data: bytes, fetch: Fetch) -> SceneSource:
    """The parts of a picture's file.

    Raises:
        SceneRefused: no SVG, more than one photograph, or a photograph that is not to be had.
    """
    try:
        root = parse_untrusted(data)
    except ArtworkRefused as error:
        raise SceneRefused(error.message, fix=error.fix, code=error.code) from error
    attributes = _attributes(root)
    for element in svg_elements(root):
        if _is_area(element.get("id", "")):
            _unhide(element)
    images = [element for element in svg_elements(root) if local_name(element) == "image"]
    if len(images) > 1:
        raise SceneRefused(
            f"it holds {len(images)} photographs, where one is expected",
            fix="make one file for each photograph",
            code="scene-many-photographs",
        )
    if not images:
        return SceneSource(attributes=attributes, drawing=serialise(root))
    name, pixels = _photograph(href_of(images[0]), fetch)
    keeps_aspect = not images[0].get("preserveAspectRatio", "").strip().startswith("none")
    _set_frame(images[0], pixels)
    return SceneSource(attributes=attributes, drawing=serialise(root), photograph=(name, pixels), keeps_aspect=keeps_aspect)


def _attributes(root: Element) -> dict[str, str]:
    found = next(root.iter(ELEMENT), None)
    return {} if found is None else {str(key): str(value) for key, value in found.attrib.items() if not str(key).startswith("{")}


def _is_area(name: str) -> bool:
    return name == AREA or name.startswith(f"{AREA}-")


def _unhide(element: Element) -> None:
    """An area that was hidden in the editor counts all the same."""
    for key in ("display", "visibility", "opacity"):
        if key in element.attrib:
            del element.attrib[key]
    if "style" in element.attrib:
        element.set("style", _HIDING.sub("", element.get("style", "")))


def _set_frame(image: Element, pixels: bytes) -> None:
    """An invisible rectangle in the photograph's place."""
    parent = image.getparent()
    assert parent is not None, "an image is below the root"
    width, height = pixel_size(pixels)
    own = {key: image.get(key, "") for key in _GEOMETRY if key in image.attrib}
    frame = etree.Element(svg_tag("rect"), {"width": str(width), "height": str(height), **own, "id": FRAME, "fill": "none"})
    frame.tail = image.tail
    parent.replace(image, frame)


def _photograph(href: str, fetch: Fetch) -> tuple[str, bytes]:
    if href[:5].lower() == "data:":
        return "", _embedded(href)
    name = file_beside(href)
    if not name:
        raise SceneRefused(
            f"the photograph is linked as '{href[:80]}', which names no file beside the picture's",
            fix="put the photograph into the same folder and link it by its name, or embed it",
            code="scene-photograph-missing",
        )
    return name, fetch(name)


def file_beside(href: str) -> str:
    """Name of the file that a link means, taken to lie beside the picture's file; empty where the link names none."""
    plain = unquote(href.split("#", maxsplit=1)[0].split("?", maxsplit=1)[0]).replace("\\", "/")
    if re.match(r"(?!file:)[a-z][a-z0-9+.-]+:", plain, re.IGNORECASE):
        return ""
    name = PurePosixPath(plain).name
    return "" if name in {"", ".", ".."} else name


def _embedded(href: str) -> bytes:

    match = _DATA.match(href)
    packed = re.sub(r"\s", "", match.group(2)) if match is not None and "base64" in match.group(1).lower() else "?"
    try:
        return base64.b64decode(packed, validate=True)
    except (binascii.Error, ValueError) as error:
        raise SceneRefused(
            f"the embedded photograph cannot be used: {error}", fix="embed it again in the editor", code="scene-photograph-broken"
        ) from error
