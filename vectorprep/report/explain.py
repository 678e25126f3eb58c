"""What findings mean, in words a seller can act on.

Comes in: explanations gathered from the rooms that emit findings. Goes out: text and JSON records.
Never done here: knowing which findings there are.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from difflib import get_close_matches

from vectorprep.model import Explanation

WIDTH = 92


def nearest(slug: str, known: Mapping[str, Explanation]) -> str:
    """The known slug that looks most like the one given, or an empty text."""
    near = get_close_matches(slug, known, n=1, cutoff=0.5)
    return near[0] if near else ""


def explain_one(slug: str, explanation: Explanation) -> str:
    """One finding: what it is, what it does to a print, what to do."""
    parts = [
        slug,
        "",
        _paragraph("What it is", explanation.cause),
        _paragraph("In print", explanation.consequence),
        _paragraph("What to do", explanation.remedy),
    ]
    if not explanation.is_refusal:
        parts.append(
            f"To accept it knowingly: add \"{slug}\" to 'accept' in vectorprep.toml, for all artworks or in one's own table."
        )
    return "\n".join(parts) + "\n"


def explain_all(known: Mapping[str, Explanation]) -> str:
    """All findings, a line or two each, in order of their slug."""
    lines = ["Findings, by slug. 'vectorprep explain SLUG' says what each does to a print and how to mend it.", ""]
    width = max(len(slug) for slug in known) + 2
    for slug in sorted(known):
        text = textwrap.wrap(known[slug].cause, WIDTH - 36) or [""]
        lines.append(f"{slug:<{width}}{text[0]}" + (" ..." if len(text) > 1 else ""))
    return "\n".join(lines) + "\n"


def explanation_record(explanation: Explanation) -> dict[str, str]:
    """The explanation as JSON."""
    return {"cause": explanation.cause, "consequence": explanation.consequence, "remedy": explanation.remedy}


def _paragraph(head: str, text: str) -> str:
    wrapped = textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="  ")
    return "\n".join([head, *wrapped, ""])
