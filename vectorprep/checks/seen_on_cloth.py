"""Whether the ink is seen on the cloth, by the verdict that was reached, as a whole and by its parts.

Comes in: evidence with a verdict per blank. Goes out: `ink-lost`, `ink-fades`, `part-fades`. Never done here: the judging.
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
    "part-fades": Explanation(
        cause="A separate part of the drawing, such as steam over a cup, has nearly the colour of the product; the rest is seen.",
        consequence="On this blank that part is missing to the eye.",
        remedy="Look at the place named. Give the part another ink or an outline, name a drawn variant or colours for this blank in"
        " the settings, or accept it knowingly.",
    ),
}
WHOLE = (0.0, 0.0, 1.0, 1.0)
PARTS_NAMED = 3
"""Parts named per blank, the largest first."""


def check(evidence: Evidence) -> Iterator[Finding]:
    """One finding per blank on which the picture is weak or lost."""
    for on in evidence.on_blanks:
        if on.verdict.word != "clear":
            yield _finding(evidence, on)
        for part in on.parts[:PARTS_NAMED]:
            yield Finding(
                check="part-fades",
                severity="warning",
                blank=on.blank.key,
                message=part.words,
                measured=round(part.contrast_ratio, 2),
                limit=3.0,  # WCAG 2.2, 1.4.11, borrowed from screens
                unit=":1",
                fix="give it another ink or an outline on this blank, or accept it",
                place_mm=ink_corners(evidence, part.place),
                place_on="print",
            )


def _finding(evidence: Evidence, on: OnBlank) -> Finding:
    verdict, lost = on.verdict, on.verdict.word == "lost"
    by_outline = verdict.decided_by == "outline"
    return Finding(
        check="ink-lost" if lost else "ink-fades",
        severity="error" if lost else "warning",
        blank=on.blank.key,
        message=verdict.deciding,
        measured=round(verdict.outline_faded if by_outline else verdict.contrast_ratio, 3),
        limit=verdict.limit,
        unit="share of the outline" if by_outline else ":1",
        fix=_fix(evidence, on),
        place_mm=ink_corners(evidence, verdict.places[0] if verdict.places else WHOLE),
        place_on="print",
    )


def _fix(evidence: Evidence, on: OnBlank) -> str:
    words = "choose another blank, or give a drawn variant for it in the settings"
    if on.treatment.kind == "ask" and on.treatment.reason:
        return on.treatment.reason
    if not on.ink_policy.has_white_ink and evidence.product.process.startswith("sublimation"):
        return f"this process prints no white ink; {words}"
    return words
