"""The report of an audit as files: a page with its pictures beside it, JSON, a table or text; pictures of the places.

Comes in: the path, a run's setup, tally and record. Goes out: files. Never done here: the words and looks of them (`report`).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from vectorprep.errors import UsageError
from vectorprep.pipeline.batch import Tally
from vectorprep.pipeline.gather import titles_of
from vectorprep.pipeline.papers import sheet_page
from vectorprep.pipeline.setup import Setup
from vectorprep.report.records import output_record
from vectorprep.report.tables import outputs_csv as pairs_table
from vectorprep.report.text import audit_text
from vectorprep.store import write_beside, write_file

PAGES = (".html", ".htm")
KINDS = (*PAGES, ".json", ".csv", ".txt", ".md", "")


def is_page(path: str) -> bool:
    """Whether a report of that name is a page."""
    return Path(path).suffix.lower() in PAGES


def require_kind(path: str) -> None:
    """Refuses an ending that is none of a report, before the work.

    Raises:
        UsageError: which endings there are.
    """
    if Path(path).suffix.lower() not in KINDS:
        raise UsageError(f"{path}: a report is .html, .json, .csv or .txt", fix="choose one of these endings", code="report-kind")


def write_report(path: str, setup: Setup, tally: Tally, record: dict[str, Any]) -> None:
    """Writes the report in the form that its ending asks for.

    Raises:
        FolderError: no such folder, or a step on the disk fails.
    """
    ending = Path(path).suffix.lower()
    if ending in PAGES:
        _write_page(path, setup, tally, record)
        return
    if ending == ".json":
        text = json.dumps(record, ensure_ascii=False, indent=1) + "\n"
    else:
        text = pairs_table(record, {}) if ending == ".csv" else audit_text(record, verbose=1)
    write_file(path, text.encode("utf-8", "replace"))


def write_places(folder: str, setup: Setup, tally: Tally, record: dict[str, Any]) -> None:
    """Writes the pictures on which findings are ringed.

    Raises:
        FolderError: no such place, or a step on the disk fails.
    """
    from vectorprep.pipeline.places import place_pictures  # loads what draws

    write_beside(folder, Path(folder).name, place_pictures(record, tally.thumbnails, setup.catalogue.blanks))


def _write_page(path: str, setup: Setup, tally: Tally, record: dict[str, Any]) -> None:
    folder = f"{Path(path).stem}-pictures"
    pictures = {item.output.path.rpartition("/")[2]: item.data for item in tally.thumbnails}
    shown = [{**output_record(item.output), "path": item.output.path.rpartition("/")[2]} for item in tally.thumbnails]
    page = sheet_page(setup, {**record, "thumbnails": shown}, titles_of(tally.results.items()), pictures=f"{folder}/")
    write_beside(path, folder, pictures)
    write_file(path, page)
