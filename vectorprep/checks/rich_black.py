"""Small black text that a press makes of four inks.

Comes in: evidence with text and a CMYK press. Goes out: `text-in-four-inks`. Never done here: separating.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence
from vectorprep.checks._print import prepared
from vectorprep.checks._text import Line, lines_of
from vectorprep.colour import lab
from vectorprep.model import Explanation, Finding
from vectorprep.press import printed_inks

SLUGS = {
    "text-in-four-inks": Explanation(
        cause="Small black text becomes cyan, magenta, yellow and black together by the profile of the press.",
        consequence="Where the four do not meet exactly, letters get coloured rims and their thin parts fill in.",
        remedy="Ask the printer whether neutral text is sent to black alone; if not, set it larger or bolder, or send that text"
        " as a vector file with 100 % black.",
    ),
}
CAP_MM = 3.0  # house value: capitals of about 12 pt
BLACK_L, BLACK_CHROMA = 25.0, 8.0  # house values: CIELAB
ONE_INK_PERCENT = 110.0  # house value: total ink up to which black stands nearly alone


def check(evidence: Evidence) -> Iterator[Finding]:
    """The smallest such line."""
    press = evidence.press
    if press is None or not evidence.artwork.text:
        return
    small = [line for line in lines_of(evidence, prepared(evidence)) if 0 < line.height_mm < CAP_MM and _is_black(line.fill)]
    if not small:
        return
    line = min(small, key=lambda line: line.height_mm)
    printed = printed_inks((line.fill,), press)[0]
    total = printed.total_ink_percent
    if total is not None and total > ONE_INK_PERCENT:
        yield _finding(line, total, printed.parts_percent)


def _is_black(colour: str) -> bool:
    if not colour:
        return False
    level, a, b = lab(colour)
    return level <= BLACK_L and math.hypot(a, b) <= BLACK_CHROMA


def _finding(line: Line, total: float, parts: tuple[float, ...]) -> Finding:
    inks = ", ".join(f"{name} {part:.0f}" for name, part in zip("CMYK", parts, strict=True))
    return Finding(
        check="text-in-four-inks",
        severity="warning",
        message=f"'{line.shown}', {line.height_mm:.2f} mm high, is black of {total:.0f} % ink ({inks});"
        f" below {CAP_MM:g} mm that shows rims",
        fix="ask the printer whether black text prints in black alone; else set it larger",
        measured=round(line.height_mm, 3),
        limit=CAP_MM,
        unit="mm",
        place_mm=line.place_mm,
        place_on="print",
    )
