"""Looking into a folder without holding it, and writing one named file."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from vectorprep.errors import FolderError
from vectorprep.store import FolderReader, OutFolder, write_file


def test_an_output_folder_can_be_read_while_a_run_holds_it(tmp_path: Path) -> None:
    """Reading takes no lock, and finds files in folders below."""
    with OutFolder(tmp_path / "out") as out:
        out.write("in/a.png", b"one")
        reader = FolderReader(tmp_path / "out")
        assert (reader.exists("in/a.png"), reader.read("in/a.png")) == (True, b"one")


def test_a_folder_that_does_not_exist_holds_nothing(tmp_path: Path) -> None:
    """Missing folders and files are told by path, and looking makes nothing."""
    reader = FolderReader(tmp_path / "none")
    assert not reader.exists("a.png")
    with pytest.raises(FolderError, match=r"a\.png.*cannot be read"):
        reader.read("a.png")
    assert not (tmp_path / "none").exists()


def test_links_and_names_that_lead_out_are_not_followed(tmp_path: Path) -> None:
    """A link below the folder is not read, nor a name with `..`, which a damaged manifest may hold."""
    (tmp_path / "secret").write_bytes(b"secret")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "a.png").symlink_to(tmp_path / "secret")
    (tmp_path / "out" / "in").symlink_to(tmp_path)
    reader = FolderReader(tmp_path / "out")
    for name in ("a.png", "in/secret"):
        with pytest.raises(FolderError):
            reader.read(name)
    with pytest.raises(FolderError, match="not a name inside"):
        reader.read("../secret")
    assert not reader.exists("../secret")


def test_a_named_file_is_replaced_whole(tmp_path: Path) -> None:
    """An earlier file is replaced, also behind a link, and nothing else is left."""
    (tmp_path / "real.txt").write_bytes(b"before")
    (tmp_path / "link.txt").symlink_to("real.txt")
    write_file(tmp_path / "link.txt", b"after")
    assert (tmp_path / "real.txt").read_bytes() == b"after"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link.txt", "real.txt"]


@pytest.mark.skipif(sys.platform == "win32", reason="no named pipes in folders there")
def test_what_is_no_plain_file_is_not_replaced(tmp_path: Path) -> None:
    """A pipe, a folder and a missing folder are errors that name the path."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "folder").mkdir()
    for name in ("pipe", "folder", "none/report.txt"):
        with pytest.raises(FolderError, match=name):
            write_file(tmp_path / name, b"x")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["folder", "pipe"]
