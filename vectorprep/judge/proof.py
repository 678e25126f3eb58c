"""The picture to be judged: prepared once per artwork, then printed on one cloth after another.

Comes in: a premultiplied raster of the artwork, cropped to its ink, long side 512 px, and the colour of a cloth.
Goes out: a `Proof` (where the ink lies, where it ends), and the linear light that the eye gets from print and cloth together.
Never done here: deciding what is seen.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from vectorprep.colour import linear_from_hex, rgb_from_hex
from vectorprep.colour.arrays import linear_from_srgb8
from vectorprep.judge.discs import inner_edge
from vectorprep.judge.limits import BLUR_PX, CROP_ALPHA, GRID_PX, INK_ALPHA, PAD_PX, WASH_ALPHA

if TYPE_CHECKING:
    from vectorprep.geometry import Box
    from vectorprep.judge.kinds import Bytes, Light, Mask
    from vectorprep.model import Measurement, Raster


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Proof:
    """A picture made ready for judging on any cloth.

    `pixels` is premultiplied at twice the grid, bare cloth around it; `ink` and `edge` are masks on the grid;
    `box_px` is the ink box on the grid (x0, y0, x1, y1); `long_px` its long side.
    """

    pixels: Bytes
    ink: Mask
    edge: Mask
    box_px: tuple[int, int, int, int]
    long_px: int


def proof_window(measured: Measurement) -> Box | None:
    """The part of the page, mm, that a proof is drawn of; None where there is no ink."""
    return measured.ink_box_mm


def prepare(raster: Raster | Proof) -> Proof | None:
    """The picture ready for judging on any number of cloths; None where nothing reaches `CROP_ALPHA`."""
    if isinstance(raster, Proof):
        return raster
    pixels = _cropped(_premultiplied(raster))
    if pixels is None:
        return None
    height, width = pixels.shape[:2]
    padded = np.zeros((height + height % 2 + 4 * PAD_PX, width + width % 2 + 4 * PAD_PX, 4), np.uint8)
    padded[2 * PAD_PX : 2 * PAD_PX + height, 2 * PAD_PX : 2 * PAD_PX + width] = pixels
    ink = _ink(padded[..., 3])
    return Proof(
        pixels=padded,
        ink=ink,
        edge=inner_edge(ink),
        box_px=(PAD_PX, PAD_PX, PAD_PX + (width + 1) // 2, PAD_PX + (height + 1) // 2),
        long_px=(max(height, width) + 1) // 2,
    )


def _premultiplied(raster: Raster) -> Bytes:
    if not raster.straight:
        return raster.pixels
    pixels = raster.pixels.astype(np.uint16)
    pixels[..., :3] = (pixels[..., :3] * pixels[..., 3:] + 127) // 255
    return pixels.astype(np.uint8)


def _cropped(pixels: Bytes) -> Bytes | None:
    """The part that reaches `CROP_ALPHA`, brought to twice the grid's size where it is far from it."""
    painted = pixels[..., 3] >= CROP_ALPHA
    rows, columns = np.flatnonzero(painted.any(axis=1)), np.flatnonzero(painted.any(axis=0))
    if not rows.size:
        return None
    part = pixels[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    height, width = part.shape[:2]
    wanted = 2 * GRID_PX / max(height, width)
    if 0.8 <= wanted <= 1.25:
        return part
    size = (max(1, round(width * wanted)), max(1, round(height * wanted)))
    resized = Image.frombuffer("RGBa", (width, height), part.tobytes(), "raw", "RGBa", 0, 1)
    return np.asarray(resized.resize(size, Image.Resampling.BOX if wanted < 1 else Image.Resampling.BILINEAR))


def _ink(alpha: Bytes) -> Mask:
    """Grid pixels of which any quarter is ink: keeps hairlines, drops soft shadows."""
    solid = alpha >= INK_ALPHA
    wash = alpha >= WASH_ALPHA
    fine = wash if 2 * np.count_nonzero(solid) < np.count_nonzero(wash) else solid
    halved: Mask = fine[::2] | fine[1::2]
    return halved[:, ::2] | halved[:, 1::2]


def printed_on(proof: Proof, cloth: str, *, white_ink: bool = True) -> Light:
    """Linear light of the print on cloth `#rrggbb`, shape (height, width, 3), as a blurred eye gets it.

    With a white base the artwork covers the cloth; without one its colours multiply with the cloth and white paint is bare cloth.
    """
    red_green_blue = np.array(rgb_from_hex(cloth), np.float32)
    alpha = proof.pixels[..., 3:].astype(np.float32)
    paint = proof.pixels[..., :3].astype(np.float32)
    if not white_ink:
        paint *= red_green_blue / 255
    codes = np.minimum(paint + (1 - alpha / 255) * red_green_blue + 0.5, 255).astype(np.uint8)
    light = linear_from_srgb8(codes, single=True)
    halved = light[::2] + light[1::2]
    small = (halved[:, ::2] + halved[:, 1::2]) / 4
    return blurred(small.astype(np.float32), np.array(linear_from_hex(cloth), np.float32))


def _taps() -> tuple[float, ...]:
    weights = [float(np.exp(-0.5 * (step / BLUR_PX) ** 2)) for step in range(4)]
    total = weights[0] + 2 * sum(weights[1:])
    return tuple(weight / total for weight in weights)


_TAPS = _taps()


def blurred(light: Light, around: Light) -> Light:
    """The picture under a gaussian of `BLUR_PX`; beyond its rim lies `around`."""
    apart = light - around
    down = apart * _TAPS[0]
    for step in (1, 2, 3):
        down[step:] += _TAPS[step] * apart[:-step]
        down[:-step] += _TAPS[step] * apart[step:]
    across = down * _TAPS[0]
    for step in (1, 2, 3):
        across[:, step:] += _TAPS[step] * down[:, :-step]
        across[:, :-step] += _TAPS[step] * down[:, step:]
    return across + around
