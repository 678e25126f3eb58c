"""The manifest and the table of an out folder, derived from the ledger; and what a folder without ledger still proves.

Comes in: a run's tally, the folder, the ledger. Goes out: `manifest.json`, `outputs.csv`.
Never done here: writing other than through `store`.
"""

from __future__ import annotations

import json
from typing import Any

from vectorprep.errors import FolderError
from vectorprep.pipeline.batch import Tally
from vectorprep.pipeline.gather import gathered, titles_of, without_state
from vectorprep.pipeline.memory import remembered
from vectorprep.pipeline.setup import Setup
from vectorprep.report.tables import COLUMNS, outputs_csv
from vectorprep.run.ledger import Job, Ledger, Made
from vectorprep.store import OutFolder

MANIFEST = "manifest.json"
TABLE = "outputs.csv"


def write_manifest(setup: Setup, tally: Tally, engine: str, folder: OutFolder, ledger: Ledger) -> None:
    """Everything the folder holds: this run's artworks, and those of earlier runs that were left alone.

    Raises:
        FolderError: files of others lie at these names, or the disk refuses a step.
    """
    results, outputs = dict(tally.results), dict(tally.outputs)
    for job in ledger.jobs():
        known = remembered(job)
        if job.key not in results and known is not None:
            results[job.key], outputs[job.key] = known.result, known.outputs
    paths = {name: result["artwork"]["path"] for name, result in results.items()}
    names = sorted(results, key=lambda name: (paths[name], name))
    record = without_state(gathered(setup.verb, names, results, outputs, engine=engine))
    text = json.dumps(record, ensure_ascii=False, indent=1) + "\n"
    table = outputs_csv(record, titles_of(results.items()))
    for name, data in ((MANIFEST, text.encode("utf-8", "surrogateescape")), (TABLE, table.encode("utf-8", "surrogateescape"))):
        own = ledger.owns(name) or _is_ours(name, folder)
        folder.write(name, data, own=own)
        sha256, size = folder.hash(name) or ("", 0)
        ledger.record(
            Job(key=f"/{name}", artwork="", state="derived", record="{}", outputs=(Made(path=name, sha256=sha256, bytes=size),))
        )


def adopt(folder: OutFolder, ledger: Ledger) -> list[str]:
    """What an earlier manifest proves to be ours although the ledger has lost it; notes for the seller.

    A file counts as ours where the manifest names it with the digest that it really has.
    """
    listed = _listed(folder)
    lost = {path: sha256 for path, sha256 in listed.items() if not ledger.owns(path)}
    proven = [path for path, sha256 in lost.items() if (folder.hash(path) or ("", 0))[0] == sha256]
    ledger.intend(proven)
    if ledger.was_damaged:
        return [f"the ledger of the out folder was damaged and is begun anew; {len(proven)} files are ours by the manifest"]
    return []


def _listed(folder: OutFolder) -> dict[str, str]:
    record = _read(folder, MANIFEST)
    lists = [record.get(key, []) for key in ("outputs", "thumbnails")] if isinstance(record, dict) else []
    return {
        output["path"]: output["sha256"]
        for outputs in lists
        for output in outputs
        if isinstance(output, dict) and isinstance(output.get("path"), str) and isinstance(output.get("sha256"), str)
    }


def _read(folder: OutFolder, name: str) -> Any:
    try:
        return json.loads(folder.read(name))
    except (FolderError, ValueError):
        return None


def _is_ours(name: str, folder: OutFolder) -> bool:
    """Whether a file that the ledger does not know was surely written by this tool, or is not there."""
    if not folder.exists(name):
        return True
    if name == MANIFEST:
        record = _read(folder, name)
        return isinstance(record, dict) and {"schema", "verb", "version", "engine", "artworks", "outputs"} <= set(record)
    try:
        return folder.read(name).startswith(",".join(COLUMNS).encode())
    except FolderError:
        return False
