"""Thin bands of ink, thin gaps in it, and small pieces of it, in a print picture.

Comes in: a prepared picture, and limits in pixels. Goes out: bands with their width, length and box; specks.
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

from vectorprep.checks._bits import SQUARE_3, dilated, disc, opened, positions, with_pixels
from vectorprep.checks._pieces import Cells, piece_at, pieces, pieces_of
from vectorprep.checks._print import FAINT, INK
from vectorprep.checks._widths import widths

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.checks._bits import Bits
    from vectorprep.checks._print import Prepared
    from vectorprep.model.result import PxBox

    Floats = NDArray[np.float32]
    Indexes = NDArray[np.intp]

SAMPLES_MOST = 30_000
SLACK_PX = 2.2  # the mask is fatter than the ink by the soft pixels of both edges, and discs come in odd sizes
NOISE_PX = 0.6  # of a single width; the mean over a band is good to a tenth
LATTICE_MOST = 5
REACH = 2.5  # limits that a run is followed to either side
LEAST_PX = 0.3  # no band is taken to be narrower, so that none is endless
CELL_PX, SPARSE_CELL_PX = 2, 8
STEADY_PX = 0.5  # what the width of an even line varies by from pixel to pixel
LEVEL_STEP = 1.12
SPREAD = 1.25  # greatest width over least within a stretch of "one width" (house value)
SHARE_NEAR = 0.04
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
            rows=self.rows[chosen],
            columns=self.columns[chosen],
            widths=self.widths[chosen],
            lengths=self.lengths[chosen],
            every=self.every,
        )

    @property
    def box_px(self) -> PxBox:
        """Around all of them."""
        return int(self.columns.min()), int(self.rows.min()), int(self.columns.max()) + 1, int(self.rows.max()) + 1


def thin_bands(picture: Prepared, limit_px: float, length_px: float, *, of_gaps: bool = False) -> tuple[Thin, ...]:
    """Bands of ink narrower than a limit over at least a length, the thinnest first.

    Args:
        picture: what is looked at.
        limit_px: width from which a band is of no interest.
        length_px: least length that counts.
        of_gaps: whether gaps in the ink are looked for.
    """
    reach_px = max(limit_px, picture.widest_mm * picture.px_per_mm)
    samples = picture.once(("samples", of_gaps, reach_px), lambda: _samples(picture, reach_px, of_gaps=of_gaps))
    narrow = samples.only(np.flatnonzero(samples.widths < limit_px + NOISE_PX))
    narrow.lengths[narrow.widths >= limit_px] = 0  # they steady the mean, and make no place longer
    return tuple(sorted(_stretches(narrow, limit_px, length_px), key=lambda band: band.width_px))


def specks(picture: Prepared, limit_px: float) -> tuple[Thin, ...]:
    """Pieces of ink that touch nothing and whose disc of equal area is narrower than a limit, the smallest first."""
    solid = _solid(picture, max(limit_px, picture.widest_mm * picture.px_per_mm), of_gaps=False)
    apart = _apart(picture.any_of(INK) & ~solid, solid)
    rows, columns = picture.pixels_of(apart)
    inked = np.flatnonzero(picture.alpha_at(rows, columns) >= INK)
    if not len(inked):
        return ()
    runs = pieces_of(rows[inked], columns[inked])
    boxes, areas = runs.boxes, runs.areas
    longest = np.maximum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1])
    is_small = (longest <= SPECK_ASPECT * limit_px + 2) & (areas <= math.pi / 4 * (limit_px + 2) ** 2)
    found = []
    for number in np.flatnonzero(is_small)[:SPECKS_MOST]:
        box = tuple(int(side) for side in boxes[number])
        area = min(_covered(picture, box, 1), float(areas[number]))
        diameter = math.sqrt(4 * area / math.pi)
        # The point of a shape that tapers away breaks up into crumbs.
        is_crumb = diameter < CRUMB_PX and _covered(picture, box, CRUMB_NEAR_PX) > 1.5 * area
        if diameter < limit_px and not is_crumb:
            found.append(Thin(width_px=diameter, box_px=(box[0], box[1], box[2], box[3])))
    return tuple(sorted(found, key=lambda speck: speck.width_px))


def _apart(squares: Bits, solid: Bits) -> Bits:
    """The pieces of a mask that do not touch another one."""
    runs = pieces(squares)
    held = np.zeros(runs.count, np.bool_)
    held[piece_at(runs, *positions(squares & dilated(solid, SQUARE_3)))] = True
    chosen = np.flatnonzero(~held[runs.piece])
    lengths = runs.stop[chosen] - runs.start[chosen]
    first = np.cumsum(lengths) - lengths
    across = np.arange(int(lengths.sum())) - first.repeat(lengths) + runs.start[chosen].repeat(lengths)
    return with_pixels(np.zeros_like(squares), runs.row[chosen].repeat(lengths), across)


def _covered(picture: Prepared, box: tuple[int, ...], margin: int) -> float:
    """Pixels that the ink of a box with a margin covers."""
    x0, y0, x1, y1 = box
    window = picture.pixels[max(y0 - margin, 0) : y1 + margin, max(x0 - margin, 0) : x1 + margin, 3]
    return float(window.sum(dtype=np.int64)) / 255


def _odd(diameter_px: float) -> int:
    """The least odd number of pixels that is no smaller."""
    return 2 * math.ceil((diameter_px - 1) / 2) + 1


def _solid(picture: Prepared, limit_px: float, *, of_gaps: bool) -> Bits:
    """Squares of 2 x 2 pixels on or beside ink (or emptiness) that a disc somewhat wider than the limit covers.

    What is not in them is a superset of what a disc at full size would leave uncovered; the squares beside take the rims away.
    """

    def find() -> Bits:
        squares = ~picture.any_of(256 - FAINT) if of_gaps else picture.all_of(FAINT)
        return dilated(opened(squares, disc(_odd((limit_px + SLACK_PX) / 2))), SQUARE_3)

    return picture.once(("solid", of_gaps, limit_px), find)


def _samples(picture: Prepared, limit_px: float, *, of_gaps: bool) -> _Samples:
    """Pixels whose band is hardly wider than the limit: all of them, or evenly every so many."""
    solid = _solid(picture, limit_px, of_gaps=of_gaps)
    rows, columns = picture.pixels_of((~picture.all_of(256 - FAINT) if of_gaps else picture.any_of(FAINT)) & ~solid)
    alpha = picture.alpha_at(rows, columns)
    own = np.flatnonzero(alpha < 256 - FAINT if of_gaps else alpha >= FAINT)
    every = max(1, math.ceil(len(own) / SAMPLES_MOST))
    every += every % 2 == 0  # an odd step walks through all columns of a band
    if every > 1:
        kept = (columns[own] + 2 * rows[own]) % every == 0 if every <= LATTICE_MOST else np.arange(len(own)) % every == 0
        own = own[kept]
    rows, columns, alpha = rows[own], columns[own], alpha[own]
    found = widths(picture, rows, columns, math.ceil(REACH * limit_px) + 3, of_gaps=of_gaps)
    narrow = np.flatnonzero(found < limit_px + NOISE_PX)
    rows, columns, found = rows[narrow], columns[narrow], found[narrow]
    share = alpha[narrow] / np.float32(255)
    lengths = every * (1 - share if of_gaps else share) / np.maximum(found, LEAST_PX)
    return _Samples(rows=rows, columns=columns, widths=found, lengths=np.asarray(lengths, np.float32), every=every)


def _stretches(samples: _Samples, limit_px: float, length_px: float) -> Iterator[Thin]:
    """Stretches of nearly one width that are long enough, each told once, at its least width."""
    cells = Cells.of(samples.rows, samples.columns, CELL_PX if samples.every == 1 else SPARSE_CELL_PX)
    told = np.zeros(cells.count, bool)
    for least in _levels(limit_px):
        most = min(max(least * SPREAD, least + STEADY_PX), limit_px)
        here = np.flatnonzero((samples.widths >= least) & (samples.widths < most) & ~told[cells.of_place])
        if samples.lengths[here].sum() < length_px:
            continue
        group, many = cells.groups(here)
        for number in np.flatnonzero(np.bincount(group, samples.lengths[here], many) >= length_px):
            own = np.zeros(cells.count, bool)
            own[cells.of_place[here[group == number]]] = True
            band = _mean(samples.only(np.flatnonzero(own[cells.of_place])), samples.only(here[group == number]))
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
    half = len(within.widths) // 2
    middle = float(np.partition(within.widths, half)[half])  # one of the widths, so that something lies near it
    spread = max(middle * SHARE_NEAR, STEADY_PX)
    chosen = around.only(np.flatnonzero(np.abs(around.widths - middle) <= spread))
    mean = float(np.average(chosen.widths, weights=1 / np.maximum(chosen.widths, LEAST_PX)))
    return Thin(width_px=mean, length_px=float(chosen.lengths.sum()), box_px=chosen.box_px)
