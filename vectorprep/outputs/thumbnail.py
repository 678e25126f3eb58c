"""The thumbnail: a picture's ink alone, small and transparent, for pages that show many pictures at once.

Comes in: a `Picture` with the ink drawn at print size.
Goes out: one WebP file below `review/`, which says what part of the print file it shows.
Never done here: a background; anything a printer is given.
"""

from __future__ import annotations

import io
import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from vectorprep.engine import draw_reduced
from vectorprep.model import Encoded, Raster
from vectorprep.outputs.picture import digest, inside, output_of, union
from vectorprep.outputs.reduce import reduced
from vectorprep.units import mm_from_px

if TYPE_CHECKING:
    from vectorprep.model.result import PxBox
    from vectorprep.outputs.picture import Picture

KIND = "thumbnail"
FOLDER = "review"
LONG_SIDE_PX = 320  # house value: a tile of 150 px on a screen of twice the density
QUALITY = 80  # house value
METHOD = 0  # libwebp's fastest: 5 ms a picture where the default takes 14 ms and saves a fifth of the bytes


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The thumbnail of a picture; none where nothing was drawn."""
    return () if picture.raster is None else (thumbnail_of(picture),)


def thumbnail_of(picture: Picture) -> Encoded:
    """The thumbnail, with or without pixels at print size to make it from."""
    shown = _shown_px(picture)
    scale = min(1.0, LONG_SIDE_PX / max(shown[2] - shown[0], shown[3] - shown[1]))
    left, top, right, bottom = (corner * scale for corner in shown)
    box = math.floor(left), math.floor(top), math.ceil(right), math.ceil(bottom)
    size = box[2] - box[0], box[3] - box[1]
    data = _webp(_small(picture, scale, box, size))
    ppi = picture.placement.ppi * scale
    output = replace(
        output_of(picture, KIND, f"{FOLDER}/{picture.stem}.webp", size, ppi),
        placements=tuple((_moved(placed.ink_box_px, scale, box), placed.printed_mm) for placed in picture.placement.placed),
        ink_box_px=(0, 0, *size),
        window_mm=(mm_from_px(box[0], ppi), mm_from_px(box[1], ppi), mm_from_px(box[2], ppi), mm_from_px(box[3], ppi)),
        sha256=digest(data),
        bytes=len(data),
        state="made",
    )
    return Encoded(output=output, data=data)


def _shown_px(picture: Picture) -> PxBox:
    """The part of the canvas that holds ink, a keyline included; at least one pixel."""
    width, height = picture.placement.canvas_px
    room = math.ceil(picture.treatment.keyline_mm / 25.4 * picture.placement.ppi)
    x0, y0, x1, y1 = union([placed.ink_box_px for placed in picture.placement.placed]) or (0, 0, width, height)
    left, top = min(max(x0 - room, 0), width - 1), min(max(y0 - room, 0), height - 1)
    return left, top, max(min(x1 + room, width), left + 1), max(min(y1 + room, height), top + 1)


def _small(picture: Picture, scale: float, box: PxBox, size: tuple[int, int]) -> Raster:
    """The ink at thumbnail size, premultiplied: drawn afresh where that is exact and cheap, else the print reduced."""
    canvas = max(box[2], 1), max(box[3], 1)
    is_unknown = picture.treatment.kind == "keyline" and picture.finish is None
    if picture.raster is not None and (picture.engine is None or picture.artwork.has_filters or is_unknown):
        small = reduced(picture.raster, scale, canvas)
    else:
        assert picture.engine is not None, "without pixels a picture has an engine"
        small = draw_reduced(picture.engine, picture.artwork, picture.placement, scale, canvas)
        if picture.finish is not None:
            small = picture.finish(small, scale)
    x, y = small.origin_px
    return _filled(inside(Raster(pixels=small.pixels, origin_px=(x - box[0], y - box[1])), size), size)


def _filled(raster: Raster, size_px: tuple[int, int]) -> Raster:
    """The region on a whole canvas."""
    x, y = raster.origin_px
    height, width = raster.pixels.shape[:2]
    if (width, height) == size_px:
        return raster
    pixels = np.zeros((size_px[1], size_px[0], 4), np.uint8)
    pixels[y : y + height, x : x + width] = raster.pixels
    return Raster(pixels=pixels)


def _webp(raster: Raster) -> bytes:
    pixels = np.ascontiguousarray(raster.pixels)
    height, width = pixels.shape[:2]
    picture = Image.frombuffer("RGBa", (width, height), pixels, "raw", "RGBa", 0, 1).convert("RGBA")
    data = io.BytesIO()
    picture.save(data, "WEBP", quality=QUALITY, method=METHOD)
    return data.getvalue()


def _moved(ink_box_px: PxBox, scale: float, box: PxBox) -> PxBox:
    x0, y0, x1, y1 = (round(corner * scale) for corner in ink_box_px)
    return x0 - box[0], y0 - box[1], x1 - box[0], y1 - box[1]
