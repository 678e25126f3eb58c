"""Style sheets as a flat list of rules in the order and rank of the cascade.

Comes in: the text of style sheets.
Goes out: compiled selectors with their declarations, at-rules resolved for one medium.
Never done here: elements, inheritance.

Sources: CSS Cascade 5 (layers, importance), CSS Nesting 1, CSS Conditional 3 (`@supports`), Media Queries 4.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import tinycss2
from cssselect2 import SelectorError, compile_selector_list

from vectorprep.markup.tokens import COMMENT, declarations, split_important

UNLAYERED = 1 << 20  # rank of rules outside every layer: above all layers
_DEPTH = 20  # rules nested deeper than this are left out; sheets in drawings nest two or three deep
_DEEPEST = 100  # brackets inside brackets, house value
_LONGEST = 5_000  # characters of one selector with its parents written in, house value
_FREE_STEPS = 3  # house value: so few ancestors of an element are found soon
_TRIES_MOST = 20_000_000  # combinations of ancestors tried for one selector, house value
_WANDERS = re.compile(r"(?<=[^\s>+~,(])\s+(?=[^\s>+~,)])|~(?!=)")
_LONGEST_FONT = 1_000  # characters of a `font` shorthand, house value
_BRACKETS = re.compile(r"[(\[{)\]}]")
_QUERY = re.compile(r"(?:(not|only)\s+)?([a-z-]+)?\s*(?:and\s+)?(.*)", re.DOTALL)
_WIDTH = re.compile(r"\((min|max)-(?:width|height)\s*:[^)]*\)")


@dataclass(frozen=True, slots=True)
class Declared:
    """One declaration: its value as written, and whether it is `!important`."""

    value: str
    important: bool = False
    origin: str = "sheet"
    """`attribute`, `sheet` or `style`."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One selector of one rule with the declarations of its block; `rank` is that of its layer."""

    selector: Any
    rank: int
    block: tuple[tuple[str, Declared], ...]


