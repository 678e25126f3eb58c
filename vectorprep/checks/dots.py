"""Small pieces of ink that stand alone.

Comes in: evidence with a picture. Goes out: `dot-too-small`. Never done here: lines, mist.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._bands import Thin, specks
from vectorprep.checks._evidence import Evidence
from vectorprep.checks._print import Prepared, prepared
from vectorprep.checks._thin import BARELY_PX, Words, findings
from vectorprep.model import Explanation, Finding

SLUGS = {
    "dot-too-small": Explanation(
        cause="A dot stands alone and is smaller at the printed size than the process can hold.",
        consequence="It does not print, sheds from film, or looks like dirt.",
        remedy="Enlarge the dots, join them to larger shapes, delete them, or print the art larger.",
    ),
}
SMALL = Words(
    slug="dot-too-small",
    message="a dot is {width:.2f} mm across, below {limit:g} mm",
    fix="make dots at least {limit:g} mm across ({drawn}), or delete them",
)


def check(evidence: Evidence) -> Iterator[Finding]:
    """The smallest dot, against the limit on each blank."""
    picture = prepared(evidence)
    if picture is not None:
        yield from findings(
            evidence, picture, SMALL, lambda on: on.limits.dot_diameter_min_mm, lambda limit: small_dots(picture, limit)
        )


def small_dots(picture: Prepared, limit_mm: float) -> tuple[Thin, ...]:
    """Dots below a limit, the smallest first."""

    def find() -> tuple[Thin, ...]:
        return specks(picture, limit_mm * picture.px_per_mm - BARELY_PX)

    return picture.once(("dots", limit_mm), find)
