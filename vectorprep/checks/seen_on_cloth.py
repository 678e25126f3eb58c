"""Whether the ink is seen on the cloth, by the verdict that was reached.

Comes in: evidence with a verdict per blank. Goes out: `ink-lost`, `ink-fades`. Never done here: the judging.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence, OnBlank, ink_corners
from vectorprep.model import Explanation, Finding

SLUGS = {
    "ink-lost": Explanation(
        cause="Most of the outline of the artwork has the colour of the product and nothing visible stands beside it.",
        consequence="On this blank the print cannot be recognised, or is nearly invisible.",
        remedy="Choose another blank, supply a drawn variant for it (variants in the artwork's table of the settings), let the tool"
        " add a keyline, or print it in a single ink.",
    ),
    "ink-fades": Explanation(
        cause="A part of the outline has nearly the colour of the product and nothing visible stands beside it.",
        consequence="On this blank that part of the drawing sinks into the cloth; the rest is seen.",
        remedy="Choose another blank, supply a drawn variant, allow a recolouring or a keyline in the settings, or accept it"
        " knowingly.",
    ),
}
LIMIT = 0.10  # share of the outline; house value tuned on pictures judged by eye


def check(evidence: Evidence) -> Iterator[Finding]:
    """One finding per blank on which the picture is weak or lost."""
    for on in evidence.on_blanks:
        if on.verdict.word != "clear":
            yield _finding(evidence, on)


def _finding(evidence: Evidence, on: OnBlank) -> Finding:
    verdict, lost = on.verdict, on.verdict.word == "lost"
    by_outline = verdict.decided_by == "outline"
    return Finding(
        check="ink-lost" if lost else "ink-fades",
        severity="error" if lost else "warning",
        blank=on.blank.key,
        message=verdict.deciding,
        measured=round(verdict.outline_faded if by_outline else verdict.contrast_ratio, 3),
        limit=LIMIT if by_outline else 3.0,  # WCAG 2.2, 1.4.11, borrowed from screens
        unit="share of the outline" if by_outline else ":1",
        fix=_fix(evidence, on),
        place_mm=ink_corners(evidence, verdict.places[0]) if verdict.places else None,
        place_on="print",
    )


def _fix(evidence: Evidence, on: OnBlank) -> str:
    words = "choose another blank, or give a drawn variant for it in the settings"
    if on.treatment.kind == "ask" and on.treatment.reason:
        return on.treatment.reason
    if not on.ink_policy.has_white_ink and evidence.product.process.startswith("sublimation"):
        return f"this process prints no white ink; {words}"
    return words
