"""The pixel grid on which a page is measured, and pictures of parts of it.

Comes in: an artwork, an engine, boxes in whole grid pixels.
Goes out: alpha planes; millimetres of grid boxes.
Never done here: looking for ink.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from vectorprep.engine import Engine, draw_window
from vectorprep.geometry import Box
from vectorprep.model import Artwork
from vectorprep.model.result import PxBox

GRID_PX = (4500, 5100)  # 15 x 17 in at 300 ppi

Alpha = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A page scaled to fit 4500 x 5100 px. `clips` False shows what lies beyond the page."""

    engine: Engine
    artwork: Artwork
    px_per_mm: float
    clips: bool = True

    @property
    def page(self) -> PxBox:
        """The page in whole pixels, a last part of a pixel counted whole."""
        page = self.artwork.page
        return 0, 0, _up(page.width_mm * self.px_per_mm), _up(page.height_mm * self.px_per_mm)

    def unclipped(self) -> Grid:
        """The same grid, showing what lies beyond the page."""
        return replace(self, clips=False)

    def with_artwork(self, artwork: Artwork) -> Grid:
        """The same grid over another drawing of the same page."""
        return replace(self, artwork=artwork)

    def pixels(self, region: PxBox, size_px: tuple[int, int] | None = None) -> NDArray[np.uint8]:
        """Premultiplied pixels of a region, one for each of the grid or stretched to a size."""
        width, height = size_px or (region[2] - region[0], region[3] - region[1])
        window = Box(*(edge / self.px_per_mm for edge in region))
        return draw_window(self.engine, self.artwork, window, width, height, clip_to_page=self.clips).pixels

    def alpha(self, region: PxBox, size_px: tuple[int, int] | None = None) -> Alpha:
        """Alpha of a region."""
        return self.pixels(region, size_px)[..., 3]

    def mm(self, box: PxBox | Box) -> Box:
        """A box of the grid in mm of the page; where the page clips, no farther than its edges."""
        corners = box.corners if isinstance(box, Box) else box
        inside = Box(*(corner / self.px_per_mm for corner in corners))
        page = self.artwork.page
        if not self.clips:
            return inside
        return Box(max(inside.x0, 0.0), max(inside.y0, 0.0), min(inside.x1, page.width_mm), min(inside.y1, page.height_mm))


def grid_of(artwork: Artwork, engine: Engine) -> Grid:
    """The grid of an artwork's page."""
    page = artwork.page
    scale = min(GRID_PX[0] / page.width_mm, GRID_PX[1] / page.height_mm)
    return Grid(engine=engine, artwork=artwork, px_per_mm=scale, clips=not artwork.is_unclipped)


def fitted(region: PxBox, long_side_px: int) -> tuple[int, int]:
    """Size of a region's picture with that long side, never above the region's own pixels."""
    width, height = region[2] - region[0], region[3] - region[1]
    scale = min(long_side_px / max(width, height), 1.0)
    return max(1, round(width * scale)), max(1, round(height * scale))


def _up(length: float) -> int:
    return max(1, math.ceil(length - 1e-6))
