"""Decisions laid into a settings file: TOML text and TOML text in, TOML text out, comments and order kept.

Comes in: the text of `vectorprep.toml` (empty where there is none) and of the decisions.
Goes out: the merged text and what was changed, in words.
Never done here: files, judging whether a value makes sense (`load_settings` does).
"""

from __future__ import annotations

from collections.abc import MutableMapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from vectorprep.errors import Fault, RecordError

RIVALS = {"width": "scale", "scale": "width"}
"""Keys of which one table holds one only."""
HEAD = "# What is to be made of the drawings beside this file; begun with decisions from the review sheet.\n"


def merged(settings: str, decisions: str, *, where: str, snippet: str) -> tuple[str, list[str]]:
    """The settings with every value of the decisions, and a line for each that is new or different.

    Args:
        settings: text of the file.
        decisions: text of the snippet; its values win.
        where: name of the file, for errors.
        snippet: name of the snippet, for errors.

    Raises:
        RecordError: one of the two is no TOML, or holds a value where the other has a table.
    """
    target, source = _parsed(settings or HEAD, where), _parsed(decisions, snippet)
    changes: list[str] = []
    _lay(target, source, "", changes, snippet)
    return tomlkit.dumps(target), changes


def _parsed(text: str, where: str) -> tomlkit.TOMLDocument:
    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:
        raise RecordError(
            (Fault(where=where, message=f"is no TOML: {error}", fix="save it from the review sheet again"),)
        ) from error


def _lay(target: MutableMapping[str, Any], source: MutableMapping[str, Any], path: str, changes: list[str], snippet: str) -> None:
    for key, value in source.items():
        place = f"{path}.{key}" if path else key
        if isinstance(value, MutableMapping):
            below = target.get(key)
            if below is None:
                target[key] = value
                _count(value, place, changes)
                continue
            if not isinstance(below, MutableMapping):
                raise RecordError((Fault(where=snippet, message=f"{place} is a table here and a value in the settings"),))
            _lay(below, value, place, changes, snippet)
            continue
        _put(target, key, value, place, changes)


def _put(target: MutableMapping[str, Any], key: str, value: Any, place: str, changes: list[str]) -> None:
    rival = RIVALS.get(key)
    if rival is not None and rival in target:
        del target[rival]
        changes.append(f"{place.rpartition('.')[0]}.{rival} is gone")
    before = target.get(key)
    if before is None or _plain(before) != _plain(value):
        target[key] = value
        changes.append(f"{place} = {_plain(value)}" + ("" if before is None else f" (was {_plain(before)})"))


def _count(table: MutableMapping[str, Any], path: str, changes: list[str]) -> None:
    for key, value in table.items():
        if isinstance(value, MutableMapping):
            _count(value, f"{path}.{key}", changes)
        else:
            changes.append(f"{path}.{key} = {_plain(value)}")


def _plain(value: Any) -> Any:
    return value.unwrap() if hasattr(value, "unwrap") else value
