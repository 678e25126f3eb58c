"""Paint values as text: every colour token found where it stands, understood, and written again in one normal form.

Comes in: the value of one paint property, a `style` attribute, or a whole style sheet, and a mapping of inks.
Goes out: the same text with normalised, mapped colours; None where CSS drops the declaration as invalid.
Never done here: elements, the cascade, initial values.

Sources: CSS Syntax 3 (declarations, comments, strings, `url()`), SVG 2 section 13.2 (paint, fallback after `url()`).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from vectorprep.colour.css import COLOUR_FUNCTIONS, CssColour, colour_text, parse_colour

Mapping = Callable[[str], str]

PAINTS: frozenset[str] = frozenset({"fill", "stroke"})
COLOURS: frozenset[str] = frozenset(
    {"stop-color", "flood-color", "lighting-color", "color", "solid-color", "text-decoration-color"}
    | {"background-color", "viewport-fill", "border-color", "outline-color"}
)
LISTS: frozenset[str] = frozenset({"filter", "text-shadow", "box-shadow", "background", "border", "outline", "initial-value"})
PAINT_PROPERTIES: frozenset[str] = PAINTS | COLOURS | LISTS
INHERITED: frozenset[str] = frozenset({"fill", "stroke", "color"})
INITIAL: dict[str, str] = {
    "fill": "#000000",
    "stroke": "none",
    "color": "#000000",
    "stop-color": "#000000",
    "flood-color": "#000000",
    "lighting-color": "#ffffff",
}
"""Initial values: SVG 2 (fill, stroke, stop-color), CSS Color 4 (color), Filter Effects 1 (flood-color, lighting-color)."""

LONGEST_CALL = 2_000  # characters between the brackets of one function, house value
COMMENT = re.compile(r"/\*.*?(?:\*/|$)", re.DOTALL)
_URL = re.compile(r"url\(\s*(?:\"[^\"]*\"|'[^']*'|[^)]*)\s*\)", re.IGNORECASE)
_TOKEN = re.compile(
    r"url\(\s*(?:\"[^\"]*\"|'[^']*'|[^)]*)\s*\)|\"[^\"]*\"|'[^']*'|(?<![\w-])#[0-9a-z]+|(?<![\w#.-])-{0,2}[a-z][\w-]*\(?",
    re.IGNORECASE,
)
_SCAN = re.compile(
    r"/\*.*?(?:\*/|$)|\"(?:[^\"\\]|\\.)*(?:\"|$)|'(?:[^'\\]|\\.)*(?:'|$)|\\."
    r"|url\(\s*(?!['\"\s])(?:[^)\\]|\\.)*(?:\)|$)|<!--|-->|[{};()\[\]]",
    re.DOTALL | re.IGNORECASE,
)
_AWKWARD = re.compile(r"/\*|[\"'\\{(]")


@dataclass(slots=True)
class Found:
    """What was met in values: oddities as (feature, token, reason) with the element they were first met in, and variables."""

    oddities: dict[tuple[str, str, str], str] = field(default_factory=dict)
    fresh: list[tuple[str, str, str]] = field(default_factory=list)
    has_variables: bool = False

    def note(self, feature: str, token: str, reason: str) -> None:
        """Remembers one oddity once; `locate` says later where it stood."""
        if (feature, token, reason) not in self.oddities:
            self.oddities[feature, token, reason] = ""
            self.fresh.append((feature, token, reason))

    def locate(self, element: str) -> None:
        """Gives the oddities met since the last call their place."""
        for key in self.fresh:
            self.oddities[key] = element
        self.fresh.clear()


class TokenWriter:
    """Rewrites paint values under one mapping; remembers what it has seen, so that a repeated value costs one look-up."""

    def __init__(self, mapping: Mapping | None = None) -> None:
        self.mapping = mapping
        self.found = Found()
        self._values: dict[tuple[str, str], str | None] = {}
        self._styles: dict[str, str] = {}
        self._inks: dict[str, str] = {}

    def ink(self, colour: str) -> str:
        """The ink that takes the place of `#rrggbb`."""
        if self.mapping is None:
            return colour
        mapped = self._inks.get(colour)
        if mapped is None:
            mapped = self._inks[colour] = _checked(self.mapping(colour), colour)
        return mapped

    def value(self, name: str, text: str) -> str | None:
        """The new value of property `name` (lower case), or None where CSS drops the declaration."""
        key = (name, text)
        try:
            return self._values[key]
        except KeyError:
            new = self._values[key] = self._rewritten(name, text)
            return new

    def _rewritten(self, name: str, text: str) -> str | None:
        if "var(" in text:
            self.found.has_variables = True
            return text
        bare = COMMENT.sub(" ", text) if "/*" in text else text
        body, is_important = split_important(bare)
        if name in LISTS or name.startswith("--"):
            new: str | None = self.list_value(body, loose=name.startswith("--"))
        elif name in PAINTS and body[:4].lower() == "url(":
            new = self._server(name, body)
        else:
            new = self._colour(name, body)
        return new + "!important" if is_important and new is not None else new

    def _server(self, name: str, body: str) -> str | None:
        server = _URL.match(body)
        if server is None:
            return None
        rest = body[server.end() :].strip()
        if not rest:
            return server[0]
        fallback = self._colour(name, rest)
        return None if fallback is None else f"{server[0]} {fallback}"

    def _colour(self, name: str, body: str) -> str | None:
        colour = parse_colour(body)
        if colour is None and "icc-color(" in body.lower():
            colour = parse_colour(re.split(r"\s+icc-color\(", body, maxsplit=1, flags=re.IGNORECASE)[0])
        if colour is None:
            self.found.note("invalid", body, "not a colour: CSS drops it")
            return None
        if colour.kind == "colour":
            return self._mapped(body, colour)
        return self._keyword(name, body, colour)

    def _mapped(self, body: str, colour: CssColour) -> str:
        if not colour.exact:
            self.found.note("system-colour" if "system" in colour.note else "gamut", body, colour.note)
        return colour_text(self.ink(colour.hex), colour.alpha)

    def _keyword(self, name: str, body: str, colour: CssColour) -> str | None:
        kind = colour.kind
        if kind == "unresolved":
            self.found.note("colour-syntax", body, colour.note)
            return body
        if kind == "unset":
            kind = "inherit" if name in INHERITED else "initial"
        if kind == "initial" and name in INITIAL:
            initial = INITIAL[name]
            return self.ink(initial) if initial.startswith("#") else initial
        if kind in {"none", "context-fill", "context-stroke"} and name not in PAINTS:
            self.found.note("invalid", body, "not a colour: CSS drops it")
            return None
        return "currentColor" if kind == "currentcolor" else kind

    def list_value(self, body: str, *, loose: bool = False) -> str:
        """A value in which colours stand among other things; with `loose` only unmistakable colours are touched."""
        pieces, end = [], 0
        for start, stop in _colour_spans(body):
            token = body[start:stop]
            colour = parse_colour(token)
            if colour is None or (loose and token != body and token[0] != "#" and "(" not in token):
                continue
            if colour.kind == "colour":
                pieces += [body[end:start], self._mapped(token, colour)]
                end = stop
            elif colour.kind == "currentcolor":
                pieces += [body[end:start], "currentColor"]
                end = stop
            elif colour.kind == "unresolved":
                self.found.note("colour-syntax", token, colour.note)
        return "".join([*pieces, body[end:]])

    def style(self, text: str) -> str:
        """A `style` attribute with its paint declarations rewritten."""
        new = self._styles.get(text)
        if new is None:
            new = self._styles[text] = self._sheet(text, inside=True) if _AWKWARD.search(text) else self._plain_style(text)
        return new

    def _plain_style(self, text: str) -> str:
        parts = text.split(";")
        for place, part in enumerate(parts):
            name, colon, value = part.partition(":")
            if colon and (name in PAINT_PROPERTIES or self._is_paint(name)):
                new = self.value(name.strip().lower(), value)
                if new != value:
                    parts[place] = "" if new is None else f"{name}:{new}"
        return ";".join(parts)

    @staticmethod
    def _is_paint(name: str) -> bool:
        bare = name.strip()
        return bare.lower() in PAINT_PROPERTIES or bare.startswith("--")

    def sheet(self, text: str) -> str:
        """A style sheet with the paint declarations of all its rules rewritten, nested ones included."""
        return self._sheet(text, inside=False)

    def _sheet(self, text: str, *, inside: bool) -> str:
        pieces: list[str] = []
        done = 0
        for start, stop in declarations(text, inside=inside):
            name, colon, value = text[start:stop].partition(":")
            bare = COMMENT.sub("", name).strip()
            if not colon or not self._is_paint(bare):
                continue
            new = self.value(bare if bare.startswith("--") else bare.lower(), value)
            if new == value:
                continue
            pieces.append(text[done:start])
            if new is not None:
                pieces.append(f"{name}:{new}")
            done = stop
        return "".join([*pieces, text[done:]])


def is_valid(name: str, value: str) -> bool:
    """Whether CSS keeps the declaration, as far as colours go: an invalid one never takes part in the cascade."""
    if name not in PAINTS and name not in COLOURS:
        return True
    body = value.strip()
    if name in PAINTS and body[:4].lower() == "url(":
        return _URL.match(body) is not None
    return "var(" in body or "/*" in body or "icc-color(" in body or parse_colour(body) is not None


def _checked(mapped: str, colour: str) -> str:
    if re.fullmatch(r"#[0-9a-f]{6}", mapped):
        return mapped
    understood = parse_colour(mapped)
    if understood is None or understood.kind != "colour" or understood.alpha < 1:
        raise ValueError(f"the mapping gave '{mapped}' for {colour}: it must give an opaque colour such as #1a2b3c")
    return understood.hex


def split_important(value: str) -> tuple[str, bool]:
    """A declaration's value without `!important`, and whether that was there."""
    body, mark, word = value.rpartition("!")
    is_important = bool(mark) and word.strip().lower() == "important"
    return (body if is_important else value).strip(), is_important


