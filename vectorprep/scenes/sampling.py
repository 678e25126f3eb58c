"""Ink carried from the print area to the picture: which texture pixels make a pixel of the picture, and their mean.

Comes in: a `Surface`, a `View`, the size of the print area, perhaps a small shift of each pixel. Goes out: a `Sampler`, made once
for a scene and product; from it and a texture, premultiplied ink in linear light at every pixel that it reaches.
Never done here: drawing the texture, light, colours.

The texture is drawn about 1.7 times as fine as the picture, where a bilinear mean of it is as sharp as exact coverage of each pixel
(a box of 1/1.7 px widened by a triangle of 1/1.7 px has the variance of a box of 1 px). Where the surface is seen more slantingly
than in its nearest place, several points of a pixel are averaged.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.scenes.surface import Surface
    from vectorprep.scenes.view import View

    Floats = NDArray[np.floating[Any]]
    Places = NDArray[np.int32]

FINENESS = math.sqrt(3.0)
"""Texture pixels per pixel of the picture at its nearest place: 3 (1/f)^2 / 12 = 1 / 12."""
REACH = 2.3
"""Texture pixels that one point stands for; beyond it a pixel takes more points."""
POINTS_MAX = 3
TEXTURE_MAX = 24_000_000
PAD = 2
BEYOND = 0.01
"""Share of the print area around it whose pixels may still hold a part of it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sampler:
    """Where each pixel of the picture takes its ink from.

    `box_px` is the upright part of the picture that the area touches. For each count of points a side (`counts`): the places of the
    pixels in that part, row by row, and for each of its points the texture coordinates, in pixels of a texture of `texture_px` that
    covers the whole print area.
    """

    box_px: tuple[int, int, int, int]
    texture_px: tuple[int, int]
    groups: tuple[tuple[Places, tuple[tuple[Floats, Floats], ...]], ...]

    @property
    def size(self) -> int:
        """Bytes that it takes."""
        return sum(places.nbytes + sum(x.nbytes + y.nbytes for x, y in points) for places, points in self.groups)

    def ink(self, texture: Floats, origin_px: tuple[int, int]) -> tuple[Places, Floats]:
        """Places of the pixels that any ink reaches, and their ink (n, 4), premultiplied, linear.

        Args:
            texture: (height, width, 4) float32, premultiplied, linear: the part of the print area that holds ink.
            origin_px: where its top-left pixel lies in the texture of the whole area.
        """
        padded = np.zeros((texture.shape[0] + 2 * PAD, texture.shape[1] + 2 * PAD, 4), np.float32)
        padded[PAD:-PAD, PAD:-PAD] = texture
        left, top = origin_px[0] - PAD, origin_px[1] - PAD
        found = [_gathered(padded, places, points, left, top) for places, points in self.groups]
        if not found:
            return np.zeros(0, np.int32), np.zeros((0, 4), np.float32)
        return np.concatenate([places for places, _ in found]), np.concatenate([ink for _, ink in found])


def _gathered(
    texture: Floats, places: Places, points: tuple[tuple[Floats, Floats], ...], left: int, top: int
) -> tuple[Places, Floats]:
    height, width = texture.shape[:2]
    near = np.zeros(len(places), bool)
    for x, y in points:
        near |= (x > left) & (x < left + width - 1) & (y > top) & (y < top + height - 1)
    chosen = np.flatnonzero(near)
    flat = texture.reshape(-1, 4)
    total = np.zeros((len(chosen), 4), np.float32)
    for x, y in points:
        column = np.clip(x[chosen] - np.float32(left), 0.0, np.float32(width - 1.001))
        row = np.clip(y[chosen] - np.float32(top), 0.0, np.float32(height - 1.001))
        first_column, first_row = column.astype(np.int32), row.astype(np.int32)
        part_x, part_y = (column - first_column)[:, None], (row - first_row)[:, None]
        at = first_row.astype(np.intp) * width + first_column
        upper = _mixed(flat, at, at + 1, part_x)
        lower = _mixed(flat, at + width, at + width + 1, part_x)
        lower -= upper
        lower *= part_y
        upper += lower
        total += upper
    if len(points) > 1:
        total *= np.float32(1.0 / len(points))
    return places[chosen], total


