"""Everyday words for colours.

Comes in: `#rrggbb`. Goes out: a word or two for a seller. Never done here: anything that decides.
"""

from __future__ import annotations

from functools import lru_cache

from vectorprep.colour.difference import delta_e_2000

# Everyday colour words with a typical colour each; house values.
_NAMED: dict[str, str] = {
    "black": "#0a0a0a",
    "charcoal": "#3c3f42",
    "dark grey": "#5a5a5a",
    "grey": "#868686",
    "light grey": "#bdbdbd",
    "pale grey": "#dedede",
    "white": "#ffffff",
    "cream": "#f6ecd0",
    "beige": "#dcc9a0",
    "tan": "#c39a6b",
    "brown": "#7a4a26",
    "dark brown": "#43291a",
    "red-brown": "#8a3a25",
    "dark red": "#7d1420",
    "red": "#d22630",
    "coral": "#f07060",
    "pale pink": "#f9d7df",
    "pink": "#f19cb5",
    "hot pink": "#e0448c",
    "orange": "#f28023",
    "amber": "#f9b01e",
    "peach": "#fbc79c",
    "yellow": "#f9de2f",
    "pale yellow": "#faf0a5",
    "olive": "#6f7030",
    "lime": "#a6cf3a",
    "pale green": "#c5e6c3",
    "green": "#3f9b48",
    "dark green": "#1f5030",
    "mint": "#93d8b6",
    "teal": "#1c8a88",
    "dark teal": "#12494d",
    "turquoise": "#3fc4c8",
    "pale blue": "#c4def2",
    "sky blue": "#6bb6e6",
    "blue": "#2a6fc9",
    "dark blue": "#1f3a86",
    "navy": "#161f3f",
    "violet": "#6a4bb0",
    "purple": "#8d3f9b",
    "dark purple": "#3d2350",
    "lilac": "#c8b2e0",
}


@lru_cache(maxsize=4096)
def colour_word(colour: str) -> str:
    """An everyday word for `#rrggbb`: the nearest of a small list by CIEDE2000."""
    return min(_NAMED, key=lambda word: delta_e_2000(colour, _NAMED[word]))
