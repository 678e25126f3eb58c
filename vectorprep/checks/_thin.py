"""What lines, gaps and dots share: how long a thin place must be, what counts as gone, and the finding about the worst.

Comes in: a prepared picture, what was found in it. Goes out: findings. Never done here: looking at pixels.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._blanks import broken
from vectorprep.model import Finding

if TYPE_CHECKING:
    from vectorprep.checks._bands import Thin
    from vectorprep.checks._evidence import Evidence, OnBlank
    from vectorprep.checks._print import Prepared
    from vectorprep.model.result import Severity

FAIL_SHARE = 0.6  # common practice, no source: below this share of its limit a line or gap is taken to be gone
BARELY_PX = 0.1  # what a width is measured to
LENGTHS = 4.0  # a line is at least this many limits long (house value)
LENGTH_MIN_MM = 1.5  # house value
SAME_PX, SAME_SHARE = 2.0, 0.5  # boxes that share this much hold the same line (house values)
ENLARGED_MOST = 1.5  # house value
SAME_SCALE = 0.005
GONE_FROM_MM = 5.0  # house value: what is lost of a shorter place is no fault of the whole print


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """How a check speaks, lengths in printed mm.

    `message` takes {width} and {limit}; `fix` takes {limit}, {short}, what is missing, {half} of the width, and {drawn}, the limit
    as a length on the drawing's own page.
    """

    slug: str
    message: str
    fix: str
    may_fail: bool = False


def length_least_px(picture: Prepared, limit_mm: float) -> float:
    """Shortest stretch that counts as a line or gap of a limit."""
    return max(LENGTHS * limit_mm, LENGTH_MIN_MM) * picture.px_per_mm


def narrower(picture: Prepared, bands: tuple[Thin, ...], marks: Iterable[Thin], limit_mm: float) -> tuple[Thin, ...]:
    """Bands and marks below a limit, the narrowest first; a mark that lies where a band does is the same thing."""
    limit_px, length_px = limit_mm * picture.px_per_mm - BARELY_PX, length_least_px(picture, limit_mm)
    found = [band for band in bands if band.width_px < limit_px]
    others = [mark for mark in marks if mark.width_px < limit_px and mark.length_px >= length_px]
    return tuple(sorted((*found, *_elsewhere(others, bands)), key=lambda thin: thin.width_px))


def _elsewhere(marks: list[Thin], bands: tuple[Thin, ...]) -> Iterator[Thin]:
    """The marks whose box does not lie in that of a band, for the better part."""
    x0, y0, x1, y1 = np.array([band.box_px for band in bands], np.float64).reshape(-1, 4).T
    for mark in marks:
        left, top, right, bottom = mark.box_px
        width = np.minimum(x1 + SAME_PX, right) - np.maximum(x0 - SAME_PX, left)
        height = np.minimum(y1 + SAME_PX, bottom) - np.maximum(y0 - SAME_PX, top)
        common = np.maximum(width, 0.0) * np.maximum(height, 0.0)
        if common.max(initial=0.0) < SAME_SHARE * (right - left) * (bottom - top):
            yield mark


def findings(
    evidence: Evidence,
    picture: Prepared,
    words: Words,
    limit_on: Callable[[OnBlank], float | None],
    found_at: Callable[[float], tuple[Thin, ...]],
) -> Iterator[Finding]:
    """The worst place against the limit on each blank.

    Args:
        evidence: the picture with its blanks.
        picture: the same, prepared.
        words: what the finding says.
        limit_on: limit on a blank in mm, None for none.
        found_at: what is narrower than a limit, the narrowest first.
    """
    known = cache(found_at)  # most blanks have one limit

    def severity(limit: float) -> Severity | None:
        found = known(limit)
        if not found:
            return None
        gone = (thin for thin in found if thin.width_px < FAIL_SHARE * limit * picture.px_per_mm)
        is_gone = words.may_fail and any(thin.length_px >= GONE_FROM_MM * picture.px_per_mm for thin in gone)
        return "error" if is_gone else "warning"

    for item in broken(evidence, limit_on, severity):
        found = known(item.limit)
        width = found[0].width_px / picture.px_per_mm
        more = f", and {len(found) - 1} more like it" if len(found) > 1 else ""
        yield Finding(
            check=words.slug,
            severity=item.severity,
            blank=item.blank,
            message=words.message.format(width=width, limit=item.limit) + more,
            fix=_fix(evidence, words, width, item.limit),
            measured=round(width, 3),
            limit=round(item.limit, 3),
            unit="mm",
            place_mm=picture.corners(found[0].box_px),
            place_on="print",
        )


def _fix(evidence: Evidence, words: Words, width: float, limit: float) -> str:
    """By how much to mend it, in print and in the drawing."""
    short = max(limit - width, 0.01)
    scale = evidence.scale
    drawn = f"{limit / scale:.2f} mm in the drawing" if abs(scale - 1) > SAME_SCALE else "the same in the drawing"
    return words.fix.format(limit=limit, short=short, half=math.ceil(50 * width) / 100, drawn=drawn) + _enlarged(
        limit / max(width, 0.001)
    )


def _enlarged(factor: float) -> str:
    """The other way out, where it is one."""
    return f", or print the art {math.ceil(100 * (factor - 1))} % larger" if factor <= ENLARGED_MOST else ""
