"""Which drawings there are, and their bytes: names of files and folders come in, a sorted list and untouched bytes go out.

Folders are walked without following links and without opening anything but folders; each file is read once, whole, and only
if it is still a regular file inside its folder. Never done here: looking at what the bytes say, or writing anything.
"""

from __future__ import annotations

import os
import stat
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath

from vectorprep.errors import ArtworkRefused, UsageError
from vectorprep.store.shown import shown

_SUFFIXES = (".svg", ".svgz")
_FOLDER_METADATA = frozenset({".ds_store", "thumbs.db", "desktop.ini", ".directory", "__macosx", "@eadir"})
_TRIES_WHILE_CHANGING = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One drawing on the disk.

    `path` is shown to people: relative to its ART folder, with `/`, odd characters escaped. `name` is unique within a scan.
    `root` is the real path of the ART folder and `file` the file below it, both in the disk's own spelling.
    """

    name: str
    path: str
    root: str
    file: str
    bytes: int = field(default=0, compare=False)
    """Length when it was listed, to put the longest work first; 0 where it is not known."""

    @property
    def real_path(self) -> Path:
        """Where the file lies, without links."""
        return Path(self.root, self.file)


@dataclass(frozen=True, slots=True, kw_only=True)
class Skipped:
    """Something that was passed over, and why. `path` as in `Source`."""

    path: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Scan:
    """All drawings below the named files and folders, sorted by path, and what was passed over."""

    sources: tuple[Source, ...]
    skipped: tuple[Skipped, ...]
    roots: tuple[str, ...]
    """Real paths of the ART folders and files, as named."""


@dataclass(slots=True)
class _Walk:
    root: str
    taken: list[str]
    links: list[str]
    skipped: list[Skipped]

    def skip(self, relative: str, reason: str) -> None:
        self.skipped.append(Skipped(path=_posix(relative), reason=reason))


def scan(arts: Sequence[str]) -> Scan:
    """All drawings of the named files and folders, each once, sorted by relative path.

    Below a folder the files with `.svg` or `.svgz` in any letter case count; a named file is taken whatever its ending.
    Links are followed only to a file of the same ART folder, never to a folder.

    Raises:
        UsageError: a named file or folder does not exist.
    """
    _require_all(arts)
    walks = [_walk_named(art) for art in arts]
    seen: dict[str, str] = {}
    sources: list[Source] = []
    for walk in walks:
        # Plain files first, so that a link to one of them is the duplicate, whatever their names.
        for is_link, files in ((False, walk.taken), (True, walk.links)):
            found = (_source(walk, file, seen, is_link=is_link) for file in sorted(files))
            sources += [source for source in found if source is not None]
    sources.sort(key=lambda source: (source.path, source.file, source.root))
    skipped = sorted({(one.path, one.reason) for walk in walks for one in walk.skipped})
    return Scan(
        sources=_named_apart(sources),
        skipped=tuple(Skipped(path=path, reason=reason) for path, reason in skipped),
        roots=tuple(os.path.realpath(art) for art in arts),
    )


def read_source(source: Source, limit: int) -> bytes:
    """The bytes of one drawing, read once.

    Args:
        source: as listed by `scan`.
        limit: the most bytes that are read.

    Raises:
        ArtworkRefused: vanished, not readable, no regular file any more, longer than the limit, or changing all the time.
    """
    for _ in range(_TRIES_WHILE_CHANGING):
        data = _read_steady(source, limit)
        if data is not None:
            return data
    raise ArtworkRefused(
        f"{source.path}: the file changed while it was read, {_TRIES_WHILE_CHANGING} times in a row",
        fix="wait until the drawing program has saved it, then run the same command again",
        code="source-changing",
    )


def _require_all(arts: Sequence[str]) -> None:
    missing = [art for art in arts if not os.path.lexists(art)]
    if missing:
        raise UsageError(
            "no such file or folder: " + ", ".join(map(shown, missing)),
            fix="check the spelling; paths are taken from the working folder",
            code="no-such-art",
        )


def _walk_named(art: str) -> _Walk:
    path = Path(art)
    if path.is_dir():
        walk = _Walk(os.path.realpath(art), [], [], [])
        _walk_folder(walk)
        return walk
    walk = _Walk(os.path.realpath(path.parent), [], [], [])
    try:
        mode = path.lstat().st_mode
    except OSError as error:
        walk.skip(path.name, f"cannot be looked at: {error.strerror}")
        return walk
    _sort_by_kind(walk, path.name, mode)
    return walk


def _walk_folder(walk: _Walk) -> None:
    pending = [""]
    while pending:
        folder = pending.pop()
        for entry in _entries(walk, folder):
            relative = f"{folder}{os.sep}{entry.name}" if folder else entry.name
            if entry.is_dir(follow_symlinks=False):
                reason = _reason_against_folder(entry)
                if reason:
                    walk.skip(relative, reason)
                else:
                    pending.append(relative)
            else:
                _weigh_file(walk, relative, entry)


def _entries(walk: _Walk, folder: str) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(Path(walk.root, folder)) as entries:
            return sorted(entries, key=lambda entry: entry.name)
    except OSError as error:
        walk.skip(folder or ".", f"folder cannot be read: {error.strerror}")
        return []


def _reason_against_folder(entry: os.DirEntry[str]) -> str:
    name = entry.name
    if name.lower() in _FOLDER_METADATA:
        return "folder metadata"
    if name.startswith("."):
        return "hidden folder"
    if name.startswith("_"):
        return "folder whose name begins with _"
    if name.lower().endswith(_SUFFIXES):
        return "a folder, not a drawing"
    if Path(entry.path, ".vectorprep").is_dir():
        return "output folder of an earlier run"
    return ""


def _weigh_file(walk: _Walk, relative: str, entry: os.DirEntry[str]) -> None:
    lowered = entry.name.lower()
    reason = _reason_against_name(lowered)
    if reason:
        walk.skip(relative, reason)
    elif lowered.endswith(_SUFFIXES):
        try:
            mode = entry.stat(follow_symlinks=False).st_mode
        except OSError as error:
            walk.skip(relative, f"cannot be looked at: {error.strerror}")
            return
        _sort_by_kind(walk, relative, mode)


def _reason_against_name(lowered: str) -> str:
    if lowered in _FOLDER_METADATA or (lowered.startswith("._") and ".svg" in lowered):
        return "folder metadata"
    if ".svg" not in lowered:
        return ""
    if lowered.startswith((".#", ".~", "~$", "#")) or lowered.endswith(
        ("~", "#", ".tmp", ".bak", ".swp", ".swo", ".part", ".crdownload")
    ):
        return "temporary file of an editor"
    if lowered.startswith("."):
        return "hidden file"
    return ""


def _sort_by_kind(walk: _Walk, relative: str, mode: int) -> None:
    if stat.S_ISREG(mode):
        walk.taken.append(relative)
    elif stat.S_ISLNK(mode):
        walk.links.append(relative)
    else:
        walk.skip(relative, f"{_kind(mode)}, not a file")


def _kind(mode: int) -> str:
    kinds: tuple[tuple[Callable[[int], bool], str], ...] = (
        (stat.S_ISFIFO, "named pipe"),
        (stat.S_ISSOCK, "socket"),
        (stat.S_ISCHR, "device"),
        (stat.S_ISBLK, "device"),
        (stat.S_ISDIR, "folder"),
    )
    return next((word for test, word in kinds if test(mode)), "special file")


def _source(walk: _Walk, relative: str, seen: dict[str, str], *, is_link: bool) -> Source | None:
    shown_path = _posix(relative)
    real = f"{walk.root.rstrip(os.sep)}{os.sep}{relative}"
    file = relative
    if is_link:
        real = os.path.realpath(real)
        reason = _reason_against_link(walk.root, real)
        if reason:
            walk.skip(relative, reason)
            return None
        file = os.path.relpath(real, walk.root)
    if real in seen:
        if seen[real] != shown_path:
            walk.skip(relative, f"the same file as {seen[real]}")
        return None
    seen[real] = shown_path
    return Source(name=PurePosixPath(shown_path).stem, path=shown_path, root=walk.root, file=file, bytes=_length(real))


def _length(real: str) -> int:
    try:
        return os.lstat(real).st_size
    except OSError:  # gone since it was listed; reading it will say so
        return 0


def _reason_against_link(root: str, real: str) -> str:
    if not real.startswith(root.rstrip(os.sep) + os.sep):
        return "link out of its folder"
    try:
        mode = os.lstat(real).st_mode
    except OSError:
        return "link to nothing"
    return "" if stat.S_ISREG(mode) else f"link to a {_kind(mode)}"


def _posix(relative: str) -> str:
    return shown(relative.replace(os.sep, "/"))


def _named_apart(sources: Sequence[Source]) -> tuple[Source, ...]:
    groups: dict[str, list[Source]] = {}
    for source in sources:
        groups.setdefault(source.name, []).append(source)
    named = {id(source): name for group in groups.values() for source, name in _names_of_alike(group)}
    return tuple(_numbered(replace(source, name=named[id(source)]) for source in sources))


def _names_of_alike(group: Sequence[Source]) -> list[tuple[Source, str]]:
    if len(group) == 1:
        return [(group[0], group[0].name)]
    ways: tuple[Callable[[Source], str], ...] = (
        lambda source: _with_parent(PurePosixPath(source.path)),
        lambda source: str(PurePosixPath(source.path).with_suffix("")),
        lambda source: source.path,
        lambda source: f"{shown(Path(source.root).name)}/{source.path}",
    )
    for way in ways:
        names = [way(source) for source in group]
        if len(set(names)) == len(names):
            break
    return list(zip(group, names, strict=True))


def _with_parent(path: PurePosixPath) -> str:
    return f"{path.parent.name}/{path.stem}" if path.parent.name else path.stem


def _numbered(sources: Iterator[Source]) -> Iterator[Source]:
    used: Counter[str] = Counter()
    for source in sources:
        name = source.name
        while used[name]:
            used[source.name] += 1
            name = f"{source.name} ({used[source.name]})"
        used[name] += 1
        yield replace(source, name=name)


def _read_steady(source: Source, limit: int) -> bytes | None:
    try:
        handle = _open_inside(source)
    except FileNotFoundError as error:
        raise ArtworkRefused(
            f"{source.path}: the file has vanished since the folder was listed",
            fix="put it back or run the same command again",
            code="source-vanished",
        ) from error
    except OSError as error:
        raise ArtworkRefused(
            f"{source.path}: cannot be read: {error.strerror}",
            fix="check its permissions and that it is a plain file",
            code="source-unreadable",
        ) from error
    with os.fdopen(handle, "rb", buffering=0) as file:
        before = os.fstat(handle)
        _require_plain(source, before, limit)
        try:
            data = _read_up_to(file.read, limit + 1)
            file.seek(0)
            # The times of a file are too coarse on some systems to tell that it was overwritten in between.
            is_same = _read_up_to(file.read, limit + 1) == data
        except OSError as error:
            raise ArtworkRefused(f"{source.path}: cannot be read: {error.strerror}", code="source-unreadable") from error
        after = os.fstat(handle)
    is_steady = is_same and _is_untouched(before, after) and len(data) == after.st_size
    return data if is_steady else None


def _read_up_to(read: Callable[[int], bytes | None], limit: int) -> bytes:
    parts: list[bytes] = []
    left = limit
    while left > 0 and (part := read(left)):
        parts.append(part)
        left -= len(part)
    return b"".join(parts)


def _is_untouched(before: os.stat_result, after: os.stat_result) -> bool:
    """Whether nobody wrote in between; another file put in its place changes the time of its record alone."""
    is_same = (before.st_size, before.st_mtime_ns) == (after.st_size, after.st_mtime_ns)
    return is_same and (before.st_ctime_ns == after.st_ctime_ns or after.st_nlink < before.st_nlink)


def _require_plain(source: Source, seen: os.stat_result, limit: int) -> None:
    if not stat.S_ISREG(seen.st_mode):
        raise ArtworkRefused(f"{source.path}: a {_kind(seen.st_mode)}, not a file", code="source-not-a-file")
    if seen.st_size > limit:
        raise ArtworkRefused(
            f"{source.path}: {seen.st_size / 1e6:.1f} MB, above the limit of {limit / 1e6:g} MB",
            fix="simplify the drawing, or embed smaller pictures in it",
            code="source-too-large",
        )


def _open_inside(source: Source) -> int:
    """Opens the file folder by folder, so that no part of the way may have become a link since the scan."""
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)
    # A named pipe that took the file's place must not make the run wait for a writer.
    flags |= getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_CLOEXEC", 0)
    if os.open not in os.supports_dir_fd:
        return os.open(source.real_path, flags)
    *folders, file = Path(source.file).parts
    at = os.open(source.root, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        for folder in folders:
            deeper = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW | os.O_CLOEXEC, dir_fd=at)
            os.close(at)
            at = deeper
        return os.open(file, flags, dir_fd=at)
    finally:
        os.close(at)
