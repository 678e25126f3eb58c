"""A mapping of inks applied to a whole drawing.

Comes in: raw SVG bytes and a function from `#rrggbb` to `#rrggbb`.
Goes out: SVG bytes in UTF-8, the same drawing in other inks; and what could not be mapped exactly.
Never done here: choosing the mapping.
"""

from __future__ import annotations

from collections.abc import Callable

from vectorprep.markup.issues import PaintIssue
from vectorprep.markup.paint import rewrite_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import serialise


def map_colours(markup: bytes, mapping: Callable[[str], str]) -> bytes:
    """The drawing with every ink sent through `mapping`; alpha, shapes and structure stay.

    Args:
        markup: an SVG file as it is.
        mapping: takes and gives opaque colours `#rrggbb`; called once for each distinct ink.

    Raises:
        ArtworkRefused: the bytes are no usable SVG.
        ValueError: the mapping gave something other than an opaque colour.
    """
    return map_colours_reported(markup, mapping)[0]


def map_colours_reported(markup: bytes, mapping: Callable[[str], str]) -> tuple[bytes, tuple[PaintIssue, ...]]:
    """The same as `map_colours`, with everything that could not be mapped exactly."""
    root = parse_untrusted(markup)
    issues = rewrite_colours(root, mapping)
    return serialise(root), tuple(issues)
