"""The steps on the disk: bytes become a whole file under its name, or nothing happens.

Comes in: an open folder, a plain name, bytes. Goes out: a file that is complete and flushed, or an error of the system.
On systems that can, every step is taken relative to the open folder and never through a link. Never done here: deciding whether
a file may be replaced.
"""

from __future__ import annotations

import errno
import hashlib
import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from vectorprep.errors import FolderError
from vectorprep.store.shown import shown

TEMP_PREFIX = ".vectorprep-part-"
HAS_FOLDER_HANDLES = os.open in os.supports_dir_fd and hasattr(os, "O_DIRECTORY")
_NO_LINK = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
_REASONS = {
    errno.ENOSPC: ("the disk is full", "free some space, then run the same command again"),
    errno.EDQUOT: ("the disk quota is used up", "free some space, then run the same command again"),
    errno.EACCES: ("no permission", "give yourself write permission or choose another folder"),
    errno.EPERM: ("no permission", "give yourself write permission or choose another folder"),
    errno.EROFS: ("the disk is read-only", "choose a folder on another disk"),
    errno.ENAMETOOLONG: ("the name is too long for this disk", "shorten the name of the drawing"),
    errno.EFBIG: ("the file is too large for this disk", "choose a folder on another disk"),
    errno.EIO: ("the disk reports an error", "check the disk"),
    errno.EISDIR: ("there is a folder of that name", "move that folder away"),
    errno.ENOTDIR: ("a part of the path is not a folder", "choose another folder"),
    errno.ELOOP: ("a part of the path is a link", "name the folder itself"),
}


def folder_error(path: str | os.PathLike[str], error: OSError, doing: str = "cannot be written") -> FolderError:
    """The error that names the path and the reason of a failed step on the disk."""
    reason, fix = _REASONS.get(error.errno or 0, (error.strerror or str(error), ""))
    slug = errno.errorcode.get(error.errno or 0, "unknown").lower()
    return FolderError(f"{shown(path)}: {doing}: {reason}", fix=fix, code=f"disk-{slug}")


@dataclass(frozen=True, slots=True)
class Folder:
    """An open folder: its real path, and its handle where the system has handles of folders."""

    path: Path
    handle: int | None

    @classmethod
    def open(cls, path: Path) -> Folder:
        """Opens a real folder; a link in its place is an OSError."""
        if not HAS_FOLDER_HANDLES:
            return cls(path, None)
        return cls(path, os.open(path, os.O_RDONLY | os.O_DIRECTORY | _NO_LINK))

    def below(self, name: str, *, create: bool) -> Folder:
        """The folder of that name in this one, made if need be."""
        at = self._at(name)
        if create:
            try:
                os.mkdir(at, dir_fd=self.handle)
            except FileExistsError:
                pass
            else:
                self.flush()
        if self.handle is None:
            if not stat.S_ISDIR(os.lstat(at).st_mode):
                raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), at)
            return Folder(self.path / name, None)
        return Folder(self.path / name, os.open(at, os.O_RDONLY | os.O_DIRECTORY | _NO_LINK, dir_fd=self.handle))

    def close(self) -> None:
        """Gives the handle back."""
        if self.handle is not None:
            os.close(self.handle)

    def look(self, name: str) -> os.stat_result | None:
        """What lies under that name, not following a link; None where there is nothing."""
        try:
            return os.stat(self._at(name), dir_fd=self.handle, follow_symlinks=False)
        except FileNotFoundError:
            return None

    def write(self, name: str, data: bytes, temp: str) -> None:
        """Writes whole or not at all: temporary file in the same folder, flushed, then renamed. `flush` completes it."""
        self.write_parts(name, (data,), temp)

    def write_parts(self, name: str, parts: Iterable[bytes], temp: str) -> None:
        """As `write`, for bytes that come in portions."""
        handle = os.open(self._at(temp), os.O_WRONLY | os.O_CREAT | os.O_EXCL | _NO_LINK, 0o666, dir_fd=self.handle)
        try:
            try:
                for data in parts:
                    _write_all(handle, data)
                os.fsync(handle)
            finally:
                os.close(handle)
            self.rename(temp, name)
        except BaseException:
            self.remove(temp)
            raise

    def rename(self, old: str, new: str) -> None:
        """Puts the file under its new name in one step; a link of that name is replaced, not followed."""
        os.replace(self._at(old), self._at(new), src_dir_fd=self.handle, dst_dir_fd=self.handle)

    def link(self, old: str, new: str) -> None:
        """A second name for the same file."""
        os.link(self._at(old), self._at(new), src_dir_fd=self.handle, dst_dir_fd=self.handle, follow_symlinks=False)

    def remove(self, name: str) -> None:
        """Removes that name if it is there."""
        with suppress(FileNotFoundError):
            os.unlink(self._at(name), dir_fd=self.handle)

    def read(self, name: str) -> int:
        """An open handle of the regular file of that name; a link, pipe or device is an OSError."""
        flags = os.O_RDONLY | _NO_LINK | getattr(os, "O_NONBLOCK", 0)
        handle = os.open(self._at(name), flags, dir_fd=self.handle)
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            os.close(handle)
            raise OSError(errno.EINVAL, "not a plain file", name)
        return handle

    def entries(self) -> Iterator[tuple[str, bool]]:
        """Names in this folder, and whether each is a folder itself (links count as files)."""
        with os.scandir(self.path if self.handle is None else self.handle) as entries:
            for entry in entries:
                yield entry.name, entry.is_dir(follow_symlinks=False)

    def flush(self) -> None:
        """Makes the names of this folder last through a power cut, where the system can."""
        if self.handle is not None:
            os.fsync(self.handle)

    def _at(self, name: str) -> str:
        return name if self.handle is not None else str(self.path / name)


def hash_handle(handle: int) -> tuple[str, int]:
    """SHA-256 in hex and length of an open file; closes it."""
    with os.fdopen(handle, "rb", buffering=0) as file:
        digest = hashlib.file_digest(file, "sha256")
        return digest.hexdigest(), file.tell()


def hash_file(path: str | os.PathLike[str]) -> tuple[str, int]:
    """SHA-256 in hex and length of the file at that path.

    Raises:
        FolderError: missing, or not readable as a plain file.
    """
    try:
        return hash_handle(os.open(path, os.O_RDONLY | _NO_LINK))
    except OSError as error:
        raise folder_error(path, error, "cannot be read") from error


def _write_all(handle: int, data: bytes) -> None:
    view = memoryview(data)
    while view:
        view = view[os.write(handle, view) :]
