"""Gang sheets in words.

Comes in: records of sheets, findings. Goes out: text. Never done here: printing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from vectorprep.model import Finding
from vectorprep.report.text import clean
from vectorprep.units import length_words, size_words


def gang_text(folder: str, sheets: Sequence[dict[str, Any]], findings: Sequence[Finding]) -> str:
    """Each sheet with its length and fill, then what could not be laid."""
    lines = [
        f"{print_['copies']} x {print_['artwork']}, {size_words(*print_['ink_mm'])}, {print_['product']}"
        + ("" if print_["treatment"] == "as-drawn" else f" ({print_['treatment']})")
        for sheet in sheets
        for print_ in sheet.get("prints", ())
    ]
    drawn = [sheet for sheet in sheets if sheet["kind"] == "gang-sheet-png"]
    for sheet in drawn:
        length, share = length_words(sheet["used_length_mm"]), round(100 * sheet["fill_share"])
        what = f"{sheet['pictures']} pictures on {length} of film, {share} % of it filled" + ", mirrored" * sheet["mirrored"]
        lines.append(f"{folder.rstrip('/')}/{sheet['path']}: {what}")
    lines += [f"{folder.rstrip('/')}/{sheet['path']}" for sheet in sheets if sheet not in drawn]
    used = sum(sheet["used_length_mm"] for sheet in drawn)
    lines.append(f"{length_words(used)} in all; laid in plain rows it would be {length_words(drawn[0]['rows_length_mm'])}")
    if any(sheet.get("state") == "planned" for sheet in sheets):
        lines.append("nothing was written")
    for finding in findings:
        lines += [f"not laid: {finding.artwork} on {finding.product}: {finding.message}", f"  fix: {finding.fix}"]
    return clean("\n".join(lines)) + "\n"
