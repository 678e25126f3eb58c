"""Style declarations as text, apart: names, values, importance; and the shorthands of SVG written out.

Comes in: the text of a `style` attribute or of a rule's block.
Goes out: longhand declarations whose escapes and comments are resolved.
Never done here: deciding which declaration wins, or what a link in one means.
"""

from __future__ import annotations

import re
from typing import NamedTuple

import tinycss2

from vectorprep.read.vocabulary import MARKERS

# Nothing in here needs a tokeniser: no strings, escapes, comments, at-rules, blocks, nor a semicolon inside brackets.
_SIMPLE = re.compile(r"[^\"'\\{}@/!]*")
_URL = re.compile(r"url\(\s*(?:\"([^\"]*)\"|'([^']*)'|([^)\"']*))\s*\)", re.IGNORECASE)
_FONT_SIZE = re.compile(r"(?:[\d.]+(?:[a-z]+|%)|xx-small|x-small|small|medium|large|x-large|xx-large|smaller|larger)(/\S+)?")
_FONT_STYLES = ("italic", "oblique")
_FONT_WEIGHTS = frozenset(("bold", "bolder", "lighter", "100", "200", "300", "400", "500", "600", "700", "800", "900"))
_FONT_STRETCHES = frozenset(
    ["ultra-condensed", "extra-condensed", "condensed", "semi-condensed", "semi-expanded", "expanded", "extra-expanded", "ultra-expanded"]
)


class Declaration(NamedTuple):
    """One longhand declaration; custom properties keep the case of their name."""

    name: str
    value: str
    important: bool = False


def declarations_of(text: str) -> list[Declaration]:
    """Longhand declarations of a block in the order they stand; later ones win over earlier ones of equal importance."""
    if _SIMPLE.fullmatch(text) and text.count("url(") == text.count("url(#"):
        found = _simple(text)
    else:
        found = _from_tokens(tinycss2.parse_blocks_contents(text, skip_comments=True, skip_whitespace=True))
    return found


def _from_tokens(nodes: list[object]) -> list[Declaration]:
    """Longhand declarations among the nodes of a tokenised block; anything else in it is not CSS and is passed over."""
    found: list[Declaration] = []
    for node in nodes:
        if node.type == "declaration":  # type: ignore[attr-defined]
            name = node.name if node.name.startswith("--") else node.lower_name  # type: ignore[attr-defined]
            value = _without_comments(node.value)  # type: ignore[attr-defined]
            found.extend(_longhand(name, value, important=node.important))  # type: ignore[attr-defined]
    return found


def _without_comments(tokens: list[object]) -> str:
    kept = [token for token in tokens if token.type != "comment"]  # type: ignore[attr-defined]
    return str(tinycss2.serialize(kept)).strip()


def _simple(text: str) -> list[Declaration]:
    found: list[Declaration] = []
    for part in text.split(";"):
        name, colon, value = part.partition(":")
        if colon:
            name, value = name.strip(), value.strip()
            if not name.startswith("--"):
                name = name.lower()
            if name in _SHORTHANDS:
                found.extend(_longhand(name, value, important=False))
            elif value:
                found.append(Declaration(name, value))
    return found


def _longhand(name: str, value: str, *, important: bool) -> list[Declaration]:
    if not value:
        return []
    if name in _SHORTHANDS:
        return [Declaration(n, v, important) for n, v in _SHORTHANDS[name](value)]
    return [Declaration(name, value, important)]


def _marker(value: str) -> list[tuple[str, str]]:
    return [(name, value) for name in MARKERS]


def _font(value: str) -> list[tuple[str, str]]:
    """`font: [style variant weight stretch]? size[/line-height]? family` (CSS Fonts 4, 'font')."""
    words = value.split()
    for at, word in enumerate(words):
        if _FONT_SIZE.fullmatch(word.lower()):
            size = word.split("/")[0]
            rest = words[at + 1 :]
            if rest and rest[0].startswith("/"):
                rest = rest[2:] if rest[0] == "/" else rest[1:]
            return [*_font_traits(words[:at]), ("font-size", size), ("font-family", " ".join(rest))]
    return []


def _font_traits(words: list[str]) -> list[tuple[str, str]]:
    found = {"font-style": "normal", "font-weight": "normal", "font-stretch": "normal", "font-variant": "normal"}
    for word in (w.lower() for w in words):
        if word in _FONT_STYLES:
            found["font-style"] = word
        elif word in _FONT_WEIGHTS:
            found["font-weight"] = word
        elif word in _FONT_STRETCHES:
            found["font-stretch"] = word
        elif word == "small-caps":
            found["font-variant"] = word
    return list(found.items())


def _text_decoration(value: str) -> list[tuple[str, str]]:
    words = [word for word in value.split() if word in {"none", "underline", "overline", "line-through", "inherit"}]
    return [("text-decoration", " ".join(words))] if words else []


_SHORTHANDS = {
    "marker": _marker,
    "font": _font,
    "text-decoration": _text_decoration,
    "text-decoration-line": _text_decoration,
}


def without_escapes(value: str) -> str:
    """A value with its escapes resolved and comments gone, so that nothing hides in either."""
    if "\\" not in value and "/*" not in value:
        return value
    return _without_comments(tinycss2.parse_component_value_list(value))


def urls_in(value: str) -> list[str]:
    """What each `url()` of a property value points at, in order."""
    if "(" not in value:
        return []
    return [(a or b or c).strip() for a, b, c in _URL.findall(value)]


def with_plain_urls(value: str) -> str:
    """The value with each `url()` written without quotes, which every renderer reads."""
    return _URL.sub(lambda m: f"url({(m.group(1) or m.group(2) or m.group(3)).strip()})", value)
