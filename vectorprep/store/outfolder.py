"""The output folder: names and bytes come in, whole files come out, one run at a time.

Everything is relative to the folder's real path and stays inside it. A file that is not ours is never replaced unless forced.
Never done here: choosing names, remembering what was made (the ledger does), or deciding what is out of date.
"""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Literal, Self

from vectorprep.errors import FolderBusy, FolderError
from vectorprep.store import lock
from vectorprep.store.disk import TEMP_PREFIX, Folder, folder_error, hash_handle
from vectorprep.store.shown import shown

STATE_FOLDER = ".vectorprep"
LEDGER_NAME = "ledger.sqlite"
# A name holds 255 bytes on the common file systems of Linux, macOS and Windows (from memory).
_NAME_LIMIT = 255


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What became of one write: `made`, or `kept` where the very same bytes lay there already."""

    name: str
    state: Literal["made", "kept"]


def check_out_folder(path: str | os.PathLike[str], arts: Sequence[str] = ()) -> Path:
    """The real path of a folder that may serve as output folder; it need not exist yet, and nothing is made.

    Args:
        path: the folder as the seller named it.
        arts: the files and folders that are read.

    Raises:
        FolderError: a file, a link to nothing, or the folder of the drawings, inside it or around it.
    """
    real = Path(os.path.realpath(path))
    if os.path.lexists(real) and not real.is_dir():
        raise FolderError(f"{shown(path)}: not a folder", fix="name a folder for --out", code="out-not-a-folder")
    existing = next(folder for folder in (real, *real.parents) if folder.exists())
    if not existing.is_dir():
        raise FolderError(f"{shown(path)}: {shown(existing)} is not a folder", fix="name another folder", code="out-not-a-folder")
    if not os.access(existing, os.W_OK | os.X_OK):
        raise FolderError(
            f"{shown(path)}: no permission to write in {shown(existing)}",
            fix="give yourself write permission or choose another folder",
            code="disk-eacces",
        )
    for art in arts:
        _require_apart(path, real, art)
    return real


class OutFolder:
    """The output folder while a run holds it: `with OutFolder(path, arts=...) as out`.

    Args:
        path: the folder; made if it does not exist.
        arts: the files and folders that are read, which it must not be, lie in or lie around.
        force: foreign files may be replaced.

    Raises:
        FolderBusy: another run holds it; said at once.
        FolderError: it cannot serve (see `check_out_folder`), or a step on the disk fails: path and reason are named.
    """

    def __init__(self, path: str | os.PathLike[str], *, arts: Sequence[str] = (), force: bool = False) -> None:
        self.path = check_out_folder(path, arts)
        self.force = force
        self._folders: dict[str, Folder] = {}
        self._unflushed: set[str] = set()
        self._lock: int | None = None
        self._temps = 0
        self._threads: ThreadPoolExecutor | None = None

    @property
    def ledger_path(self) -> Path:
        """Where the ledger of this folder lies."""
        return self.path / STATE_FOLDER / LEDGER_NAME

    def __enter__(self) -> Self:
        """Makes the folder, takes the lock, clears what a killed run left half-written."""
        try:
            self.path.mkdir(parents=True, exist_ok=True)
            self._folders[""] = Folder.open(self.path)
            self._folders[STATE_FOLDER] = self._folders[""].below(STATE_FOLDER, create=True)
            self._lock = lock.take(self.path / STATE_FOLDER / "lock")
        except OSError as error:
            self._release()
            raise folder_error(error.filename or self.path, error) from error
        if self._lock is None:
            self._release()
            raise FolderBusy(
                f"{shown(self.path)}: another run is using this folder",
                fix="wait until it ends, or choose another folder",
                code="folder-busy",
            )
        self.remove_temps()
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        """Flushes, clears temporary files, gives the lock back."""
        try:
            self.remove_temps()
            self.flush()
        except FolderError:
            # The error that ended the run says more than a failed clean-up after it.
            if kind is None:
                raise
        finally:
            self._release()

    def write(self, name: str, data: bytes, *, own: bool = False, flush: bool = True) -> Written:
        """Puts a file under its name, whole or not at all: temporary file, flush, rename, flush of the folder.

        Args:
            name: relative to the folder, with `/`.
            data: all its bytes.
            own: the ledger knows a file of that name as ours.
            flush: False puts the last step off to `flush()`, for several files in a row.

        Raises:
            FolderError: a foreign file of that name (code `foreign-file`), or a step on the disk fails.
        """
        folder, last = self._place(name)
        try:
            if not (own or self.force) and self._is_kept(folder, name, last, data):
                return Written(name=name, state="kept")
            folder.write(last, data, self._temp_name())
            self._done(name, flush=flush)
        except OSError as error:
            raise folder_error(self.path / name, error) from error
        return Written(name=name, state="made")

    def write_parts(self, name: str, parts: Iterable[bytes], *, own: bool) -> tuple[str, int]:
        """Puts a file that comes in portions under its name, whole or not at all; returns its SHA-256 in hex and its length.

        Args:
            name: relative to the folder, with `/`.
            parts: its bytes, in order.
            own: the ledger knows a file of that name as ours.

        Raises:
            FolderError: a foreign file of that name (code `foreign-file`), or a step on the disk fails.
        """
        folder, last = self._place(name)
        digest, length = hashlib.sha256(), 0

        def counted() -> Iterable[bytes]:
            nonlocal length
            for part in parts:
                digest.update(part)
                length += len(part)
                yield part

        try:
            if not (own or self.force) and folder.look(last) is not None:
                raise self._foreign(name)
            folder.write_parts(last, counted(), self._temp_name())
            self._done(name, flush=True)
        except OSError as error:
            raise folder_error(self.path / name, error) from error
        return digest.hexdigest(), length

    def link_or_copy(self, existing: str, name: str, *, own: bool = False, flush: bool = True) -> Written:
        """Gives an output a second name: a hard link, or a copy where links fail. Arguments and errors as `write`."""
        folder, last = self._place(name)
        data = self.read(existing)
        try:
            if not (own or self.force) and self._is_kept(folder, name, last, data):
                return Written(name=name, state="kept")
            temp = self._temp_name()
            source, source_last = self._place(existing)
            if source != folder or not _is_linked(folder, source_last, temp):
                folder.write(last, data, temp)
            else:
                folder.rename(temp, last)
                # Renaming one name of a file to another name of the same file does nothing and keeps both (POSIX rename).
                folder.remove(temp)
            self._done(name, flush=flush)
        except OSError as error:
            raise folder_error(self.path / name, error) from error
        return Written(name=name, state="made")

    def flush(self) -> None:
        """Completes the writes whose last step was put off."""
        for key in sorted(self._unflushed):
            try:
                self._folders[key].flush()
            except OSError as error:
                raise folder_error(self._folders[key].path, error) from error
        self._unflushed.clear()

    def foreign(self, names: Iterable[str], is_own: Callable[[str], bool]) -> tuple[str, ...]:
        """Those of the names under which something lies that is not ours, sorted; for a refusal before the start."""
        return tuple(sorted(name for name in set(names) if not is_own(name) and self.exists(name)))

    def exists(self, name: str) -> bool:
        """Whether anything lies under that name, a link included."""
        return os.path.lexists(self.path.joinpath(*parts_of(name)))

    def read(self, name: str) -> bytes:
        """The bytes of an output.

        Raises:
            FolderError: missing, or no plain file.
        """
        try:
            folder, last = self._place(name)
            with os.fdopen(folder.read(last), "rb") as file:
                return file.read()
        except OSError as error:
            raise folder_error(self.path / name, error, "cannot be read") from error

    def hash(self, name: str) -> tuple[str, int] | None:
        """SHA-256 in hex and length of an output; None where no plain file lies under that name, whatever the name."""
        try:
            parts = parts_of(name)
        except ValueError:
            return None
        if len(parts) > 1 and not self.path.joinpath(*parts[:-1]).is_dir():
            return None
        try:
            folder, last = self._place(name)
            return hash_handle(folder.read(last))
        except OSError:
            return None

    def hash_all(self, names: Sequence[str]) -> dict[str, tuple[str, int] | None]:
        """`hash` of many outputs, on all cores."""
        if self._threads is None:
            self._threads = ThreadPoolExecutor(max_workers=os.cpu_count() or 1)
        return dict(zip(names, self._threads.map(self.hash, names), strict=True))

    def remove_stale(self, outputs: Mapping[str, str]) -> tuple[str, ...]:
        """Removes outputs of ours that nothing needs any more; one that was altered since stays.

        Args:
            outputs: name -> the SHA-256 that the ledger has for it.

        Returns:
            The names that are gone now, sorted.
        """
        gone: list[str] = []
        for name, sha256 in sorted(outputs.items()):
            found = self.hash(name)
            if found is not None and found[0] == sha256:
                folder, last = self._place(name)
                try:
                    folder.remove(last)
                except OSError as error:
                    raise folder_error(self.path / name, error, "cannot be removed") from error
                self._done(name, flush=False)
            if not self.exists(name):
                gone.append(name)
        self.flush()
        return tuple(gone)

    def remove_temps(self) -> None:
        """Removes temporary files of ours, and nothing else, here and in all folders below."""
        pending = [self.path]
        try:
            while pending:
                folder = Folder.open(pending.pop())
                try:
                    for name, is_folder in list(folder.entries()):
                        if is_folder:
                            pending.append(folder.path / name)
                        elif name.startswith(TEMP_PREFIX):
                            folder.remove(name)
                finally:
                    folder.close()
        except OSError as error:
            raise folder_error(error.filename or self.path, error, "cannot be cleared of temporary files") from error

    def free_bytes(self) -> int:
        """Free space on the disk of the folder."""
        return shutil.disk_usage(self.path).free

    def require_space(self, needed: int) -> None:
        """Checks before the start that the outputs will fit.

        Raises:
            FolderError: less is free than needed, with both figures.
        """
        free = self.free_bytes()
        if free < needed:
            raise FolderError(
                f"{shown(self.path)}: about {needed / 1e6:.0f} MB will be needed, {free / 1e6:.0f} MB are free",
                fix="free some space or choose a folder on another disk",
                code="disk-too-small",
            )

    def _is_kept(self, folder: Folder, name: str, last: str, data: bytes) -> bool:
        seen = folder.look(last)
        if seen is None:
            return False
        if seen.st_size == len(data):
            try:
                with os.fdopen(folder.read(last), "rb") as file:
                    if file.read() == data:
                        return True
            except OSError:
                pass
        raise self._foreign(name)

    def _foreign(self, name: str) -> FolderError:
        return FolderError(
            f"{shown(self.path / name)}: a file that vectorprep did not make is in the way",
            fix="move it away, choose another folder, or replace it with --force",
            code="foreign-file",
        )

    def _place(self, name: str) -> tuple[Folder, str]:
        *folders, last = parts_of(name)
        key = ""
        for part in folders:
            deeper = f"{key}/{part}" if key else part
            if deeper not in self._folders:
                try:
                    self._folders[deeper] = self._folders[key].below(part, create=True)
                except OSError as error:
                    raise folder_error(self.path / deeper, error) from error
            key = deeper
        return self._folders[key], last

    def _done(self, name: str, *, flush: bool) -> None:
        self._unflushed.add(name.rpartition("/")[0])
        if flush:
            self.flush()

    def _temp_name(self) -> str:
        self._temps += 1
        return f"{TEMP_PREFIX}{self._temps}"

    def _release(self) -> None:
        if self._threads is not None:
            self._threads.shutdown()
            self._threads = None
        if self._lock is not None:
            os.close(self._lock)
            self._lock = None
        for folder in self._folders.values():
            folder.close()
        self._folders.clear()


def _is_linked(folder: Folder, existing: str, temp: str) -> bool:
    try:
        folder.link(existing, temp)
    except (OSError, NotImplementedError):
        return False
    return True


def parts_of(name: str) -> list[str]:
    """Folders and file of a name below the folder; a name that leads anywhere else is a ValueError."""
    parts = name.split("/")
    for part in parts:
        odd = part in {"", ".", ".."} or any(ord(character) < 32 or character in "\\\x7f" for character in part)
        if odd or len(os.fsencode(part)) > _NAME_LIMIT or part.startswith(TEMP_PREFIX):
            raise ValueError(f"not a name inside the folder: {name!r}")
    return parts


def _require_apart(path: str | os.PathLike[str], real: Path, art: str) -> None:
    source = Path(os.path.realpath(art))
    is_folder = source.is_dir()
    home = source if is_folder else source.parent
    inside = is_folder and home in real.parents
    around = is_folder and real in home.parents
    if real == home or inside or around:
        relation = "is" if real == home else "lies inside" if inside else "lies around"
        raise FolderError(
            f"{shown(path)}: the output folder {relation} the folder of the drawings {shown(home)}",
            fix="choose a folder outside it, for instance one beside it",
            code="out-unsuitable",
        )
