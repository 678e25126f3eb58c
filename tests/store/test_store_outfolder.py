"""The output folder: whole files or none, one run at a time, nothing foreign replaced, nothing outside touched."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from vectorprep.errors import FolderBusy, FolderError
from vectorprep.store import OutFolder, check_out_folder
from vectorprep.store.disk import TEMP_PREFIX

NEEDS_FULL_DISK = pytest.mark.skipif(
    sys.platform != "linux" or os.geteuid() != 0 or shutil.which("mount") is None, reason="needs the right to mount a small disk"
)


def _files(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and ".vectorprep" not in path.parts
    }


@pytest.fixture
def out(tmp_path: Path) -> Iterator[OutFolder]:
    """An output folder that is held."""
    with OutFolder(tmp_path / "out") as folder:
        yield folder


def test_a_written_file_is_there_and_no_temporary_one(out: OutFolder) -> None:
    """Files go under their names, also in folders below, which are made."""
    assert out.write("a.png", b"one").state == "made"
    assert out.write("thumbs/a.webp", b"two").state == "made"
    assert _files(out.path) == {"a.png": b"one", "thumbs/a.webp": b"two"}


def test_the_same_bytes_are_kept_and_other_ones_are_foreign(out: OutFolder) -> None:
    """A file that is not known as ours stays: kept where its bytes are those to be written, else a refusal that names it."""
    (out.path / "a.png").write_bytes(b"one")
    assert out.write("a.png", b"one").state == "kept"
    with pytest.raises(FolderError, match=r"a\.png") as caught:
        out.write("a.png", b"two")
    assert caught.value.code == "foreign-file"
    assert _files(out.path) == {"a.png": b"one"}
    assert out.write("a.png", b"two", own=True).state == "made"
    assert _files(out.path) == {"a.png": b"two"}


def test_force_replaces_foreign_files(tmp_path: Path) -> None:
    """With force a foreign file is replaced; a folder of that name never is, and the failed attempt leaves nothing behind."""
    (tmp_path / "a.png").write_bytes(b"one")
    (tmp_path / "b.png").mkdir()
    with OutFolder(tmp_path, force=True) as out:
        out.write("a.png", b"two")
        with pytest.raises(FolderError, match=r"b\.png.*folder of that name"):
            out.write("b.png", b"two")
    assert _files(tmp_path) == {"a.png": b"two"}


def test_a_link_is_replaced_and_never_written_through(tmp_path: Path) -> None:
    """A link at a target name is foreign; forced, the link goes and the file behind it stays as it was."""
    (tmp_path / "behind").write_bytes(b"precious")
    with OutFolder(tmp_path / "out", force=True) as out:
        (out.path / "a.png").symlink_to(tmp_path / "behind")
        out.write("a.png", b"new")
        out.force = False
        (out.path / "b.png").symlink_to(tmp_path / "behind")
        with pytest.raises(FolderError, match="in the way"):
            out.write("b.png", b"precious")
    assert (tmp_path / "behind").read_bytes() == b"precious"
    assert not (tmp_path / "out" / "a.png").is_symlink()


def test_a_linked_folder_below_is_not_entered(tmp_path: Path) -> None:
    """A link in the place of a folder below is an error, so that nothing is written outside."""
    (tmp_path / "elsewhere").mkdir()
    with OutFolder(tmp_path / "out") as out:
        (out.path / "thumbs").symlink_to(tmp_path / "elsewhere")
        with pytest.raises(FolderError, match="thumbs"):
            out.write("thumbs/a.webp", b"x")
    assert _files(tmp_path / "elsewhere") == {}


@pytest.mark.parametrize(
    "name", ["", ".", "..", "../a", "/a", "a//b", "a/../b", "a\x00", "a\nb", "a\\b", "x" * 256, f"{TEMP_PREFIX}1"]
)
def test_a_name_that_leads_elsewhere_is_a_bug(out: OutFolder, name: str) -> None:
    """Names that are not plain names below the folder are never used."""
    with pytest.raises(ValueError, match="not a name inside"):
        out.write(name, b"x")


def test_the_folder_swapped_for_a_link_during_the_run_changes_nothing(tmp_path: Path) -> None:
    """Writes go to the folder that was opened, even if its name points elsewhere meanwhile."""
    (tmp_path / "elsewhere").mkdir()
    with OutFolder(tmp_path / "out") as out:
        (tmp_path / "out").rename(tmp_path / "moved")
        (tmp_path / "out").symlink_to(tmp_path / "elsewhere")
        out.write("a.png", b"x")
        (tmp_path / "out").unlink()
        (tmp_path / "moved").rename(tmp_path / "out")
    assert _files(tmp_path / "elsewhere") == {}
    assert _files(tmp_path / "out") == {"a.png": b"x"}


def test_a_second_run_is_told_at_once_and_the_lock_ends_with_the_first(tmp_path: Path) -> None:
    """The lock refuses a second holder in well under a second, and is free again afterwards although its file stays."""
    with OutFolder(tmp_path / "out"):
        begin = time.monotonic()
        with pytest.raises(FolderBusy, match="another run"), OutFolder(tmp_path / "out"):
            pass
        assert time.monotonic() - begin < 0.5
    with OutFolder(tmp_path / "out") as again:
        assert (again.path / ".vectorprep" / "lock").exists()


def test_the_lock_is_not_inherited_by_children(tmp_path: Path) -> None:
    """A child that outlives the holder does not keep the folder busy."""
    with OutFolder(tmp_path / "out"):
        code = "import time; print(flush=True); time.sleep(30)"
        child = subprocess.Popen([sys.executable, "-c", code], close_fds=False, stdout=subprocess.PIPE)
    assert child.stdout is not None
    child.stdout.readline()
    try:
        with OutFolder(tmp_path / "out"):
            assert child.poll() is None
    finally:
        child.kill()
        child.communicate()


def test_left_over_temporary_files_are_cleared_and_others_stay(tmp_path: Path) -> None:
    """What a killed run left half-written goes at the next start, also in folders below; every other hidden file stays."""
    for name in (f"{TEMP_PREFIX}3", f"in/{TEMP_PREFIX}9", ".mine", "in/.vectorprep-note"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(b"half")
    with OutFolder(tmp_path):
        assert set(_files(tmp_path)) == {".mine", "in/.vectorprep-note"}


@pytest.mark.parametrize(
    ("art", "out", "relation"),
    [
        ("art", "art", "is"),
        ("art", "art/out", "lies inside"),
        ("art", ".", "lies around"),
        ("art", "link", "is"),
        ("art/fox.svg", "art", "is"),
    ],
)
def test_the_folder_of_the_drawings_is_refused(tmp_path: Path, art: str, out: str, relation: str) -> None:
    """The output folder may not be the folder of the drawings, in it or around it, also by way of a link."""
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "fox.svg").write_bytes(b"<svg/>")
    (tmp_path / "link").symlink_to("art")
    with pytest.raises(FolderError, match=f"output folder {relation}"):
        check_out_folder(tmp_path / out, [str(tmp_path / art)])
    assert sorted(path.name for path in (tmp_path / "art").iterdir()) == ["fox.svg"]


def test_a_folder_beside_a_named_drawing_will_do(tmp_path: Path) -> None:
    """For a single named file only its own folder is refused, not one in it; checking makes nothing."""
    (tmp_path / "fox.svg").write_bytes(b"<svg/>")
    assert check_out_folder(tmp_path / "out", [str(tmp_path / "fox.svg")]) == tmp_path / "out"
    assert not (tmp_path / "out").exists()


def test_a_file_or_a_path_through_a_file_is_no_folder(tmp_path: Path) -> None:
    """A file in the place of the folder or of one above it is refused by name."""
    (tmp_path / "file").write_bytes(b"")
    for path in (tmp_path / "file", tmp_path / "file" / "out"):
        with pytest.raises(FolderError, match=r"file.*not a folder"):
            check_out_folder(path)


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="permissions do not bind here")
def test_a_folder_without_write_permission_is_refused(tmp_path: Path) -> None:
    """No permission is said before the start."""
    tmp_path.chmod(0o500)
    with pytest.raises(FolderError, match="no permission"):
        check_out_folder(tmp_path / "out")


def test_a_second_name_is_a_hard_link_and_repeating_it_leaves_nothing_behind(out: OutFolder) -> None:
    """Linking twice gives one file of two names and no temporary file."""
    out.write("a.png", b"one")
    assert out.link_or_copy("a.png", "b.png").state == "made"
    assert out.link_or_copy("a.png", "b.png", own=True).state == "made"
    assert (out.path / "a.png").samefile(out.path / "b.png")
    assert _files(out.path) == {"a.png": b"one", "b.png": b"one"}


def test_a_second_name_in_another_folder_is_a_copy_and_foreign_files_stay(out: OutFolder) -> None:
    """Across folders the bytes are copied; a foreign file at the second name is refused."""
    out.write("a.png", b"one")
    out.link_or_copy("a.png", "in/b.png")
    (out.path / "c.png").write_bytes(b"foreign")
    with pytest.raises(FolderError, match=r"c\.png"):
        out.link_or_copy("a.png", "c.png")
    assert _files(out.path) == {"a.png": b"one", "c.png": b"foreign", "in/b.png": b"one"}


def test_rewriting_one_name_leaves_the_other_name_of_a_linked_file(out: OutFolder) -> None:
    """A file of two names is replaced under one of them only."""
    out.write("a.png", b"one")
    out.link_or_copy("a.png", "b.png")
    out.write("a.png", b"two", own=True)
    assert _files(out.path) == {"a.png": b"two", "b.png": b"one"}


def test_stale_outputs_go_only_while_they_are_as_recorded(out: OutFolder) -> None:
    """An output whose bytes are still ours is removed, one that was altered stays, one that is gone counts as gone."""
    for name in ("a.png", "b.png"):
        out.write(name, b"one")
    recorded = {name: found[0] for name, found in out.hash_all(["a.png", "b.png"]).items() if found}
    (out.path / "b.png").write_bytes(b"touched up")
    assert out.remove_stale(recorded | {"gone.png": "0" * 64}) == ("a.png", "gone.png")
    assert _files(out.path) == {"b.png": b"touched up"}


def test_hashing_tells_missing_linked_and_special_files(out: OutFolder) -> None:
    """Only a plain file has a hash; a name that leads elsewhere, as a damaged manifest may hold, has none."""
    out.write("a.png", b"abc")
    (out.path / "link.png").symlink_to("a.png")
    os.mkfifo(out.path / "pipe.png")
    found = out.hash_all(["a.png", "link.png", "pipe.png", "none.png", "none/none.png", "../out/a.png", ""])
    assert [name for name, value in found.items() if value] == ["a.png"]
    assert not (out.path / "none").exists()


def test_foreign_names_are_found_before_the_start(out: OutFolder) -> None:
    """Of the planned names those are told that lie there and are not ours."""
    for name in ("a.png", "b.png"):
        (out.path / name).write_bytes(b"")
    assert out.foreign(["a.png", "b.png", "c.png"], {"a.png"}.__contains__) == ("b.png",)


def test_too_little_space_is_told_with_both_figures(out: OutFolder) -> None:
    """A need above the free space is a folder error with both figures; a need within it passes."""
    out.require_space(0)
    with pytest.raises(FolderError, match=r"MB will be needed, \d+ MB are free"):
        out.require_space(out.free_bytes() * 2)


@NEEDS_FULL_DISK
def test_a_full_disk_leaves_the_earlier_file_and_names_path_and_reason(tmp_path: Path) -> None:
    """When the disk is full the write fails with path and reason, the file from before is whole, nothing half-written stays."""
    disk = tmp_path / "disk"
    disk.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", disk], check=True)
    try:
        with OutFolder(disk / "out") as out:
            out.write("a.png", b"good" * 1000)
            with pytest.raises(FolderError, match=re.escape(f"{out.path / 'a.png'}: cannot be written: the disk is full")):
                out.write("a.png", b"x" * 1_000_000, own=True)
            assert _files(out.path) == {"a.png": b"good" * 1000}
    finally:
        subprocess.run(["umount", disk], check=True)
