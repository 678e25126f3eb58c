"""A folder that is only looked at: names of files inside it come in, their bytes go out; nothing is written, made or locked.

Never done here: following links out of the folder.
"""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath

from vectorprep.errors import FolderError
from vectorprep.store.disk import folder_error
from vectorprep.store.shown import shown


class FolderReader:
    """Files of one folder by their relative names with `/`."""

    def __init__(self, path: str | os.PathLike[str]) -> None:
        self.path = Path(os.path.realpath(path))

    def exists(self, name: str) -> bool:
        """Whether a plain file of that name lies inside."""
        try:
            return self._place(name).is_file()
        except FolderError:
            return False

    def read(self, name: str) -> bytes:
        """All bytes of a file.

        Raises:
            FolderError: no such plain file inside the folder, or it cannot be read.
        """
        place = self._place(name)
        try:
            return place.read_bytes()
        except OSError as error:
            raise folder_error(place, error, "cannot be read") from error

    def _place(self, name: str) -> Path:
        place = self.path.joinpath(*PurePosixPath(name).parts)
        if "\x00" in name or PurePosixPath(name).is_absolute() or not Path(os.path.realpath(place)).is_relative_to(self.path):
            raise FolderError(f"{shown(name)}: not a name inside {shown(self.path)}", code="outside-folder")
        return place
