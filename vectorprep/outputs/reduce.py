"""A premultiplied raster at another size, its place on the canvas kept to a fraction of a pixel.

Comes in: a premultiplied `Raster` region and a factor.
Goes out: the region of the smaller canvas.
Never done here: straight alpha, whose hidden colours would bleed into the edges.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from vectorprep.model import Raster


def reduced(raster: Raster, scale: float, size_px: tuple[int, int], *, shift_px: tuple[float, float] = (0.0, 0.0)) -> Raster:
    """The region averaged, each channel alike (or smoothly enlarged where `scale` is above 1).

    Args:
        raster: premultiplied region of a canvas.
        scale: new pixels per old pixel.
        size_px: size of the new canvas; nothing is made beyond it.
        shift_px: where the old canvas's corner lies on the new one.
    """
    x, y = raster.origin_px[0] + shift_px[0] / scale, raster.origin_px[1] + shift_px[1] / scale
    height, width = raster.pixels.shape[:2]
    left, top = max(math.floor(x * scale), 0), max(math.floor(y * scale), 0)
    right = min(math.ceil((x + width) * scale), size_px[0])
    bottom = min(math.ceil((y + height) * scale), size_px[1])
    if right <= left or bottom <= top:
        return Raster(pixels=np.zeros((1, 1, 4), np.uint8), origin_px=(min(left, size_px[0] - 1), min(top, size_px[1] - 1)))
    # Where the new pixels' area lies in the old region, which is padded as far as they reach.
    area = left / scale - x, top / scale - y, right / scale - x, bottom / scale - y
    start = math.floor(min(area[0], 0)), math.floor(min(area[1], 0))
    step = max(int(1 / scale), 1)
    size = _multiple(max(area[2], width) - start[0], step), _multiple(max(area[3], height) - start[1], step)
    picture = _four_channels(raster.pixels, start, size)
    if step > 1:
        picture = picture.reduce(step)
    box = tuple((edge - start[side % 2]) / step for side, edge in enumerate(area))
    # Pillow's BOX and HAMMING move edges by up to a fifth of a pixel; BICUBIC keeps them, and is sharp.
    resized = picture.resize((right - left, bottom - top), Image.Resampling.BICUBIC, box=(box[0], box[1], box[2], box[3]))
    small = np.array(resized)
    np.minimum(small[..., :3], small[..., 3:], out=small[..., :3])
    small.flags.writeable = False
    return Raster(pixels=small, origin_px=(left, top))


def _four_channels(pixels: NDArray[np.uint8], start: tuple[int, int], size: tuple[int, int]) -> Image.Image:
    """The pixels on an empty canvas of that size which begins at `start`, as a Pillow picture of four plain channels.

    Mode CMYK stands for "four channels alike": premultiplied pixels are averaged channel by channel, and it shares the memory.
    """
    padded = np.zeros((size[1], size[0], 4), np.uint8)
    padded[-start[1] : pixels.shape[0] - start[1], -start[0] : pixels.shape[1] - start[0]] = pixels
    return Image.frombuffer("CMYK", size, padded, "raw", "CMYK", 0, 1)


def _multiple(length: float, step: int) -> int:
    return math.ceil(length / step) * step