def _colour_spans(body: str) -> Iterator[tuple[int, int]]:
    """Where colour-like tokens stand: hashes, names, and whole colour functions with their brackets."""
    place = 0
    while (found := _TOKEN.search(body, place)) is not None:
        token, place = found[0], found.end()
        if token[0] in "\"'" or token[:4].lower() == "url(":
            continue
        if not token.endswith("("):
            yield found.span()
        elif token[:-1].lower() in COLOUR_FUNCTIONS:
            place = closing(body, found.end())
            yield found.start(), place


def closing(text: str, after: int) -> int:
    """The place after the bracket that closes the one just before `after`; the end of the search where none does."""
    depth, end = 1, min(len(text), after + LONGEST_CALL)
    for place in range(after, end):
        depth += (text[place] == "(") - (text[place] == ")")
        if depth == 0:
            return place + 1
    return end


def declarations(text: str, *, inside: bool) -> Iterator[tuple[int, int]]:
    """Spans of what may be a declaration in a sheet (or, with `inside`, in the block of a `style` attribute)."""
    level, depth, start = int(inside), 0, 0
    for found in _SCAN.finditer(text):
        sign = found[0]
        if sign.startswith("/*"):
            start = found.end() if not text[start : found.start()].strip() else start
        elif sign in "([":
            depth += 1
        elif sign in ")]":
            depth = max(0, depth - 1)
        elif sign in {"<!--", "-->"}:
            start = found.end()
        elif sign in {"{", "}"} or (sign == ";" and depth == 0):
            if sign != "{" and level > 0:
                yield start, found.start()
            level = max(int(inside), level + (sign == "{") - (sign == "}"))
            depth, start = 0, found.end()
    if level > 0:
        yield start, len(text)
