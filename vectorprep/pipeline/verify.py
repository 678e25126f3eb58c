"""`verify`: the files of an out folder against its manifest, and the manifest against itself.

Comes in: an out folder. Goes out: a `RunReport` whose findings are the mismatches. Never done here: mending; `convert` does that.
"""

from __future__ import annotations

import hashlib
import json
import operator
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from vectorprep import __version__, png
from vectorprep.engine.coverage import alpha_of, box_of
from vectorprep.errors import FolderError, UsageError, VectorprepError
from vectorprep.model import Finding
from vectorprep.pipeline.added import LISTS, outdated
from vectorprep.pipeline.gather import summary_of
from vectorprep.pipeline.manifest import MANIFEST, MEND, seal_of
from vectorprep.pipeline.options import RunReport, exit_code_of
from vectorprep.report.records import finding_record, run_record
from vectorprep.store import FolderReader
from vectorprep.units import px_per_metre

OPAQUE = 255
ADD_AGAIN = "run the command that made it again: vectorprep gang, or vectorprep proof"
NEEDED = {"schema", "verb", "version", "engine", "artworks", "pairs", "outputs", "findings", "summary"}


def verified(folder: Path) -> RunReport:
    """Compares every file with what the manifest says of it.

    Raises:
        UsageError: no folder, or no manifest in it.
    """
    reader = FolderReader(folder)
    if not reader.exists(MANIFEST):
        raise UsageError(
            f"{folder}: there is no {MANIFEST}",
            fix="name the folder that convert wrote to, or run convert again",
            code="no-manifest",
        )
    outputs: list[dict[str, Any]] = []
    findings = list(_findings(reader, outputs))
    record = run_record(
        "verify", version=__version__, engine="", outputs=outputs, findings=[finding_record(finding) for finding in findings]
    )
    record["summary"] = summary_of({**record, "outputs": [{**output, "state": "kept"} for output in outputs]})
    return RunReport(record=record, exit_code=exit_code_of(record, fail_on="error", mismatch=bool(findings)))


def _findings(reader: FolderReader, outputs: list[dict[str, Any]]) -> Iterator[Finding]:
    """What differs; the outputs that could be looked at are added to the list."""
    try:
        manifest = _manifest(reader)
    except (ValueError, RecursionError, FolderError) as error:
        yield _finding("manifest-damaged", MANIFEST, f"{MANIFEST} cannot be read as a manifest: {error}")
        return
    if manifest.get("seal") != seal_of(manifest):
        yield _finding("manifest-inconsistent", MANIFEST, "its content and its seal differ: it was altered after it was written")
    try:
        yield from _against_itself(manifest)
        for output in (*manifest["outputs"], *manifest.get("thumbnails", ())):
            yield from _against_file(reader, output)
            operator.index(output["bytes"])  # what is no whole number is not as it was written
            outputs += [output] if output["kind"] != "thumbnail" else []
        for paper in manifest["papers"]:
            yield from _against_bytes(reader, paper)
        for entry in (entry for name in LISTS for entry in manifest.get(name, ())):
            yield from _against_bytes(reader, entry, fix=ADD_AGAIN)
        for path, source in outdated(manifest):
            yield _finding("made-from-earlier-file", path, f"{source} has changed since it was made", fix=ADD_AGAIN)
    except (AttributeError, IndexError, KeyError, TypeError, ValueError, ArithmeticError) as error:
        words = f"parts of it are not as they were written ({type(error).__name__}: {error})"
        yield _finding("manifest-damaged", MANIFEST, words)


def _manifest(reader: FolderReader) -> dict[str, Any]:
    manifest = json.loads(reader.read(MANIFEST))
    if not isinstance(manifest, dict) or not set(manifest) >= NEEDED:
        raise ValueError("parts of it are missing")
    return manifest


def _against_itself(manifest: dict[str, Any]) -> Iterator[Finding]:
    names = {artwork["name"] for artwork in manifest["artworks"]}
    pairs = {(pair["artwork"], pair["product"], pair["blank"]) for pair in manifest["pairs"]}
    for output in manifest["outputs"]:
        if output["artwork"] not in names:
            yield _finding(
                "manifest-inconsistent", output["path"], f"it belongs to '{output['artwork']}', which the manifest does not list"
            )
        for blank in output["blanks"]:
            if (output["artwork"], output["product"], blank) not in pairs:
                words = f"it serves {output['product']} on {blank}, a pairing that the manifest does not list"
                yield _finding("manifest-inconsistent", output["path"], words)


def _against_file(reader: FolderReader, output: dict[str, Any]) -> Iterator[Finding]:
    altered = list(_against_bytes(reader, output))
    yield from altered
    if not altered and output["path"].endswith(".png"):
        yield from _against_pixels(reader.read(output["path"]), output)


def _against_bytes(reader: FolderReader, output: dict[str, Any], *, fix: str = MEND) -> Iterator[Finding]:
    path = output["path"]
    try:
        data = reader.read(path)
    except (FolderError, ValueError):
        yield _finding("file-missing", path, "the file is not there", fix=fix)
        return
    if hashlib.sha256(data).hexdigest() != output["sha256"] or len(data) != output["bytes"]:
        words = f"its bytes are not those that were made ({len(data)} bytes, {output['bytes']} made)"
        yield _finding("file-altered", path, words, fix=fix)


def _against_pixels(data: bytes, output: dict[str, Any]) -> Iterator[Finding]:
    """Size, density and ink box of a file whose digest is right: a manifest altered by hand shows here."""
    path = output["path"]
    try:
        chunks = dict(png.read_chunks(data))
    except (ValueError, VectorprepError) as error:
        yield _finding("file-altered", path, f"it is no whole PNG: {error}")
        return
    size = struct.unpack(">II", chunks["IHDR"][:8])
    if size != (output["width_px"], output["height_px"]):
        yield _finding(
            "size-differs", path, f"{size[0]} x {size[1]} px, the manifest says {output['width_px']} x {output['height_px']}"
        )
    density = struct.unpack(">I", chunks["pHYs"][:4])[0]
    if density != px_per_metre(output["ppi"]):
        yield _finding("density-differs", path, f"{density} px per metre, {output['ppi']} ppi need {px_per_metre(output['ppi'])}")
    yield from _against_ink(data, output)


def _against_ink(data: bytes, output: dict[str, Any]) -> Iterator[Finding]:
    if output["ink_box_px"] is None:
        return
    raster = png.decode(data)
    if raster.pixels[0, 0, 3] == OPAQUE:  # on an opaque canvas the ink has no box of its own
        return
    box = box_of(alpha_of(raster))
    if box is None or list(box) != output["ink_box_px"]:
        yield _finding("ink-box-differs", output["path"], f"ink at {box}, the manifest says {output['ink_box_px']}")


def _finding(check: str, path: str, message: str, *, fix: str = MEND) -> Finding:
    return Finding(check=check, severity="error", message=f"{path}: {message}", fix=fix)
