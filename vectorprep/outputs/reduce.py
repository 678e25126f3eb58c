"""A premultiplied raster at another size, its place on the canvas kept to a fraction of a pixel.

Comes in: a premultiplied `Raster` region and a factor.
Goes out: the region of the smaller canvas.
Never done here: straight alpha, whose hidden colours would bleed into the edges.
"""

from __future__ import annotations

import math

import numpy as np
from PIL import Image

from vectorprep.model import Raster


def reduced(raster: Raster, scale: float, size_px: tuple[int, int]) -> Raster:
    """The region averaged over the area of each new pixel (or smoothly enlarged where `scale` is above 1).

    Args:
        raster: premultiplied region of a canvas.
        scale: new pixels per old pixel.
        size_px: size of the new canvas; nothing is made beyond it.
    """
    x, y = raster.origin_px
    height, width = raster.pixels.shape[:2]
    left, top = max(math.floor(x * scale), 0), max(math.floor(y * scale), 0)
    right = min(math.ceil((x + width) * scale), size_px[0])
    bottom = min(math.ceil((y + height) * scale), size_px[1])
    if right <= left or bottom <= top:
        return Raster(pixels=np.zeros((1, 1, 4), np.uint8), origin_px=(min(left, size_px[0] - 1), min(top, size_px[1] - 1)))
    # Where the new pixels' area lies in the old region, which is padded as far as they reach.
    area = left / scale - x, top / scale - y, right / scale - x, bottom / scale - y
    before = math.ceil(max(-area[0], 0)), math.ceil(max(-area[1], 0))
    after = math.ceil(max(area[2] - width, 0)), math.ceil(max(area[3] - height, 0))
    padded = np.pad(raster.pixels, ((before[1], after[1]), (before[0], after[0]), (0, 0)))
    box = area[0] + before[0], area[1] + before[1], area[2] + before[0], area[3] + before[1]
    # Mode RGBa is premultiplied: Pillow then averages all four channels alike.
    picture = Image.frombuffer("RGBa", (padded.shape[1], padded.shape[0]), np.ascontiguousarray(padded), "raw", "RGBa", 0, 1)
    # Pillow's BOX weighs whole pixels only, which moves ink by a fraction of one.
    method = Image.Resampling.HAMMING if scale <= 1 else Image.Resampling.BICUBIC
    small = np.array(picture.resize((right - left, bottom - top), method, box=box))
    np.minimum(small[..., :3], small[..., 3:], out=small[..., :3])
    small.flags.writeable = False
    return Raster(pixels=small, origin_px=(left, top))
