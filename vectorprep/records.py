"""Typed getters over TOML tables: every fault of a file is gathered, none is raised alone.

Comes in: TOML text and the name of its file, or a table of values already parsed.
Goes out: plain typed values; a RecordError with all faults, unknown keys first, each with file, line, dotted key and remedy.
Never done here: reading files, or knowing what a key means.
"""

from __future__ import annotations

import difflib
import math
import re
import tomllib
from collections.abc import Mapping, Sequence

from vectorprep.errors import Fault, RecordError
from vectorprep.units import mm_from_text

UNKNOWN, WRONG, MISSING = 0, 1, 2
"""Ranks in which the faults of one file are listed."""

_ABSENT = object()
_HEX = re.compile(r"#[0-9a-fA-F]{6}")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_KEY = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
_HEADER = re.compile(rf"\s*\[\[?\s*({_KEY}(?:\s*\.\s*{_KEY})*)\s*\]")
_ENTRY = re.compile(rf"\s*({_KEY}(?:\s*\.\s*{_KEY})*)\s*=")


class Faults:
    """A growing list of faults over one or many files."""

    def __init__(self) -> None:
        self._entries: list[tuple[str, int, Fault]] = []

    def __bool__(self) -> bool:
        """Whether anything is wrong."""
        return bool(self._entries)

    def add(self, file: str, fault: Fault, *, rank: int = WRONG) -> None:
        """Note a fault of a file; `rank` orders it among the others of that file."""
        self._entries.append((file, rank, fault))

    def listed(self) -> tuple[Fault, ...]:
        """All faults, file by file: unknown keys, then wrong values, then missing keys."""
        return tuple(fault for _file, _rank, fault in sorted(self._entries, key=lambda entry: entry[:2]))

    def raise_if_any(self) -> None:
        """End here when something is wrong.

        Raises:
            RecordError: with all faults.
        """
        if self._entries:
            raise RecordError(self.listed())


def dotted(path: Sequence[str]) -> str:
    """A path of keys as TOML writes it: `placement.datum`, `artworks."fox 2".width`."""
    return ".".join(key if _BARE_KEY.fullmatch(key) else f'"{_visible(key)}"' for key in path)


def line_numbers(text: str) -> dict[tuple[str, ...], int]:
    """Line (from 1) of each key and table header of TOML text, by a plain scan; keys inside inline tables are not found."""
    lines: dict[tuple[str, ...], int] = {}
    table: tuple[str, ...] = ()
    for number, line in enumerate(text.splitlines(), 1):
        header = _HEADER.match(line)
        if header:
            table = _split_key(header.group(1))
            lines.setdefault(table, number)
            continue
        entry = _ENTRY.match(line)
        if entry:
            lines.setdefault(table + _split_key(entry.group(1)), number)
    return lines


def _split_key(written: str) -> tuple[str, ...]:
    return tuple(part.strip("\"'") for part in re.findall(_KEY, written))


def parse_table(text: str, file: str, faults: Faults) -> Table | None:
    """The root table of TOML text, or None with a fault noted where the text is not TOML."""
    try:
        values = tomllib.loads(text.removeprefix("\ufeff"))
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        found = re.search(r"line (\d+)", str(error))
        where = f"{file}:{found.group(1)}" if found else file
        message = f"not TOML: {error}" if isinstance(error, tomllib.TOMLDecodeError) else "not TOML: nested too deeply"
        faults.add(file, Fault(where=where, message=message, fix="mend that line; strings need quotes, lists need brackets"))
        return None
    return Table(values, file=file, faults=faults, lines=line_numbers(text))


