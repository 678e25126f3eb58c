"""Light hairlines where shapes abut without overlapping.

Comes in: evidence with a picture. Goes out: `seam-hairline`. Never done here: gaps that are meant.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._alpha import SEAM_RUN_PX, seams
from vectorprep.checks._evidence import Evidence
from vectorprep.checks._print import prepared
from vectorprep.model import Explanation, Finding

SLUGS = {
    "seam-hairline": Explanation(
        cause="Two shapes share an edge without overlapping, so that both are smoothed along it and cover it only in part.",
        consequence="A light hairline shows between them, most of all on dark cloth.",
        remedy="Let the lower shape reach 0.2 mm or more under the upper one, or give it a stroke of 0.4 mm of its own"
        " colour; the place"
        " named is the longest one.",
    ),
}


def check(evidence: Evidence) -> Iterator[Finding]:
    """The longest seam, and how many there are."""
    picture = prepared(evidence)
    if picture is None or evidence.placement.background is not None:
        return
    found = picture.once("seams", lambda: seams(picture))
    if not found:
        return
    worst = found[0]
    more = f", and {len(found) - 1} more" if len(found) > 1 else ""
    yield Finding(
        check="seam-hairline",
        severity="warning",
        message=f"a hairline of {worst.length_px / picture.px_per_mm:.1f} mm shows through between abutting shapes{more}",
        fix="let the shapes overlap by 0.2 mm in print, or give the lower one a stroke of 0.4 mm of its own colour",
        measured=round(worst.length_px),
        limit=SEAM_RUN_PX,
        unit="px",
        place_mm=picture.corners(worst.box_px),
        place_on="print",
    )
