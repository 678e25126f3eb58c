"""Which marks of a picture are thin in print, and how much their hue counts.

Comes in: a proof and its printed size. Goes out: masks and weights on the proof's grid.
Never done here: colours, words.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.judge.discs import openings
from vectorprep.judge.limits import INK_ALPHA, THIN_HUES
from vectorprep.judge.sight import any_of

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Light, Mask
    from vectorprep.judge.proof import Proof

ASSUMED_MM = 300.0
"""Long side of a print whose size is not known (house value)."""


@lru_cache(maxsize=8)
def thin_marks(proof: Proof, printed_mm: tuple[float, float] | None, widths_mm: tuple[float, ...]) -> list[Mask]:
    """Grid pixels of marks and tips narrower than each width in print; without a printed size it is `ASSUMED_MM` long."""
    px_per_mm = 2 * proof.long_px / (max(printed_mm) if printed_mm else ASSUMED_MM)
    fine = proof.pixels[..., 3] >= INK_ALPHA
    wide = openings(fine, [max(1.0, width_mm / 2 * px_per_mm) for width_mm in widths_mm])
    return [proof.ink & ~any_of(mask) for mask in wide]


@lru_cache(maxsize=4)
def hue_weights(proof: Proof, printed_mm: tuple[float, float] | None) -> Light | None:
    """Weight of hue at each grid pixel, 1 but for thin marks; None where no mark is thin."""
    weights: Light | None = None
    thin_at = thin_marks(proof, printed_mm, tuple(width_mm for width_mm, _ in THIN_HUES))
    for thin, (_, weight) in zip(thin_at, THIN_HUES, strict=True):
        if thin.any():
            weights = np.ones(thin.shape, np.float32) if weights is None else weights
            weights[thin] = weight
    return weights
