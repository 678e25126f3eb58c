"""Files apart from a run that holds its folder: looking into an output folder, and writing one file that the seller named.

Comes in: paths and bytes. Goes out: bytes, or one whole file. Never done here: locking, or replacing what is no plain file.
"""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Mapping
from pathlib import Path

from vectorprep.errors import FolderError
from vectorprep.store.disk import TEMP_PREFIX, Folder, folder_error
from vectorprep.store.outfolder import parts_of
from vectorprep.store.shown import shown


class FolderReader:
    """A folder that is only looked at; it need not exist. Names as in `OutFolder`; no link is followed below it."""

    def __init__(self, path: str | os.PathLike[str]) -> None:
        self.path = Path(os.path.realpath(path))

    def exists(self, name: str) -> bool:
        """Whether anything lies under that name, a link included."""
        try:
            return os.path.lexists(self.path.joinpath(*parts_of(name)))
        except ValueError:
            return False

    def read(self, name: str) -> bytes:
        """The bytes of a file.

        Raises:
            FolderError: missing, no plain file, or not a name inside the folder.
        """
        try:
            *folders, last = parts_of(name)
        except ValueError as error:
            raise FolderError(f"{shown(self.path)}: {error}", code="outside-folder") from error
        opened: list[Folder] = []
        try:
            opened.append(Folder.open(self.path))
            for folder in folders:
                opened.append(opened[-1].below(folder, create=False))
            with os.fdopen(opened[-1].read(last), "rb") as file:
                return file.read()
        except OSError as error:
            raise folder_error(self.path / name, error, "cannot be read") from error
        finally:
            for one in opened:
                one.close()


def write_file(path: str | os.PathLike[str], data: bytes) -> None:
    """Writes one file whole or not at all, replacing a plain file of that name.

    Raises:
        FolderError: no such folder, something that is no plain file lies there, or a step on the disk fails.
    """
    target = Path(os.path.realpath(path))
    try:
        folder = Folder.open(target.parent)
        try:
            seen = folder.look(target.name)
            if seen is not None and not stat.S_ISREG(seen.st_mode):
                raise FolderError(f"{shown(path)}: not a plain file", fix="name a file", code="not-a-file")
            # No lock is held here: the process id keeps two writers apart.
            folder.write(target.name, data, f"{TEMP_PREFIX}{os.getpid()}")
            folder.flush()
        finally:
            folder.close()
    except OSError as error:
        raise folder_error(path, error) from error


def write_beside(path: str | os.PathLike[str], folder: str, files: Mapping[str, bytes]) -> None:
    """Writes files into a folder beside a file, which is made if it is not there; others in it stay.

    Raises:
        FolderError: no such place, or a step on the disk fails.
    """
    place = Path(os.path.realpath(path)).parent / folder
    try:
        place.mkdir(exist_ok=True)
    except OSError as error:
        raise folder_error(place, error) from error
    for name, data in files.items():
        write_file(place / name, data)


def free_bytes(path: str | os.PathLike[str]) -> int:
    """Free space on the disk of a folder that need not exist yet."""
    place = Path(os.path.realpath(path))
    while not place.exists():
        place = place.parent
    return shutil.disk_usage(place).free
