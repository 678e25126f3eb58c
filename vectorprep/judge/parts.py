"""Parts that vanish while the rest reads: steam over a cup, a ball beside a player, dark shoes on dark cloth.

Comes in: a picture and a blank. Goes out: one `FadedPart` for each piece of ink that is not seen and has nothing visible beside it.
Eyes let most such pictures pass as clear, so parts are findings beside the verdict and never change its word.
Never done here: pictures of which the greater part fades (the verdict says so).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import colour_word, contrast_ratio, worst_delta_e
from vectorprep.judge.cloth import cloths
from vectorprep.judge.discs import grow
from vectorprep.judge.limits import BESIDE
from vectorprep.judge.outline import visible_ink
from vectorprep.judge.paint import as_printed, prevailing_ink
from vectorprep.judge.pieces import box_of, fractions, labelled
from vectorprep.judge.proof import Proof, prepare, without_white
from vectorprep.judge.sight import doubled, sight
from vectorprep.judge.thin import hue_weights
from vectorprep.model import FadedPart

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Mask
    from vectorprep.judge.sight import Sight
    from vectorprep.model import Blank, Ink, Raster

LEAST_SHARE = 0.004
"""Share of the ink area from which a piece is a part (house value)."""
LEAST_OUTLINE = 0.02
"""Share of the outline from which a piece is a part (house value)."""
MOST_SHARE = 0.50
"""Share of the ink area that parts may hold together; above it the picture fades and not a part of it (house value)."""
FADED_SHARE = 0.80
"""Share of a piece standing apart that must fade for all of it to vanish (house value)."""


def faded_parts(
    proof: Raster | Proof,
    blank: Blank,
    *,
    inks: tuple[Ink, ...] = (),
    white_ink: bool = True,
    printed_mm: tuple[float, float] | None = None,
) -> tuple[FadedPart, ...]:
    """Parts that vanish on a blank while the rest reads, the largest first; on heather on its mean colour.

    Arguments as for `judge`.
    """
    drawn = prepare(proof)
    if drawn is None:
        return ()
    cloth = cloths(blank)[0]
    printed = drawn if white_ink else without_white(drawn, cloth)
    faded = _faded(drawn, sight(printed, cloth, hue_weights(drawn, printed_mm)))
    area, outline = int(np.count_nonzero(drawn.ink)), max(1, int(np.count_nonzero(drawn.edge)))
    if not area or np.count_nonzero(faded) > MOST_SHARE * area:
        return ()
    labels, count = labelled(faded)
    areas = np.bincount(labels.ravel(), minlength=count + 1) / area
    edges = np.bincount(labels[drawn.edge], minlength=count + 1) / outline
    found = []
    for piece in range(1, count + 1):
        if areas[piece] < LEAST_SHARE or edges[piece] < LEAST_OUTLINE:
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
                area_share=float(areas[piece]),
                outline_share=float(edges[piece]),
                place=fractions(drawn.box_px, box_of(where)),
                words=f"a part in {colour_word(ink)} vanishes on {blank.name.lower()}, {ratio:.1f}:1, the rest is seen",
            )
        )
    return tuple(sorted(found, key=lambda part: -part.outline_share))


def _faded(proof: Proof, seen: Sight) -> Mask:
    """Ink with nothing visible beside it, and whole pieces standing apart that are hardly seen."""
    visible = visible_ink(seen, 1.0, proof.long_px / 2)
    lost = proof.ink & ~doubled(grow(visible, BESIDE * proof.long_px / 2))
    labels, count = labelled(proof.ink)
    sizes = np.bincount(labels.ravel(), minlength=count + 1)
    unseen = np.bincount(labels[proof.ink & ~doubled(visible)], minlength=count + 1)
    gone = unseen >= FADED_SHARE * np.maximum(sizes, 1)
    gone[0] = False
    return lost | gone[labels]
