"""Reading: bytes of drawings, texts of settings and profiles, and the data of the package."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from vectorprep.errors import ArtworkRefused, FolderError, UsageError
from vectorprep.store import Source, find_settings, hash_file, package_folder, read_folder, read_source, read_text, scan

LIMIT = 1000


def _source(tmp_path: Path, data: bytes = b"<svg/>", name: str = "fox.svg") -> Source:
    (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
    (tmp_path / name).write_bytes(data)
    return next(source for source in scan([str(tmp_path)]).sources if source.path == name)


def _refusal(source: Source) -> ArtworkRefused:
    with pytest.raises(ArtworkRefused) as caught:
        read_source(source, LIMIT)
    assert source.path in caught.value.message
    return caught.value


def test_a_drawing_is_read_whole(tmp_path: Path) -> None:
    """The bytes are those on the disk, up to exactly the limit."""
    data = bytes(range(250)) * 4
    assert read_source(_source(tmp_path, data, "in/fox.svg"), LIMIT) == data


def test_a_drawing_above_the_limit_is_refused_with_both_figures(tmp_path: Path) -> None:
    """One byte more than the limit is refused."""
    assert _refusal(_source(tmp_path, b"x" * (LIMIT + 1))).code == "source-too-large"


def test_a_vanished_drawing_is_named(tmp_path: Path) -> None:
    """A file deleted after listing is refused under its name."""
    source = _source(tmp_path)
    source.real_path.unlink()
    assert _refusal(source).code == "source-vanished"


def test_a_drawing_that_became_a_link_is_not_followed(tmp_path: Path) -> None:
    """A file replaced by a link after listing is refused, and so is one whose folder was replaced by a link."""
    secret = tmp_path / "secret"
    secret.mkdir()
    (secret / "fox.svg").write_bytes(b"secret")
    source = _source(tmp_path / "art")
    source.real_path.unlink()
    source.real_path.symlink_to(secret / "fox.svg")
    assert _refusal(source).code == "source-unreadable"
    nested = _source(tmp_path / "art", name="in/fox.svg")
    nested.real_path.unlink()
    nested.real_path.parent.rmdir()
    nested.real_path.parent.symlink_to(secret)
    assert _refusal(nested).code == "source-unreadable"


def test_a_drawing_that_became_a_pipe_does_not_block(tmp_path: Path) -> None:
    """A named pipe in the place of a listed file is refused at once."""
    source = _source(tmp_path)
    source.real_path.unlink()
    os.mkfifo(source.real_path)
    assert _refusal(source).code == "source-not-a-file"


def test_a_device_is_not_read(tmp_path: Path) -> None:
    """An endless device is no drawing, even when asked for by name."""
    assert _refusal(replace(_source(tmp_path), root="/dev", file="zero")).code == "source-not-a-file"


def test_a_drawing_replaced_all_the_time_is_read_old_or_new(tmp_path: Path) -> None:
    """While new versions are put in its place all the time, each reading is one whole version."""
    versions = [bytes([letter]) * 400_000 for letter in b"ab"]
    source = _source(tmp_path, versions[0])

    def replaced(version: bytes) -> None:
        (tmp_path / "new").write_bytes(version)
        (tmp_path / "new").replace(source.real_path)

    with _kept_doing(lambda: list(map(replaced, versions))):
        answers = {read_source(source, 400_000) for _ in range(60)}
    assert answers <= set(versions)


def test_a_drawing_that_grows_all_the_time_is_read_as_it_stood_or_refused(tmp_path: Path) -> None:
    """A file that is being written is read as it was at one moment, or refused because it changes."""
    source = _source(tmp_path, b"")

    def grow() -> None:
        with source.real_path.open("ab") as file:
            file.write(b"x" * 1000)
        time.sleep(0.0002)

    answers: list[str] = []
    with _kept_doing(grow):
        for _ in range(60):
            try:
                answers.append(read_source(source, 10**9).decode().strip("x"))
            except ArtworkRefused as refusal:
                answers.append(refusal.code)
    assert set(answers) <= {"", "source-changing"}


@contextmanager
def _kept_doing(action: Callable[[], object]) -> Iterator[None]:
    ended = threading.Event()

    def repeat() -> None:
        while not ended.is_set():
            action()

    thread = threading.Thread(target=repeat)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join()


def test_text_is_utf8_with_or_without_mark(tmp_path: Path) -> None:
    """A byte order mark at the start is not part of the text."""
    (tmp_path / "a.toml").write_bytes(b"\xef\xbb\xbfcolour = 1")
    assert read_text(tmp_path / "a.toml") == "colour = 1"


@pytest.mark.parametrize(
    ("data", "code"),
    [(b"\xff\xfea", "text-not-utf8"), (b" " * 2_000_001, "text-too-large"), (None, "no-such-file")],
)
def test_text_that_cannot_be_used_is_a_usage_error(tmp_path: Path, data: bytes | None, code: str) -> None:
    """Missing, huge and not UTF-8 are told apart and name the file."""
    if data is not None:
        (tmp_path / "a.toml").write_bytes(data)
    with pytest.raises(UsageError, match=r"a\.toml") as caught:
        read_text(tmp_path / "a.toml")
    assert caught.value.code == code


def test_the_nearest_settings_file_going_up_is_found(tmp_path: Path) -> None:
    """The first start is searched upwards to the end before the next one."""
    deep = tmp_path / "shop" / "in" / "deep"
    deep.mkdir(parents=True)
    other = tmp_path / "other"
    other.mkdir()
    (other / "vectorprep.toml").write_text("")
    assert find_settings(deep, other) == other / "vectorprep.toml"
    (tmp_path / "shop" / "vectorprep.toml").write_text("")
    assert find_settings(deep / "fox.svg", other) == tmp_path / "shop" / "vectorprep.toml"
    (deep / "vectorprep.toml").write_text("")
    assert find_settings(deep / "fox.svg", other) == deep / "vectorprep.toml"


def test_a_folder_of_profiles_is_read_sorted(tmp_path: Path) -> None:
    """Only files of the ending count, in the order of their names."""
    for name in ("b.toml", "a.toml", ".c.toml", "d.txt"):
        (tmp_path / name).write_text(name)
    assert list(read_folder(tmp_path).items()) == [("a.toml", "a.toml"), ("b.toml", "b.toml")]
    with pytest.raises(UsageError, match="no such folder"):
        read_folder(tmp_path / "none")


def test_the_package_finds_its_own_folders_and_misses_others_by_name() -> None:
    """A folder the package does not bring along is reported by name."""
    assert package_folder("profiles").is_dir()
    with pytest.raises(UsageError, match="no-such"):
        package_folder("no-such")


def test_hash_of_a_file(tmp_path: Path) -> None:
    """SHA-256 of `abc` is the check value of FIPS 180-4's examples; a missing file is a folder error."""
    (tmp_path / "abc").write_bytes(b"abc")
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"  # NIST, SHA-256 example, one block
    assert hash_file(tmp_path / "abc") == (expected, 3)
    with pytest.raises(FolderError, match="cannot be read"):
        hash_file(tmp_path / "none")
