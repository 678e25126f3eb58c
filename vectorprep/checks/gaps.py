"""Gaps and reversed lines too narrow to stay open.

Comes in: evidence with a picture. Goes out: `gap-too-narrow`. Never done here: lines of ink.

Measured like lines, on what lies between ink. Hairlines under a twentieth of a millimetre are seams, another check's matter.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._bands import Thin, thin_bands
from vectorprep.checks._blanks import prints_base
from vectorprep.checks._evidence import Evidence, OnBlank
from vectorprep.checks._print import Prepared, prepared
from vectorprep.checks._strokes import fine_marks, is_reversed
from vectorprep.checks._thin import Words, findings, length_least_px, narrower
from vectorprep.model import Explanation, Finding

SLUGS = {
    "gap-too-narrow": Explanation(
        cause="A gap between two parts, or a line left open in ink, is narrower in print than the process can keep open.",
        consequence="Ink spreads into it: the gap fills in part or altogether.",
        remedy="Widen the gap at the place named by the figure in the fix, or close it: move the parts together, or give both a"
        " stroke of their own colour. Printing larger helps where the gap is not much too narrow; else choose a finer process.",
    ),
}
SEAM_PX = 0.6
NARROW = Words(
    slug="gap-too-narrow",
    message="a gap is {width:.2f} mm wide, below {limit:g} mm",
    fix="widen the gap by {short:.2f} mm to {limit:g} mm ({drawn}), or close it: grow each side by {half:.2f} mm or more",
    may_fail=True,
)


def check(evidence: Evidence) -> Iterator[Finding]:
    """The narrowest gap, against the limit on each blank."""
    picture = prepared(evidence)
    if picture is not None:
        yield from findings(evidence, picture, NARROW, gap_limit_mm, lambda limit: thin_gaps(evidence, picture, limit))


def thin_gaps(evidence: Evidence, picture: Prepared, limit_mm: float) -> tuple[Thin, ...]:
    """Gaps below a limit, the narrowest first: between ink, and white lines on ink where white is left bare."""
    marks = (mark.thin for mark in fine_marks(evidence, picture) if is_reversed(evidence, mark))
    return narrower(picture, bands(picture, limit_mm), marks, limit_mm)


def bands(picture: Prepared, limit_mm: float) -> tuple[Thin, ...]:
    """Narrow openings in the ink as a whole."""

    def find() -> tuple[Thin, ...]:
        limit_px, length_px = limit_mm * picture.px_per_mm, length_least_px(picture, limit_mm)
        found = thin_bands(picture, limit_px, length_px, of_gaps=True)
        return tuple(band for band in found if band.width_px > SEAM_PX)

    return picture.once(("gaps", limit_mm), find)


def gap_limit_mm(on: OnBlank) -> float | None:
    """Least gap on this blank; over a white base some processes need more."""
    limits = on.limits
    on_base = limits.negative_line_min_mm_on_white_base
    return on_base if on_base is not None and prints_base(on) else limits.negative_line_min_mm
