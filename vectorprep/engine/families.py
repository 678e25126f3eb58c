"""Whether the text of a document can be drawn by an engine without generic font families.

Comes in: clean SVG bytes.
Goes out: yes or no.
Never done here: looking for fonts.
"""

from __future__ import annotations

import re

_FAMILY = re.compile(rb"""font-family\s*[:=]\s*["']?([^;"'<>}]*)""")
_GENERIC = re.compile(rb"(?:^|,)\s*(?:serif|sans-serif|monospace|cursive|fantasy|system-ui|ui-[a-z-]+)\s*(?:,|$)", re.IGNORECASE)


def names_families(markup: bytes) -> bool:
    """Whether every family list of the document names real families alone; true for a document without text."""
    if b"<text" not in markup:
        return True
    families = _FAMILY.findall(markup)
    return bool(families) and not any(_GENERIC.search(family.strip()) for family in families)
