"""A picture bent into the side of a tapered cup laid flat, so that on the cup it stands upright with true widths.

Comes in: a premultiplied `Raster` on a canvas whose middle is the middle of the wrap, the cup's `Taper`.
Goes out: the `Raster` on the same canvas, where it lies on the ring sector.
Never done here: placing; the sector's own outline.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image

from vectorprep.model import Raster

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Taper
    from vectorprep.model.result import PxBox

    Floats = NDArray[np.floating[Any]]

CELL_PX = 32
"""Side of a cell within which the bend is taken for straight: at 600 ppi an arc of 300 mm radius leaves it by 0.02 px."""
STEPS = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrap:
    """A cup's wrap on a canvas: where the middle of its upper edge lies, px, and px per mm."""

    taper: Taper
    middle_px: tuple[float, float]
    px_per_mm: float

    def to_sector(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Where points of the flat wrap lie on the sector, px of the canvas (`Taper.on_sector`)."""
        outer = self.taper.outer_radius_mm * self.px_per_mm
        radius = outer - (y - self.middle_px[1])
        turn = (x - self.middle_px[0]) / radius
        return self.middle_px[0] + radius * np.sin(turn), self.middle_px[1] + outer - radius * np.cos(turn)

    def from_sector(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """The reverse of `to_sector`."""
        outer = self.taper.outer_radius_mm * self.px_per_mm
        across, up = x - self.middle_px[0], outer - (y - self.middle_px[1])
        radius = np.hypot(across, up)
        return self.middle_px[0] + radius * np.arctan2(across, up), self.middle_px[1] + outer - radius


def bent(raster: Raster, wrap: Wrap, canvas_px: tuple[int, int]) -> Raster:
    """The picture on the sector, sampled between pixels, cut off at the canvas."""
    box = _reach(raster, wrap, canvas_px)
    x0, y0 = box[:2]
    width, height = box[2] - x0, box[3] - y0
    source = np.pad(raster.pixels, ((2, 2), (2, 2), (0, 0)))
    left, top = raster.origin_px[0] - 2, raster.origin_px[1] - 2
    mesh = []
    for cell_y in range(0, height, CELL_PX):
        for cell_x in range(0, width, CELL_PX):
            right, bottom = min(cell_x + CELL_PX, width), min(cell_y + CELL_PX, height)
            across = np.array([cell_x, cell_x, right, right], float) + x0
            down = np.array([cell_y, bottom, bottom, cell_y], float) + y0
            x, y = wrap.from_sector(across, down)
            quad = tuple(np.stack([x - left, y - top], axis=1).ravel().tolist())
            mesh.append(((cell_x, cell_y, right, bottom), quad))
    # Mode CMYK stands for "four channels alike": premultiplied pixels are sampled channel by channel.
    picture = Image.frombuffer("CMYK", (source.shape[1], source.shape[0]), source, "raw", "CMYK", 0, 1)
    drawn = np.array(picture.transform((width, height), Image.Transform.MESH, mesh, Image.Resampling.BILINEAR))
    np.minimum(drawn[..., :3], drawn[..., 3:], out=drawn[..., :3])
    drawn.flags.writeable = False
    return Raster(pixels=drawn, origin_px=(x0, y0))


def halved(raster: Raster) -> Raster:
    """A raster drawn at twice its size, two by two pixels made one."""
    x, y = raster.origin_px
    height, width = raster.pixels.shape[:2]
    before_x, before_y = x % 2, y % 2
    pixels = np.pad(raster.pixels, ((before_y, (before_y + height) % 2), (before_x, (before_x + width) % 2), (0, 0)))
    picture = Image.frombuffer("CMYK", (pixels.shape[1], pixels.shape[0]), pixels, "raw", "CMYK", 0, 1).reduce(2)
    small = np.array(picture)
    small.flags.writeable = False
    return Raster(pixels=small, origin_px=((x - before_x) // 2, (y - before_y) // 2))


def _reach(raster: Raster, wrap: Wrap, canvas_px: tuple[int, int]) -> PxBox:
    """Whole pixels of the canvas that hold the bent picture, one pixel at least."""
    x0, y0 = raster.origin_px
    x1, y1 = x0 + raster.pixels.shape[1], y0 + raster.pixels.shape[0]
    across = np.append(np.linspace(x0, x1, STEPS), np.clip(wrap.middle_px[0], x0, x1))
    down = np.linspace(y0, y1, STEPS)
    x = np.concatenate([across, across, np.full(STEPS, x0), np.full(STEPS, x1)])
    y = np.concatenate([np.full(len(across), y0), np.full(len(across), y1), down, down])
    on_x, on_y = wrap.to_sector(x, y)
    left, top = max(math.floor(on_x.min()) - 1, 0), max(math.floor(on_y.min()) - 1, 0)
    right, bottom = min(math.ceil(on_x.max()) + 1, canvas_px[0]), min(math.ceil(on_y.max()) + 1, canvas_px[1])
    return left, top, max(right, left + 1), max(bottom, top + 1)
