"""Thin bands of ink, thin gaps in it, and small pieces of it, in a print picture.

Comes in: coverage with its packed mask, and limits in pixels. Goes out: bands with their width, length and box; specks.
Never done here: limits in mm, words.

What a disc somewhat wider than the limit cannot cover is looked at pixel by pixel; pixels whose band is thinner than the limit are
gathered into places, and a place counts where the ink runs on at nearly one width for long enough: a sharp corner tapers away.
"""

from __future__ import annotations

import math
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
CELL_PX = 6
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
    group, many = _groups(samples.rows, samples.columns)
    enough = np.flatnonzero(np.bincount(group, samples.lengths, many) >= length_px)
    found = (_stretch(samples.only(np.flatnonzero(group == number)), length_px) for number in enough)
    bands = (band for band in found if band is not None and band.width_px < limit_px)
    return tuple(sorted(bands, key=lambda band: band.width_px))


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
    return _Samples(rows=rows, columns=columns, widths=found, lengths=np.asarray(lengths, np.float32))


def _groups(rows: Indexes, columns: Indexes) -> tuple[Indexes, int]:
    """Number of the place each pixel belongs to: cells that touch, also by a corner, are one place."""
    if not len(rows):
        return rows, 0
    stride = int(columns.max()) // CELL_PX + 3
    cells = (rows // CELL_PX) * stride + columns // CELL_PX + 1
    names, cell = np.unique(cells, return_inverse=True)
    first, second = [], []
    for step in (1, stride - 1, stride, stride + 1):
        at = np.searchsorted(names, names + step)
        meets = np.flatnonzero((at < len(names)) & (names[np.minimum(at, len(names) - 1)] == names + step))
        first.append(meets)
        second.append(at[meets])
    number, many = joined(len(names), np.concatenate(first), np.concatenate(second))
    return number[cell], many


def _stretch(samples: _Samples, length_px: float) -> Thin | None:
    """The thinnest stretch of nearly one width that is long enough."""
    order = np.argsort(samples.widths, kind="stable")
    ordered, sums = samples.widths[order], np.concatenate(([0.0], np.cumsum(samples.lengths[order])))
    stop = np.searchsorted(ordered, ordered * SPREAD, side="right")
    long_enough = np.flatnonzero(sums[stop] - sums[:-1] >= length_px)
    if not len(long_enough):
        return None
    start = int(long_enough[0])
    inner = sums[start : int(stop[start]) + 1] - sums[start]
    middle = ordered[start + int(np.searchsorted(inner, inner[-1] / 2))]
    near = (samples.widths >= middle / math.sqrt(SPREAD)) & (samples.widths <= middle * math.sqrt(SPREAD))
    chosen = samples.only(np.flatnonzero(near))
    mean = float(np.average(chosen.widths, weights=1 / np.maximum(chosen.widths, LEAST_PX)))
    return Thin(width_px=mean, length_px=float(chosen.lengths.sum()), box_px=chosen.box_px)
