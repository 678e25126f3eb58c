"""The manifest and the table of an out folder, derived from the ledger; and what a folder without ledger still proves.

Comes in: a run's tally, the folder, the ledger. Goes out: `manifest.json`, and the papers that people read.
Never done here: writing other than through `store`.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from typing import Any

from vectorprep.errors import FolderError, UsageError
from vectorprep.pipeline.added import LISTS, with_added
from vectorprep.pipeline.batch import Tally
from vectorprep.pipeline.gather import gathered, titles_of, without_state
from vectorprep.pipeline.memory import remembered
from vectorprep.pipeline.papers import BEFORE, PAPERS, REVIEW, REVIEW_BEGINS, changes_since, papers_of
from vectorprep.pipeline.setup import Setup
from vectorprep.report.records import finding_record
from vectorprep.report.tables import COLUMNS, outputs_csv
from vectorprep.run.ledger import Job, Ledger, Made
from vectorprep.store import FolderReader, OutFolder, shown

MANIFEST = "manifest.json"
TABLE = "outputs.csv"
MEND = "run the same convert command again; it makes what is missing or altered"


def write_manifest(setup: Setup, tally: Tally, engine: str, folder: OutFolder, ledger: Ledger, *, is_complete: bool = True) -> None:
    """Everything the folder holds: this run's artworks, and those of earlier runs that were left alone.

    The manifest of a run that was stopped says so; what it lacks does not count as a change later.

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
    record = without_state(
        gathered(setup.verb, names, results, outputs, engine=engine, findings=map(finding_record, setup.scene_findings))
    )
    titles = titles_of(results.items())
    if _stands(basis_of(setup, record, titles, folder, ledger, is_complete=is_complete), folder, ledger):
        return
    papers = {TABLE: outputs_csv(record, titles).encode("utf-8", "surrogateescape")}
    if setup.verb == "convert":
        earlier = _read(folder, MANIFEST)
        was_stopped = isinstance(earlier, dict) and earlier.get("complete") is False
        changes = changes_since(record, record if was_stopped else earlier, folder)
        papers |= papers_of(setup, record, titles, changes)
    record["papers"] = [{"path": name, "sha256": _sha256(data), "bytes": len(data)} for name, data in papers.items()]
    if not is_complete:
        record["complete"] = False
    ledger.intend((*papers, MANIFEST))
    for name, data in papers.items():
        _write(name, data, folder, ledger)
    _clear(set(papers), folder, ledger)
    basis = basis_of(setup, record, titles, folder, ledger, is_complete=is_complete)
    _write(MANIFEST, _sealed(record, ledger), folder, ledger, basis=basis)


def require_manifest(folder: str | os.PathLike[str]) -> None:
    """Refuses a folder that no run has written to, before anything in it is touched.

    Raises:
        UsageError: there is no manifest.
    """
    if not FolderReader(folder).exists(MANIFEST):
        raise UsageError(
            f"{os.fspath(folder)}: there is no {MANIFEST}", fix="name the folder that convert wrote to", code="no-manifest"
        )


def read_manifest(folder: OutFolder) -> dict[str, Any]:
    """The manifest of a folder, as `convert` wrote it.

    Raises:
        UsageError: it cannot be read, or was altered since.
    """
    record = _read(folder, MANIFEST)
    if not isinstance(record, dict) or record.get("verb") != "convert" or record.get("seal") != seal_of(record):
        raise UsageError(f"{MANIFEST} is not as convert wrote it", fix=MEND, code="manifest-damaged")
    return record


def renew(record: Mapping[str, Any], folder: OutFolder, ledger: Ledger) -> None:
    """Writes a manifest that was read from the folder anew, with what other verbs have added since.

    Raises:
        FolderError: the disk refuses a step.
    """
    ledger.intend([MANIFEST])
    _write(MANIFEST, _sealed(record, ledger), folder, ledger)


def _sealed(record: Mapping[str, Any], ledger: Ledger) -> bytes:
    """The manifest's bytes: with what was added, and its seal last."""
    whole = with_added({key: value for key, value in record.items() if key != "seal"}, ledger)
    whole["seal"] = seal_of(whole)
    return (json.dumps(whole, ensure_ascii=False, indent=1) + "\n").encode("utf-8", "surrogateescape")


def basis_of(
    setup: Setup, record: Mapping[str, Any], titles: Mapping[str, str], folder: OutFolder, ledger: Ledger, *, is_complete: bool
) -> str:
    """A digest over all that manifest and papers are made from."""
    facts = with_added({key: value for key, value in record.items() if key not in {"papers", "complete"}}, ledger)
    catalogue = setup.catalogue.products, setup.catalogue.blanks, setup.settings, setup.has_review
    text = json.dumps([facts, titles, is_complete, folder.hash(BEFORE), repr(catalogue)], ensure_ascii=True)
    return _sha256(text.encode())


def _stands(basis: str, folder: OutFolder, ledger: Ledger) -> bool:
    """Whether manifest and papers lie there as they were written, made from the same."""
    jobs = [job for job in map(ledger.job, (f"/{name}" for name in (MANIFEST, TABLE, *PAPERS))) if job is not None]
    if not jobs or json.loads(jobs[0].record).get("basis") != basis:
        return False
    made = [made for job in jobs for made in job.outputs]
    found = folder.hash_all([one.path for one in made])
    return all(found[one.path] == (one.sha256, one.bytes) for one in made)


def _write(name: str, data: bytes, folder: OutFolder, ledger: Ledger, *, basis: str = "") -> None:
    folder.write(name, data, own=ledger.owns(name) or _is_ours(name, folder))
    made = Made(path=name, sha256=_sha256(data), bytes=len(data))
    record = json.dumps({"basis": basis} if basis else {})
    ledger.record(Job(key=f"/{name}", artwork="", state="derived", record=record, outputs=(made,)))


def _clear(papers: set[str], folder: OutFolder, ledger: Ledger) -> None:
    """Removes papers of an earlier run that are not wanted any more."""
    for name in PAPERS:
        job = ledger.job(f"/{name}") if name not in papers else None
        if job is not None:
            folder.remove_stale({made.path: made.sha256 for made in job.outputs})
            ledger.forget([job.key])


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def seal_of(record: Mapping[str, Any]) -> str:
    """A digest over all of a manifest but the seal itself, by which an alteration shows."""
    text = json.dumps({key: value for key, value in record.items() if key != "seal"}, ensure_ascii=True, sort_keys=True)
    return _sha256(text.encode())


def require_free(folder: OutFolder, ledger: Ledger) -> None:
    """Checks before the start that manifest and papers can be written at the end.

    Raises:
        FolderError: a file of somebody else lies at one of these names.
    """
    for name in (MANIFEST, TABLE, *PAPERS):
        if not (folder.force or ledger.owns(name) or _is_ours(name, folder)):
            raise FolderError(
                f"{shown(folder.path / name)}: a file that vectorprep did not make is in the way",
                fix="move it away, choose another folder, or replace it with --force",
                code="foreign-file",
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
    lists = [record.get(key, []) for key in ("outputs", "thumbnails", "papers", *LISTS)] if isinstance(record, dict) else []
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
        begins = REVIEW_BEGINS if name == REVIEW else ",".join(COLUMNS).encode() if name == TABLE else None
        return begins is not None and begins in folder.read(name)[:500]
    except FolderError:
        return False
