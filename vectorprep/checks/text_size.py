"""Live text at its printed size: heights of capitals and of small letters.

Comes in: evidence whose drawing holds text. Goes out: `text-too-small`. Never done here: text turned to outlines;
its lines and gaps alone tell of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from vectorprep.checks._blanks import broken
from vectorprep.checks._evidence import Evidence, OnBlank
from vectorprep.checks._print import prepared
from vectorprep.checks._text import Line, lines_of
from vectorprep.model import Explanation, Finding

SLUGS = {
    "text-too-small": Explanation(
        cause="Letters are lower at the printed size than the process can hold; faces with serifs and scripts need a fifth more,"
        " light letters on a dark ground a quarter more.",
        consequence="Counters fill in, thin strokes break, and the words are hard to read.",
        remedy="Set the text larger, in a plainer or bolder face, or print the art larger.",
    ),
}
DELICATE, REVERSED = 1.20, 1.25  # common practice, no source: how much more faces with serifs and reversed text need


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """A height below its limit: the line, what was measured, the limit with its additions."""

    line: Line
    what: str
    measured: float
    limit: float

    @property
    def share(self) -> float:
        """Measured height as a share of the limit."""
        return self.measured / self.limit


def check(evidence: Evidence) -> Iterator[Finding]:
    """The worst line on each blank."""
    if not evidence.artwork.text:
        return
    picture = prepared(evidence)
    lines = lines_of(evidence, picture)

    def worst_at(cap_limit: float) -> Shortfall | None:
        on = next(on for on in evidence.on_blanks if on.limits.cap_height_min_mm == cap_limit)
        found = [short for line in lines for short in _short(line, on)]
        return min(found, key=lambda short: short.share, default=None)

    for item in broken(evidence, lambda on: on.limits.cap_height_min_mm, lambda limit: "warning" if worst_at(limit) else None):
        worst = worst_at(item.limit)
        if worst is not None:
            yield _finding(item.blank, worst)


def _short(line: Line, on: OnBlank) -> Iterator[Shortfall]:
    factor = (DELICATE if line.is_delicate else 1.0) * (REVERSED if line.is_reversed else 1.0)
    for what, measured, limit in (
        ("capitals", line.cap_mm, on.limits.cap_height_min_mm),
        ("small letters", line.x_mm, on.limits.x_height_min_mm),
    ):
        if limit and 0 < measured < limit * factor:
            yield Shortfall(line=line, what=what, measured=measured, limit=limit * factor)


def _finding(blank: str, worst: Shortfall) -> Finding:
    line = worst.line
    why = [word for word, holds in (("serifs", line.is_delicate), ("light on dark", line.is_reversed)) if holds]
    more = f" ({', '.join(why)})" if why else ""
    return Finding(
        check="text-too-small",
        severity="warning",
        blank=blank,
        message=f"'{line.shown}' has {worst.what} of {worst.measured:.2f} mm, below {worst.limit:.3g} mm{more}",
        fix=f"set the text at least {math.ceil(100 * (1 / worst.share - 1))} % larger, or print the art larger",
        measured=round(worst.measured, 3),
        limit=round(worst.limit, 3),
        unit="mm",
        place_mm=line.place_mm,
        place_on="print",
    )
