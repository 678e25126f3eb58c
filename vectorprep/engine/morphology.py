"""Thickening and thinning filters in two quick steps instead of one slow one, for engines that look at the whole square.

Comes in: clean SVG bytes. Goes out: the same picture's markup, each `feMorphology` split into one along the rows and one along the
columns. Never done here: other filters; markup that leaves this room.

The engines look at every pixel of a square of (2 r) x (2 r), which takes minutes for a radius of 60 px at print size; the greatest
value of a square is the greatest of its rows' greatest. Their even windows make the result a pixel wider to the left and the top.
"""

from __future__ import annotations

import re
from itertools import count

_TAG = re.compile(rb"<((?:[\w.-]+:)?)feMorphology\b([^>]*?)(?:/>|>\s*</\1feMorphology>)")
_ATTRIBUTE = re.compile(rb'\s([\w:.-]+)\s*=\s*("[^"]*"|\'[^\']*\')')
_LEAST = b"0.0001"  # the narrowest window there is: a radius of 0 turns the filter off


def in_two_steps(markup: bytes) -> bytes:
    """Markup whose morphology filters cost 8 r steps a pixel instead of 4 r squared."""
    if b"feMorphology" not in markup:
        return markup
    numbers = count()
    return _TAG.sub(lambda found: _split(found, next(numbers)), markup)


def _split(found: re.Match[bytes], number: int) -> bytes:
    prefix, attributes = found.group(1), {name: value[1:-1] for name, value in _ATTRIBUTE.findall(found.group(2))}
    radii = attributes.get(b"radius", b"").replace(b",", b" ").split()
    if not radii or len(radii) > 2 or not all(_is_positive(radius) for radius in radii):
        return found.group(0)
    between = b"in-two-steps-%d" % number
    first = {**attributes, b"radius": radii[0] + b" " + _LEAST, b"result": between}
    second = {**attributes, b"radius": _LEAST + b" " + radii[-1], b"in": between}
    return b"".join(_written(prefix, step) for step in (first, second))


def _is_positive(text: bytes) -> bool:
    try:
        return float(text) > 0
    except ValueError:
        return False


def _written(prefix: bytes, attributes: dict[bytes, bytes]) -> bytes:
    return b"<" + prefix + b"feMorphology" + b"".join(b' %s="%s"' % each for each in attributes.items()) + b"/>"
