"""Drawn picture x blank -> verdict, by a measure that agrees with eyes.

Comes in: a proof (small picture of the artwork as printed), the blank, the artwork's inks.
Goes out: `clear`, `weak` or `lost` with the one figure that decided, the ink that fades and the places.
Never done here: drawing, recolouring, files.
"""

from vectorprep.judge.proof import Proof, prepare, proof_window
from vectorprep.judge.verdict import judge

__all__ = ["Proof", "judge", "prepare", "proof_window"]
