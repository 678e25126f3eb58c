"""The root start tag of clean markup, rewritten so that an engine draws another size or a window.

Comes in: clean SVG bytes that begin with the root's start tag.
Goes out: clean SVG bytes with the same content under a rewritten root.
Never done here: any change below the root; parsing of untrusted XML.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from vectorprep.errors import ArtworkFailed
from vectorprep.geometry import Box

_VALUE = rb"""(?:"[^"]*"|'[^']*')"""
_START = re.compile(rb"\s*<([^\s/>]+)((?:\s+[^\s=/>]+\s*=\s*" + _VALUE + rb")*)\s*(/?)>")
_ONE = re.compile(rb"([^\s=/>]+)\s*=\s*(" + _VALUE + rb")")
_NUMBER = re.compile(rb"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")


@dataclass(frozen=True, slots=True)
class RootTag:
    """Tag name and attributes of the root, in order; `rest` is everything after its start tag, end tag included."""

    tag: bytes
    attributes: tuple[tuple[bytes, bytes], ...]
    rest: bytes

    def get(self, name: bytes) -> bytes | None:
        """Value of an attribute as it stands in the markup, or None."""
        return dict(self.attributes).get(name)

    def with_attributes(self, changes: dict[bytes, str | None]) -> RootTag:
        """The tag with attributes set, or removed where the value is None."""
        kept = tuple(pair for pair in self.attributes if pair[0] not in changes)
        new = tuple((name, value.encode()) for name, value in changes.items() if value is not None)
        return replace(self, attributes=kept + new)

    @property
    def namespaces(self) -> tuple[tuple[bytes, bytes], ...]:
        """The namespace declarations of the root."""
        return tuple(pair for pair in self.attributes if pair[0].startswith(b"xmlns"))

    def numbers(self, name: bytes) -> tuple[float, ...]:
        """All plain numbers in an attribute; empty where it is absent."""
        return tuple(float(text) for text in _NUMBER.findall(self.get(name) or b""))

    @property
    def view_box(self) -> Box | None:
        """The viewBox in user units, None where absent or without area."""
        numbers = self.numbers(b"viewBox")
        if len(numbers) != 4 or numbers[2] <= 0 or numbers[3] <= 0:
            return None
        x, y, width, height = numbers
        return Box(x, y, x + width, y + height)

    @property
    def start(self) -> bytes:
        """The start tag."""
        return b"<" + self.tag + b"".join(b" " + name + b'="' + value + b'"' for name, value in self.attributes) + b">"

    @property
    def markup(self) -> bytes:
        """The whole document."""
        return self.start + self.rest

    def wrapper(self, attributes: dict[bytes, str]) -> bytes:
        """Start tag of an svg element around this root, which declares the same namespaces."""
        return RootTag(self.tag, self.namespaces, b"").with_attributes(dict(attributes)).start


@lru_cache(maxsize=4)
def parse_root(markup: bytes) -> RootTag:
    """The root's start tag of clean markup.

    Raises:
        ArtworkFailed: the markup does not begin with a start tag.
    """
    match = _START.match(markup)
    if match is None:
        raise ArtworkFailed("the clean markup does not begin with its root element", code="markup-not-clean")
    tag, attributes, closed = match.groups()
    rest = b"</" + tag + b">" if closed else markup[match.end() :]
    pairs = tuple((name, value[1:-1].replace(b'"', b"&quot;")) for name, value in _ONE.findall(attributes))
    return RootTag(tag, pairs, rest)


def resized(markup: bytes, width_px: int, height_px: int) -> bytes:
    """The same page at another size in pixels; a root without viewBox gets one, stretched to the new size."""
    root = parse_root(markup)
    wanted = {b"width": str(width_px), b"height": str(height_px)}
    if all(root.get(name) == value.encode() for name, value in wanted.items()):
        return markup
    changes: dict[bytes, str | None] = dict(wanted)
    if root.view_box is None:
        width, height = (root.numbers(name) for name in (b"width", b"height"))
        if not width or not height:
            raise ArtworkFailed("the root has neither a size nor a viewBox", code="markup-not-clean")
        changes |= {b"viewBox": f"0 0 {width[0]!r} {height[0]!r}", b"preserveAspectRatio": "none"}
    return root.with_attributes(changes).markup
