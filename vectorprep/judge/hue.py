"""The second witness: does hue alone carry an ink, and does it for every eye.

Comes in: an ink and a cloth, `#rrggbb`. Goes out: a `Witness`.
Never done here: the verdict's word.
"""

from __future__ import annotations

from dataclasses import dataclass

from vectorprep.colour import contrast_ratio, delta_e_2000, simulate

HUE_DELTA_E = 30.0
"""CIEDE2000 that hue alone must reach for every eye (house value)."""
HUE_RATIO = (1.5, 3.0)
"""Contrast ratios between which hue alone can carry a shape: below it is lost, above it needs no hue (house values)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Witness:
    """Contrast ratio, and CIEDE2000 for ordinary, protan, deutan and tritan sight (Machado 2009, full deficiency)."""

    contrast_ratio: float
    normal: float
    protan: float
    deutan: float
    tritan: float

    @property
    def least(self) -> float:
        """The least CIEDE2000 over ordinary, protan and deutan sight; tritan sight is shown and does not decide."""
        return min(self.normal, self.protan, self.deutan)

    @property
    def hue_only(self) -> bool:
        """Whether the ink stands out by hue and too little by lightness: enough for a shape, never for text."""
        return HUE_RATIO[0] <= self.contrast_ratio < HUE_RATIO[1] and self.least >= HUE_DELTA_E


def witness(ink: str, cloth: str) -> Witness:
    """What an ink on a cloth looks like to different eyes."""
    return Witness(
        contrast_ratio=contrast_ratio(ink, cloth),
        normal=delta_e_2000(ink, cloth),
        protan=delta_e_2000(simulate(ink, "protan"), simulate(cloth, "protan")),
        deutan=delta_e_2000(simulate(ink, "deutan"), simulate(cloth, "deutan")),
        tritan=delta_e_2000(simulate(ink, "tritan"), simulate(cloth, "tritan")),
    )
