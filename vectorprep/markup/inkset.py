"""The colours a drawing can paint, and single colours replaced.

Comes in: the root of a clean drawing, or its bytes.
Goes out: every opaque `#rrggbb` that a solid paint, a gradient stop or a filter of the drawing can resolve to; new bytes.
Never done here: what is visible in the end (that takes a picture), embedded pictures' own colours.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from vectorprep.colour.css import parse_colour
from vectorprep.markup.cascade import INHERITED, INITIAL, Cascade
from vectorprep.markup.paint import rewrite_colours
from vectorprep.markup.tree import Element, href_of, local_name, parse_clean, serialise, svg_elements

_SHAPES = frozenset({"path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "tspan", "textPath"})
_SERVERS = frozenset({"linearGradient", "radialGradient", "pattern", "marker", "filter"})
_MARKERS = ("marker-start", "marker-mid", "marker-end")
_FILTER_PAINTS: dict[str, str] = {
    "feFlood": "flood-color",
    "feDropShadow": "flood-color",
    "feDiffuseLighting": "lighting-color",
    "feSpecularLighting": "lighting-color",
}
_COLOURLESS = frozenset({"mask", "clipPath"})  # what they hold becomes coverage, never colour
_SERVER = re.compile(r"url\(\s*[\"']?#([^\"')]*)[\"']?\s*\)\s*(.*)", re.DOTALL)
_STEPS = 200  # longest chain of ancestors and `use` followed


def list_colours(root: Element) -> tuple[str, ...]:
    """All opaque colours (`#rrggbb`, sorted) that solid paints, gradient stops and filters can resolve to.

    Inheritance is followed through `use`, `currentColor` to its `color`, black where nobody wrote a paint. Left out:
    `none`, fully transparent colours, unused gradients, hidden groups, content of masks and clip paths.
    """
    return tuple(sorted(_InkCollector(root).collect()))


def replace_colours(markup: bytes, swaps: Mapping[str, str]) -> bytes:
    """Clean markup with each ink of `swaps` (before -> after, `#rrggbb`) replaced; all others stay."""
    root = parse_clean(markup)
    rewrite_colours(root, lambda ink: swaps.get(ink, ink))
    return serialise(root)


class _InkCollector:
    def __init__(self, root: Element) -> None:
        self.root = root
        self.cascade = Cascade(root)
        self.by_id: dict[str, Element] = {}
        self.users: dict[str, list[Element]] = {}
        self.used: set[str] = set()
        self.paints: tuple[str, ...] = ("fill", "stroke")
        self._sources: dict[tuple[Element, str], frozenset[str]] = {}
        for element in svg_elements(root):
            name = element.get("id")
            if name:
                self.by_id.setdefault(name, element)
            kind = local_name(element)
            if kind == "marker":
                self.paints = ("fill", "stroke", *_MARKERS)
            if kind == "use" and href_of(element).startswith("#"):
                self.users.setdefault(href_of(element)[1:], []).append(element)

    def collect(self) -> set[str]:
        inks: set[str] = set()
        self._gather(self.root, inks)
        pending, seen = list(self.used), set(self.used)
        while pending:
            server = self.by_id.get(pending.pop())
            if server is not None:
                self.used = set()
                self._gather_server(server, inks)
                pending += self.used - seen
                seen |= self.used
        return inks

    def _gather(self, top: Element, inks: set[str]) -> None:
        """Inks of all shapes below `top`, outside masks, clip paths, paint servers and what is not displayed."""
        stack = [top]
        while stack:
            element = stack.pop()
            name = local_name(element)
            if name in _COLOURLESS or (name in _SERVERS and element is not top):
                continue
            if self.cascade.value(element, "display") == "none":
                continue
            if name in _SHAPES and self._is_drawn(element):
                for paint in self.paints:
                    self._add(self._values(element, paint), element, inks)
            filtered = self.cascade.specified(element, "filter")
            if filtered:
                self._add(frozenset({filtered}), element, inks)
            stack.extend(element)

    def _gather_server(self, server: Element, inks: set[str]) -> None:
        template = href_of(server)
        if template.startswith("#"):
            self.used.add(template[1:])
        for element in svg_elements(server):
            name = local_name(element)
            if name == "stop":
                self._add(self._values(element, "stop-color"), element, inks)
            elif name in _FILTER_PAINTS:
                self._add(self._values(element, _FILTER_PAINTS[name]), element, inks)
        if local_name(server) in {"pattern", "marker"}:
            self._gather(server, inks)

    def _is_drawn(self, element: Element) -> bool:
        """Whether the element shows, where it stands or as an instance; servers are asked about only when used."""
        here: Element | None = element
        while here is not None:
            name = local_name(here)
            if name in _SERVERS or self.users.get(here.get("id", "")):
                return True
            if name in {"defs", "symbol"}:
                return False
            here = here.getparent()
        return True

    def _add(self, values: frozenset[str], element: Element, inks: set[str]) -> None:
        for value in values:
            found = _SERVER.match(value)
            if found:
                self.used.add(found[1])
                if found[2] and found[1] not in self.by_id:
                    self._add(frozenset({found[2]}), element, inks)
                continue
            colour = parse_colour(value)
            if colour is not None and colour.kind == "currentcolor":
                self._add(self._values(element, "color"), element, inks)
            elif colour is not None and colour.kind == "colour" and colour.alpha > 0:
                inks.add(colour.hex)

    def _values(self, element: Element, name: str, steps: int = 0) -> frozenset[str]:
        """Every value the property can take on the element, in place or as an instance of some `use`."""
        key = (element, name)
        known = self._sources.get(key)
        if known is None:
            self._sources[key] = frozenset()
            known = self._sources[key] = self._found(element, name, steps)
        return known

    def _found(self, element: Element, name: str, steps: int) -> frozenset[str]:
        written = self.cascade.specified(element, name)
        asks = (written or "").lower()
        if asks == "initial" or (written is None and name not in INHERITED):
            return frozenset({INITIAL[name]})
        if written is not None and asks != "inherit" and (name, asks) != ("color", "currentcolor"):
            return frozenset({written})
        parents = [*self.users.get(element.get("id", ""), ())]
        above = element.getparent()
        if above is not None and (not parents or (local_name(element) != "symbol" and self._is_drawn(above))):
            parents.append(above)
        if not parents or steps > _STEPS:
            return frozenset({INITIAL.get(name, "none")})
        return frozenset().union(*(self._values(parent, name, steps + 1) for parent in parents))
