"""Lines too thin for the process, or too thin to carry the white base under them.

Comes in: evidence with a picture. Goes out: `line-too-thin`, `line-without-white-base`. Never done here: gaps, dots.

Measured as local thickness of the ink at print size: a thin part of a shape counts like a stroke.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._bands import Thin, thin_bands
from vectorprep.checks._blanks import prints_base
from vectorprep.checks._evidence import Evidence, OnBlank
from vectorprep.checks._print import FAINT, Prepared, prepared
from vectorprep.checks._thin import BARELY_PX, Words, findings, length_least_px
from vectorprep.model import Explanation, Finding

SLUGS = {
    "line-too-thin": Explanation(
        cause="A line, or a thin part of a shape, is narrower at the printed size than the process can hold.",
        consequence="It breaks up, washes out early or does not print at all.",
        remedy="Make the stroke thicker at the place named, print the art larger, or choose a product with a finer process.",
    ),
    "line-without-white-base": Explanation(
        cause="The white base is pulled in by the choke on both sides of every line, and this line is hardly wider than that.",
        consequence="There is little or no white under the line: its colour sinks into dark cloth.",
        remedy="Make the line thicker, ask the printer for a smaller choke, or print on light cloth without a base.",
    ),
}
BASE_LEAST_MM = 0.2  # white that must remain under a line (common practice, no source)
TOO_THIN = Words(
    slug="line-too-thin",
    message="a line is {width:.2f} mm thin, below {limit:g} mm",
    fix="make the stroke at least {limit:g} mm, or print the art {larger:.0%} larger",
    may_fail=True,
)
WITHOUT_BASE = Words(
    slug="line-without-white-base",
    message="a line is {width:.2f} mm thin; with a choked base under it, it needs {limit:.2g} mm",
    fix="make the line at least {limit:.2g} mm, or ask the printer for a smaller choke",
)


def check(evidence: Evidence) -> Iterator[Finding]:
    """The thinnest line, against the limit on each blank, and against what its white base needs."""
    picture = prepared(evidence)
    if picture is None:
        return

    def found_at(limit_mm: float) -> tuple[Thin, ...]:
        return thin_lines(picture, limit_mm)

    yield from findings(evidence, picture, TOO_THIN, lambda on: on.limits.positive_line_min_mm, found_at)
    yield from findings(evidence, picture, WITHOUT_BASE, base_limit_mm, found_at)


def thin_lines(picture: Prepared, limit_mm: float) -> tuple[Thin, ...]:
    """Lines below a limit, the thinnest first."""

    def find() -> tuple[Thin, ...]:
        limit_px = limit_mm * picture.px_per_mm
        bands = thin_bands(picture.coverage, picture.ink(FAINT), limit_px, length_least_px(picture, limit_mm))
        return tuple(
            Thin(width_px=band.width_px, box_px=band.box_px, length_px=band.length_px)
            for band in bands
            if band.width_px < limit_px - BARELY_PX
        )

    return picture.once(("lines", limit_mm), find)


def base_limit_mm(on: OnBlank) -> float | None:
    """Least width of a line that keeps enough white under it; None where no base is printed."""
    return 2 * on.ink_policy.choke_mm + BASE_LEAST_MM if on.ink_policy.choke_mm and prints_base(on) else None
