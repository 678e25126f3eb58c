"""Separate parts that vanish while the rest reads: steam over a cup, a ball beside a player.

Comes in: a picture and a blank. Goes out: one `FadedPart` for each piece that stands apart and is not seen by itself.
Eyes let most such pictures pass as clear, so parts are findings beside the verdict and never change its word.
Never done here: pieces joined to the rest (the verdict's places name those).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import contrast_ratio, worst_delta_e
from vectorprep.judge.cloth import cloths
from vectorprep.judge.outline import visible_ink
from vectorprep.judge.paint import as_printed, prevailing_ink
from vectorprep.judge.pieces import box_of, fractions, labelled
from vectorprep.judge.proof import Proof, prepare, without_white
from vectorprep.judge.ratio import thin_marks
from vectorprep.judge.sight import doubled, sight
from vectorprep.judge.words import colour_word

if TYPE_CHECKING:
    from vectorprep.model import Blank, Ink, Raster
    from vectorprep.model.result import Corners

LEAST_SHARE = 0.004
"""Share of the ink area from which a piece is a part (house value)."""
MOST_SHARE = 0.90
"""Share of the ink area up to which a piece is a part and not the picture (house value)."""
FADED_SHARE = 0.80
"""Share of a part that must fade for it to vanish (house value)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FadedPart:
    """A separate part that vanishes: its ink `#rrggbb`, contrast ratio, least CIEDE2000, share of the ink area, place, words.

    `place` is a box in fractions of the ink box.
    """

    ink: str
    contrast_ratio: float
    delta_e: float
    area_share: float
    place: Corners
    words: str


def faded_parts(
    proof: Raster | Proof,
    blank: Blank,
    *,
    inks: tuple[Ink, ...] = (),
    white_ink: bool = True,
    printed_mm: tuple[float, float] | None = None,
) -> tuple[FadedPart, ...]:
    """Separate parts that vanish on a blank, the largest first; empty where everything or nothing of a picture in one piece fades.

    On heather a part counts that vanishes on the mean colour. Arguments as for `judge`.
    """
    drawn = prepare(proof)
    if drawn is None:
        return ()
    cloth = cloths(blank)[0]
    printed = drawn if white_ink else without_white(drawn, cloth)
    thin = thin_marks(drawn, printed_mm)
    seen = doubled(visible_ink(sight(printed, cloth, thin if thin.any() else None), 1.0, drawn.long_px / 2))
    labels, count = labelled(drawn.ink)
    area = max(1, int(np.count_nonzero(drawn.ink)))
    sizes = np.bincount(labels[drawn.ink], minlength=count + 1)
    unseen = np.bincount(labels[drawn.ink & ~seen], minlength=count + 1)
    found = []
    for piece in range(1, count + 1):
        share = int(sizes[piece]) / area
        if not LEAST_SHARE <= share <= MOST_SHARE or unseen[piece] < FADED_SHARE * sizes[piece]:
            continue
        where = labels == piece
        ink = prevailing_ink(drawn, where, inks)
        shown = as_printed(ink, cloth, inks, white_ink=white_ink)
        ratio = contrast_ratio(shown, cloth)
        found.append(
            FadedPart(
                ink=ink,
                contrast_ratio=ratio,
                delta_e=worst_delta_e(shown, cloth),
                area_share=share,
                place=fractions(drawn.box_px, box_of(where)),
                words=f"a separate part in {colour_word(ink)} vanishes on {blank.name.lower()}, {ratio:.1f}:1",
            )
        )
    return tuple(sorted(found, key=lambda part: -part.area_share))
