"""outputs.csv: one row per artwork x product x blank.

Comes in: records of a run. Goes out: CSV text. Never done here: files.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

COLUMNS = (
    "artwork",
    "title",
    "product",
    "blank",
    "verdict",
    "verdict_after",
    "treatment",
    "print_file",
    "preview_file",
    "other_files",
    "width_px",
    "height_px",
    "ppi",
    "printed_width_mm",
    "printed_height_mm",
    "printed_width_in",
    "printed_height_in",
    "source_sha256",
)


def safe_cell(text: str) -> str:
    """Text that no spreadsheet takes for a formula (OWASP, CSV injection, from memory)."""
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text


def outputs_csv(run: Mapping[str, Any], titles: Mapping[str, str]) -> str:
    """Rows in the order of the run's pairs; a pair without files has empty file columns.

    Args:
        run: a run's record with artworks, pairs and outputs.
        titles: title of each artwork by name.
    """
    files: dict[tuple[str, str, str], list[Mapping[str, Any]]] = {}
    for output in run["outputs"]:
        for blank in output["blanks"]:
            files.setdefault((output["artwork"], output["product"], blank), []).append(output)
    sources = {artwork["name"]: artwork["sha256"] for artwork in run["artworks"]}
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for pair in run["pairs"]:
        made = files.get((pair["artwork"], pair["product"], pair["blank"]), [])
        writer.writerow([safe_cell(str(cell)) for cell in _row(pair, made, titles, sources)])
    return text.getvalue()


def _row(
    pair: Mapping[str, Any], made: list[Mapping[str, Any]], titles: Mapping[str, str], sources: Mapping[str, str]
) -> list[object]:
    prints = [output for output in made if output["kind"] == "print-png"]
    previews = [output for output in made if output["kind"] == "preview-png"]
    others = [output["path"] for output in made if output not in prints[:1] and output not in previews[:1]]
    main = next(iter(prints or previews), None)
    size: list[object] = [""] * 7
    if main is not None:
        width, height = main["printed_mm"]
        inches = (round(width / 25.4, 2), round(height / 25.4, 2))
        size = [main["width_px"], main["height_px"], main["ppi"], width, height, *inches]
    return [
        pair["artwork"],
        titles.get(pair["artwork"], ""),
        pair["product"],
        pair["blank"],
        pair["verdict"],
        pair["verdict_after"],
        pair["treatment"],
        prints[0]["path"] if prints else "",
        previews[0]["path"] if previews else "",
        " ".join(others),
        *size,
        sources.get(pair["artwork"], ""),
    ]
