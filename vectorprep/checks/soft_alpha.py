"""Coverage that is neither ink nor cloth: see-through areas over a white base, and mist.

Comes in: evidence with a picture. Goes out: `alpha-soft-interior`, `alpha-near-zero`. Never done here: edges.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._alpha import Spots, mist, soft_interior
from vectorprep.checks._bits import count
from vectorprep.checks._blanks import broken, prints_base
from vectorprep.checks._evidence import Evidence, OnBlank
from vectorprep.checks._print import INK, Prepared, prepared
from vectorprep.model import Explanation, Finding

if TYPE_CHECKING:
    from vectorprep.model.result import PxBox, Severity

SLUGS = {
    "alpha-soft-interior": Explanation(
        cause="A part of the art is see-through: a soft shadow, a glow, a fade or reduced opacity.",
        consequence="The white base is printed wherever there is any ink, so that on dark cloth a fade becomes a fade to white, a"
        " shadow a grey patch and a glow a milky halo; in film transfers the powder sheds.",
        remedy="Remove the effect at the place named, or put an opaque shape of the cloth's colour behind it. Or let the"
        " tool do it:"
        ' see_through = "halftone" (or "stipple") in the settings turns it into dots of full ink, "cut" cuts it at half strength.',
    ),
    "alpha-near-zero": Explanation(
        cause="Very faint ink, of under 5 % coverage, lies away from the rest: a mist, or the tail of a fade.",
        consequence="Nobody sees it on the screen; it prints as specks or a haze.",
        remedy="Delete the faint object, or end the fade earlier; clear_mist = true in the settings leaves such ink out of"
        " the file.",
    ),
}
MIST_SHARE = 0.0005  # of the ink: common practice, no source
LIGHT, DARK = 170, 85  # mean channel levels from which a see-through area is a glow, and below which it is a shadow (house values)
STEPS_OF_A_FADE = 12  # different coverages from which it is no flat opacity (house value)


def check(evidence: Evidence) -> Iterator[Finding]:
    """Both, where the process minds them."""
    picture = prepared(evidence)
    if picture is None:
        return
    ink = max(1, picture.once("ink area", lambda: count(picture.ink(INK))))
    yield from _soft(evidence, picture, ink)
    if evidence.placement.background is None:
        yield from _mist(picture, ink)


def soft_limit(on: OnBlank) -> float | None:
    """Share of the ink that may be see-through, where a white base is printed."""
    return on.ink_policy.interior_soft_warn_fraction_of_ink if prints_base(on) else None


def _soft(evidence: Evidence, picture: Prepared, ink: int) -> Iterator[Finding]:
    if not any(soft_limit(on) for on in evidence.on_blanks):
        return
    spots = picture.once("soft", lambda: soft_interior(picture))
    share = spots.pixels / ink
    fail = min((on.ink_policy.interior_soft_fail_fraction_of_ink or 1.0) for on in evidence.on_blanks if soft_limit(on))

    def severity(limit: float) -> Severity | None:
        return None if share <= limit else "error" if share > fail else "warning"

    for item in broken(evidence, soft_limit, severity):
        limit = fail if item.severity == "error" else item.limit
        area = picture.ink_mm2(spots.pixels)
        yield Finding(
            check="alpha-soft-interior",
            severity=item.severity,
            blank=item.blank,
            message=f"{_kind(picture, spots)} over a white base: {share:.1%} of the ink, {area:.0f} mm2, above {limit:.1%}",
            fix='remove the effect, make the area opaque, or turn it into dots: see_through = "halftone" in the settings',
            measured=round(share, 5),
            limit=limit,
            unit="share of the ink",
            place_mm=None if spots.box_px is None else picture.corners(spots.box_px),
            place_on="print",
        )


def _kind(picture: Prepared, spots: Spots) -> str:
    """What a see-through area looks like, in words."""
    if spots.box_px is None:
        return "a see-through area"
    alpha, level = _sampled(picture, spots.box_px)
    if len(np.unique(alpha)) < STEPS_OF_A_FADE:
        return "a see-through area"
    return "a soft shadow" if level < DARK else "a glow" if level > LIGHT else "a fade"


def _sampled(picture: Prepared, box: PxBox) -> tuple[np.ndarray[tuple[int], np.dtype[np.uint8]], float]:
    """Coverages of the soft pixels of a box, and their mean colour level, alpha taken out."""
    x0, y0, x1, y1 = box
    step = max(1, min(x1 - x0, y1 - y0) // 64)
    seen = picture.pixels[y0:y1:step, x0:x1:step].reshape(-1, 4)
    seen = seen[(seen[:, 3] > 0) & (seen[:, 3] < 255)]
    alpha = seen[:, 3]
    total = float(alpha.sum(dtype=np.int64))
    level = float(seen[:, :3].sum(dtype=np.int64)) / 3 / max(total, 1.0) * 255
    return alpha, level


def _mist(picture: Prepared, ink: int) -> Iterator[Finding]:
    spots = picture.once("mist", lambda: mist(picture, MIST_SHARE * ink))
    share = spots.pixels / ink
    if share <= MIST_SHARE or spots.box_px is None:
        return
    yield Finding(
        check="alpha-near-zero",
        severity="warning",
        message=f"faint ink of under 5 % coverage on {picture.ink_mm2(spots.pixels):.0f} mm2, {share:.2%} of the ink",
        fix="delete the faint object or end the fade earlier, or set clear_mist = true in the settings",
        measured=round(share, 6),
        limit=MIST_SHARE,
        unit="share of the ink",
        place_mm=picture.corners(spots.box_px),
        place_on="print",
    )
