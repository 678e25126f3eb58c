"""Style declarations as plain text: a `style` attribute's winners, and the addresses inside values.

Comes in: the text of a `style` attribute, or one value of it.
Goes out: longhand name -> value, without escapes and comments.
Never done here: style sheets, or what an address means.
"""

from __future__ import annotations

import re

import tinycss2

from vectorprep.markup.sheets import read_block

# Nothing in here needs a tokeniser: no strings, escapes, comments, importance, blocks, nor a semicolon inside brackets.
_SIMPLE = re.compile(r"[^\"'\\{}@/!]*")
_URL = re.compile(r"url\(\s*(?:\"([^\"]*)\"|'([^']*)'|([^)\"']*))\s*\)", re.IGNORECASE)
# What XML 1.0 does not let stand in an attribute (section 2.2, production Char); escapes of CSS can write it.
_CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_SHORTHANDS = frozenset(("font", "marker"))


def winners_of(style: str) -> dict[str, str]:
    """Name -> value of the declarations of a `style` attribute: later over earlier, important over all (CSS Cascade 5)."""
    if _SIMPLE.fullmatch(style) and style.count("url(") == style.count("url(#"):
        found = _simple(style)
        if _SHORTHANDS.isdisjoint(found):
            return found
    declared = list(read_block(style))
    found = {name: one.value for name, one in declared if not one.important}
    found.update((name, one.value) for name, one in declared if one.important)
    return {name: without_escapes(value) for name, value in found.items()}


def _simple(style: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for part in style.split(";"):
        name, _, value = part.partition(":")
        value = value.strip()
        if value:
            bare = name.strip()
            found[bare if bare.startswith("--") else bare.lower()] = value
    return found


def without_escapes(value: str) -> str:
    """A value with its escapes resolved and comments gone, so that nothing hides in either."""
    if "\\" not in value and "/*" not in value:
        return value
    kept = [token for token in tinycss2.parse_component_value_list(value) if token.type != "comment"]
    return _CONTROLS.sub("", str(tinycss2.serialize(kept))).strip()


def urls_in(value: str) -> list[str]:
    """What each `url()` of a property value points at, in order."""
    if "(" not in value:
        return []
    return [(a or b or c).strip() for a, b, c in _URL.findall(value)]


def with_plain_urls(value: str) -> str:
    """The value with each `url()` written without quotes, which every renderer reads."""
    return _URL.sub(lambda m: f"url({(m.group(1) or m.group(2) or m.group(3)).strip()})", value)
