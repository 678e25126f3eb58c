"""Listing drawings: which files are taken, which are passed over and why, and how they are named."""

from __future__ import annotations

import os
import socket
import sys
from pathlib import Path

import pytest

from vectorprep.errors import UsageError
from vectorprep.store import Scan, scan

ON_LINUX = pytest.mark.skipif(sys.platform != "linux", reason="names that are not UTF-8 exist on Linux only")


def _tree(root: Path, *files: str) -> Path:
    for file in files:
        path = root / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"<svg/>")
    return root


def _paths(found: Scan) -> list[str]:
    return [source.path for source in found.sources]


def _reasons(found: Scan) -> dict[str, str]:
    return {one.path: one.reason for one in found.skipped}


def test_both_endings_in_any_letter_case_are_taken_and_nothing_else(tmp_path: Path) -> None:
    """`.svg` and `.svgz` count in any letter case, also in folders below; other files are not even mentioned."""
    found = scan([str(_tree(tmp_path, "b.svg", "A.SVG", "c.SvgZ", "in/d.svg", "notes.txt", "picture.png"))])
    assert _paths(found) == ["A.SVG", "b.svg", "c.SvgZ", "in/d.svg"]
    assert found.skipped == ()


def test_order_of_arguments_does_not_matter(tmp_path: Path) -> None:
    """Sources are sorted by their path, whatever the order of the named folders and files."""
    _tree(tmp_path, "one/b.svg", "one/z.svg", "two/a.svg", "two/c.svg")
    arts = [str(tmp_path / "one"), str(tmp_path / "two")]
    assert scan(arts).sources == scan(arts[::-1]).sources
    assert _paths(scan(arts)) == ["a.svg", "b.svg", "c.svg", "z.svg"]


@pytest.mark.parametrize(
    ("file", "shown_as", "reason"),
    [
        (".hidden.svg", ".hidden.svg", "hidden file"),
        (".git/a.svg", ".git", "hidden folder"),
        ("_masters/a.svg", "_masters", "folder whose name begins with _"),
        ("in/_old/a.svg", "in/_old", "folder whose name begins with _"),
        ("__MACOSX/a.svg", "__MACOSX", "folder metadata"),
        ("._a.svg", "._a.svg", "folder metadata"),
        ("a.svg~", "a.svg~", "temporary file of an editor"),
        ("#a.svg#", "#a.svg#", "temporary file of an editor"),
        (".#a.svg", ".#a.svg", "temporary file of an editor"),
        ("~$a.svg", "~$a.svg", "temporary file of an editor"),
        ("folder.svg/a.svg", "folder.svg", "a folder, not a drawing"),
        ("made/.vectorprep/lock", "made", "output folder of an earlier run"),
    ],
)
def test_what_is_no_drawing_is_skipped_and_listed(tmp_path: Path, file: str, shown_as: str, reason: str) -> None:
    """Hidden, temporary and metadata files, `_`-folders and output folders are passed over with their reason."""
    found = scan([str(_tree(tmp_path, file, "made/x.svg" if "made" in file else "x.svg"))])
    assert _reasons(found) == {shown_as: reason}


def test_a_file_whose_name_begins_with_an_underscore_is_taken(tmp_path: Path) -> None:
    """Only folders are put aside by an underscore."""
    assert _paths(scan([str(_tree(tmp_path, "_fox.svg"))])) == ["_fox.svg"]


def test_a_named_file_is_taken_whatever_its_ending(tmp_path: Path) -> None:
    """Naming a file says that it is a drawing, even without ending or in a hidden place."""
    _tree(tmp_path, ".h/fox.xml", "owl")
    found = scan([str(tmp_path / ".h" / "fox.xml"), str(tmp_path / "owl")])
    assert [(source.name, source.path) for source in found.sources] == [("fox", "fox.xml"), ("owl", "owl")]


def test_a_missing_argument_is_a_usage_error_with_all_missing_names(tmp_path: Path) -> None:
    """All names that do not exist are told at once."""
    with pytest.raises(UsageError, match=r"no-a.*no-b"):
        scan([str(tmp_path / "no-a"), str(tmp_path), str(tmp_path / "no-b")])


def test_the_same_file_is_taken_once(tmp_path: Path) -> None:
    """A folder named twice, or a file in a named folder, gives one source."""
    _tree(tmp_path, "in/fox.svg")
    found = scan([str(tmp_path), str(tmp_path / "in" / "fox.svg"), str(tmp_path / "in")])
    assert _paths(found) == ["in/fox.svg"]
    assert _reasons(found) == {"fox.svg": "the same file as in/fox.svg"}


