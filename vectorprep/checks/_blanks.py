"""One fault of a picture against the limits of its blanks: one finding where all blanks break alike, else one per blank.

Comes in: evidence, the limit on each blank, what is found for a limit. Goes out: findings without their words.
Never done here: looking at pictures.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from vectorprep.colour import lightness

if TYPE_CHECKING:
    from vectorprep.checks._evidence import Evidence, OnBlank
    from vectorprep.model.result import Severity

PALE_FROM_L_STAR = 75.0  # house value: cloth this light needs no base under screen inks


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """A limit that is broken: on which blank (empty = on all that the picture serves), how badly, and the limit."""

    blank: str
    limit: float
    severity: Severity


def broken(
    evidence: Evidence, limit_on: Callable[[OnBlank], float | None], severity_at: Callable[[float], Severity | None]
) -> tuple[Broken, ...]:
    """The limits that a picture breaks.

    Args:
        evidence: the picture with its blanks.
        limit_on: limit on a blank, None or 0 for none.
        severity_at: how bad the picture is for a limit, None where it holds it.
    """
    found = tuple(_each(evidence, limit_on, severity_at))
    if len(found) == len(evidence.on_blanks) and len({item.severity for item in found}) == 1:
        return (replace(found[0], blank="", limit=max(item.limit for item in found)),)
    return found


def _each(
    evidence: Evidence, limit_on: Callable[[OnBlank], float | None], severity_at: Callable[[float], Severity | None]
) -> Iterator[Broken]:
    for on in evidence.on_blanks:
        limit = limit_on(on)
        severity = severity_at(limit) if limit else None
        if limit and severity is not None:
            yield Broken(blank=on.blank.key, limit=limit, severity=severity)


def prints_base(on: OnBlank) -> bool:
    """Whether a white base lies under the inks on this blank."""
    policy = on.ink_policy
    if policy.white_ink == "separate_base_screen_on_dark_cloth":
        return lightness(on.blank.colour) < PALE_FROM_L_STAR
    return policy.has_white_ink and policy.white_ink != "film_colour"