class Table:
    """Reads one TOML table key by key.

    A getter without a default asks for the key: a missing one is a fault. After a fault a getter returns a harmless value, so that
    reading goes on to the next fault; nothing read may be used before `Faults.raise_if_any`.
    """

    def __init__(
        self,
        values: Mapping[str, object],
        *,
        file: str,
        faults: Faults,
        lines: Mapping[tuple[str, ...], int] | None = None,
        path: tuple[str, ...] = (),
    ) -> None:
        self._values = values
        self._known: dict[str, None] = {}
        self._children: dict[str, Table] = {}
        self._bad: set[str] = set()
        self._lines = lines or {}
        self._path = path
        self.file = file
        self.faults = faults

    def __contains__(self, key: str) -> bool:
        """Whether the table states this key."""
        return key in self._values

    def keys(self) -> tuple[str, ...]:
        """All keys stated, in order."""
        return tuple(self._values)

    @property
    def values(self) -> Mapping[str, object]:
        """The table as parsed."""
        return self._values

    def over(self, base: Mapping[str, object]) -> Table:
        """This table laid over another: its keys win, tables are merged key by key, places still name this file."""
        return self.replaced(_merged(base, self._values))

    def replaced(self, values: Mapping[str, object]) -> Table:
        """Other values in the place of this table's; places still name this file."""
        return Table(values, file=self.file, faults=self.faults, lines=self._lines, path=self._path)

    def raw(self, key: str) -> object:
        """The value as parsed, or None; the key counts as known, so that a mistyped one finds it."""
        self._known[key] = None
        return self._values.get(key)

    def where(self, key: str = "") -> str:
        """`file` or `file:line` of a key of this table."""
        path = (*self._path, key) if key else self._path
        while path and path not in self._lines:
            path = path[:-1]
        return f"{self.file}:{self._lines[path]}" if path in self._lines else self.file

    def name(self, key: str) -> str:
        """The dotted path of a key."""
        return dotted((*self._path, key))

    def sound(self, *keys: str) -> bool:
        """Whether no fault was noted of any of these keys of this table."""
        return self._bad.isdisjoint(keys)

    def fault(self, key: str, message: str, fix: str = "", *, rank: int = WRONG) -> None:
        """Note a fault of a key; the message begins with its dotted path."""
        self._bad.add(key)
        fault = Fault(where=self.where(key), message=f"{self.name(key)} {message}", fix=fix)
        self.faults.add(self.file, fault, rank=rank)

    def _take(self, key: str, *, required: bool) -> object:
        self._known[key] = None
        value = self._values.get(key, _ABSENT)
        if value is _ABSENT and required:
            self.fault(key, "is missing", f"add a line: {key} = ...", rank=MISSING)
        return value

    def _wrong_type(self, key: str, value: object, wanted: str, example: str) -> None:
        self.fault(key, f"is {_shown(value)}, not {wanted}", f"write {key} = {example}")

    def text(self, key: str, default: str | None = None, *, choices: Sequence[str] = (), empty: bool = True) -> str:
        """A string; where `choices` are given, one of them."""
        value = self._take(key, required=default is None)
        if value is _ABSENT:
            return default or ""
        if not isinstance(value, str):
            self._wrong_type(key, value, "a text", f'"{choices[0] if choices else "..."}"')
            return default or ""
        if not empty and not value.strip():
            self.fault(key, "is an empty text", "write what it should say")
        if choices and value not in choices:
            self.fault(key, f'is "{_visible(value)}", not one of {", ".join(choices)}', nearest(value, choices))
        return value

    def texts(self, key: str, default: Sequence[str] | None = None, *, choices: Sequence[str] = ()) -> tuple[str, ...]:
        """A list of strings, each one of `choices` where given, none twice."""
        value = self._take(key, required=default is None)
        if value is _ABSENT:
            return tuple(default or ())
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            self._wrong_type(key, value, "a list of texts", '["...", "..."]')
            return tuple(default or ())
        for item in value:
            if choices and item not in choices:
                self.fault(key, f'holds "{_visible(item)}", not one of {_few(choices)}', nearest(item, choices))
        if len(set(value)) < len(value):
            self.fault(key, "names something twice", "name each once")
        return tuple(value)

    def flag(self, key: str, default: bool | None = None) -> bool:
        """True or false."""
        value = self._take(key, required=default is None)
        if isinstance(value, bool):
            return value
        if value is not _ABSENT:
            self._wrong_type(key, value, "true or false", "true")
        return bool(default)

    def number(self, key: str, default: float | None = None, *, low: float, high: float) -> float:
        """A number within low..high."""
        value = self._take(key, required=default is None)
        fallback = low if default is None else default
        if value is _ABSENT:
            return fallback
        return self._in_range(key, value, low=low, high=high, fallback=fallback)

    def maybe_number(self, key: str, *, low: float, high: float) -> float | None:
        """A number within low..high, or None where the key is absent."""
        return self.number(key, low=low, high=high) if self._states(key) else None

    def _states(self, key: str) -> bool:
        self._known[key] = None
        return key in self._values

    def integer(self, key: str, default: int | None = None, *, low: int, high: int) -> int:
        """A whole number within low..high."""
        value = self._take(key, required=default is None)
        fallback = low if default is None else default
        if value is _ABSENT:
            return fallback
        if isinstance(value, bool) or not isinstance(value, int):
            self._wrong_type(key, value, "a whole number", str(fallback))
            return fallback
        return int(self._in_range(key, value, low=low, high=high, fallback=fallback))

    def maybe_integer(self, key: str, *, low: int, high: int) -> int | None:
        """A whole number within low..high, or None where the key is absent."""
        return self.integer(key, low=low, high=high) if self._states(key) else None

    def _in_range(self, key: str, value: object, *, low: float, high: float, fallback: float) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not _is_finite(value):
            self._wrong_type(key, value, "a number", _figure(fallback))
            return fallback
        if not low <= value <= high:
            self.fault(
                key,
                f"is {_figure(value)}, outside {_figure(low)}..{_figure(high)}",
                f"write a number from {_figure(low)} to {_figure(high)}",
            )
            return fallback
        return float(value)

    def numbers(
        self, key: str, default: Sequence[float] | None = None, *, count: int | None = None, low: float, high: float
    ) -> tuple[float, ...]:
        """A list of numbers within low..high; exactly `count` of them where given."""
        value = self._take(key, required=default is None)
        fallback = tuple(default) if default is not None else (low,) * (count or 0)
        if value is _ABSENT:
            return fallback
        if not isinstance(value, list) or (count is not None and len(value) != count):
            self._wrong_type(
                key,
                value,
                f"a list of {count} numbers" if count else "a list of numbers",
                "[" + ", ".join(["..."] * (count or 2)) + "]",
            )
            return fallback
        return tuple(self._in_range(key, item, low=low, high=high, fallback=low) for item in value)

    def pair(self, key: str, *, low: float, high: float) -> tuple[float, float]:
        """Two numbers within low..high."""
        first, second = self.numbers(key, count=2, low=low, high=high)
        return first, second

    def maybe_pair(self, key: str, *, low: float, high: float, rising: bool = False) -> tuple[float, float] | None:
        """Two numbers within low..high, or None where the key is absent; `rising` asks for the smaller one first."""
        if not self._states(key):
            return None
        first, second = self.pair(key, low=low, high=high)
        if rising and first > second:
            self.fault(key, f"is [{_figure(first)}, {_figure(second)}], the larger figure first", "write the smaller figure first")
        return first, second

    def colour(self, key: str, default: str | None = None) -> str:
        """A colour as `#rrggbb`, in lower case."""
        value = self.text(key, default)
        if value == (default or "") or _HEX.fullmatch(value):
            return value.lower()
        self.fault(key, f'is "{_visible(value)}", not a colour', 'write six hexadecimal digits such as "#1b2340"')
        return default or ""

    def length_mm(self, key: str, default: float | None = None, *, low: float, high: float) -> float:
        """Millimetres of a length such as "12in" or "30mm", within low..high mm."""
        value = self._take(key, required=default is None)
        fallback = low if default is None else default
        return fallback if value is _ABSENT else self._length(key, value, low=low, high=high, fallback=fallback)

    def lengths_mm(self, key: str, default: Sequence[float], *, low: float, high: float) -> tuple[float, ...]:
        """Millimetres of as many lengths as the default holds."""
        value = self._take(key, required=False)
        if value is _ABSENT:
            return tuple(default)
        if not isinstance(value, list) or len(value) != len(default):
            self._wrong_type(key, value, f"a list of {len(default)} lengths", "[" + ", ".join(['"5mm"'] * len(default)) + "]")
            return tuple(default)
        return tuple(self._length(key, item, low=low, high=high, fallback=0.0) for item in value)

    def _length(self, key: str, value: object, *, low: float, high: float, fallback: float) -> float:
        try:
            length = mm_from_text(value) if isinstance(value, str) else None
        except (ValueError, OverflowError):
            length = None
        if length is None or not math.isfinite(length):
            self._wrong_type(key, value, "a length", '"12in" or "300mm"')
            return fallback
        if not low <= length <= high:
            self.fault(
                key,
                f"is {_shown(value)} = {_figure(length)} mm, outside {_figure(low)}..{_figure(high)} mm",
                "write a length inside these limits",
            )
            return fallback
        return length

    def table(self, key: str, *, required: bool = False) -> Table | None:
        """The table under a key, or None where it is absent; its unknown keys are found by `finish` of this one."""
        value = self._take(key, required=required)
        if value is _ABSENT:
            return None
        if not isinstance(value, dict):
            self._wrong_type(key, value, "a table", "{ ... }")
            return None
        child = Table(value, file=self.file, faults=self.faults, lines=self._lines, path=(*self._path, key))
        self._children[key] = child
        return child

    def know_all(self) -> None:
        """Count every stated key as known; for a table whose keys another reader has checked."""
        self._known.update(dict.fromkeys(self._values))

    def finish(self) -> None:
        """Note every key that no getter asked for, in this table and those below it."""
        for key in self._values:
            if key not in self._known:
                fault = Fault(where=self.where(key), message=f"unknown key {self.name(key)}", fix=nearest(key, tuple(self._known)))
                self.faults.add(self.file, fault, rank=UNKNOWN)
        for child in self._children.values():
            child.finish()


