"""The DOCTYPE of a file: taken off, its internal entities written out, nothing else of it ever used.

Comes in: the text of a file.
Goes out: the text from the root element on, without references to entities of its own. Of the DOCTYPE only attribute defaults stay,
for the parser to write in.
Never done here: opening what a DOCTYPE names. What entities and defaults would expand to is counted before any is expanded.

Source: XML 1.0 fifth edition, sections 3.3 (attribute lists) and 4 (physical structures).
"""

from __future__ import annotations

import re
from collections import Counter

from vectorprep.errors import ArtworkRefused

MAX_ENTITY_CHARS = 5_000_000  # all internal entities written out, house value
MAX_ENTITY_DEPTH = 50  # entities within entities, house value

_PROLOG = re.compile(r"(?:\s|<!--.*?-->|<\?.*?\?>)*+", re.DOTALL)
_DOCTYPE = re.compile(
    r"""<!DOCTYPE\s+[^\s\[>]+(?:[^\[>"']|"[^"]*"|'[^']*')*+"""
    r"""(?:\[(?P<subset>(?:<!--.*?-->|<\?.*?\?>|"[^"]*"|'[^']*'|[^\]"'])*+)\]\s*)?>""",
    re.DOTALL | re.IGNORECASE,
)
_COMMENT = re.compile(r"<!--.*?-->|<\?.*?\?>", re.DOTALL)
_ENTITY = re.compile(r"<!ENTITY\s+(%\s+)?([^\s%\"'>]+)\s+(?:(\"[^\"]*\"|'[^']*')|((?:SYSTEM|PUBLIC)\b)[^>]*)\s*>")
_DEFAULTS = re.compile(r"<!ATTLIST\s+([^\s%\"'>&]+)\s+((?:[^\"'<>%]|\"[^\"]*\"|'[^']*')*+)>")
_TAG = re.compile(r"<([^\s/>!?<]+)")
_REFERENCE = re.compile(r"&([A-Za-z_:][\w.:-]*);")
_CHARACTER = re.compile(r"&#(?:x([0-9A-Fa-f]{1,6})|([0-9]{1,7}));")
_PIECE = re.compile(
    r"""(?P<fixed><!\[CDATA\[.*?\]\]>|<!--.*?-->|<\?.*?\?>)|(?P<tag><[^<>"']*+(?:"[^"]*"|'[^']*'|[^<>"'])*+>)|&(?P<name>[A-Za-z_:][\w.:-]*);""",
    re.DOTALL,
)


def without_doctype(text: str) -> str:
    """The text from its root element on, internal entities written out; before it a DOCTYPE of attribute defaults, if it has any.

    Raises:
        ArtworkRefused: an entity is needed that lies outside, loops, or is too big; or defaults are.
    """
    start = _prolog_end(text, 0)
    match = _DOCTYPE.match(text, start)
    if match is None:
        return text[start:]
    body = text[_prolog_end(text, match.end()) :]
    subset = _COMMENT.sub("", match.group("subset") or "")
    entities = _declared(subset, body)
    written = _expanded(body, entities) if entities else body
    return _defaults(subset, written, entities) + written


def _defaults(subset: str, body: str, entities: dict[str, str]) -> str:
    """A DOCTYPE with nothing but the defaults of attributes; empty where there are none.

    Raises:
        ArtworkRefused: written out on every element they would be too much.
    """
    lists = [(name, words) for name, words in _DEFAULTS.findall(subset) if '"' in words or "'" in words]
    if not lists:
        return ""
    times, sizes = Counter(_TAG.findall(body)), dict[str, int]()
    total = sum((len(words) + _reach(words, entities, sizes)) * (1 + times[name]) for name, words in lists)
    if total > MAX_ENTITY_CHARS:
        raise ArtworkRefused(
            f"attribute defaults in its DOCTYPE would expand to {total} characters, more than the limit of {MAX_ENTITY_CHARS}",
            fix="save the drawing as plain SVG, which needs no DOCTYPE",
            code="entity-bomb",
        )
    kept = [
        f"<!ATTLIST {name} {_REFERENCE.sub(lambda match: _in_attribute(match.group(1), entities), words)}>" for name, words in lists
    ]
    return f"<!DOCTYPE svg [{''.join(kept)}]>"


def _prolog_end(text: str, start: int) -> int:
    match = _PROLOG.match(text, start)
    return match.end() if match else start


def _declared(subset: str, body: str) -> dict[str, str]:
    """Internal general entities by name; the first declaration of a name counts."""
    entities: dict[str, str] = {}
    for parameter, name, value, _outside in _ENTITY.findall(subset):
        if parameter and f"%{name};" in subset:
            raise ArtworkRefused(
                f"the parameter entity '{name}' is not supported",
                fix="save the drawing as plain SVG, which needs no DOCTYPE",
                code="entity-parameter",
            )
        if value and not parameter:
            entities.setdefault(name, _CHARACTER.sub(_character, value[1:-1]))
        elif not parameter and f"&{name};" in body:
            raise ArtworkRefused(
                f"the entity '{name}' stands for content outside the file, which is never opened",
                fix="save the drawing without outside entities ('plain SVG' in most editors)",
                code="entity-external",
            )
    return entities


def _character(match: re.Match[str]) -> str:
    number = int(match.group(1), 16) if match.group(1) else int(match.group(2))
    return chr(number) if 0 < number <= 0x10FFFF else ""


def _expanded(body: str, entities: dict[str, str]) -> str:
    sizes: dict[str, int] = {}
    total = _reach(body, entities, sizes)
    if total > MAX_ENTITY_CHARS:
        raise ArtworkRefused(
            f"its entities would expand to {total} characters, more than the limit of {MAX_ENTITY_CHARS}",
            fix="save the drawing as plain SVG, which writes entities out",
            code="entity-bomb",
        )
    return _PIECE.sub(lambda piece: _written(piece, entities), body)


def _reach(text: str, entities: dict[str, str], sizes: dict[str, int], path: tuple[str, ...] = ()) -> int:
    """Characters that the references in a text stand for."""
    return sum(_size(name, entities, sizes, path) for name in _REFERENCE.findall(text) if name in entities)


def _size(name: str, entities: dict[str, str], sizes: dict[str, int], path: tuple[str, ...]) -> int:
    """Characters of one entity written out; each entity is counted once and remembered."""
    if name in sizes:
        return sizes[name]
    if name in path or len(path) > MAX_ENTITY_DEPTH:
        raise ArtworkRefused(
            f"the entity '{name}' refers to itself or nests deeper than {MAX_ENTITY_DEPTH}",
            fix="save the drawing as plain SVG, which writes entities out",
            code="entity-loop",
        )
    size = len(entities[name]) + _reach(entities[name], entities, sizes, (*path, name))
    sizes[name] = size
    return size


def _written(piece: re.Match[str], entities: dict[str, str]) -> str:
    name, tag = piece.group("name"), piece.group("tag")
    if name is not None:
        return _value(name, entities)
    if tag is not None and "&" in tag:
        return _REFERENCE.sub(lambda match: _in_attribute(match.group(1), entities), tag)
    return piece.group()


def _value(name: str, entities: dict[str, str]) -> str:
    """An entity with those inside it written out; names of other kinds stay as they stand."""
    if name not in entities:
        return f"&{name};"
    return _REFERENCE.sub(lambda match: _value(match.group(1), entities), entities[name])


def _in_attribute(name: str, entities: dict[str, str]) -> str:
    text = _value(name, entities)
    return text.replace("<", "&lt;").replace('"', "&quot;").replace("'", "&apos;") if name in entities else text
