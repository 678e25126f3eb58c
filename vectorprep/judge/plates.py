"""Plates: rectangles in the colour of the cloth behind an artwork, left over from drawing or from another background.

Comes in: a proof and its sight on one cloth. Goes out: the proof without the plate, where there is one.
On its own cloth a plate cannot be seen and is not missed; what stands on it is judged as if it stood on the cloth.
Never done here: other shapes in the colour of the cloth, which are missed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.judge.pieces import labelled
from vectorprep.judge.proof import reduced_to
from vectorprep.judge.sight import any_of, doubled

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Mask
    from vectorprep.judge.proof import Proof
    from vectorprep.judge.sight import Sight

LIKE_CLOTH = 0.10
"""Strength below which a plate counts as the colour of the cloth (house value: it is missed less than a drawn shape)."""
UNSEEN = 0.04
"""Strength below which it cannot be told from the cloth at all (house value: half of what a shape needs)."""
LEAST_SIDES = 3
"""Sides of a rectangle that must show as such; art may hide the fourth."""
SIDE = 0.3
"""Length of a straight upright edge, in the long side of the ink box, from which it may be the side of a plate (house value)."""
LEAST_REST = 0.05
"""Share of the ink that must stand on a plate; a bare rectangle is the artwork itself (house value)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OnPlate:
    """The proof as if its plate were bare cloth; `is_unseen`: whether the plate cannot be told from the cloth at all."""

    rest: Proof
    is_unseen: bool


def without_plate(proof: Proof, seen: Sight) -> OnPlate | None:
    """What stands on a plate; None where there is no plate, or nothing else."""
    like = any_of(proof.ink) & (seen.shape < LIKE_CLOTH)
    sides = _sides(any_of(proof.ink), like, max(2, round(SIDE * proof.long_px / 2)))
    if not sides.any():
        return None
    labels, _ = labelled(like)
    plate = like & np.isin(labels, np.unique(labels[sides]))
    rest = proof.ink & ~doubled(plate)
    if np.count_nonzero(rest) < LEAST_REST * np.count_nonzero(proof.ink):
        return None
    return OnPlate(rest=reduced_to(proof, rest), is_unseen=float(np.median(seen.shape[plate])) < UNSEEN)


def _sides(ink: Mask, like: Mask, length: int) -> Mask:
    """Edges of a rectangle in the colour of the cloth: straight, long, upright, at least three of its four."""
    runs = [_long_runs(like & ~np.roll(ink, side, axis=0), length) for side in (1, -1)]
    runs += [_long_runs((like & ~np.roll(ink, side, axis=1)).T, length).T for side in (1, -1)]
    if sum(bool(run.any()) for run in runs) < LEAST_SIDES:
        return np.zeros_like(ink)
    found: Mask = np.logical_or.reduce(runs)
    return found


def _long_runs(mask: Mask, length: int) -> Mask:
    """Marked pixels of each row that stand in an unbroken run of at least `length`."""
    if mask.shape[1] < length:
        return np.zeros_like(mask)
    total = np.cumsum(np.pad(mask, ((0, 0), (1, 0))), axis=1, dtype=np.int32)
    full = np.pad(total[:, length:] - total[:, :-length] == length, ((0, 0), (length, length - 1)))
    starts = np.cumsum(full, axis=1, dtype=np.int32)
    found: Mask = starts[:, length : length + mask.shape[1]] - starts[:, : mask.shape[1]] > 0
    return found
