"""Computed style: which value of a property an element really has.

Comes in: the root of a drawing with its style sheets, presentation attributes and `style` attributes.
Goes out: per element the winning declarations, and per property the value after inheritance, initial values and variables.
Never done here: changing the tree, `use` instances (they inherit from the `use`, which only a copy could show).

Sources: CSS Cascade 5, SVG 2 section 6.4 (presentation attributes: author origin, specificity 0, before all sheets),
CSS Custom Properties 1.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from typing import Any, cast

from cssselect2 import ElementWrapper, Matcher

from vectorprep.markup.sheets import UNLAYERED, Declared, Sheets, media_holds, read_block
from vectorprep.markup.tokens import closing, is_valid
from vectorprep.markup.tree import Element, svg_tag

_INHERITED = """
clip-rule color color-interpolation color-interpolation-filters color-rendering cursor direction dominant-baseline fill
fill-opacity fill-rule font font-family font-feature-settings font-kerning font-size font-size-adjust font-stretch
font-style font-variant font-weight glyph-orientation-horizontal glyph-orientation-vertical image-rendering
letter-spacing line-height marker-end marker-mid marker-start paint-order pointer-events shape-rendering stroke
stroke-dasharray stroke-dashoffset stroke-linecap stroke-linejoin stroke-miterlimit stroke-opacity stroke-width
text-align text-anchor text-rendering visibility white-space word-spacing writing-mode
"""
_OTHERS = """
alignment-baseline baseline-shift clip clip-path display filter flood-color flood-opacity isolation lighting-color mask
mask-type mix-blend-mode opacity overflow solid-color solid-opacity stop-color stop-opacity text-decoration
transform transform-box transform-origin unicode-bidi vector-effect
"""
INHERITED: frozenset[str] = frozenset(_INHERITED.split())
PRESENTATION: frozenset[str] = INHERITED | frozenset(_OTHERS.split())
"""Properties that may be written as attributes (SVG 2, appendix "Presentation attributes"; geometry left out)."""

INITIAL: dict[str, str] = {
    "fill": "#000000",
    "stroke": "none",
    "color": "#000000",
    "stop-color": "#000000",
    "flood-color": "#000000",
    "lighting-color": "#ffffff",
    "display": "inline",
    "visibility": "visible",
    "opacity": "1",
    "fill-opacity": "1",
    "stroke-opacity": "1",
    "stop-opacity": "1",
    "flood-opacity": "1",
    "stroke-width": "1",
    "mask-type": "luminance",
    "mix-blend-mode": "normal",
    "isolation": "auto",
    "font-weight": "normal",
    "font-style": "normal",
    "font-size": "medium",
    "font-family": "",
    "fill-rule": "nonzero",
    "clip-rule": "nonzero",
    "text-anchor": "start",
    "white-space": "normal",
    "paint-order": "normal",
    "stroke-linejoin": "miter",
    "stroke-linecap": "butt",
}
"""Initial values (SVG 2, CSS Display 3, CSS Masking 1, Compositing 1, CSS Fonts 4); any other property counts as `none`."""

_VARIABLE = re.compile(r"var\(\s*(--[^\s,)]+)\s*", re.IGNORECASE)
_WIDE = frozenset({"inherit", "initial", "unset", "revert", "revert-layer"})


class _Wrapper(ElementWrapper):  # type: ignore[misc, unused-ignore]
    """Selector matching without recursion over siblings: drawings hold thousands of them."""

    @property
    def previous_siblings(self) -> tuple[Any, ...]:
        found, sibling = [], self.previous
        while sibling is not None:
            found.append(sibling)
            sibling = sibling.previous
        return tuple(found)


class Cascade:
    """Style of every element of one drawing; valid as long as the drawing is not changed.

    Args:
        root: the root element.
        medium: the medium that `@media` is asked for.
    """

    def __init__(self, root: Element, *, medium: str = "screen") -> None:
        self.root = root
        sheets = list(root.iter(svg_tag("style")))
        self._sheets = Sheets(medium=medium, depths=_depths(root) if sheets else Counter())
        for element in sheets:
            if _is_css(element) and media_holds(element.get("media", ""), medium):
                self._sheets.add("".join(cast("list[str]", list(element.itertext()))))
        self._matched = self._match() if self._sheets.rules else {}
        self._declared: dict[Element, dict[str, Declared]] = {}
        self._custom: dict[Element, Mapping[str, str]] = {}

    @property
    def has_sheets(self) -> bool:
        """Whether any style rule is in force."""
        return bool(self._sheets.rules)

    @property
    def refused(self) -> tuple[str, ...]:
        """Selectors that could not be understood; their rules are left out, as CSS asks."""
        return tuple(self._sheets.refused)

    def _match(self) -> dict[Element, list[tuple[int, int, tuple[tuple[str, Declared], ...]]]]:
        matcher = Matcher()
        for rule in self._sheets.rules:
            matcher.add_selector(rule.selector, rule)
        matched = {}
        for wrapped in _Wrapper.from_xml_root(self.root).iter_subtree():
            found = matcher.match(wrapped)
            if found:
                matched[wrapped.etree_element] = [(hit[3].rank, place, hit[3].block) for place, hit in enumerate(found)]
        return matched

    def declared(self, element: Element) -> Mapping[str, Declared]:
        """The winning declarations on the element itself, as written."""
        winners = self._declared.get(element)
        if winners is None:
            winners = self._declared[element] = self._winners(element)
        return winners

    def _winners(self, element: Element) -> dict[str, Declared]:
        winners = {
            name: Declared(value.strip(), False, "attribute")
            for name, value in cast("list[tuple[str, str]]", element.items())
            if name in PRESENTATION and is_valid(name, value)
        }
        hits = self._matched.get(element, [])
        style = tuple(read_block(element.get("style", "")))
        normal = [block for _, _, block in sorted(hits, key=_rank)]
        # Among important declarations the order of layers is turned round, and unlayered ones come first.
        important = [block for _, _, block in sorted(hits, key=lambda hit: (-hit[0], hit[1]))]
        for blocks, wanted in (([*normal, style], False), ([*important, style], True)):
            for block in blocks:
                winners.update((name, one) for name, one in block if one.important is wanted and is_valid(name, one.value))
        return winners

    def value(self, element: Element | None, name: str) -> str:
        """The value after inheritance: keywords such as `inherit` and variables are resolved, `currentColor` stays."""
        while element is not None:
            written = self.specified(element, name)
            if written is not None and written.lower() not in _WIDE:
                return written
            asks = "unset" if written is None else written.lower()
            inherits = asks == "inherit" or (asks != "initial" and name in INHERITED)
            if not inherits:
                break
            element = element.getparent()
        return INITIAL.get(name, "none")

    def specified(self, element: Element, name: str) -> str | None:
        """The value declared on the element with variables put in; None where nothing is declared."""
        declared = self.declared(element).get(name)
        if declared is None or "var(" not in declared.value:
            return None if declared is None else declared.value
        return substituted(declared.value, self.custom(element)) or "unset"

    def custom(self, element: Element) -> Mapping[str, str]:
        """The custom properties (`--name`) in force on the element, variables inside them put in."""
        found = self._custom.get(element)
        if found is None:
            parent = element.getparent()
            above: Mapping[str, str] = {} if parent is None else self.custom(parent)
            own = {name: one.value for name, one in self.declared(element).items() if name.startswith("--")}
            found = self._custom[element] = {**above, **_resolved(own, above)} if own else above
        return found

    def is_displayed(self, element: Element) -> bool:
        """Whether neither the element nor anything around it has `display: none`."""
        here: Element | None = element
        while here is not None:
            if self.value(here, "display") == "none":
                return False
            here = here.getparent()
        return True


def _rank(hit: tuple[int, int, Any]) -> tuple[int, int]:
    return hit[0], hit[1]


def _depths(root: Element) -> Counter[int]:
    """How many elements lie how deep."""
    found: Counter[int] = Counter()
    level: list[Element] = [root]
    while level:
        found[len(found)] = len(level)
        level = [child for element in level for child in element]
    return found


def _is_css(element: Element) -> bool:
    return (element.get("type") or "text/css").strip().lower() == "text/css"


_LONGEST = 100_000  # characters of a value after substitution: chains that double end here, house value
_DEEPEST = 50  # variables inside variables, house value


def _resolved(own: dict[str, str], above: Mapping[str, str]) -> dict[str, str]:
    """Custom properties with variables put in; those that refer to themselves in a circle are dropped."""
    scope = {**above, **own}
    done: dict[str, str | None] = {}

    def resolve(name: str, depth: int) -> str | None:
        if name in done:
            return done[name]
        text = scope.get(name)
        if text is None or name not in own or "var(" not in text:
            return text
        done[name] = None  # asked for again before it is known: a circle
        if depth < _DEEPEST:
            values = {inner: resolve(inner, depth + 1) for inner in dict.fromkeys(_VARIABLE.findall(text))}
            done[name] = substituted(text, {inner: value for inner, value in values.items() if value is not None})
        return done[name]

    resolved = {name: resolve(name, 0) for name in own}
    return {name: value for name, value in resolved.items() if value is not None}


def substituted(text: str, scope: Mapping[str, str], depth: int = 0) -> str | None:
    """`text` with every `var()` replaced from `scope` or by its fallback; None where neither is to be had."""
    pieces: list[str] = []
    done, size = 0, 0
    while (found := _VARIABLE.search(text, done)) is not None:
        end = closing(text, text.index("(", found.start()) + 1)
        rest = text[found.end() : end - 1]
        value = scope.get(found[1])
        if value is None and rest.startswith(",") and depth < _DEEPEST:
            value = substituted(rest[1:].strip(), scope, depth + 1)
        if value is None:
            return None
        pieces += [text[done : found.start()], value]
        size += len(pieces[-1]) + len(pieces[-2])
        if size > _LONGEST:
            return None
        done = end
    return "".join([*pieces, text[done:]])


__all__ = ["INHERITED", "INITIAL", "PRESENTATION", "UNLAYERED", "Cascade", "Declared", "substituted"]
