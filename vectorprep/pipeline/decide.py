"""Decisions of the review sheet laid into the settings file.

Comes in: the snippet's path, the drawings or the settings file they are for. Goes out: the merged text, or the file written.
Never done here: the merging itself (`settings`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from vectorprep.pipeline.catalogue import open_catalogue
from vectorprep.settings import Known, load_settings
from vectorprep.settings.merge import merged
from vectorprep.store import SETTINGS_NAME, find_settings, read_text, write_file


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """Where the decisions went, the whole text there, and what they changed."""

    file: str
    text: str
    changes: tuple[str, ...]


def decide(snippet: str, arts: Sequence[str] = (), *, settings: str | None = None, is_dry: bool = False) -> Decided:
    """Lays a snippet into the settings file that a run over the drawings would read; comments there are kept.

    Args:
        snippet: path of the decisions saved from the sheet.
        arts: files and folders of drawings; none = the working folder.
        settings: path of the settings file; None = the nearest `vectorprep.toml`, else a new one beside the drawings.
        is_dry: nothing is written.

    Raises:
        UsageError: a file cannot be read.
        RecordError: the merged settings would have faults; nothing is written then.
        FolderError: the file cannot be written.
    """
    target = Path(settings) if settings is not None else _target(arts)
    before = read_text(target) if target.exists() else ""
    text, changes = merged(before, read_text(snippet), where=str(target), snippet=snippet)
    first = load_settings(text, str(target))
    catalogue = open_catalogue([target.parent / own for own in first.profiles])
    load_settings(text, str(target), known=Known(products=(), blanks=tuple(catalogue.blanks)))
    if changes and not is_dry:
        write_file(target, text.encode())
    return Decided(file=str(target), text=text, changes=tuple(changes))


def _target(arts: Sequence[str]) -> Path:
    starts = [Path(art) if Path(art).is_dir() else Path(art).parent for art in arts] or [Path()]
    return find_settings(*starts) or starts[0] / SETTINGS_NAME
