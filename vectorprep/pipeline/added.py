"""What other verbs than `convert` put into an out folder: gang sheets, proofs. They stand in its manifest and outlive later runs.

Comes in: a ledger. Goes out: lists of records by their name in the manifest; entries of the ledger.
Never done here: the files, the manifest itself (`manifest`).
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from vectorprep.run.ledger import Job, Ledger, Made

LISTS = ("sheets", "proofs")
STATE = "added"
Record = dict[str, Any]


def with_added(record: Mapping[str, Any], ledger: Ledger) -> Record:
    """A manifest with the lists of what was added, as the ledger has them now; an empty list is left out."""
    found: dict[str, list[Record]] = {}
    for job in ledger.jobs():
        if job.state == STATE:
            kept = json.loads(job.record)
            found.setdefault(kept["list"], []).extend(kept["entries"])
    own = {key: value for key, value in record.items() if key not in LISTS}
    return {**own, **{key: found[key] for key in LISTS if key in found}}


def remember(ledger: Ledger, key: str, name: str, entries: Sequence[Record]) -> None:
    """Commits files that were added: their records stand in the manifest's list of that name."""
    made = tuple(Made(path=entry["path"], sha256=entry["sha256"], bytes=entry["bytes"]) for entry in entries)
    text = json.dumps({"list": name, "entries": list(entries)}, ensure_ascii=True)
    ledger.record(Job(key=key, artwork="", state=STATE, record=text, outputs=made))


def outdated(manifest: Mapping[str, Any]) -> Iterable[tuple[str, str]]:
    """Added files that were made from files which have changed since: their path, and what they were made from."""
    now = {output["path"]: output["sha256"] for output in manifest["outputs"]}
    for name in LISTS:
        for entry in manifest.get(name, ()):
            for source in entry.get("made_from", ()):
                if now.get(source["path"]) != source["sha256"]:
                    yield entry["path"], source["path"]
                    break
