"""See-through ink turned into dots of full ink, none smaller than the process can hold.

Comes in: a premultiplied `Raster` and a `Screen`. Goes out: a `Raster` whose pixels are covered wholly or not at all.
Never done here: limits, edges' smoothness as a fault.

Dots grow with the tone from the least dot on; below it fewer dots are set, all of the least size, spread evenly by a rank of their
cells. From half tone on holes are treated the same way on a grid between the dots. So the mean tone holds at every step.
Cells belong to the canvas and not to the raster: a part of a picture has the dots of the whole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.finish.coverage import BAND_ROWS, cut, full_colour
from vectorprep.model import Raster

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]
    Floats = NDArray[np.float32]
    Indexes = NDArray[np.intp]
    Mask = NDArray[np.bool_]

HALF = 0.5
ROUNDING_PX = 0.8  # a disc drawn in whole pixels may come out so much narrower
SURE = 64  # of 255: below, eight bits hold too little of a premultiplied colour
RANKS = (0.7548776662466927, 0.5698402909980532)
"""Steps of the evenly spread sequence of the plastic number (published: Roberts, quasirandom sequences, 2018)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """How dots are set: distance of their middles, angle, least dot and least hole, px; scattered a little, or in rows."""

    cell_px: float
    angle_deg: float
    dot_px: float
    gap_px: float
    is_scattered: bool = False
    cut_share: float = 0.5
    """Coverage from which a smoothed edge is ink."""

    @property
    def pitch_px(self) -> float:
        """Distance of dots: wide enough that a least dot or hole takes no more than half of its cell."""
        room = 1.5 if self.is_scattered else math.sqrt(math.pi / 2)
        return max(self.cell_px, room * (max(self.dot_px, self.gap_px) + ROUNDING_PX))

    def least_share(self, diameter_px: float) -> float:
        """Share of its cell that a least dot or hole takes."""
        return min(HALF, math.pi / 4 * ((diameter_px + ROUNDING_PX) / self.pitch_px) ** 2)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Grid:
    """Cells over a part of the canvas; `shift` moves them by a share of a cell, both ways."""

    screen: Screen
    shift: float
    first: tuple[int, int]
    size: tuple[int, int]

    @classmethod
    def over(cls, screen: Screen, shift: float, box: tuple[int, int, int, int]) -> _Grid:
        x0, y0, x1, y1 = box
        u, v = _turned(screen, shift, np.array([x0, x1, x0, x1], np.float64), np.array([y0, y0, y1, y1], np.float64))
        first = math.floor(u.min()) - 1, math.floor(v.min()) - 1
        return cls(
            screen=screen, shift=shift, first=first, size=(math.ceil(u.max()) - first[0] + 2, math.ceil(v.max()) - first[1] + 2)
        )

    def cells(self, x: int, y: int, shape: tuple[int, int]) -> tuple[Indexes, Floats, Floats]:
        """Number of each pixel's cell, and where in the cell it lies from its middle, px."""
        rows, columns = np.mgrid[y : y + shape[0], x : x + shape[1]]
        u, v = _turned(self.screen, self.shift, columns + 0.5, rows + 0.5)
        i, j = np.floor(u), np.floor(v)
        number = (i.astype(np.intp) - self.first[0]) * self.size[1] + j.astype(np.intp) - self.first[1]
        pitch = self.screen.pitch_px
        return number, ((u - i - 0.5) * pitch).astype(np.float32), ((v - j - 0.5) * pitch).astype(np.float32)

    def ranks(self) -> Floats:
        """A number 0..1 for each cell; any few neighbours hold evenly spread ones."""
        i, j = np.mgrid[self.first[0] : self.first[0] + self.size[0], self.first[1] : self.first[1] + self.size[1]]
        return np.asarray((i * RANKS[0] + j * RANKS[1]) % 1.0, np.float32).ravel()

    def scatter(self, room_px: Floats) -> tuple[Floats, Floats]:
        """How far the dot of each cell is moved from its middle, at most by the room that it leaves; the same at every run."""
        i, j = np.mgrid[self.first[0] : self.first[0] + self.size[0], self.first[1] : self.first[1] + self.size[1]]
        mixed = (i.astype(np.int64) * 73856093) ^ (j.astype(np.int64) * 19349663)
        mixed = (mixed ^ (mixed >> 13)) * 1274126177
        one, other = ((mixed >> shift) & 1023 for shift in (7, 19))
        return tuple(np.asarray(((part.ravel() / 511.5) - 1) * room_px, np.float32) for part in (one, other))  # type: ignore[return-value]


