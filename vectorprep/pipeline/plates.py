"""A drawing with filters drawn once, for all the product pictures that show it no finer.

Comes in: a drawing, where it lies on a texture, and how large. Goes out: the texture's ink; None where nothing can be shared.
What a texture is taken from depends on the drawing and that texture alone: no picture depends on which were made before.
Never done here: filters whose look depends on the number of pixels (`is_scalable`); keylines and borders (`texture`).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from vectorprep.engine import draw_reduced
from vectorprep.geometry import Box
from vectorprep.outputs.reduce import reduced

if TYPE_CHECKING:
    from vectorprep.engine import Engine
    from vectorprep.model import Artwork, Placement, Raster

SIDE_PX = 3000.0
"""Long side of the ink as it is drawn once (house value): as fine as close pictures of 2000 px need it."""
PX_MAX = 16_000_000
MARGIN_PX = 16
_STEP = re.compile(rb"<(?:\w+:)?(fe[A-Z]\w*)")
_SMOOTH = frozenset(
    name.encode()
    for name in (
        *("feBlend", "feColorMatrix", "feComponentTransfer", "feComposite", "feDropShadow", "feFlood"),
        *("feFuncA", "feFuncB", "feFuncG", "feFuncR", "feGaussianBlur", "feMerge", "feMergeNode", "feOffset"),
    )
)
"""Steps that look the same at any number of pixels (published: Filter Effects Module Level 1); noise, light, kernels and
morphology do not."""


def is_scalable(artwork: Artwork) -> bool:
    """Whether a drawing's filters, if it has any, look alike at every size."""
    return not artwork.has_filters or (b"filterRes" not in artwork.markup and _SMOOTH.issuperset(_STEP.findall(artwork.markup)))


@dataclass(slots=True)
class Plates:
    """Draws with an engine, and keeps the last drawing."""

    engine: Engine
    _held: tuple[tuple[bytes, tuple[float, float, float, float]], Raster] | None = field(default=None)

    def ink(self, artwork: Artwork, placement: Placement, scale: float, texture_px: tuple[int, int]) -> Raster | None:
        """The ink on a texture, premultiplied; None where it is better drawn for the texture alone.

        Args:
            artwork: clean drawing whose filters are scalable.
            placement: of one copy, in px of the print, from the texture's corner.
            scale: pixels of the texture per pixel of the print.
            texture_px: its size.

        Raises:
            ArtworkFailed: the engine gives no picture.
        """
        if len(placement.placed) != 1 or placement.reach_mm is None:
            return None
        placed, reach = placement.placed[0], Box(*placement.reach_mm)
        per_mm = SIDE_PX / max(reach.width, reach.height, 1e-6)
        factor = placed.px_per_mm * scale / per_mm
        whole = reach.union(Box(0.0, 0.0, artwork.page.width_mm, artwork.page.height_mm))
        canvas = tuple(math.ceil(side * per_mm) + 2 * MARGIN_PX for side in (whole.width, whole.height))
        if factor > 1 or canvas[0] * canvas[1] > PX_MAX:
            return None
        corner = MARGIN_PX - whole.x0 * per_mm, MARGIN_PX - whole.y0 * per_mm
        raster = self._drawn(artwork, placement, per_mm, corner, (canvas[0], canvas[1]))
        shift = placed.offset_px[0] * scale - corner[0] * factor, placed.offset_px[1] * scale - corner[1] * factor
        return reduced(raster, factor, texture_px, shift_px=shift)

    def _drawn(
        self, artwork: Artwork, placement: Placement, per_mm: float, corner: tuple[float, float], canvas_px: tuple[int, int]
    ) -> Raster:
        key = artwork.markup, (per_mm, *corner, float(canvas_px[0]))
        if self._held is not None and self._held[0] == key:
            return self._held[1]
        self._held = None
        box = Box(*(placement.reach_mm or (0.0, 0.0, 0.0, 0.0))).scaled(per_mm).shifted(*corner)
        ink = math.floor(box.x0), math.floor(box.y0), math.ceil(box.x1), math.ceil(box.y1)
        once = replace(placement.placed[0], px_per_mm=per_mm, offset_px=corner, ink_box_px=ink)
        raster = draw_reduced(self.engine, artwork, replace(placement, placed=(once,)), 1.0, canvas_px)
        self._held = key, raster
        return raster
