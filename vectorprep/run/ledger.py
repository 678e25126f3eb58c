"""The memory of an output folder: what was made from what. Records of jobs come in, the same records come out in a later run.

One commit per artwork. Names are committed before their files are written, so that a crash never makes a file of ours look foreign.
A damaged ledger is set aside and begun anew: the outputs stay, and are ours again when their bytes equal what is made.
Never done here: reading clocks, looking at outputs, or deciding what is out of date.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from vectorprep.errors import FolderError

_VERSION = 1
_TABLES = """
CREATE TABLE job (key TEXT PRIMARY KEY, artwork TEXT NOT NULL, state TEXT NOT NULL, record TEXT NOT NULL, seal TEXT NOT NULL)
WITHOUT ROWID;
CREATE TABLE output (path TEXT PRIMARY KEY, job TEXT NOT NULL, sha256 TEXT NOT NULL, bytes INTEGER NOT NULL) WITHOUT ROWID;
CREATE INDEX output_job ON output (job);
CREATE TABLE intent (path TEXT PRIMARY KEY) WITHOUT ROWID;
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """An output as it was written: name in the folder, SHA-256 in hex, length."""

    path: str
    sha256: str
    bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What became of one job: its key says all that it depends on, `record` is JSON text of its results."""

    key: str
    artwork: str
    state: str
    record: str
    outputs: tuple[Made, ...] = ()


class Ledger:
    """The ledger of a folder whose lock the caller holds: `with Ledger(path) as ledger`.

    Args:
        path: of its file; the folder exists.

    Raises:
        FolderError: the disk is full or may not be written.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self.was_damaged = False
        """Whether a damaged ledger was set aside; its outputs have to prove themselves by their bytes."""
        self._database = self._opened()

    def __enter__(self) -> Self:
        """The ledger itself."""
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        """Closes it; nothing but its one file is left."""
        self.close()

    def close(self) -> None:
        """Closes it."""
        self._database.close()

    def job(self, key: str) -> Job | None:
        """The job of that key; None where there is none, or where its row was altered."""
        row = self._one("SELECT key, artwork, state, record, seal FROM job WHERE key = ?", key)
        return None if row is None else self._job(row)

    def jobs(self) -> Iterator[Job]:
        """All jobs whose rows are whole, sorted by key."""
        for row in self._all("SELECT key, artwork, state, record, seal FROM job ORDER BY key"):
            job = self._job(row)
            if job is not None:
                yield job

    def output(self, path: str) -> Made | None:
        """The output of that name; None where the ledger has none."""
        row = self._one("SELECT path, sha256, bytes FROM output WHERE path = ?", path)
        return None if row is None else Made(path=row[0], sha256=row[1], bytes=row[2])

    def outputs(self) -> tuple[Made, ...]:
        """All outputs, sorted by name."""
        rows = self._all("SELECT path, sha256, bytes FROM output ORDER BY path")
        return tuple(Made(path=path, sha256=sha256, bytes=size) for path, sha256, size in rows)

    def owns(self, path: str) -> bool:
        """Whether a file of that name is ours: recorded, or about to be written when a run was cut off."""
        return self._one("SELECT 1 FROM output WHERE path = ? UNION SELECT 1 FROM intent WHERE path = ?", path, path) is not None

    def intents(self) -> tuple[str, ...]:
        """Names that were about to be written and were never recorded, sorted."""
        return tuple(path for (path,) in self._all("SELECT path FROM intent ORDER BY path"))

    def intend(self, paths: Iterable[str]) -> None:
        """Commits names before their files are written. Names that lie there as foreign files must not be among them."""
        rows = [(path,) for path in sorted(set(paths))]
        if rows:
            self._commit(("INSERT OR IGNORE INTO intent VALUES (?)", rows))

    def record(self, job: Job) -> None:
        """Commits one finished job with its outputs: replaces what the key and these names had before."""
        names = [(made.path,) for made in job.outputs]
        self._commit(
            ("DELETE FROM output WHERE job = ?", [(job.key,)]),
            ("INSERT OR REPLACE INTO job VALUES (?, ?, ?, ?, ?)", [(job.key, job.artwork, job.state, job.record, _seal(job))]),
            (
                "INSERT OR REPLACE INTO output VALUES (?, ?, ?, ?)",
                [(made.path, job.key, made.sha256, made.bytes) for made in job.outputs],
            ),
            ("DELETE FROM intent WHERE path = ?", names),
        )

    def forget(self, keys: Iterable[str]) -> None:
        """Commits that these jobs and their outputs are gone."""
        rows = [(key,) for key in sorted(set(keys))]
        self._commit(("DELETE FROM output WHERE job = ?", rows), ("DELETE FROM job WHERE key = ?", rows))

    def forget_intents(self, paths: Iterable[str]) -> None:
        """Commits that these names will not be written after all."""
        self._commit(("DELETE FROM intent WHERE path = ?", [(path,) for path in sorted(set(paths))]))

    def _job(self, row: tuple[str, ...]) -> Job | None:
        key, artwork, state, record, seal = row
        rows = self._all("SELECT path, sha256, bytes FROM output WHERE job = ? ORDER BY path", key)
        outputs = tuple(Made(path=path, sha256=sha256, bytes=size) for path, sha256, size in rows)
        job = Job(key=key, artwork=artwork, state=state, record=record, outputs=outputs)
        return job if _seal(job) == seal else None

    def _opened(self) -> sqlite3.Connection:
        try:
            return self._connected()
        except sqlite3.OperationalError as error:
            if _is_of_the_disk(error):
                raise self._trouble(error) from error
        except sqlite3.DatabaseError:
            pass
        self._set_aside()
        try:
            return self._connected()
        except sqlite3.DatabaseError as error:
            raise self._trouble(error) from error

    def _connected(self) -> sqlite3.Connection:
        existed = self._path.exists()
        database = sqlite3.connect(self._path, isolation_level=None)
        try:
            # A rollback journal is gone after each commit; a write-ahead log would stay behind a killed run as two more files.
            database.execute("PRAGMA journal_mode = DELETE")
            database.execute("PRAGMA synchronous = FULL")
            database.execute("PRAGMA locking_mode = EXCLUSIVE")
            if not existed:
                database.executescript(f"BEGIN; {_TABLES} PRAGMA user_version = {_VERSION}; COMMIT;")
            _require_whole(database, self._path.stat().st_size)
        except BaseException:
            database.close()
            raise
        return database

    def _set_aside(self) -> None:
        self.was_damaged = True
        try:
            for ending in ("-journal", "-wal", "-shm"):
                self._path.with_name(self._path.name + ending).unlink(missing_ok=True)
            if self._path.exists():
                self._path.replace(self._path.with_suffix(".damaged"))
        except OSError as error:
            raise self._trouble(error) from error

    def _commit(self, *statements: tuple[str, Sequence[Sequence[object]]]) -> None:
        try:
            self._database.execute("BEGIN IMMEDIATE")
            try:
                for statement, rows in statements:
                    self._database.executemany(statement, rows)
                self._database.execute("COMMIT")
            except BaseException:
                with suppress(sqlite3.Error):
                    self._database.execute("ROLLBACK")
                raise
        except sqlite3.Error as error:
            raise self._trouble(error) from error

    def _one(self, statement: str, *values: str) -> tuple[Any, ...] | None:
        return next(iter(self._all(statement, *values)), None)

    def _all(self, statement: str, *values: str) -> list[tuple[Any, ...]]:
        try:
            return self._database.execute(statement, values).fetchall()
        except sqlite3.Error as error:
            raise self._trouble(error) from error

    def _trouble(self, error: Exception) -> FolderError:
        if getattr(error, "sqlite_errorname", "").startswith("SQLITE_FULL"):
            fix = "free some space, then run the same command again"
            return FolderError(f"{self._path}: the ledger cannot be written: the disk is full", fix=fix, code="ledger-unusable")
        return FolderError(
            f"{self._path}: the ledger cannot be used: {error}",
            fix="free some space or check the permissions, then run the same command again",
            code="ledger-unusable",
        )


def _require_whole(database: sqlite3.Connection, size: int) -> None:
    pages, page_size, version = (
        database.execute(f"PRAGMA {what}").fetchone()[0] for what in ("page_count", "page_size", "user_version")
    )
    if version != _VERSION:
        raise sqlite3.DatabaseError("not a ledger of this version")
    # A cut within the last page is filled up with zeros on reading, which the check of the database lets pass.
    if pages * page_size != size or database.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
        raise sqlite3.DatabaseError("damaged")


def _is_of_the_disk(error: sqlite3.OperationalError) -> bool:
    return error.sqlite_errorname.startswith(
        ("SQLITE_FULL", "SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_IOERR", "SQLITE_BUSY", "SQLITE_PERM")
    )


def _seal(job: Job) -> str:
    """A digest over all of a job's rows, so that a row altered or lost on the disk is noticed and its job done again."""
    parts = [job.key, job.artwork, job.state, job.record]
    parts += [
        text for made in sorted(job.outputs, key=lambda made: made.path) for text in (made.path, made.sha256, str(made.bytes))
    ]
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()
