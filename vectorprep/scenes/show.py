"""How the area was understood, drawn on the picture.

Comes in: pixels, a `Surface`, a `View`. Goes out: pixels with a grid on the area and its corners named.
Never done here: the picture itself.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image, ImageDraw

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.scenes.surface import Surface
    from vectorprep.scenes.view import View

    Bytes = NDArray[np.uint8]
    Floats = NDArray[np.floating[Any]]

LINES = 8
EDGE, GRID, DARK = (225, 0, 90), (0, 150, 220), (255, 255, 255)
NAMES = (("top left", 0.0, 0.0), ("top right", 1.0, 0.0), ("bottom right", 1.0, 1.0), ("bottom left", 0.0, 1.0))


def with_area(pixels: Bytes, surface: Surface, view: View) -> Bytes:
    """The picture with the print area's outline, a grid of eighths, and each corner's name as the artwork has it."""
    image = Image.fromarray(pixels)
    pen = ImageDraw.Draw(image)
    width = max(1, round(max(view.size_px) / 1000))
    along = np.linspace(0.0, 1.0, 401)
    for step in range(LINES + 1):
        at = np.full_like(along, step / LINES)
        is_edge = step in {0, LINES}
        for u, v in ((along, at), (at, along)):
            _line(pen, surface, view, u, v, width=width * (3 if is_edge else 1), colour=EDGE if is_edge else GRID)
    for name, across, down in NAMES:
        x, y = view.from_page(*surface.to_page(np.array([across]), np.array([down])))
        if np.isfinite(x[0]) and np.isfinite(y[0]):
            _mark(pen, (float(x[0]), float(y[0])), name, radius=4 * width, size_px=view.size_px)
    return np.asarray(image)


def _line(
    pen: ImageDraw.ImageDraw, surface: Surface, view: View, u: Floats, v: Floats, *, width: int, colour: tuple[int, int, int]
) -> None:
    with np.errstate(invalid="ignore"):
        x, y = view.from_page(*surface.to_page(u, v))
    seen = np.isfinite(x) & np.isfinite(y)
    points = [(float(a), float(b)) for a, b in zip(x[seen], y[seen], strict=True)]
    if len(points) > 1:
        pen.line(points, fill=colour, width=width)


def _mark(pen: ImageDraw.ImageDraw, at: tuple[float, float], name: str, *, radius: int, size_px: tuple[int, int]) -> None:
    """A dot on a corner, its name below to the right of it, or as near to that as the picture lets."""
    x, y = at
    pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=EDGE, outline=DARK)
    stroke, size = max(1, radius // 4), 6 * radius
    left, top, right, bottom = pen.textbbox((0, 0), name, stroke_width=stroke, font_size=size)
    begin = _held(x + 2 * radius, -left, size_px[0] - right), _held(y + radius, -top, size_px[1] - bottom)
    pen.text(begin, name, fill=EDGE, stroke_fill=DARK, stroke_width=stroke, font_size=size)


def _held(value: float, low: float, high: float) -> float:
    return max(low, min(value, high))
