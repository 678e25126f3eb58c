"""Lines too thin for the process, or too thin to carry the white base under them.

Comes in: evidence with a picture. Goes out: `line-too-thin`, `line-without-white-base`. Never done here: gaps, dots.

Measured as local thickness of the ink at print size: a thin part of a shape counts like a stroke. Fine strokes on other ink are
found by their widths and looked up in the picture; the base goes on under those, so that they ask for none of their own.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._bands import Thin, thin_bands
from vectorprep.checks._blanks import prints_base
from vectorprep.checks._evidence import Evidence, OnBlank
from vectorprep.checks._print import BASE_LEAST_MM, Prepared, prepared
from vectorprep.checks._strokes import fine_marks, is_reversed
from vectorprep.checks._thin import Words, findings, length_least_px, narrower
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
TOO_THIN = Words(
    slug="line-too-thin",
    message="a line is {width:.2f} mm thin, below {limit:g} mm",
    fix="make it {short:.2f} mm wider, at least {limit:g} mm ({drawn})",
    may_fail=True,
)
WITHOUT_BASE = Words(
    slug="line-without-white-base",
    message="a line is {width:.2f} mm thin; with a choked base under it, it needs {limit:.2g} mm",
    fix="make the line {short:.2f} mm wider, at least {limit:.2g} mm ({drawn}), or ask the printer for a smaller choke",
)


def check(evidence: Evidence) -> Iterator[Finding]:
    """The thinnest line, against the limit on each blank, and against what its white base needs."""
    picture = prepared(evidence)
    if picture is None:
        return
    limit_on, base_on = line_limit_mm, base_limit_mm
    yield from findings(evidence, picture, TOO_THIN, limit_on, lambda limit: thin_lines(evidence, picture, limit))
    yield from findings(evidence, picture, WITHOUT_BASE, base_on, lambda limit: narrower(picture, bands(picture, limit), (), limit))


def thin_lines(evidence: Evidence, picture: Prepared, limit_mm: float) -> tuple[Thin, ...]:
    """Lines below a limit, the thinnest first: by the ink's own thickness, and strokes that lie on other ink."""
    marks = (mark.thin for mark in fine_marks(evidence, picture) if not is_reversed(evidence, mark))
    return narrower(picture, bands(picture, limit_mm), marks, limit_mm)


def bands(picture: Prepared, limit_mm: float) -> tuple[Thin, ...]:
    """Thin parts of the ink as a whole."""
    limit_px, length_px = limit_mm * picture.px_per_mm, length_least_px(picture, limit_mm)
    return picture.once(("lines", limit_mm), lambda: thin_bands(picture, limit_px, length_px))


def line_limit_mm(on: OnBlank) -> float | None:
    """Least width of a line of ink."""
    return on.limits.positive_line_min_mm


def base_limit_mm(on: OnBlank) -> float | None:
    """Least width of a line that keeps enough white under it; None where no base is printed."""
    return 2 * on.ink_policy.choke_mm + BASE_LEAST_MM if on.ink_policy.choke_mm and prints_base(on) else None
