"""A picture of one drawing with its page and ink boxes drawn on it.

Comes in: one drawing, a path for the picture. Goes out: a PNG file. Never done here: measuring.
"""

from __future__ import annotations

import os
from collections.abc import Sequence

import numpy as np

from vectorprep import png
from vectorprep.engine import draw_window, open_engine
from vectorprep.errors import UsageError
from vectorprep.fonts import load_index
from vectorprep.geometry import Box
from vectorprep.model import Measurement, Raster
from vectorprep.pipeline.options import RunOptions
from vectorprep.pipeline.single import measured_alone
from vectorprep.store import write_file

LONG_SIDE_PX = 1200
MARGIN_PX = 24
PAGE, INK, ANY_INK, PLATE = (0x8A, 0x8A, 0x8A), (0xD0, 0x1C, 0x5B), (0x1C, 0x6F, 0xD0), (0x2E, 0x8B, 0x57)


def write_overlay(arts: Sequence[str | os.PathLike[str]], options: RunOptions, path: str) -> None:
    """The drawing on a light chequer: page in grey, ink box in red, box of any ink in blue, box without plate in green.

    Raises:
        UsageError: more than one drawing.
    """
    if len(arts) != 1:
        raise UsageError("an overlay shows one drawing", fix="name one .svg file with --overlay", code="not-one-drawing")
    measured = measured_alone(arts[0], options)
    write_file(path, overlay_png(measured, options))


def overlay_png(measured: Measurement, options: RunOptions) -> bytes:
    """PNG bytes of the picture, long side 1200 px and a margin."""
    width_mm, height_mm = measured.page_mm
    scale = LONG_SIDE_PX / max(width_mm, height_mm)
    width, height = max(1, round(width_mm * scale)), max(1, round(height_mm * scale))
    engine = open_engine(options.engine, font_files=load_index(options.fonts).files)
    drawn = draw_window(engine, measured.artwork, Box(0, 0, width_mm, height_mm), width, height)
    canvas = _chequer(width + 2 * MARGIN_PX, height + 2 * MARGIN_PX)
    inner = canvas[MARGIN_PX:-MARGIN_PX, MARGIN_PX:-MARGIN_PX]
    alpha = drawn.pixels[..., 3:].astype(np.uint16)
    inner[..., :3] = drawn.pixels[..., :3] + (inner[..., :3] * (255 - alpha) // 255).astype(np.uint8)
    _frame(canvas, Box(0, 0, width_mm, height_mm), scale, PAGE)
    boxes = ((measured.any_ink_box_mm, ANY_INK), (measured.box_without_background_mm, PLATE), (measured.ink_box_mm, INK))
    for box, colour in boxes:
        if box is not None:
            _frame(canvas, box, scale, colour)
    return png.encode(Raster(pixels=canvas), (canvas.shape[1], canvas.shape[0]), ppi=96)


def _chequer(width: int, height: int) -> np.ndarray:
    rows, columns = np.indices((height, width)) // 16
    canvas = np.full((height, width, 4), 255, np.uint8)
    canvas[..., :3] = np.where(((rows + columns) % 2)[..., None], 246, 232)
    return canvas


def _frame(canvas: np.ndarray, box: Box, scale: float, colour: tuple[int, int, int]) -> None:
    """A line of 2 px just outside the box."""
    x0, y0 = int(box.x0 * scale) + MARGIN_PX - 2, int(box.y0 * scale) + MARGIN_PX - 2
    x1, y1 = round(box.x1 * scale) + MARGIN_PX + 2, round(box.y1 * scale) + MARGIN_PX + 2
    for rows, columns in (
        (slice(y0, y0 + 2), slice(x0, x1)),
        (slice(y1 - 2, y1), slice(x0, x1)),
        (slice(y0, y1), slice(x0, x0 + 2)),
        (slice(y0, y1), slice(x1 - 2, x1)),
    ):
        canvas[rows, columns, :3] = colour