@dataclass(slots=True)
class Sheets:
    """The rules of all sheets of a drawing, in order; and selectors that could not be understood."""

    rules: list[Rule] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    layers: dict[str, int] = field(default_factory=dict)
    medium: str = "screen"
    depths: Counter[int] = field(default_factory=Counter)
    """How many elements lie how deep."""

    def add(self, text: str) -> None:
        """Appends the rules of one sheet; a sheet whose brackets nest too deep is left out."""
        if _bracket_depth(text) > _DEEPEST:
            self.refused.append(f"(a sheet with brackets nested more than {_DEEPEST} deep)")
            return
        self._walk(tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True), "", "", 0)

    def _walk(self, nodes: list[Any], parent: str, layer: str, depth: int) -> None:
        if depth > _DEPTH:
            return
        for node in nodes:
            if node.type == "qualified-rule":
                self._add_rule(node, parent, layer, depth)
            elif node.type == "at-rule":
                self._add_at_rule(node, parent, layer, depth)

    def _add_rule(self, node: Any, parent: str, layer: str, depth: int) -> None:
        prelude = tinycss2.serialize(node.prelude).strip()
        selector = _nested(prelude, parent) if parent else prelude
        self._add_block(
            tinycss2.parse_blocks_contents(node.content, skip_comments=True, skip_whitespace=True), selector, layer, depth
        )

    def _add_block(self, nodes: list[Any], selector: str, layer: str, depth: int) -> None:
        block = tuple(
            (name, Declared(tinycss2.serialize(node.value).strip(), node.important))
            for node in nodes
            if node.type == "declaration"
            for name in (node.name if node.name.startswith("--") else node.lower_name,)
        )
        if len(selector) > _LONGEST:
            self.refused.append(selector[:80])
            return
        if block:
            self._add_selectors(selector, layer, tuple(pair for one in block for pair in expanded(*one)))
        self._walk([node for node in nodes if node.type != "declaration"], selector, layer, depth + 1)

    def _add_selectors(self, selector: str, layer: str, block: tuple[tuple[str, Declared], ...]) -> None:
        if any(self._costs_too_much(part) for part in _split_selectors(selector)):
            self.refused.append(selector)
            return
        try:
            compiled = compile_selector_list(selector)
        except (SelectorError, RecursionError, MemoryError, SyntaxError):
            self.refused.append(selector)
            return
        rank = self.layers.setdefault(layer, len(self.layers)) if layer else UNLAYERED
        self.rules += [Rule(one, rank, block) for one in compiled if one.pseudo_element is None]

    def _add_at_rule(self, node: Any, parent: str, layer: str, depth: int) -> None:
        name, prelude = node.lower_at_keyword, tinycss2.serialize(node.prelude).strip()
        if name == "layer":
            names = [part.strip() for part in prelude.split(",")] if prelude else [f"(unnamed {len(self.layers)})"]
            paths = [f"{layer}.{part}" if layer else part for part in names]
            for path in paths:
                self.layers.setdefault(path, len(self.layers))
            layer = paths[-1]
        elif not (name == "media" and media_holds(prelude, self.medium)) and not (name == "supports" and _supports(prelude)):
            return
        if node.content is None:
            return
        nodes = tinycss2.parse_blocks_contents(node.content, skip_comments=True, skip_whitespace=True)
        if parent:
            self._add_block(nodes, parent, layer, depth + 1)
        else:
            self._walk(nodes, "", layer, depth + 1)

    def _costs_too_much(self, selector: str) -> bool:
        """Whether so many ancestors are asked for one after another that trying all their combinations has no end."""
        steps = len(_WANDERS.findall(selector.strip()))
        if steps < _FREE_STEPS:
            return False
        # A match that fails half way has tried all combinations so far.
        tries = (many * math.comb(depth, min(steps, depth // 2)) for depth, many in self.depths.items())
        return sum(tries) > _TRIES_MOST


def _bracket_depth(text: str) -> int:
    depth = deepest = 0
    for sign in _BRACKETS.findall(text):
        depth = depth + 1 if sign in "([{" else max(0, depth - 1)
        deepest = max(deepest, depth)
    return deepest


def _nested(prelude: str, parent: str) -> str:
    around = f":is({parent})"
    return ", ".join(part.replace("&", around) if "&" in part else f"{around} {part.strip()}" for part in _split_selectors(prelude))


def _split_selectors(prelude: str) -> Iterator[str]:
    depth, start = 0, 0
    for place, sign in enumerate(prelude):
        depth += (sign in "([") - (sign in ")]")
        if sign == "," and depth == 0:
            yield prelude[start:place]
            start = place + 1
    yield prelude[start:]


def media_holds(queries: str, medium: str = "screen") -> bool:
    """Whether a media query list holds for a still picture in a light scheme on a wide page of the given medium."""
    return not queries.strip() or any(_query_holds(query.strip().lower(), medium) for query in queries.split(","))


def _query_holds(query: str, medium: str) -> bool:
    found = _QUERY.fullmatch(query)
    if found is None:
        return False
    turn, kind, features = found.groups()
    holds = (not kind or kind in {"all", medium}) and all(map(_feature_holds, re.findall(r"\([^()]*\)", features)))
    return not holds if turn == "not" else holds


def _feature_holds(feature: str) -> bool:
    width = _WIDTH.fullmatch(feature)
    if width:
        return width[1] == "min"
    name, _, value = feature.strip("() ").partition(":")
    still = {"prefers-color-scheme": "light", "prefers-reduced-motion": "reduce", "color-gamut": "srgb", "update": "none"}
    if name.strip() == "color":
        return True
    return still.get(name.strip()) == value.strip()


def _supports(condition: str) -> bool:
    return not condition.lower().startswith("not")


def read_block(text: str) -> Iterator[tuple[str, Declared]]:
    """Declarations of a `style` attribute in order, shorthands of our concern written out."""
    for start, stop in declarations(text, inside=True):
        name, colon, value = COMMENT.sub(" ", text[start:stop]).partition(":")
        if colon:
            bare = name.strip()
            body, is_important = split_important(value)
            yield from expanded(bare if bare.startswith("--") else bare.lower(), Declared(body, is_important, "style"))


_FONT = re.compile(
    r"(?P<before>.*?)(?P<size>(?:\d*\.?\d+(?:%|[a-z]+)|(?:xx?-)?(?:small|large)|medium|smaller|larger))"
    r"(?:\s*/\s*\S+)?\s+(?P<family>\S.*)",
    re.DOTALL | re.IGNORECASE,
)


def expanded(name: str, declared: Declared) -> Iterator[tuple[str, Declared]]:
    """A declaration as longhands: `marker` and `font` are shorthands, everything else stands for itself."""
    if name == "marker":
        for place in ("start", "mid", "end"):
            yield f"marker-{place}", declared
        return
    yield name, declared
    found = _FONT.fullmatch(declared.value) if name == "font" and len(declared.value) < _LONGEST_FONT else None
    if found:
        words = found["before"].lower().split()
        parts = {
            "font-style": next((word for word in words if word in {"italic", "oblique"}), "normal"),
            "font-weight": next((word for word in words if word in {"bold", "bolder", "lighter"} or word.isdigit()), "normal"),
            "font-size": found["size"],
            "font-family": found["family"].strip(),
        }
        for longhand, value in parts.items():
            yield longhand, Declared(value, declared.important, declared.origin)
