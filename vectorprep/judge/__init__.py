"""Drawn picture x blank -> verdict, by a measure that agrees with eyes.

Comes in: a proof (small picture of the artwork as printed), the blank, the artwork's inks.
Goes out: `clear`, `weak` or `lost` with the one figure that decided, the ink that fades and the places; beside it separate parts
that vanish, inner lines that a change has melted, and what other eyes make of an ink.
Never done here: drawing, recolouring, files.
"""

from vectorprep.judge.hue import Witness, witness
from vectorprep.judge.melted import MeltedLine, melted_lines
from vectorprep.judge.parts import faded_parts
from vectorprep.judge.proof import Proof, off_ground, prepare, proof_window
from vectorprep.judge.verdict import judge

__all__ = [
    "MeltedLine",
    "Proof",
    "Witness",
    "faded_parts",
    "judge",
    "melted_lines",
    "off_ground",
    "prepare",
    "proof_window",
    "witness",
]
