"""Any rectangle of a drawing's page, drawn to a wanted size in pixels.

Comes in: an `Artwork`, a window in mm of its page, a size in pixels.
Goes out: a premultiplied `Raster` of that window.
Never done here: pictures put together from tiles: hairlines differ at the seams.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.engine.root_tag import RootTag, parse_root
from vectorprep.geometry import Box
from vectorprep.units import css_px_from_mm

if TYPE_CHECKING:
    from vectorprep.engine.base import Engine
    from vectorprep.model import Artwork, Page, Raster

_SLACK = 1e-3  # px: rounding of a window that was meant to end at the page's edge
_VIEWPORT = re.compile(rb"<(?:[\w.-]+:)?(?:svg|symbol)\b")
_USER_SPACE = re.compile(rb"<(?:[\w.-]+:)?(linearGradient|radialGradient|mask|filter)\b([^>]*userSpaceOnUse[^>]*)>")
_OWN_GEOMETRY = {
    b"linearGradient": (b" x1=", b" y1=", b" x2=", b" y2="),
    b"radialGradient": (b" cx=", b" cy=", b" r="),
    b"mask": (b" x=", b" y=", b" width=", b" height="),
    b"filter": (b" x=", b" y=", b" width=", b" height="),
}


def draw_window(
    engine: Engine,
    artwork: Artwork,
    window_mm: Box,
    width_px: int,
    height_px: int,
    *,
    clip_to_page: bool = True,
    crisp: bool = False,
) -> Raster:
    """The window of the page, stretched to width x height pixels, premultiplied.

    Args:
        engine: from `open_engine`.
        artwork: clean drawing.
        window_mm: rectangle on the page; it may reach beyond the page.
        width_px: columns of the raster.
        height_px: rows of the raster.
        clip_to_page: False draws what lies beyond the page too.
        crisp: no antialiasing of shapes.

    Raises:
        ArtworkFailed: the canvas is above the pixel cap, or the engine gives no picture.
    """
    window = window_mm.scaled(css_px_from_mm(1.0))
    raster = engine.draw(windowed(artwork, window, (width_px, height_px), crisp=crisp), width_px, height_px)
    if not clip_to_page or artwork.is_unclipped:
        return raster
    page = artwork.page
    scale = width_px / window.width, height_px / window.height
    left, top = -window.x0 * scale[0], -window.y0 * scale[1]
    return _clipped(raster, Box(left, top, left + page.width_px * scale[0], top + page.height_px * scale[1]))


def windowed(artwork: Artwork, window: Box, size_px: tuple[int, int], *, crisp: bool) -> bytes:
    """Markup that shows a window (CSS px of the page) of the drawing on a canvas of that size, ink beyond the page included."""
    root = parse_root(artwork.markup)
    if crisp:
        root = root.with_attributes({b"shape-rendering": "crispEdges"})
    if artwork.has_percentages or has_implied_percentages(artwork.markup):
        return _wrapped(root, artwork.page, window, size_px)
    return root.with_attributes(
        {
            b"width": str(size_px[0]),
            b"height": str(size_px[1]),
            b"viewBox": _corners(artwork.page.uu_to_px.inverse().box(window)),
            b"preserveAspectRatio": "none",
        }
    ).markup


@lru_cache(maxsize=4)
def has_implied_percentages(markup: bytes) -> bool:
    """Whether something below the root takes a size from the viewport without naming a percentage.

    Nested viewports and symbols are 100 % by default, and gradients, masks and filters in user space have defaults in per cent.
    """
    rest = parse_root(markup).rest
    if _VIEWPORT.search(rest):
        return True
    return any(not all(own in attributes for own in _OWN_GEOMETRY[tag]) for tag, attributes in _USER_SPACE.findall(rest))


def _wrapped(root: RootTag, page: Page, window: Box, size_px: tuple[int, int]) -> bytes:
    """The root nested in a canvas of the wanted size, its viewBox kept so that percentages keep their meaning."""
    view_box = root.view_box or page.uu_to_px.inverse().box(Box(0.0, 0.0, page.width_px, page.height_px))
    on_page = page.uu_to_px.box(view_box)
    across, down = size_px[0] / window.width, size_px[1] / window.height
    nested = root.with_attributes(
        {
            b"x": repr((on_page.x0 - window.x0) * across),
            b"y": repr((on_page.y0 - window.y0) * down),
            b"width": repr(on_page.width * across),
            b"height": repr(on_page.height * down),
            b"viewBox": _corners(view_box),
            b"preserveAspectRatio": "none",
            b"overflow": "visible",
            b"style": f"{(root.get(b'style') or b'').decode()};overflow:visible".lstrip(";"),
        }
    )
    canvas = root.wrapper({b"width": str(size_px[0]), b"height": str(size_px[1])})
    return canvas + nested.markup + b"</" + root.tag + b">"


def _clipped(raster: Raster, page: Box) -> Raster:
    """The raster without what is painted beyond the page (in pixels of the raster); the page's own edge is smoothed.

    An engine's clip costs as much again as the drawing. Where nothing is painted beyond, ink that ends at the page's edge keeps its
    own smoothing.
    """
    height, width = raster.pixels.shape[:2]
    # Whole lines beyond the page, the last line that the page's edge runs through left out.
    x0, x1 = min(max(math.floor(page.x0 + _SLACK), 0), width), min(max(math.ceil(page.x1 - _SLACK), 0), width)
    y0, y1 = min(max(math.floor(page.y0 + _SLACK), 0), height), min(max(math.ceil(page.y1 - _SLACK), 0), height)
    beyond = (np.s_[:y0], np.s_[y1:], np.s_[y0:y1, :x0], np.s_[y0:y1, x1:])
    if not any(raster.pixels[part].any() for part in beyond):
        return raster
    pixels = raster.pixels.copy()
    for part in beyond:
        pixels[part] = 0
    for line, share in ((x0, x0 + 1 - page.x0), (x1 - 1, page.x1 - x1 + 1)):
        if 0 <= line < width and 0 < share < 1:
            pixels[:, line] = np.rint(pixels[:, line] * share)
    for line, share in ((y0, y0 + 1 - page.y0), (y1 - 1, page.y1 - y1 + 1)):
        if 0 <= line < height and 0 < share < 1:
            pixels[line] = np.rint(pixels[line] * share)
    pixels.flags.writeable = False
    return replace(raster, pixels=pixels)


def _corners(box: Box) -> str:
    return f"{box.x0!r} {box.y0!r} {box.width!r} {box.height!r}"
