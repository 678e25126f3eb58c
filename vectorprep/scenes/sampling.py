"""Which texture pixels make a pixel of the picture.

Comes in: a `Surface`, a `View`, the size of the print area, perhaps a small shift of each pixel. Goes out: a `Sampler`, made once
for a scene and product.
Never done here: taking ink from the texture (`gather`), light, colours.

The texture is drawn about 1.7 times as fine as the picture, where a bilinear mean of it is as sharp as exact coverage of each pixel
(a box of 1/1.7 px widened by a triangle of 1/1.7 px has the variance of a box of 1 px). Where the surface is seen more slantingly
than in its nearest place, several points of a pixel are averaged.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image

from vectorprep.scenes.curves import NOTHING, Curves, curves

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.scenes.surface import Surface
    from vectorprep.scenes.view import View

    Floats = NDArray[np.floating[Any]]
    Singles = NDArray[np.float32]
    Places = NDArray[np.int32]
    Shift = tuple[Floats, Floats]

FINENESS = math.sqrt(3.0)
"""Texture pixels per pixel of the picture at its nearest place: 3 (1/f)^2 / 12 = 1 / 12."""
REACH = 2.3
"""Texture pixels that one point stands for; beyond it a pixel takes more points."""
POINTS_MAX = 3
TEXTURE_MAX = 24_000_000
PAD = 2
BEYOND = 0.01
"""Share of the print area around it whose pixels may still hold a part of it."""
BAND_PX = 120_000
"""Pixels that are worked on at once: what belongs to them stays in the processor's cache."""
STILL = 8.0
"""Slopes below this part of the middle one are none (house value)."""
SEEN_STEP = 8
"""Every so many pixels the slope of the surface is looked at, to choose the texture's size."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Slanted:
    """Pixels that take count x count points each.

    `planes` holds rows of numbers, one for each pixel: texture coordinates of the middle (column, row), and slopes, texture pixels
    for a pixel of the picture (column across, column down, row across, row down).
    """

    count: int
    places: Places
    planes: Curves

    def points(self) -> Iterator[tuple[Singles, Singles]]:
        """Texture coordinates of each point in turn."""
        x, y, across_x, down_x, across_y, down_y = self.planes.numbers()
        offsets = [np.float32((step + 0.5) / self.count - 0.5) for step in range(self.count)]
        for down in offsets:
            for across in offsets:
                yield x + across * across_x + down * down_x, y + across * across_y + down * down_y

    @property
    def nbytes(self) -> int:
        """Bytes that it takes."""
        return int(self.places.nbytes) + self.planes.nbytes


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Band:
    """Some rows of the sampler's box: for each pixel the texture coordinates of its middle (0 = centre of the first pixel).

    There are none off the area, and where `slanted` holds the pixel. Places count the pixels of the whole box, row by row.
    """

    first: int
    x: Curves
    y: Curves
    slanted: tuple[Slanted, ...]

    @property
    def nbytes(self) -> int:
        """Bytes that it takes."""
        return self.x.nbytes + self.y.nbytes + sum(one.nbytes for one in self.slanted)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sampler:
    """Where each pixel of the picture takes its ink from.

    `box_px` is the upright part of the picture that the area touches; the texture covers the whole print area.
    """

    box_px: tuple[int, int, int, int]
    texture_px: tuple[int, int]
    bands: tuple[Band, ...]

    @property
    def size(self) -> int:
        """Bytes that it takes."""
        return sum(band.nbytes for band in self.bands)

    def inside(self) -> NDArray[np.bool_]:
        """Which pixels of the box show the area."""
        x0, y0, x1, y1 = self.box_px
        found = np.zeros((y1 - y0) * (x1 - x0), bool)
        for band in self.bands:
            x = band.x.numbers().ravel()
            found[band.first : band.first + len(x)] = x > NOTHING / 2
            for one in band.slanted:
                found[one.places] = True
        return found.reshape(y1 - y0, x1 - x0)


def sampler_of(surface: Surface, view: View, print_mm: tuple[float, float], shift: Shift | None = None) -> Sampler:
    """The sampler of an area.

    Args:
        surface: of the area, in px of the page.
        view: the picture.
        print_mm: width and height of the print area.
        shift: px of the picture by which a pixel's ink is taken from elsewhere, across and down, coarse planes of the whole
            picture; None = nowhere.
    """
    box = x0, y0, x1, y1 = touched_box(surface, view)
    texture = _texture_size(surface, view, box, print_mm) if x1 > x0 and y1 > y0 else None
    if texture is None:
        return Sampler(box_px=box, texture_px=(1, 1), bands=())
    rows = max(1, BAND_PX // (x1 - x0))
    build = _Builder(surface, view, box, texture, shift)
    return Sampler(
        box_px=box,
        texture_px=(round(texture[0]), math.ceil(texture[1])),
        bands=tuple(build.band(top, min(top + rows, y1)) for top in range(y0, y1, rows)),
    )


@dataclass(frozen=True, slots=True)
class _Builder:
    surface: Surface
    view: View
    box: tuple[int, int, int, int]
    texture: tuple[float, float]
    shift: Shift | None

    def band(self, top: int, end: int) -> Band:
        """The rows of the box from `top` up to `end`."""
        x0, y0, x1, _ = self.box
        first = (top - y0) * (x1 - x0)
        u, v, u_across, u_down, v_across, v_down = self._shares(top, end)
        steep = np.maximum(np.hypot(u_across, u_down), np.hypot(v_across, v_down))
        with np.errstate(invalid="ignore"):
            inside = (u > -BEYOND) & (u < 1 + BEYOND) & (v > -BEYOND) & (v < 1 + BEYOND) & np.isfinite(steep)
        counts = np.where(inside, np.clip(np.ceil(np.nan_to_num(steep, nan=1.0) / REACH), 1, POINTS_MAX), 0).astype(np.int8)
        column, row = u * self.texture[0] - 0.5, v * self.texture[1] - 0.5
        planes = np.stack([plane.ravel() for plane in (column, row, u_across, u_down, v_across, v_down)])
        slanted = []
        for count in np.unique(counts[counts > 1]):
            chosen = np.flatnonzero(counts == count)
            own = curves(planes[:, chosen])
            slanted.append(Slanted(count=int(count), places=(chosen + first).astype(np.int32), planes=own))
        x, y = (curves(np.where(counts == 1, plane, np.nan)) for plane in (column, row))
        return Band(first=first, x=x, y=y, slanted=tuple(slanted))

    def _shares(self, top: int, end: int) -> list[Floats]:
        """Shares of the print area at some rows, and their slopes in texture pixels."""
        x0, _, x1, _ = self.box
        wide = x0 - 1, top - 1, x1 + 1, end + 1  # slopes need a neighbour on each side
        down, across = np.mgrid[wide[1] : wide[3], wide[0] : wide[2]] + 0.5
        if self.shift is not None:
            across = across + _part(self.shift[0], self.view.size_px, wide)
            down = down + _part(self.shift[1], self.view.size_px, wide)
        with np.errstate(invalid="ignore"):
            u, v = self.surface.from_page(*self.view.to_page(across, down))
            slopes = [
                np.gradient(share, axis=axis) * size for share, size in zip((u, v), self.texture, strict=True) for axis in (1, 0)
            ]
        return [plane[1:-1, 1:-1] for plane in (u, v, *slopes)]


def _part(plane: Floats, size_px: tuple[int, int], box: tuple[int, int, int, int]) -> Floats:
    """A part of a coarse plane at the picture's size; carried on at the picture's edges."""
    x0, y0, x1, y1 = box
    inner = max(x0, 0), max(y0, 0), min(x1, size_px[0]), min(y1, size_px[1])
    scale = plane.shape[1] / size_px[0], plane.shape[0] / size_px[1]
    share = inner[0] * scale[0], inner[1] * scale[1], inner[2] * scale[0], inner[3] * scale[1]
    size = inner[2] - inner[0], inner[3] - inner[1]
    found = np.asarray(Image.fromarray(plane).resize(size, Image.Resampling.BICUBIC, box=share))
    return np.pad(found, ((inner[1] - y0, y1 - inner[3]), (inner[0] - x0, x1 - inner[2])), mode="edge")


def touched_box(surface: Surface, view: View) -> tuple[int, int, int, int]:
    """The upright part of the picture around the visible print area; empty where none of it is seen."""
    edge = np.linspace(0.0, 1.0, 257)
    u, v = np.meshgrid(edge, edge)
    with np.errstate(invalid="ignore"):
        x, y = view.from_page(*surface.to_page(u, v))
    x, y = x[np.isfinite(x)], y[np.isfinite(y)]
    if not len(x):
        return 0, 0, 0, 0
    return (
        max(math.floor(x.min()) - PAD, 0),
        max(math.floor(y.min()) - PAD, 0),
        min(math.ceil(x.max()) + PAD, view.size_px[0]),
        min(math.ceil(y.max()) + PAD, view.size_px[1]),
    )


def _texture_size(
    surface: Surface, view: View, box: tuple[int, int, int, int], print_mm: tuple[float, float]
) -> tuple[float, float] | None:
    """Columns and rows (in parts too) of the print area, as fine as its nearest place needs; None where none of it is seen."""
    x0, y0, x1, y1 = box
    step = min(SEEN_STEP, max(1, (x1 - x0) // 8), max(1, (y1 - y0) // 8))
    down, across = np.mgrid[y0:y1:step, x0:x1:step] + 0.5
    with np.errstate(invalid="ignore"):
        u, v = surface.from_page(*view.to_page(across, down))
        right, below = (surface.from_page(*view.to_page(across + dx, down + dy)) for dx, dy in ((1.0, 0.0), (0.0, 1.0)))
        slope_u = np.hypot(right[0] - u, below[0] - u)
        slope_v = np.hypot(right[1] - v, below[1] - v)
        inside = (u > -BEYOND) & (u < 1 + BEYOND) & (v > -BEYOND) & (v < 1 + BEYOND)
    inside &= np.isfinite(slope_u) & np.isfinite(slope_v)
    if not inside.any():
        return None
    per_mm = max(_per_mm(slope_u[inside], print_mm[0]), _per_mm(slope_v[inside], print_mm[1]))
    width, height = print_mm[0] * per_mm, print_mm[1] * per_mm
    fit = min(1.0, math.sqrt(TEXTURE_MAX / (width * height)))
    columns = max(1, round(width * fit))
    return float(columns), columns * print_mm[1] / print_mm[0]


def _per_mm(slopes: Floats, length_mm: float) -> float:
    """Texture pixels for a mm of the print where it is seen nearest."""
    real = slopes[slopes > np.median(slopes) / STILL]  # beyond a cylinder's silhouette the shares stand still
    return FINENESS / max(float(np.percentile(real if len(real) else slopes, 2)), 1e-9) / length_mm
