"""A photograph's pixels laid where its frame lies on the picture.

Comes in: pixels, the `Photograph` with its frame, a `View`. Goes out: pixels of the picture, white where it does not reach.
Never done here: colours.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from vectorprep.geometry import Affine

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Photograph
    from vectorprep.scenes.view import View

    Bytes = NDArray[np.uint8]

UPRIGHT = 1e-6


def placed(rgb: Bytes, photograph: Photograph, view: View) -> Bytes:
    """The picture, height x width x 3."""
    height, width = rgb.shape[:2]
    to_page = frame_map(photograph, (width, height))
    across, down = view.scale
    to_picture = Affine(across, 0.0, 0.0, down, -view.window.x0 * across, -view.window.y0 * down).after(to_page)
    if abs(to_picture.b) < UPRIGHT and abs(to_picture.c) < UPRIGHT and to_picture.a > 0 and to_picture.d > 0:
        return _upright(rgb, to_picture, view.size_px)
    return _turned(rgb, to_picture, view.size_px)


def frame_map(photograph: Photograph, size_px: tuple[int, int]) -> Affine:
    """Map of the photograph's own px to the page: undistorted in the middle of its frame, or stretched to it."""
    frame, (width, height) = photograph.frame, size_px
    stretched = frame.after(Affine(1 / width, 0.0, 0.0, 1 / height, 0.0, 0.0))
    if not photograph.keeps_aspect:
        return stretched
    across = (frame.a**2 + frame.b**2) ** 0.5 / width
    down = (frame.c**2 + frame.d**2) ** 0.5 / height
    fit_x, fit_y = min(1.0, down / across), min(1.0, across / down)
    inset = Affine(fit_x, 0.0, 0.0, fit_y, (1 - fit_x) / 2 * width, (1 - fit_y) / 2 * height)
    return stretched.after(inset)


def finest(photograph: Photograph, size_px: tuple[int, int]) -> float:
    """Px of the photograph per px of the page."""
    return 1 / math.sqrt(abs(frame_map(photograph, size_px).determinant))


def _upright(rgb: Bytes, to_picture: Affine, size_px: tuple[int, int]) -> Bytes:
    """By Lanczos reduction of just the part that is seen."""
    height, width = rgb.shape[:2]
    x0, y0 = max(0, round(to_picture.e)), max(0, round(to_picture.f))
    x1 = min(size_px[0], round(to_picture.e + to_picture.a * width))
    y1 = min(size_px[1], round(to_picture.f + to_picture.d * height))
    made = np.full((size_px[1], size_px[0], 3), 255, np.uint8)
    if x1 <= x0 or y1 <= y0:
        return made
    back = to_picture.inverse()
    left, top = back.point(x0, y0)
    right, bottom = back.point(x1, y1)
    box = (max(left, 0.0), max(top, 0.0), min(right, float(width)), min(bottom, float(height)))
    made[y0:y1, x0:x1] = np.asarray(Image.fromarray(rgb).resize((x1 - x0, y1 - y0), Image.Resampling.LANCZOS, box=box))
    return made


def _turned(rgb: Bytes, to_picture: Affine, size_px: tuple[int, int]) -> Bytes:
    """Reduced to about the picture's size first, then turned."""
    step = max(1, int(1 / max(abs(to_picture.determinant) ** 0.5, 1e-6)))
    image = Image.fromarray(rgb).reduce(step)
    back = to_picture.after(Affine(float(step), 0.0, 0.0, float(step), 0.0, 0.0)).inverse()
    made = image.transform(
        size_px,
        Image.Transform.AFFINE,
        (back.a, back.c, back.e, back.b, back.d, back.f),
        Image.Resampling.BICUBIC,
        fillcolor=(255, 255, 255),
    )
    return np.asarray(made)
