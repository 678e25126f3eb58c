"""The colours that are stops of gradients.

Comes in: clean markup, in which every colour is written `#rrggbb` or `rgba(r,g,b,a)`.
Goes out: `#rrggbb` strings; more than are seen, as unused gradients are written down too.
Never done here: resolving what is painted (`markup.inkset`) or seen (`ink_labels`).
"""

from __future__ import annotations

import re

from vectorprep.colour import hex_from_rgb

_STOP = re.compile(rb"""stop-color\s*[:=]\s*["']?\s*(#[0-9a-fA-F]{6}(?![0-9a-fA-F])|rgba\(\s*\d+\s*,\s*\d+\s*,\s*\d+\s*,)""")
_NUMBER = re.compile(rb"\d+")


def stop_colours(markup: bytes) -> frozenset[str]:
    """Colours of gradient stops; black where a stop names none is not found."""
    return frozenset(_hex(token) for token in _STOP.findall(markup))


def _hex(token: bytes) -> str:
    if token.startswith(b"#"):
        return token.decode("ascii").lower()
    red, green, blue = (int(number) for number in _NUMBER.findall(token))
    return hex_from_rgb(red, green, blue)