def _mixed(flat: Floats, first: NDArray[np.intp], second: NDArray[np.intp], part: Floats) -> Floats:
    a = np.take(flat, first, axis=0)
    b = np.take(flat, second, axis=0)
    b -= a
    b *= part
    a += b
    return a


def sampler_of(surface: Surface, view: View, print_mm: tuple[float, float], shift: tuple[Floats, Floats] | None = None) -> Sampler:
    """The sampler of an area.

    Args:
        surface: of the area, in px of the page.
        view: the picture.
        print_mm: width and height of the print area.
        shift: px of the picture by which a pixel's ink is taken from elsewhere, each as large as the picture; None = nowhere.
    """
    box = touched_box(surface, view)
    if box[2] <= box[0] or box[3] <= box[1]:
        return Sampler(box_px=(0, 0, 0, 0), texture_px=(1, 1), groups=())
    rows, columns = np.mgrid[box[1] : box[3], box[0] : box[2]].astype(np.float64)
    x, y = columns + 0.5, rows + 0.5
    if shift is not None:
        x = x + shift[0][box[1] : box[3], box[0] : box[2]]
        y = y + shift[1][box[1] : box[3], box[0] : box[2]]
    with np.errstate(invalid="ignore"):
        u, v = surface.from_page(*view.to_page(x, y))
        u_down, u_across = np.gradient(u)
        v_down, v_across = np.gradient(v)
        slope_u, slope_v = np.hypot(u_across, u_down), np.hypot(v_across, v_down)
        inside = (u > -BEYOND) & (u < 1 + BEYOND) & (v > -BEYOND) & (v < 1 + BEYOND)
    inside &= np.isfinite(slope_u) & np.isfinite(slope_v)
    if not inside.any():
        return Sampler(box_px=box, texture_px=(1, 1), groups=())
    texture = _texture_size(slope_u[inside], slope_v[inside], print_mm)
    counts = np.ceil(np.maximum(slope_u * texture[0], slope_v * texture[1]) / REACH)
    counts = np.where(inside, np.clip(np.nan_to_num(counts, nan=1.0), 1, POINTS_MAX), 0).astype(np.int8)
    column, row = u * texture[0] - 0.5, v * texture[1] - 0.5
    slopes = (u_across * texture[0], u_down * texture[0], v_across * texture[1], v_down * texture[1])
    groups = []
    for count in np.unique(counts[counts > 0]):
        chosen = np.flatnonzero(counts == count)
        own = [plane.ravel()[chosen] for plane in (column, row, *slopes)]
        groups.append((chosen.astype(np.int32), _points(own, int(count))))
    return Sampler(box_px=box, texture_px=texture, groups=tuple(groups))


def _points(own: Sequence[Floats], count: int) -> tuple[tuple[Floats, Floats], ...]:
    """Texture coordinates (0 = centre of the first pixel) of count x count points in each pixel, by its middle and slopes."""
    column, row, column_x, column_y, row_x, row_y = own
    found = []
    offsets = (np.arange(count) + 0.5) / count - 0.5
    for down in offsets:
        for across in offsets:
            x = column + across * column_x + down * column_y
            y = row + across * row_x + down * row_y
            found.append((x.astype(np.float32), y.astype(np.float32)))
    return tuple(found)


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


def _texture_size(slope_u: Floats, slope_v: Floats, print_mm: tuple[float, float]) -> tuple[int, int]:
    """Pixels of the whole print area, square on the print, as fine as its nearest place needs."""
    per_mm_u = FINENESS / max(float(np.percentile(slope_u, 2)), 1e-9) / print_mm[0]
    per_mm_v = FINENESS / max(float(np.percentile(slope_v, 2)), 1e-9) / print_mm[1]
    per_mm = max(per_mm_u, per_mm_v)
    pixels = per_mm**2 * print_mm[0] * print_mm[1]
    per_mm *= min(1.0, math.sqrt(TEXTURE_MAX / pixels))
    return max(1, round(print_mm[0] * per_mm)), max(1, round(print_mm[1] * per_mm))
