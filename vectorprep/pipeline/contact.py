"""The contact sheet of a finished run.

Comes in: the run's report, its out folder, the path of the picture. Goes out: one PNG file.
Never done here: making previews; they are read from the out folder.
"""

from __future__ import annotations

import os

from vectorprep.errors import UsageError
from vectorprep.fonts import load_index
from vectorprep.pipeline.catalogue import blank_of, open_catalogue
from vectorprep.pipeline.options import RunReport
from vectorprep.report.contact import contact_sheet, rows_of
from vectorprep.store import FolderReader, write_file

WORDS_FAMILY = "Caladea"
WIDE_PX = 1500
TILE_PX = (110, 240)


def write_contact_sheet(report: RunReport, out: str | os.PathLike[str], path: str, *, has_words: bool = True) -> None:
    """A sheet of the first product of the run: a row for each artwork, a column for each blank.

    Raises:
        UsageError: the run made no preview.
        FolderError: a preview is gone, or the picture cannot be written.
    """
    record = report.record
    if not record["pairs"]:
        raise UsageError(
            "there is nothing to show on a contact sheet", fix="run convert over drawings that can be made", code="no-previews"
        )
    product = record["pairs"][0]["product"]
    keys = dict.fromkeys(pair["blank"] for pair in record["pairs"] if pair["product"] == product)
    known = open_catalogue().blanks
    blanks = {key: blank_of(known, key) for key in keys}
    reader = FolderReader(out)
    previews = {
        (output["artwork"], blank): reader.read(output["path"])
        for output in record["outputs"]
        if output["kind"] == "preview-png" and output["product"] == product
        for blank in output["blanks"]
    }
    rows = rows_of(record, product, {key: blank.colour for key, blank in blanks.items()}, previews, report.titles)
    face = load_index(system=False).face(WORDS_FAMILY)
    assert face is not None, "the bundled faces are part of the package"
    tile = min(max(WIDE_PX // len(blanks), TILE_PX[0]), TILE_PX[1])
    names = [blank.name for blank in blanks.values()]
    data = contact_sheet(rows, names, font=face.read(), tile_px=tile, has_words=has_words)
    write_file(path, data)
