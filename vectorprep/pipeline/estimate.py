"""How much disk the outputs will take, before they are made.

Comes in: planned outputs, or what is asked for. Goes out: bytes. Never done here: looking at a disk.

Bytes per pixel were measured on 1,371 print files and as many previews of open clip art and icons (median picture).
"""

from __future__ import annotations

from typing import Any

from vectorprep.model import Product

PRINT_BYTES_PER_INK_PX = 0.067  # measured, median
PREVIEW_BYTES_PER_INK_PX = 0.075  # measured, median
PICTURE_BYTES_PER_PX = 0.06  # measured on drawn scenes, WebP of quality 85
LEAST_BYTES_PER_CANVAS_PX = 0.015  # measured, 10th percentile over half a canvas of ink


def estimated_bytes(output: dict[str, Any]) -> int:
    """Bytes that a planned output is likely to have, from the pixels that its ink covers."""
    box = output["ink_box_px"]
    canvas = output["width_px"] * output["height_px"]
    if output["kind"] == "print-png" and box is not None:
        return int((box[2] - box[0]) * (box[3] - box[1]) * PRINT_BYTES_PER_INK_PX)
    if output["kind"] == "picture":
        return int(canvas * PICTURE_BYTES_PER_PX)
    if output["kind"] == "preview-png":
        return int(canvas * PREVIEW_BYTES_PER_INK_PX / 2)
    return 0


def least_bytes(products: tuple[Product, ...], artworks: int) -> int:
    """Bytes below which a run surely does not stay: one picture of each artwork on each product."""
    canvases = [product.file_size_px for product in products]
    return round(artworks * sum(width * height for width, height in canvases) * LEAST_BYTES_PER_CANVAS_PX)
