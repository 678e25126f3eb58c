"""Lengths that are sums or shares, written as plain ones.

Comes in: values with `calc()` and its kin, or with percentages where renderers go wrong.
Goes out: plain numbers of user units.
Never done here: properties whose percentages renderers resolve rightly by themselves.

Source: CSS Values and Units 4, 'mathematical expressions'; SVG 2, 'units' (percentages of a viewport's diagonal).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import tinycss2

from vectorprep.read.numbers import length_px, written

MATHS = ("calc(", "min(", "max(", "clamp(")
_WIDTHS = frozenset(("x", "width", "cx", "rx", "x1", "x2", "dx", "refX"))
_HEIGHTS = frozenset(("y", "height", "cy", "ry", "y1", "y2", "dy", "refY"))
_MAX_NESTING = 32  # brackets in brackets, house value


def has_maths(value: str) -> bool:
    """Whether a value is written as a sum, a smallest or a largest."""
    lowered = value.lower()
    return any(word in lowered for word in MATHS)


def diagonal_of(viewport: tuple[float, float]) -> float:
    """What a percentage of neither axis is taken of: the diagonal over the root of two (SVG 2)."""
    return math.hypot(*viewport) / math.sqrt(2)


def plain_maths(prop: str, value: str, viewport: tuple[float, float]) -> str | None:
    """The value with its sums worked out, in user units; None where that cannot be done."""
    whole = viewport[0] if prop in _WIDTHS else viewport[1] if prop in _HEIGHTS else diagonal_of(viewport)
    parts: list[str] = []
    for token in tinycss2.parse_component_value_list(value, skip_comments=True):
        if token.type in {"whitespace", "literal"}:
            continue
        found = _Maths(whole).value(token)
        if found is None or not math.isfinite(found.number):
            return None
        parts.append(written(found.number))
    return " ".join(parts) or None


def plain_dashes(value: str, viewport: tuple[float, float]) -> str:
    """A dash pattern, or an offset, without percentages."""
    lengths = [length_px(part, percent_of=diagonal_of(viewport)) for part in value.replace(",", " ").split()]
    return value if None in lengths else " ".join(written(length) for length in lengths if length is not None)


@dataclass(frozen=True, slots=True)
class _Value:
    number: float
    is_length: bool


class _Maths:
    """One expression worked out; percentages are of `whole`."""

    def __init__(self, whole: float) -> None:
        self._whole = whole
        self._nesting = 0

    def value(self, token: tinycss2.ast.Node) -> _Value | None:
        """A number or a length out of one token, a bracket or a function."""
        if token.type == "number":
            return _Value(token.value, is_length=False)
        if token.type == "percentage":
            return _Value(token.value / 100 * self._whole, is_length=True)
        if token.type == "dimension":
            length = length_px(f"{token.representation}{token.unit}", percent_of=self._whole)
            return None if length is None else _Value(length, is_length=True)
        if token.type == "() block":
            return self._nested(token.content)
        return self._function(token.lower_name, token.arguments) if token.type == "function" else None

    def _nested(self, tokens: list[tinycss2.ast.Node]) -> _Value | None:
        self._nesting += 1
        if self._nesting > _MAX_NESTING:
            return None
        made = self._sum([token for token in tokens if token.type != "whitespace"])
        self._nesting -= 1
        return made

    def _function(self, name: str, tokens: list[tinycss2.ast.Node]) -> _Value | None:
        pick = _PICKS.get(name)
        parts = [self._nested(part) for part in _split(tokens)]
        values = [part for part in parts if part is not None]
        if pick is None or len(values) != len(parts) or len(parts) != _COUNTS.get(name, len(parts)):
            return None
        return _Value(pick([one.number for one in values]), is_length=any(one.is_length for one in values))

    def _sum(self, tokens: list[tinycss2.ast.Node]) -> _Value | None:
        terms = list(_terms(tokens, "+-"))
        total: _Value | None = None
        for sign, part in terms:
            term = self._product(part)
            if term is None:
                return None
            number = -term.number if sign == "-" else term.number
            total = _Value(number + (total.number if total else 0.0), is_length=term.is_length or bool(total and total.is_length))
        return total

    def _product(self, tokens: list[tinycss2.ast.Node]) -> _Value | None:
        total: _Value | None = None
        for sign, part in _terms(tokens, "*/"):
            factor = self.value(part[0]) if len(part) == 1 else None
            if factor is None or (sign == "/" and factor.number == 0):
                return None
            if total is None:
                total = factor
            else:
                number = total.number / factor.number if sign == "/" else total.number * factor.number
                total = _Value(number, is_length=total.is_length or factor.is_length)
        return total


_PICKS: dict[str, Callable[[list[float]], float]] = {
    "calc": lambda values: values[0],
    "min": min,
    "max": max,
    "clamp": lambda values: max(values[0], min(values[1], values[2])),
}

_COUNTS = {"calc": 1, "clamp": 3}


def _terms(tokens: list[tinycss2.ast.Node], signs: str) -> Iterator[tuple[str, list[tinycss2.ast.Node]]]:
    """Parts between signs, each with the sign before it."""
    sign, part = "", list[tinycss2.ast.Node]()
    for token in tokens:
        if token.type == "literal" and token.value in signs and part:
            yield sign, part
            sign, part = token.value, []
        else:
            part.append(token)
    yield sign, part


def _split(tokens: list[tinycss2.ast.Node]) -> list[list[tinycss2.ast.Node]]:
    parts: list[list[tinycss2.ast.Node]] = [[]]
    for token in tokens:
        if token.type == "literal" and token.value == ",":
            parts.append([])
        else:
            parts[-1].append(token)
    return parts
