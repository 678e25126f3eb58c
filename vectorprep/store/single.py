"""One file that the caller named itself: a report, an overlay.

Comes in: a path and bytes. Goes out: the whole file, or an error with the earlier file untouched.
Never done here: output folders.
"""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path

from vectorprep.store.disk import folder_error


def write_file(path: str | os.PathLike[str], data: bytes) -> None:
    """Writes a file whole or not at all; an earlier file of that name is replaced.

    Raises:
        FolderError: the disk refuses a step.
    """
    target = Path(path)
    temp = ""
    try:
        handle, temp = tempfile.mkstemp(prefix=".vectorprep-", dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temp).chmod(0o644)
        Path(temp).replace(target)
    except OSError as error:
        if temp:
            with suppress(OSError):
                Path(temp).unlink()
        raise folder_error(target, error) from error
