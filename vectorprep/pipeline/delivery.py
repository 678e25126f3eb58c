"""From emitted outputs to files in the out folder, whole or not at all, one artwork at a time.

Comes in: one artwork's encoded outputs. Goes out: files, output records, the ledger's entry.
Never done here: how a file is written (`store`), what is in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from vectorprep.errors import ArtworkFailed
from vectorprep.model import Encoded, Output
from vectorprep.report.records import output_record
from vectorprep.run.ledger import Job as LedgerJob
from vectorprep.run.ledger import Ledger, Made
from vectorprep.store import OutFolder


def spread(encoded: Sequence[Encoded], *, per_blank: bool) -> list[Encoded]:
    """One output per blank where that is asked for; the bytes are the same object, so that the disk can share them."""
    if not per_blank:
        return list(encoded)
    spread_out = []
    for item in encoded:
        if item.output.kind in {"thumbnail", "picture"}:  # the review page knows the blanks, a picture's name says its own
            spread_out.append(item)
            continue
        for blank in item.output.blanks:
            output = replace(item.output, path=_with_blank(item.output.path, blank), blanks=(blank,))
            spread_out.append(Encoded(output=output, data=item.data))
    return spread_out


def _with_blank(path: str, blank: str) -> str:
    """`fox--tee--as-drawn--preview.png` on navy is `fox--tee--as-drawn--navy--preview.png`."""
    parts = path.split("--")
    parts[2] = _before_extension(parts[2], f"--{blank.lstrip('#')}")
    return "--".join(parts)


def _before_extension(text: str, tail: str) -> str:
    stem, dot, extension = text.partition(".")
    return f"{stem}{tail}{dot}{extension}"


def deliver(
    encoded: Sequence[Encoded], *, folder: OutFolder, ledger: Ledger, artwork: str, record_of: Any, state: str
) -> list[dict[str, Any]]:
    """Writes an artwork's files and commits it to the ledger; returns its output records.

    Args:
        encoded: outputs with their bytes.
        folder: the out folder, held by this run.
        ledger: of that folder.
        artwork: name, the ledger's key.
        record_of: function from output records to the ledger's text.
        state: `ok`, `refused` or `failed`.

    Raises:
        ArtworkFailed: files that are not ours lie at target names; nothing of the artwork is written.
        FolderError: the disk refuses a step.
    """
    names = [item.output.path for item in encoded]
    _require_free(names, encoded, folder, ledger)
    before = {made.path: made.sha256 for made in _outputs_of(ledger, artwork)}
    ledger.intend(names)
    records = [output_record(item.output) for item in _written(encoded, folder, ledger)]
    folder.flush()
    made = tuple(Made(path=item.output.path, sha256=item.output.sha256, bytes=item.output.bytes) for item in encoded)
    ledger.record(LedgerJob(key=artwork, artwork=artwork, state=state, record=record_of(records), outputs=made))
    stale = {path: sha256 for path, sha256 in before.items() if path not in set(names)}
    folder.remove_stale(stale)
    return records


def _outputs_of(ledger: Ledger, artwork: str) -> Iterable[Made]:
    job = ledger.job(artwork)
    return job.outputs if job is not None else ()


def _require_free(names: Sequence[str], encoded: Sequence[Encoded], folder: OutFolder, ledger: Ledger) -> None:
    if folder.force:
        return
    digests = {item.output.path: item.output.sha256 for item in encoded}
    foreign = [name for name in folder.foreign(names, ledger.owns) if (folder.hash(name) or ("", 0))[0] != digests[name]]
    if foreign:
        raise ArtworkFailed(
            f"{foreign[0]}: a file that vectorprep did not make lies at this name in the out folder"
            + (f", and at {len(foreign) - 1} more" if len(foreign) > 1 else ""),
            fix="move it away, choose another out folder, or replace it with --force",
            code="foreign-file",
        )


def _written(encoded: Sequence[Encoded], folder: OutFolder, ledger: Ledger) -> Iterable[Encoded]:
    first: dict[str, str] = {}
    for item in encoded:
        output: Output = item.output
        own = ledger.owns(output.path)
        if output.sha256 in first:
            folder.link_or_copy(first[output.sha256], output.path, own=own, flush=False)
        else:
            folder.write(output.path, item.data, own=own, flush=False)
            first[output.sha256] = output.path
        yield item