def _turned(screen: Screen, shift: float, x: NDArray[np.float64], y: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    turn = math.radians(screen.angle_deg)
    cosine, sine = math.cos(turn) / screen.pitch_px, math.sin(turn) / screen.pitch_px
    return x * cosine + y * sine + shift, y * cosine - x * sine + shift


def screened(raster: Raster, screen: Screen) -> Raster:
    """See-through areas in dots, everything else cut at its edge."""
    margin = math.ceil(screen.pitch_px) + 1
    pixels = np.pad(raster.pixels, ((margin, margin), (margin, margin), (0, 0)))
    x, y = raster.origin_px[0] - margin, raster.origin_px[1] - margin
    area = _see_through(pixels[..., 3])
    made = cut(Raster(pixels=pixels), screen.cut_share).pixels.copy()
    if area.any():
        _Printer(screen=screen, pixels=pixels, area=area, corner=(x, y)).print_into(made)
    made.flags.writeable = False
    return Raster(pixels=made, origin_px=(x, y))


def _see_through(alpha: Bytes) -> Mask:
    """Soft pixels of areas that hold a soft block of 5 x 5; smoothed edges and lines do not."""
    soft = (alpha > 0) & (alpha < 255)
    area = _spread(_spread(soft, 2, np.logical_and), 4, np.logical_or)
    return np.asarray(area & soft)


def _spread(mask: Mask, reach: int, join: np.ufunc) -> Mask:
    for axis in (0, 1):
        made = mask.copy()
        for step in range(1, reach + 1):
            if axis == 0:
                join(made[step:], mask[:-step], out=made[step:])
                join(made[:-step], mask[step:], out=made[:-step])
            else:
                join(made[:, step:], mask[:, :-step], out=made[:, step:])
                join(made[:, :-step], mask[:, step:], out=made[:, :-step])
        mask = made
    return mask


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Printer:
    screen: Screen
    pixels: Bytes
    area: Mask
    corner: tuple[int, int]

    def print_into(self, made: Bytes) -> None:
        """The see-through areas, and what their dots reach over beside them."""
        top, bottom = _ends(np.logical_or.reduce(self.area, axis=1), len(self.area), self.screen)
        left, right = _ends(np.logical_or.reduce(self.area, axis=0), self.area.shape[1], self.screen)
        x, y = self.corner
        box = (left + x, top + y, right + x, bottom + y)
        dots, holes = _Grid.over(self.screen, 0.0, box), _Grid.over(self.screen, HALF, box)
        bands = [(slice(at, min(at + BAND_ROWS, bottom)), slice(left, right)) for at in range(top, bottom, BAND_ROWS)]
        tone, colour = self._tones(dots, bands)
        hole_tone, _ = self._tones(holes, bands)
        radius, hole_radius = self._radii(dots, tone, self.screen.dot_px), self._radii(holes, 1 - hole_tone, self.screen.gap_px)
        for rows, columns in bands:
            self._print_band(made, (rows, columns), (dots, tone, radius, colour), (holes, hole_tone, hole_radius))

    def _tones(self, grid: _Grid, bands: list[tuple[slice, slice]]) -> tuple[Floats, Bytes]:
        """Mean tone 0..1 of what is not solid in each cell, and the mean colour of its ink."""
        many = grid.size[0] * grid.size[1]
        sums = np.zeros((5, many))
        for rows, columns in bands:
            number, _, _ = grid.cells(columns.start + self.corner[0], rows.start + self.corner[1], _shape(rows, columns))
            band, own = self.pixels[rows, columns], self.area[rows, columns]
            sums[4] += np.bincount(number[band[..., 3] < 255], minlength=many)
            for channel in range(4):
                sums[channel] += np.bincount(number[own], band[own, channel], many)
        tone = sums[3] / 255 / np.maximum(sums[4], 1)
        colour = np.minimum(255 * sums[:3] / np.maximum(sums[3], 1) + 0.5, 255)
        return np.asarray(tone, np.float32), np.asarray(colour.T, np.uint8)

    def _radii(self, grid: _Grid, share: Floats, least_px: float) -> Floats:
        """Radius of the disc in each cell: by its share, but of the least size in as many cells as that makes up for."""
        least = self.screen.least_share(least_px)
        is_set = (share >= least) | (grid.ranks() < share / least)
        return np.asarray(np.where(is_set, self.screen.pitch_px * np.sqrt(np.maximum(share, least) / math.pi), 0), np.float32)

    def _print_band(
        self,
        made: Bytes,
        band: tuple[slice, slice],
        dots: tuple[_Grid, Floats, Floats, Bytes],
        holes: tuple[_Grid, Floats, Floats],
    ) -> None:
        rows, columns = band
        at = columns.start + self.corner[0], rows.start + self.corner[1]
        own, alpha = self.area[rows, columns], self.pixels[rows, columns, 3]
        grid, tone, radius, colour = dots
        number, is_dot = _discs(grid, at, own.shape, radius, self.screen)
        is_dot &= (tone[number] <= HALF) & (alpha < 255)
        grid, hole_tone, hole_radius = holes
        other, is_hole = _discs(grid, at, own.shape, hole_radius, self.screen)
        inked = is_dot | (own & (hole_tone[other] > HALF) & ~is_hole)
        target = made[rows, columns]
        target[own] = 0
        target[inked, :3] = colour[number[inked]]
        sure = inked & (alpha >= SURE)
        target[sure, :3] = full_colour(self.pixels[rows, columns][sure])
        target[inked, 3] = 255


def _discs(grid: _Grid, at: tuple[int, int], shape: tuple[int, int], radius: Floats, screen: Screen) -> tuple[Indexes, Mask]:
    """Number of each pixel's cell, and whether it lies in the disc there."""
    number, u, v = grid.cells(*at, shape)
    if screen.is_scattered:
        move_u, move_v = grid.scatter(np.maximum(screen.pitch_px / 2 - radius - 1, 0))
        u, v = u - move_u[number], v - move_v[number]
    own = radius[number]
    return number, (u * u + v * v < own * own) & (own > 0)


def _ends(used: Mask, size: int, screen: Screen) -> tuple[int, int]:
    """First and last used line, with a cell beside them."""
    lines = np.flatnonzero(used)
    margin = math.ceil(screen.pitch_px)
    return max(int(lines[0]) - margin, 0), min(int(lines[-1]) + 1 + margin, size)


def _shape(rows: slice, columns: slice) -> tuple[int, int]:
    return rows.stop - rows.start, columns.stop - columns.start
