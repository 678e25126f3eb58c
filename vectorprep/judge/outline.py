"""The share of the outline that fades into the cloth with nothing visible beside it, and where.

Comes in: a proof and the strength of each of its spots on one cloth. Goes out: a `Reading`.
Only the boundary of ink against cloth is judged (lines between inks look the same on every cloth), and a stretch that fades
counts only where nothing visible is close beside it: a black keyline lost on black does no harm around a yellow fill.
Never done here: colour arithmetic, words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.judge.discs import grow, opened
from vectorprep.judge.limits import BESIDE, GONE, LINE, LOST, SHAPE, SOLID, WEAK

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Light, Mask
    from vectorprep.judge.proof import Proof
    from vectorprep.model.result import VerdictWord


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reading:
    """What the eye loses: shares of outline and area, the lost ink as a mask on the proof's grid, the word."""

    outline_faded: float
    area_faded: float
    lost_ink: Mask
    word: VerdictWord


def read_outline(proof: Proof, strengths: Light) -> Reading:
    """The reading of one picture; `strengths` on the proof's grid."""
    reach = BESIDE * proof.long_px
    seen = proof.ink & (strengths >= LINE)
    seen |= opened(proof.ink & (strengths >= SHAPE), SOLID / 2 * proof.long_px)
    lost_ink = proof.ink & ~grow(seen, reach)
    outline = max(1, int(np.count_nonzero(proof.edge)))
    outline_faded = int(np.count_nonzero(proof.edge & lost_ink)) / outline
    area_faded = int(np.count_nonzero(lost_ink)) / max(1, int(np.count_nonzero(proof.ink)))
    word: VerdictWord = "clear" if outline_faded < WEAK else "weak"
    if min(outline_faded, area_faded) >= LOST:
        faint = proof.edge & ~grow(proof.ink & (strengths >= GONE), reach)
        if 2 * np.count_nonzero(faint) >= outline:
            word = "lost"
    return Reading(outline_faded=outline_faded, area_faded=area_faded, lost_ink=lost_ink, word=word)
