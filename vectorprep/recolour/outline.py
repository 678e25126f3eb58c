"""The keyline as a vector: one path behind the whole drawing, on a page that holds it.

Comes in: an artwork, its raster in a window of the page, width and colour of the outline.
Goes out: a new artwork: the path first, then the drawing as it was, nested with its own viewport.
Never done here: drawing the raster, deciding that a keyline is wanted.

The path follows the grown coverage of the drawing, so strokes, lettering, clips and masks all count as they look; no copy of the
drawing is needed, whose ids and style sheets would meet those of the original.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from lxml import etree

from vectorprep.geometry import Affine, Box
from vectorprep.markup.tree import parse_clean, serialise, svg_root, svg_tag
from vectorprep.model import Page
from vectorprep.recolour.keyline import keyline_coverage
from vectorprep.shapes.trace import contours, simplified
from vectorprep.units import css_px_from_mm, mm_from_css_px

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Artwork, Raster
    from vectorprep.shapes.trace import Points

TOLERANCE_PX = 0.2
"""How far the path may leave the traced line, in pixels of the raster (house value)."""
LEAST_AREA_PX = 1.0
"""Smaller rings are noise (house value)."""


def with_outline(artwork: Artwork, raster: Raster, window_mm: Box, width_mm: float, colour: str) -> Artwork:
    """The artwork over a vector outline; see `outlined`."""
    return outlined(artwork, raster, window_mm, width_mm, colour)[0]


def outlined(artwork: Artwork, raster: Raster, window_mm: Box, width_mm: float, colour: str) -> tuple[Artwork, tuple[float, float]]:
    """The artwork over a vector outline, and where the corner of its page lies on the old one.

    Args:
        artwork: what is outlined.
        raster: its picture in the window, premultiplied or straight; 1500 px on the long side give an outline even to a hundredth.
        window_mm: what the raster shows, on the page; it must hold all ink.
        width_mm: of the outline, in mm of the page.
        colour: `#rrggbb`.

    Returns:
        An artwork whose page is larger where the outline needs it, and the corner (x, y) in mm.
    """
    px_per_mm = raster.pixels.shape[1] / window_mm.width
    margin = math.ceil(width_mm * px_per_mm) + 1
    covered = keyline_coverage(np.pad(raster.pixels[..., 3], margin), width_mm * px_per_mm)
    loops = [simplified(loop, TOLERANCE_PX) for loop in contours(_smoothed(covered))]
    to_css = css_px_from_mm(1.0) / px_per_mm
    corner = np.array([window_mm.x0, window_mm.y0]) * css_px_from_mm(1.0)
    placed = [(loop - margin) * to_css + corner for loop in loops if len(loop) > 2 and abs(_area(loop)) >= LEAST_AREA_PX]
    decimals = max(2, -math.floor(math.log10(TOLERANCE_PX * to_css)))
    return _behind(artwork, placed, colour, decimals) if placed else (artwork, (0.0, 0.0))


def _smoothed(covered: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Coverage under a binomial blur of three pixels: the half-covered line of single pixels wavers by a fifth of one."""
    level = covered.astype(np.uint16)
    level[1:-1] = (level[:-2] + 2 * level[1:-1] + level[2:] + 2) // 4
    level[:, 1:-1] = (level[:, :-2] + 2 * level[:, 1:-1] + level[:, 2:] + 2) // 4
    return level.astype(np.uint8)


def _area(loop: Points) -> float:
    x, y = loop[:, 0], loop[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def _behind(artwork: Artwork, loops: list[Points], colour: str, decimals: int) -> tuple[Artwork, tuple[float, float]]:
    page = artwork.page
    every = np.concatenate(loops)
    (x0, y0), (x1, y1) = every.min(axis=0).tolist(), every.max(axis=0).tolist()
    box = Box(0, 0, page.width_px, page.height_px).union(Box(math.floor(x0), math.floor(y0), math.ceil(x1), math.ceil(y1)))
    inner = parse_clean(artwork.markup)
    inner.set("x", f"{-box.x0:.10g}")
    inner.set("y", f"{-box.y0:.10g}")
    size = {"width": f"{box.width:.10g}", "height": f"{box.height:.10g}"}
    root = svg_root({**size, "viewBox": f"0 0 {box.width:.10g} {box.height:.10g}"})
    etree.SubElement(
        root,
        svg_tag("path"),
        {
            "d": " ".join(_data(loop - (box.x0, box.y0), decimals) for loop in loops),
            "style": f"fill:{colour};fill-rule:evenodd;stroke:none",
        },
    )
    root.append(inner)
    grown = Page(
        width_px=box.width, height_px=box.height, uu_to_px=Affine(), size_source=page.size_source, generator=page.generator
    )
    corner = mm_from_css_px(box.x0), mm_from_css_px(box.y0)
    return replace(artwork, markup=serialise(root), page=grown), corner


def _data(loop: Points, decimals: int) -> str:
    pairs = [f"{x:.{decimals}f},{y:.{decimals}f}" for x, y in loop.tolist()]
    return f"M{pairs[0]}L{' '.join(pairs[1:])}Z"