def _merged(base: Mapping[str, object], top: Mapping[str, object]) -> dict[str, object]:
    merged = dict(base)
    for key, value in top.items():
        below = merged.get(key)
        merged[key] = _merged(below, value) if isinstance(below, dict) and isinstance(value, dict) else value
    return merged


def nearest(word: str, known: Sequence[str]) -> str:
    """The remedy for a word nobody knows: the nearest known one, else the list of them."""
    close = difflib.get_close_matches(word.lower(), [item.lower() for item in known], n=1, cutoff=0.6)
    if close:
        return f"did you mean {next(item for item in known if item.lower() == close[0])}?"
    return f"use one of {', '.join(known)}" if 0 < len(known) <= 12 else "remove it"


def _is_finite(value: int | float) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:  # a whole number beyond the range of floats
        return False


def _figure(value: float) -> str:
    return f"{value:.10g}"


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    shown = f'"{_visible(value)}"' if isinstance(value, str) else str(value)
    return shown if len(shown) <= 60 else shown[:57] + "..."


def _visible(text: str) -> str:
    """Control characters as escapes, so that a file cannot steer the terminal that shows its faults."""
    return "".join(char if char.isprintable() else char.encode("unicode_escape").decode("ascii") for char in text)


def _few(choices: Sequence[str]) -> str:
    return ", ".join(choices) if len(choices) <= 20 else f"the {len(choices)} known ones"
