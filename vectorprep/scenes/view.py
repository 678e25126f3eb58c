"""Which part of a picture's page is shown, and how large.

Comes in: a `Scene`, the seller's wishes. Goes out: a `View`.
Never done here: pixels.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from vectorprep.errors import SceneRefused
from vectorprep.geometry import Box
from vectorprep.scenes.outline import polyline

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from vectorprep.model import Area, Scene

    Floats = NDArray[np.floating[Any]]

Crop = Literal["full", "square", "print"]
PRINT_MARGIN = 0.15
"""Room around the print area in a picture of it alone, as a share of its long side (house value)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A window on the page in its px, and the size of the picture made of it."""

    window: Box
    size_px: tuple[int, int]

    @property
    def scale(self) -> tuple[float, float]:
        """Px of the picture per px of the page, across and down."""
        return self.size_px[0] / self.window.width, self.size_px[1] / self.window.height

    def to_page(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Px of the page of px of the picture."""
        across, down = self.scale
        return x / across + self.window.x0, y / down + self.window.y0

    def from_page(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Px of the picture of px of the page."""
        across, down = self.scale
        return (x - self.window.x0) * across, (y - self.window.y0) * down


def view_of(scene: Scene, area: Area, *, long_side_px: int, crop: Crop = "full", finest: float | None = None) -> View:
    """The view of a scene.

    Args:
        scene: the picture.
        area: whose surroundings a crop keeps.
        long_side_px: wanted for the long side.
        crop: the whole page (or the record's own part of it), a square around the area, or the print alone.
        finest: px of the picture per px of the page that are not exceeded; a photograph is never enlarged.

    Raises:
        SceneRefused: the record's part of the page is empty.
    """
    page = Box(0.0, 0.0, *scene.size_px)
    window = page
    if scene.record.crop_px is not None:
        found = page.intersection(Box(*scene.record.crop_px))
        if found is None:
            raise SceneRefused(
                "its crop_px leaves nothing of the picture", fix="write left, top, right and bottom in px", code="scene-crop"
            )
        window = found
    if crop == "square":
        window = _square(window, area_box(area))
    elif crop == "print":
        window = _print(window, area_box(area))
    scale = long_side_px / max(window.width, window.height)
    if finest is not None:
        scale = min(scale, finest)
    return View(window=window, size_px=(max(1, round(window.width * scale)), max(1, round(window.height * scale))))


def area_box(area: Area) -> Box:
    """The upright box around an area."""
    points = [point for side in (area.top, area.right, area.bottom, area.left) for point in polyline(side)]
    xs, ys = [point[0] for point in points], [point[1] for point in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _square(window: Box, area: Box) -> Box:
    side = min(window.width, window.height)
    return _around(window, area, side, side)


def _print(window: Box, area: Box) -> Box:
    margin = max(area.width, area.height) * PRINT_MARGIN
    wanted = area.grown(margin).intersection(window)
    return wanted if wanted is not None else window


def _around(window: Box, area: Box, width: float, height: float) -> Box:
    """A box of that size in the window whose middle is as near the area's as may be."""
    x, y = area.centre
    left = min(max(x - width / 2, window.x0), window.x1 - width)
    top = min(max(y - height / 2, window.y0), window.y1 - height)
    return Box(left, top, left + width, top + height)
