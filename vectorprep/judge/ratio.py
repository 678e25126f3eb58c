"""The strict reading: the share of the outline whose ink stays under the contrast ratio asked for.

Comes in: a proof, a cloth, the printed size. Goes out: shares and the spots that fail.
Ratios are those of WCAG 2.2 between declared colours (composited where see-through), not between blurred pixels.
Never done here: what the eye makes of it (`outline`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import relative_luminance
from vectorprep.colour.arrays import luminance
from vectorprep.judge.paint import densest
from vectorprep.judge.proof import composited
from vectorprep.judge.thin import thin_marks

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Light, Mask
    from vectorprep.judge.proof import Proof
    from vectorprep.model.result import VerdictWord


FLOOR = 3.0
"""Ratio asked of graphics (WCAG 2.2, 1.4.11)."""
THIN_FLOOR = 4.5
"""Ratio asked of text and thin marks (WCAG 2.2, 1.4.3; for thin marks a house value)."""
LOST_RATIO = 1.5
"""Ratio below which ink counts as lost (house value)."""
THIN_MM = 1.5
"""Marks narrower than this in print are thin (house value)."""
FAILING_SHARE = 0.02
"""Share of the outline that may fail as noise of edges (house value)."""
LOST_SHARE = 0.60
"""Share of the outline under `LOST_RATIO` from which the picture is lost (house value)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RatioReading:
    """Share of outline that fails, the failing spots on the grid, the floor most of them missed, the word."""

    failing: float
    spots: Mask
    floor: float
    word: VerdictWord


def read_ratio(proof: Proof, cloth: str, *, printed_mm: tuple[float, float] | None) -> RatioReading:
    """The strict reading of a picture on cloth `#rrggbb`."""
    ratios = _edge_ratios(proof, cloth)
    thin = thin_marks(proof, printed_mm, (THIN_MM,))[0][proof.edge]
    fails = ratios < np.where(thin, THIN_FLOOR, FLOOR)
    share = float(fails.mean())
    word: VerdictWord = "clear"
    if share > FAILING_SHARE:
        word = "lost" if float((ratios < LOST_RATIO).mean()) > LOST_SHARE else "weak"
    spots = np.zeros_like(proof.edge)
    spots[proof.edge] = fails
    mostly_thin = fails.any() and float(thin[fails].mean()) > 0.5
    return RatioReading(failing=share, spots=spots, floor=THIN_FLOOR if mostly_thin else FLOOR, word=word)


def _edge_ratios(proof: Proof, cloth: str) -> Light:
    light = luminance(composited(densest(proof, proof.edge), cloth))
    other = relative_luminance(cloth)
    ratios: Light = (np.maximum(light, other) + 0.05) / (np.minimum(light, other) + 0.05)
    return ratios
