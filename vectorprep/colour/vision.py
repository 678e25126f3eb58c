"""Colours as seen with a colour-vision deficiency.

Comes in: `#rrggbb` strings.
Goes out: the colour that full protanopia, deuteranopia or tritanopia makes of it, and the least difference over them.
Never done here: milder severities, verdicts.

Source: Machado, Oliveira, Fernandes, IEEE TVCG 15(6):1291-1298, 2009, matrices of severity 1, in linear light.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from vectorprep.colour.difference import delta_e_2000
from vectorprep.colour.okspace import Matrix
from vectorprep.colour.srgb import hex_from_linear, linear_from_hex, transform

Deficiency = Literal["protan", "deutan", "tritan"]

MATRICES: dict[Deficiency, Matrix] = {
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


@lru_cache(maxsize=1 << 14)
def simulate(colour: str, deficiency: Deficiency) -> str:
    """The colour as full protanopia, deuteranopia or tritanopia shows it (Machado 2009, severity 1)."""
    return hex_from_linear(transform(MATRICES[deficiency], linear_from_hex(colour)))


def worst_delta_e(first: str, second: str) -> float:
    """Least CIEDE2000 of two colours over ordinary, protan and deutan sight; tritan sight is too rare to decide."""
    protan = delta_e_2000(simulate(first, "protan"), simulate(second, "protan"))
    deutan = delta_e_2000(simulate(first, "deutan"), simulate(second, "deutan"))
    return min(delta_e_2000(first, second), protan, deutan)
