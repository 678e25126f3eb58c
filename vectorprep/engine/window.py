"""Any rectangle of a drawing's page, drawn to a wanted size in pixels.

Comes in: an `Artwork`, a window in mm of its page, a size in pixels.
Goes out: a premultiplied `Raster` of that window.
Never done here: pictures put together from tiles: hairlines differ at the seams.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

from vectorprep.engine.root_tag import RootTag, parse_root
from vectorprep.geometry import Box
from vectorprep.units import css_px_from_mm

if TYPE_CHECKING:
    from vectorprep.engine.base import Engine
    from vectorprep.model import Artwork, Page, Raster

_SLACK = 1e-6  # of the page: rounding of a window that was meant to end at the page's edge
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
    clips = clip_to_page and not artwork.is_unclipped
    markup = windowed(artwork, window, (width_px, height_px), clips=clips, crisp=crisp)
    return engine.draw(markup, width_px, height_px)


def windowed(artwork: Artwork, window: Box, size_px: tuple[int, int], *, clips: bool, crisp: bool) -> bytes:
    """Markup that shows a window (CSS px of the page) of the drawing on a canvas of that size."""
    page = artwork.page
    root = parse_root(artwork.markup)
    if crisp:
        root = root.with_attributes({b"shape-rendering": "crispEdges"})
    needs_clip = clips and not _page_box(page).contains(window, slack=_SLACK * max(page.width_px, page.height_px))
    if needs_clip or artwork.has_percentages or has_implied_percentages(artwork.markup):
        return _wrapped(root, page, window, size_px, needs_clip=needs_clip)
    return root.with_attributes(
        {
            b"width": str(size_px[0]),
            b"height": str(size_px[1]),
            b"viewBox": _corners(page.uu_to_px.inverse().box(window)),
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


def _wrapped(root: RootTag, page: Page, window: Box, size_px: tuple[int, int], *, needs_clip: bool) -> bytes:
    """The root nested in a canvas of the wanted size, its viewBox kept so that percentages keep their meaning."""
    view_box = root.view_box or page.uu_to_px.inverse().box(_page_box(page))
    scale = size_px[0] / window.width, size_px[1] / window.height
    nested = root.with_attributes(
        {
            **_viewport(page.uu_to_px.box(view_box), window, scale),
            b"viewBox": _corners(view_box),
            b"preserveAspectRatio": "none",
            b"overflow": "visible",
            b"style": f"{(root.get(b'style') or b'').decode()};overflow:visible".lstrip(";"),
        }
    )
    canvas = root.wrapper({b"width": str(size_px[0]), b"height": str(size_px[1])})
    end = b"</" + root.tag + b">"
    if not needs_clip:
        return canvas + nested.markup + end
    return canvas + root.wrapper({**_viewport(_page_box(page), window, scale), b"overflow": "hidden"}) + nested.markup + end + end


def _viewport(box: Box, window: Box, scale: tuple[float, float]) -> dict[bytes, str]:
    return {
        b"x": repr((box.x0 - window.x0) * scale[0]),
        b"y": repr((box.y0 - window.y0) * scale[1]),
        b"width": repr(box.width * scale[0]),
        b"height": repr(box.height * scale[1]),
    }


def _page_box(page: Page) -> Box:
    return Box(0.0, 0.0, page.width_px, page.height_px)


def _corners(box: Box) -> str:
    return f"{box.x0!r} {box.y0!r} {box.width!r} {box.height!r}"
