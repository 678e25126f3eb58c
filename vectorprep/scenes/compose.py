"""The print laid on a stage.

Comes in: a `Stage`, a blank, the ink of an artwork as it is printed. Goes out: pixels of the finished picture.
Never done here: drawing artworks, files.

Ink is laid on in linear light, which is what the eye gets from a pixel that is partly ink; shade and what lies before the print are
laid over it in sRGB, as every program shows the drawing.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.colour import rgb_from_hex
from vectorprep.colour.arrays import linear_from_srgb8, srgb8_from_linear

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Area, Blank, Product, Raster
    from vectorprep.scenes.sampling import Sampler
    from vectorprep.scenes.stage import Stage

    Bytes = NDArray[np.uint8]
    Floats = NDArray[np.floating[Any]]

LEVELS = 1 << 14
"""Steps of linear light that are told apart: at black, where sRGB is steepest, one step is a fifth of an 8-bit code."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """What is printed: its ink on the print area, premultiplied; whether it covers the cloth or colours it."""

    ink: Raster
    has_white_ink: bool


def bare(stage: Stage, blank: Blank) -> Bytes:
    """The picture without any print, height x width x 3."""
    made = stage.below(blank)
    height, width = made.shape[:2]
    _cover(made, stage, blank, (0, 0, width, height))
    return made


def with_print(stage: Stage, blank: Blank, product: Product, area: Area, printed: Print, *, empty: Bytes | None = None) -> Bytes:
    """The finished picture, height x width x 3.

    Args:
        stage: the picture made ready.
        blank: the cloth.
        product: what is printed on.
        area: where.
        printed: the ink at the texture size of `stage.sampler(product, area)`.
        empty: the result of `bare` for this blank, where it is at hand.
    """
    made = (bare(stage, blank) if empty is None else empty).copy()
    sampler = stage.sampler(product, area)
    x0, y0, x1, y1 = box = sampler.box_px
    places, ink = sampler.ink(linear_ink(printed.ink), printed.ink.origin_px)
    if not len(places):
        return made
    if stage.scene.record.ink:
        single = linear_from_srgb8(np.array(rgb_from_hex(stage.scene.record.ink), np.uint8), single=True)
        ink[:, :3] = ink[:, 3:] * single
    region = stage.below(blank, box)
    below = linear_from_srgb8(region.reshape(-1, 3)[places], single=True)
    if stage.is_photograph:
        _light(stage, blank, sampler, places, ink, is_covering=printed.has_white_ink)
    clear = 1 - ink[:, 3:]
    shown = below * clear + ink[:, :3] if printed.has_white_ink else below * (clear + ink[:, :3])
    region.reshape(-1, 3)[places] = encoded(shown)
    part = made[y0:y1, x0:x1]
    if stage.front_mask is not None:
        mask = stage.front_mask[y0:y1, x0:x1, None].astype(np.uint16)
        region = ((part * mask + region * (255 - mask) + 127) // 255).astype(np.uint8)
    part[...] = region
    if stage.shade is not None or stage.front is not None:
        _cover(made, stage, blank, box)
    return made


def linear_ink(raster: Raster) -> Floats:
    """Premultiplied ink in linear light, float32, of a premultiplied 8-bit raster."""
    pixels = raster.pixels
    alpha = pixels[..., 3]
    made = np.empty(pixels.shape, np.float32)
    made[..., :3] = linear_from_srgb8(pixels[..., :3], single=True)
    made[..., 3] = alpha * np.float32(1 / 255)
    partial = (alpha > 0) & (alpha < 255)
    if partial.any():
        edge = pixels[partial].astype(np.float32)
        cover = edge[:, 3:] / 255
        straight = np.clip(edge[:, :3] / cover + 0.5, 0, 255).astype(np.uint8)
        made[partial, :3] = linear_from_srgb8(straight, single=True) * cover
    return made


def encoded(linear: Floats) -> Bytes:
    """8-bit sRGB of linear light by a table."""
    codes = np.clip(linear * np.float32(LEVELS - 1) + np.float32(0.5), 0, LEVELS - 1).astype(np.uint16)
    found: Bytes = _codes()[codes]
    return found


@lru_cache(maxsize=1)
def _codes() -> Bytes:
    return srgb8_from_linear(np.arange(LEVELS) / (LEVELS - 1))


def _light(stage: Stage, blank: Blank, sampler: Sampler, places: NDArray[np.int32], ink: Floats, *, is_covering: bool) -> None:
    """Lets the photograph's light fall on covering ink, in place; ink that colours the cloth takes the cloth's own light."""
    if not is_covering:
        return
    light = stage.light(sampler, blank)
    ink[:, :3] *= light.factor.reshape(-1, 3)[places]
    ink[:, :3] += light.sheen.reshape(-1, 1)[places] * ink[:, 3:]


def _cover(made: Bytes, stage: Stage, blank: Blank, box: tuple[int, int, int, int]) -> None:
    """Lays shade and what lies before the print over a part of the picture, in place."""
    x0, y0, x1, y1 = box
    part = made[y0:y1, x0:x1]
    for layer in stage.over(blank, box):
        clear = 255 - layer[..., 3:].astype(np.uint16)
        # Rasterisers round colour and coverage apart: colour may exceed coverage by one, and white would wrap to black.
        part[...] = np.minimum(layer[..., :3] + (part * clear + 127) // 255, 255)
