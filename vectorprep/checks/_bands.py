"""Thin bands of ink, thin gaps in it, and small pieces of it, in a print picture.

Comes in: coverage with its packed mask, and limits in pixels. Goes out: bands with their width, length and box; specks.
Never done here: limits in mm, words.

What a disc somewhat wider than the limit cannot cover is looked at pixel by pixel; pixels whose band is thinner than the limit are
gathered into places, and a place counts where the ink runs on at nearly one width for long enough: a sharp corner tapers away.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._bits import SQUARE_3, dilated, disc, opened, positions
from vectorprep.checks._pieces import joined, piece_at, pieces
from vectorprep.checks._widths import widths

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.checks._bits import Bits
    from vectorprep.model.result import PxBox

    Bytes = NDArray[np.uint8]
    Floats = NDArray[np.float32]
    Indexes = NDArray[np.intp]

COVERAGE_RIM = 200
"""Empty pixels around the coverage, so that a run may be followed beyond the picture."""
SAMPLES_MOST = 60_000
SLACK_PX = 2.2  # the mask is fatter than the ink by the soft pixels of both edges, and discs come in odd sizes
NOISE_PX = 0.6  # of a single width; the mean over a band is good to a tenth
LATTICE_MOST = 5
REACH = 2.5  # limits that a run is followed to either side
LEAST_PX = 0.3  # no band is taken to be narrower, so that none is endless
CELL_PX, SPARSE_CELL_PX = 2, 8
STEADY_PX = 0.5  # what the width of an even line varies by from pixel to pixel
LEVEL_STEP = 1.12
SPREAD = 1.25  # greatest width over least within a stretch of "one width" (house value)
SPECK_ASPECT = 3.0  # longer pieces are lines
SPECKS_MOST = 4000
CRUMB_PX, CRUMB_NEAR_PX = 1.6, 5  # house values


@dataclass(frozen=True, slots=True, kw_only=True)
class Thin:
    """Something narrow: its mean width (of a speck, the diameter of the disc of its area), its length, its box.

    Boxes are in pixels of the picture, far sides exclusive.
    """

    width_px: float
    box_px: PxBox
    length_px: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Samples:
    """Pixels of thin bands: where they lie, how wide the band is there, what length of it each stands for."""

    rows: Indexes
    columns: Indexes
    widths: Floats
    lengths: Floats
    every: int = 1
    """One of so many pixels was sampled."""

    def only(self, chosen: Indexes) -> _Samples:
        """Some of them."""
        return _Samples(
            rows=self.rows[chosen], columns=self.columns[chosen], widths=self.widths[chosen], lengths=self.lengths[chosen]
        )

    @property
    def box_px(self) -> PxBox:
        """Around all of them."""
        return int(self.columns.min()), int(self.rows.min()), int(self.columns.max()) + 1, int(self.rows.max()) + 1


def thin_bands(coverage: Bytes, bits: Bits, limit_px: float, length_px: float, *, of_gaps: bool = False) -> tuple[Thin, ...]:
    """Bands narrower than a limit over at least a length, the thinnest first.

    Args:
        coverage: with COVERAGE_RIM empty pixels on every side.
        bits: packed mask of what is looked at: ink, or its absence.
        limit_px: width from which a band is of no interest.
        length_px: least length that counts.
        of_gaps: whether `bits` is the absence of ink.
    """
    thin = bits & ~opened(bits, disc(_odd(limit_px + SLACK_PX)))
    samples = _samples(coverage, thin, limit_px, of_gaps=of_gaps)
    return tuple(sorted(_stretches(samples, limit_px, length_px), key=lambda band: band.width_px))


def specks(coverage: Bytes, bits: Bits, limit_px: float) -> tuple[Thin, ...]:
    """Pieces of ink that touch nothing and whose disc of equal area is narrower than a limit, the smallest first."""
    solid = opened(bits, disc(_odd(limit_px + SLACK_PX)))
    rest = bits & ~solid
    runs = pieces(rest)
    if not runs.count:
        return ()
    held = np.zeros(runs.count, bool)
    held[piece_at(runs, *positions(rest & dilated(solid, SQUARE_3)))] = True
    boxes, areas = runs.boxes, runs.areas
    longest = np.maximum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1])
    is_small = (longest <= SPECK_ASPECT * limit_px + 2) & (areas <= math.pi / 4 * (limit_px + 2) ** 2)
    found = []
    for number in np.flatnonzero(is_small & ~held)[:SPECKS_MOST]:
        x0, y0, x1, y1 = (int(side) for side in boxes[number])
        window = coverage[y0 - 1 + COVERAGE_RIM : y1 + 1 + COVERAGE_RIM, x0 - 1 + COVERAGE_RIM : x1 + 1 + COVERAGE_RIM]
        area = min(float(window.sum(dtype=np.int64)) / 255, float(areas[number]))
        diameter = math.sqrt(4 * area / math.pi)
        if diameter < limit_px and not (diameter < CRUMB_PX and _has_neighbours(coverage, (x0, y0, x1, y1), area)):
            found.append(Thin(width_px=diameter, box_px=(x0, y0, x1, y1)))
    return tuple(sorted(found, key=lambda speck: speck.width_px))


def _has_neighbours(coverage: Bytes, box: PxBox, area: float) -> bool:
    """Whether ink lies within a few pixels: the point of a shape that tapers away breaks up into crumbs."""
    x0, y0, x1, y1 = (side + COVERAGE_RIM for side in box)
    window = coverage[y0 - CRUMB_NEAR_PX : y1 + CRUMB_NEAR_PX, x0 - CRUMB_NEAR_PX : x1 + CRUMB_NEAR_PX]
    return float(window.sum(dtype=np.int64)) / 255 > 1.5 * area


def _odd(diameter_px: float) -> int:
    """The least odd number of pixels that is no smaller."""
    return 2 * math.ceil((diameter_px - 1) / 2) + 1


def _samples(coverage: Bytes, thin: Bits, limit_px: float, *, of_gaps: bool) -> _Samples:
    """Pixels of a mask whose band is hardly wider than the limit: all of them, or evenly every so many."""
    rows, columns = positions(thin)
    every = max(1, math.ceil(len(rows) / SAMPLES_MOST))
    every += every % 2 == 0  # an odd step walks through all columns of a band
    if every > 1:
        kept = (columns + 2 * rows) % every == 0 if every <= LATTICE_MOST else np.arange(len(rows)) % every == 0
        rows, columns = rows[kept], columns[kept]
    places = (rows + COVERAGE_RIM) * coverage.shape[1] + columns + COVERAGE_RIM
    reach = min(math.ceil(REACH * limit_px) + 3, COVERAGE_RIM - 4)
    found = widths(coverage, places, reach, of_gaps=of_gaps)
    narrow = found < limit_px + NOISE_PX
    rows, columns, found = rows[narrow], columns[narrow], found[narrow]
    share = coverage.reshape(-1)[places[narrow]] / np.float32(255)
    lengths = every * (1 - share if of_gaps else share) / np.maximum(found, LEAST_PX)
    lengths[found >= limit_px] = 0  # they steady the mean, and make no place longer
    return _Samples(rows=rows, columns=columns, widths=found, lengths=np.asarray(lengths, np.float32), every=every)


def _stretches(samples: _Samples, limit_px: float, length_px: float) -> Iterator[Thin]:
    """Stretches of nearly one width that are long enough, each told once, at its least width."""
    cells = _Cells.of(samples)
    told = np.zeros(cells.count, bool)
    for least in _levels(limit_px):
        most = min(max(least * SPREAD, least + STEADY_PX), limit_px)
        here = np.flatnonzero((samples.widths >= least) & (samples.widths < most) & ~told[cells.of_sample])
        if samples.lengths[here].sum() < length_px:
            continue
        group, many = cells.groups(here)
        for number in np.flatnonzero(np.bincount(group, samples.lengths[here], many) >= length_px):
            own = np.zeros(cells.count, bool)
            own[cells.of_sample[here[group == number]]] = True
            band = _mean(samples.only(np.flatnonzero(own[cells.of_sample])), samples.only(here[group == number]))
            told |= own
            if band.width_px < limit_px:
                yield band


def _levels(limit_px: float) -> Iterator[float]:
    """Least widths of the stretches looked for, the thinnest first."""
    level = LEAST_PX
    while level < limit_px:
        yield level
        level = max(level * LEVEL_STEP, level + STEADY_PX / 2)


def _mean(around: _Samples, within: _Samples) -> Thin:
    """The band's mean width from all samples near its middle width, where noise put some beyond the stretch's bounds."""
    middle = float(np.median(within.widths))
    spread = max(middle * (SPREAD - 1) / 2, STEADY_PX)
    chosen = around.only(np.flatnonzero(np.abs(around.widths - middle) <= spread))
    mean = float(np.average(chosen.widths, weights=1 / np.maximum(chosen.widths, LEAST_PX)))
    return Thin(width_px=mean, length_px=float(chosen.lengths.sum()), box_px=chosen.box_px)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Cells:
    """Squares of a few pixels that samples lie in; samples in cells that touch, also by a corner, lie together."""

    of_sample: Indexes
    names: Indexes
    stride: int

    @classmethod
    def of(cls, samples: _Samples) -> _Cells:
        """The cells of samples; larger ones where only some of the pixels were sampled."""
        side = CELL_PX if samples.every == 1 else SPARSE_CELL_PX
        stride = int(samples.columns.max(initial=0)) // side + 3
        names, number = np.unique((samples.rows // side) * stride + samples.columns // side + 1, return_inverse=True)
        return cls(of_sample=number, names=names, stride=stride)

    @property
    def count(self) -> int:
        """How many cells hold a sample."""
        return len(self.names)

    def groups(self, chosen: Indexes) -> tuple[Indexes, int]:
        """Number of the group that each of some samples belongs to, and how many groups there are."""
        used, cell = np.unique(self.of_sample[chosen], return_inverse=True)
        names = self.names[used]
        first, second = [], []
        for step in (1, self.stride - 1, self.stride, self.stride + 1):
            at = np.searchsorted(names, names + step)
            meets = np.flatnonzero((at < len(names)) & (names[np.minimum(at, len(names) - 1)] == names + step))
            first.append(meets)
            second.append(at[meets])
        number, many = joined(len(names), np.concatenate(first), np.concatenate(second))
        return number[cell], many
