"""Inner lines that a change of inks has melted into the paint beside them.

Comes in: proofs of one artwork before and after the change. Goes out: one `MeltedLine` for each line that is gone or nearly so.
Judged line by line: one share for a whole drawing hides a small mouth.
Never done here: the outline against the cloth, choosing other inks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour.arrays import delta_e_2000, lab, linear_from_srgb8
from vectorprep.judge.pieces import box_of, fractions, labelled
from vectorprep.judge.proof import Proof, prepare

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Bytes, Light, Mask
    from vectorprep.model import Raster
    from vectorprep.model.result import Corners

KEPT_DELTA_E = 10.0
"""CIEDE2000 that touching inks must keep where they had it (house value)."""
LINE_DELTA_E = 5.0
"""CIEDE2000 from which two paints part by a line (house value)."""
SLACK_DELTA_E = 0.5
"""Loss of CIEDE2000 that rounding and edges may cause (house value)."""
LEAST_LENGTH = 0.02
"""Length of a line, in the long side of the ink box, from which it is named (house value)."""
REACH_PX = 2
"""Distance at which the paints on both sides of an edge are compared, past its smoothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltedLine:
    """A line that was seen and no longer is: mean CIEDE2000 across it before and after, length in the long side, place.

    `place` is a box in fractions of the ink box.
    """

    delta_e_before: float
    delta_e_after: float
    length_share: float
    place: Corners


def melted_lines(before: Raster | Proof, after: Raster | Proof) -> tuple[MeltedLine, ...]:
    """Inner lines of one artwork that melt by a change of inks, the longest first.

    Touching paints must keep CIEDE2000 of at least 10, or what they had where that was less.

    Raises:
        ValueError: the two pictures differ in size, so that they are not of one artwork.
    """
    first, second = prepare(before), prepare(after)
    if first is None or second is None:
        return ()
    if first.pixels.shape != second.pixels.shape:
        raise ValueError(f"proofs of {first.pixels.shape[:2]} and {second.pixels.shape[:2]} px are not of one artwork")
    had, has = _across(first.pixels, second.pixels)
    melts = (had >= LINE_DELTA_E) & (has < np.minimum(had, KEPT_DELTA_E) - SLACK_DELTA_E)
    labels, count = labelled(melts)
    found = []
    for piece in range(1, count + 1):
        where = labels == piece
        box = box_of(where)
        length = _length(where) / first.long_px
        if length >= LEAST_LENGTH:
            found.append(
                MeltedLine(
                    delta_e_before=float(had[where].mean()),
                    delta_e_after=float(has[where].mean()),
                    length_share=length,
                    place=fractions(first.box_px, box),
                )
            )
    return tuple(sorted(found, key=lambda line: -line.length_share))


def _length(where: Mask) -> float:
    """Length of a line from its marked spots: a straight edge marks `REACH_PX` spots for each pixel of its length."""
    return float(np.count_nonzero(where)) / REACH_PX


def _across(before: Bytes, after: Bytes) -> tuple[Light, Light]:
    """Greatest CIEDE2000 between opaque paints `REACH_PX` apart at each grid spot, before, and the same pair's after."""
    one, other = before[::2, ::2], after[::2, ::2]
    opaque = (one[..., 3] == 255) & (other[..., 3] == 255)
    had, has = np.zeros(opaque.shape, np.float32), np.zeros(opaque.shape, np.float32)
    for down, across in ((REACH_PX, 0), (0, REACH_PX)):
        height, width = opaque.shape[0] - down, opaque.shape[1] - across
        near = (slice(0, height), slice(0, width))
        far = (slice(down, None), slice(across, None))
        middle = (slice(down // 2, height + down // 2), slice(across // 2, width + across // 2))
        unlike = np.abs(one[near][..., :3].astype(np.int16) - one[far][..., :3]).max(axis=2) > 4
        rows, columns = np.nonzero(opaque[near] & opaque[far] & unlike)
        was = _difference(one[near][rows, columns], one[far][rows, columns])
        now = _difference(other[near][rows, columns], other[far][rows, columns])
        held, kept = had[middle], has[middle]
        greater = was > held[rows, columns]
        held[rows[greater], columns[greater]] = was[greater]
        kept[rows[greater], columns[greater]] = now[greater]
    return had, has


def _difference(first: Bytes, second: Bytes) -> Light:
    one, other = (lab(linear_from_srgb8(pixels[:, :3], single=True)) for pixels in (first, second))
    return delta_e_2000(one, other)
