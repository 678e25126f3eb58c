"""Text files: settings, profiles and what the package brings along. Names come in, text goes out.

The package's own data lie in `vectorprep/_data` of an installed copy, else in the top-level folders of the source tree.
Never done here: understanding the text.
"""

from __future__ import annotations

import os
from pathlib import Path

from vectorprep.errors import UsageError
from vectorprep.store.shown import shown

SETTINGS_NAME = "vectorprep.toml"
_TEXT_LIMIT = 2_000_000


def read_data(path: str | os.PathLike[str], limit: int) -> bytes:
    """The bytes of one file that the seller named.

    Raises:
        UsageError: missing, not readable, or above the limit.
    """
    file = Path(path)
    where = shown(file)
    try:
        if not file.is_file():
            raise UsageError(f"{where}: no such file", fix="check the spelling", code="no-such-file")
        size = file.stat().st_size
        if size > limit:
            raise UsageError(f"{where}: {size} bytes, above the limit of {limit}", code="text-too-large")
        return file.read_bytes()
    except OSError as error:
        raise UsageError(
            f"{where}: cannot be read: {error.strerror}", fix="check its permissions", code="text-unreadable"
        ) from error


def read_text(path: str | os.PathLike[str]) -> str:
    """The text of a settings file or profile, UTF-8, with or without byte order mark.

    Raises:
        UsageError: missing, not readable, above 2 MB, or not UTF-8.
    """
    try:
        return read_data(path, _TEXT_LIMIT).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise UsageError(
            f"{shown(Path(path))}: byte {error.start} is not UTF-8", fix="save the file as UTF-8", code="text-not-utf8"
        ) from error


def find_settings(*starts: str | os.PathLike[str]) -> Path | None:
    """The nearest `vectorprep.toml` going up from the first start, else from the next one; None where there is none."""
    for start in starts:
        begin = Path(os.path.realpath(start))
        for folder in (begin, *begin.parents):
            candidate = folder / SETTINGS_NAME
            if candidate.is_file():
                return candidate
    return None


def read_folder(folder: str | os.PathLike[str], suffix: str = ".toml") -> dict[str, str]:
    """Texts of the files of one folder by file name, sorted; hidden files and folders below are left out.

    Raises:
        UsageError: no such folder, or a file that is not readable.
    """
    place = Path(folder)
    if not place.is_dir():
        raise UsageError(f"{shown(place)}: no such folder", fix="check the spelling", code="no-such-folder")
    try:
        files = sorted(file for file in place.iterdir() if file.suffix == suffix and not file.name.startswith("."))
    except OSError as error:
        raise UsageError(f"{shown(place)}: cannot be read: {error.strerror}", code="folder-unreadable") from error
    return {file.name: read_text(file) for file in files}


def package_folder(name: str) -> Path:
    """Where a folder that the package brings along lies: `profiles` or `sample_svgs`.

    Raises:
        UsageError: the copy of the package is incomplete.
    """
    package = Path(__file__).resolve().parent.parent
    for candidate in (package / "_data" / name, package.parent / name):
        if candidate.is_dir():
            return candidate
    raise UsageError(
        f"the folder {name} is missing from this copy of vectorprep", fix="install it again", code="package-incomplete"
    )


def builtin_profiles() -> dict[str, str]:
    """The texts of the built-in profiles by file name, sorted: one per product, and `blanks.toml`."""
    return read_folder(package_folder("profiles"))