def test_links_are_followed_inside_their_folder_only(tmp_path: Path) -> None:
    """A link to a file elsewhere in the folder counts, a link out, to a folder, to nothing or to a listed file does not."""
    art = _tree(tmp_path, "art/_masters/deep.svg", "art/fox.svg", "secret.svg") / "art"
    (art / "deep.svg").symlink_to("_masters/deep.svg")
    (art / "again.svg").symlink_to("fox.svg")
    (art / "out.svg").symlink_to(tmp_path / "secret.svg")
    (art / "lost.svg").symlink_to("nothing.svg")
    (art / "loop.svg").symlink_to(art)
    found = scan([str(art)])
    assert [(source.path, source.real_path) for source in found.sources] == [
        ("deep.svg", art / "_masters" / "deep.svg"),
        ("fox.svg", art / "fox.svg"),
    ]
    assert _reasons(found) == {
        "_masters": "folder whose name begins with _",
        "again.svg": "the same file as fox.svg",
        "out.svg": "link out of its folder",
        "lost.svg": "link to nothing",
        "loop.svg": "link out of its folder",
    }


def test_a_linked_folder_is_not_entered(tmp_path: Path) -> None:
    """Links to folders below a named folder are left alone, so that walking ends and stays inside."""
    art = _tree(tmp_path, "art/fox.svg", "elsewhere/owl.svg") / "art"
    (art / "more").symlink_to(tmp_path / "elsewhere")
    assert _paths(scan([str(art)])) == ["fox.svg"]


def test_a_named_link_out_of_its_folder_is_skipped(tmp_path: Path) -> None:
    """Also a link that is named itself, as by `art/*.svg`, is not followed out."""
    _tree(tmp_path, "art/fox.svg", "secret.svg")
    (tmp_path / "art" / "s.svg").symlink_to(tmp_path / "secret.svg")
    found = scan([str(tmp_path / "art" / "s.svg")])
    assert found.sources == ()
    assert _reasons(found) == {"s.svg": "link out of its folder"}


def test_pipes_and_sockets_are_listed_and_never_opened(tmp_path: Path) -> None:
    """Listing ends at once with a named pipe and a socket present."""
    os.mkfifo(tmp_path / "pipe.svg")
    with socket.socket(socket.AF_UNIX) as plug:
        plug.bind(str(tmp_path / "plug.svg"))
        found = scan([str(tmp_path), str(tmp_path / "pipe.svg")])
    assert found.sources == ()
    assert _reasons(found) == {"pipe.svg": "named pipe, not a file", "plug.svg": "socket, not a file"}


@ON_LINUX
def test_names_that_are_not_utf8_are_shown_escaped_and_stay_readable(tmp_path: Path) -> None:
    """A byte that is no UTF-8, a control character and a reversing character print as escapes; the file is still found."""
    for name in (b"caf\xe9.svg", b"two\nlines.svg", "re\u202everse.svg".encode()):
        Path(os.fsdecode(bytes(os.fsencode(tmp_path)) + b"/" + name)).write_bytes(b"<svg/>")
    found = scan([str(tmp_path)])
    assert _paths(found) == ["caf\\xe9.svg", "re\\u202everse.svg", "two\\x0alines.svg"]
    assert all(source.real_path.exists() for source in found.sources)
    assert [source.path.encode("utf-8").decode() for source in found.sources] == _paths(found)


@pytest.mark.parametrize(
    ("files", "names"),
    [
        (["fox.svg", "owl.svg"], ["fox", "owl"]),
        (["fox.svg", "in/fox.svg", "in/owl.svg"], ["fox", "in/fox", "owl"]),
        (["a/in/fox.svg", "b/in/fox.svg"], ["a/in/fox", "b/in/fox"]),
        (["in/fox.svg", "in/fox.svgz"], ["in/fox.svg", "in/fox.svgz"]),
        (["fox.svg.svg", "fox.svg", "fox.svgz"], ["fox.svg", "fox.svg (2)", "fox.svgz"]),
    ],
)
def test_alike_names_are_told_apart_by_their_folder(tmp_path: Path, files: list[str], names: list[str]) -> None:
    """A name is the file's stem, with its folder where two are alike, and unique in every case."""
    found = scan([str(_tree(tmp_path, *files))])
    assert sorted(source.name for source in found.sources) == sorted(names)


def test_alike_paths_of_two_folders_are_told_apart_by_the_folders(tmp_path: Path) -> None:
    """Where two ART folders hold the same relative path, the name says which folder."""
    _tree(tmp_path, "one/fox.svg", "two/fox.svg")
    found = scan([str(tmp_path / "one"), str(tmp_path / "two")])
    assert [source.name for source in found.sources] == ["one/fox.svg", "two/fox.svg"]
