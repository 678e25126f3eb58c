"""The strength of a whole picture on one cloth, spot by spot.

Comes in: a proof and a cloth. Goes out: two maps on blocks of 2 x 2 of the grid, one for shapes and one for lines.
Never done here: limits, words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.judge.limits import LINE, STEPS
from vectorprep.judge.paint import densest_at
from vectorprep.judge.proof import composited, shallow_light
from vectorprep.judge.strength import flared, strength

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Light, Mask
    from vectorprep.judge.proof import Proof


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sight:
    """Strengths on blocks of 2 x 2 of the grid, 0 off the ink: `shape` as blurred, `line` raised where lines are thin."""

    shape: Light
    line: Light


def sight(proof: Proof, cloth: str, hues: Light | None = None) -> Sight:
    """How strongly each spot of the print stands out from cloth `#rrggbb`.

    `hues` weighs differences in hue at each pixel of the grid: thin marks are read by lightness.
    """
    depths, width = proof.depths, proof.ink.shape[1]
    strengths = np.zeros(proof.ink.size, np.float32)
    strengths[depths.deep] = strength(depths.deep_seen, cloth)
    hue = np.ones(1, np.float32) if hues is None else hues.ravel()[depths.shallow]
    shallow = strength(flared(shallow_light(proof, cloth)).T, cloth, hue)
    strengths[depths.shallow] = shallow
    shape = highest(strengths.reshape(proof.ink.shape))
    # Blur takes strength from hairlines that the eye still follows: between the blurred and the painted strength lies what it sees.
    doubtful = np.flatnonzero(shallow < LINE * STEPS[0])
    rows, columns = np.divmod(depths.shallow[doubtful], width)
    painted = strength(flared(composited(densest_at(proof, rows, columns), cloth)).T, cloth, hue if hues is None else hue[doubtful])
    line = shape.copy()
    np.maximum.at(line, (rows // 2, columns // 2), np.sqrt(shallow[doubtful] * painted))
    return Sight(shape=shape, line=line)


def highest(values: Light) -> Light:
    """The greatest of each block of 2 x 2."""
    halved = np.maximum(values[::2], values[1::2])
    found: Light = np.maximum(halved[:, ::2], halved[:, 1::2])
    return found


def any_of(mask: Mask) -> Mask:
    """Blocks of 2 x 2 that hold a marked pixel."""
    halved: Mask = mask[::2] | mask[1::2]
    return halved[:, ::2] | halved[:, 1::2]


def doubled(mask: Mask) -> Mask:
    """A mask on blocks of 2 x 2 as one on the grid."""
    return np.repeat(np.repeat(mask, 2, axis=0), 2, axis=1)
