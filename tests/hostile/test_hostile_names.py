"""Odd names of drawings from folder to folder: one input, one output name, nothing outside the out folder, nothing opened that is no file."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import socket
import subprocess
import sys
import threading
import time
import unicodedata
from pathlib import Path
from typing import Any

import pytest

from tests.hostile.hostile_cases import NS

pytestmark = [pytest.mark.faults, pytest.mark.skipif(sys.platform != "linux", reason="makes names that only Linux allows")]
PRODUCT = "patch-printed-round-75mm"
OK, SOME_FAILED = 0, 3
RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
NAMES = (
    *("CON.svg", "nul.SVG", "aux.tar.svg", "COM1.svg", "lpt9.svgz.svg", "prn .svg", "CON--x.svg"),
    *("Logo.svg", "logo.svg", "LOGO.SVG", "lögö.svg", "lo\u0308go\u0308.svg", "Straße.svg", "STRASSE.svg", "ﬁsh.svg", "fish.svg"),
    *("-rf.svg", "--out.svg", "-.svg", "a--b.svg", "a--tee.svg", "dots...svg", "trailing .svg", "trailing..svg"),
    *(" .svg", "   x   .svg", "~.svg", "$HOME.svg", "`id`.svg", "$(id).svg", "%00.svg", "%2e%2e%2f.svg", "a;b&c|d.svg"),
    *('quote".svg', "quote'.svg", "back\\slash.svg", "x..\\up.svg", "C:colon.svg", "star*.svg", "ask?.svg", "<b>.svg", "a\\nb.svg"),
    *("line\nbreak.svg", "tab\t.svg", "return\r.svg", "bell\a.svg", "esc\x1b[31mred\x1b[0m.svg", "del\x7f.svg"),
    *(
        "\u202egnp.svg",
        "zero\u200bwidth.svg",
        "zerowidth.svg",
        "bom\ufeff.svg",
        "soft\u00adhyphen.svg",
        "line\u2028sep.svg",
        "\u2066iso\u2069.svg",
    ),
    *("=1+1.svg", "+cmd.svg", "@sum.svg", "=cmd|' 'C'!A0.svg"),
    *(
        "é" * 120 + ".svg",
        "漢" * 80 + ".svg",
        "x" * 250 + ".svg",
        "x" * 249 + "y.svg",
        "e\u0301" * 80 + ".svg",
        "\U0001f98a" * 60 + ".svg",
    ),
    *(
        "\U0001f469\u200d\U0001f467.svg",
        "👩👧.svg",
        "\ue000.svg",
        "\u0378.svg",
        "Ǆ.svg",
        "\u0131.svg",
        "İ.svg",
        "i.svg",
        "K.svg",
        "k.svg",
    ),
    *(
        "a.svg",
        "a.svgz",
        "a.SVG",
        "a.svg.svg",
        "manifest.json.svg",
        "outputs.svg",
        "review.html.svg",
        "1.svg",
        "(1).svg",
    ),
)
RAW = (b"latin-\xe9.svg", b"latin-\xe8.svg", b"\xff\xfe.svg", b"\xed\xa0\x80.svg", b"half-\xc3.svg")
BELOW = ("sub/a.svg", "sub/CON.svg", "Sub/a.svg", "sub/deep/a.svg", "con/x.svg", "sub../a.svg", "sub\nline/a.svg", "sub -/a.svg")


def drawing(index: int) -> bytes:
    """One of many different drawings."""
    return (
        f'<svg {NS} width="80" height="80"><rect x="5" y="5" width="{10 + index / 4}" height="30" fill="#205040"/></svg>'.encode()
    )


class Folder:
    """The folder of drawings and the command."""

    def __init__(self, room: Path) -> None:
        self.room, self.art, self.out = room, room / "art", room / "out"
        self.art.mkdir()
        (room / "vectorprep.toml").write_text("")

    def put(self, name: bytes, index: int) -> None:
        """Writes one drawing under the very bytes of the name."""
        place = os.path.join(os.fsencode(self.art), name)  # noqa: PTH118 - names that are no text
        os.makedirs(os.path.dirname(place), exist_ok=True)  # noqa: PTH103, PTH120
        with open(place, "wb") as file:  # noqa: PTH123
            file.write(drawing(index))

    def run(self, form: str = "json", *, jobs: int = 2, arts: tuple[str, ...] = ()) -> subprocess.CompletedProcess[bytes]:
        """Runs the command."""
        command = [sys.executable, "-m", "vectorprep", "convert", "--out", str(self.out), "--product", PRODUCT]
        command += ["--format", form, "--jobs", str(jobs), "--settings", str(self.room / "vectorprep.toml")]
        command += ["--", *(arts or (str(self.art),))]
        environment = os.environ | {"PYTHONPATH": os.pathsep.join(os.path.realpath(path) for path in sys.path)}
        return subprocess.run(command, check=False, capture_output=True, cwd=self.room, env=environment, timeout=300)

    def verify(self) -> int:
        """The exit code of `verify`."""
        environment = os.environ | {"PYTHONPATH": os.pathsep.join(os.path.realpath(path) for path in sys.path)}
        command = [sys.executable, "-m", "vectorprep", "verify", str(self.out)]
        return subprocess.run(command, check=False, capture_output=True, cwd=self.room, env=environment).returncode


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    """A fresh one."""
    return Folder(tmp_path)


def key_of(name: str) -> str:
    """What file systems without case or with composed accents see of a name."""
    visible = "".join(char for char in name if unicodedata.category(char) != "Cf")
    return unicodedata.normalize("NFC", unicodedata.normalize("NFKC", visible).casefold())


def require_safe(name: str) -> None:
    """A name of an output can lie on any common file system and be typed and shown without harm."""
    assert unicodedata.is_normalized("NFC", name), name
    assert len(name.encode()) <= 255, name
    assert not re.search(r'[\x00-\x1f\x7f<>:"/\\|?*]', name), name
    assert not any(unicodedata.category(char) in {"Cc", "Cf", "Cs"} for char in name), name
    assert not name.startswith((".", "-")), name
    assert not RESERVED.fullmatch(name.partition("--")[0]), name


def test_each_odd_name_gets_one_output_name_of_its_own(folder: Folder) -> None:
    """As many print files as drawings, all names safe and apart on every file system, the bytes of each of its own drawing."""
    names = [os.fsencode(name) for name in (*NAMES, *BELOW)] + list(RAW)
    for index, name in enumerate(names):
        folder.put(name, index)
    done = folder.run()
    assert done.returncode == OK, done.stderr.decode(errors="replace")
    record: dict[str, Any] = json.loads(done.stdout)
    assert (len(record["artworks"]), {artwork["status"] for artwork in record["artworks"]}) == (len(names), {"ok"})
    assert len({artwork["name"] for artwork in record["artworks"]}) == len(names)
    prints = [output["path"] for output in record["outputs"] if output["kind"] == "print-png"]
    assert (len(prints), len({key_of(path) for path in prints})) == (len(names), len(names))
    for output in record["outputs"]:
        require_safe(output["path"])
    assert len({output["sha256"] for output in record["outputs"] if output["kind"] == "print-png"}) == len(names)
    assert sorted(path.name for path in folder.room.iterdir()) == ["art", "out", "vectorprep.toml"]
    assert folder.verify() == OK


def test_tables_and_words_carry_odd_names_unharmed(folder: Folder) -> None:
    """Output on the terminal holds no control character, the table reads back with one row per drawing and no formula."""
    names = [os.fsencode(name) for name in NAMES] + list(RAW)
    for index, name in enumerate(names):
        folder.put(name, index)
    done = folder.run("text")
    assert done.returncode == OK, done.stderr.decode(errors="replace")
    shown = (done.stdout + done.stderr).decode("utf-8")
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f\u200b\u202e\u2028\u2066\ufeff]", shown)
    rows = list(csv.reader(io.StringIO((folder.out / "outputs.csv").read_text("utf-8"), newline="")))
    assert len(rows) == len(names) + 1
    assert not [cell for row in rows for cell in row if cell.startswith(("=", "+", "@", "\t", "\r")) or "\x1b" in cell]


def test_a_second_run_over_odd_names_makes_nothing(folder: Folder) -> None:
    """The names are the same whatever the order of reading and the number of workers, so that everything is kept."""
    for index, name in enumerate([*map(os.fsencode, NAMES), *RAW]):
        folder.put(name, index)
    first = json.loads(folder.run().stdout)
    before = (folder.out / "manifest.json").read_bytes()
    second = json.loads(folder.run(jobs=1).stdout)
    assert second["summary"]["outputs_made"] == 0
    assert second["summary"]["outputs_kept"] == first["summary"]["outputs"]
    assert (folder.out / "manifest.json").read_bytes() == before


def test_hidden_drawings_are_made_where_they_are_named(folder: Folder) -> None:
    """A folder's hidden files are passed over; named one by one they are drawings, with names that are not hidden any more."""
    names = (".hidden.svg", "...dots.svg", "..\\up.svg", ".svg.svg", "-dash.svg")
    for index, name in enumerate(names):
        folder.put(name.encode(), index)
    done = folder.run(arts=tuple(str(folder.art / name) for name in names))
    assert done.returncode == OK, done.stderr
    paths = [output["path"] for output in json.loads(done.stdout)["outputs"]]
    assert len(set(paths)) == 2 * len(names)
    for path in paths:
        require_safe(path)


def test_what_is_no_drawing_of_the_folder_is_never_opened(folder: Folder) -> None:
    """Pipes, sockets, devices, folders and links named like drawings are passed over and said; the run does not wait for them."""
    folder.put(b"good.svg", 1)
    outside = folder.room / "outside"
    outside.mkdir()
    (outside / "secret.svg").write_bytes(drawing(2))
    os.mkfifo(folder.art / "pipe.svg")
    (folder.art / "folder.svg").mkdir()
    links = {"out.svg": outside / "secret.svg", "up.svg": Path("../outside/secret.svg"), "nothing.svg": Path("none.svg")}
    links |= {
        "self.svg": Path("self.svg"),
        "device.svg": Path("/dev/zero"),
        "proc.svg": Path("/proc/self/environ"),
        "dir.svg": outside,
    }
    for name, target in links.items():
        (folder.art / name).symlink_to(target)
    (folder.art / "linked-folder").symlink_to(outside)
    with socket.socket(socket.AF_UNIX) as heard:
        heard.bind(os.path.relpath(folder.art / "socket.svg"))
        begin = time.monotonic()
        done = folder.run()
    assert done.returncode == OK, done.stderr
    assert time.monotonic() - begin < 20
    record = json.loads(done.stdout)
    assert [artwork["path"] for artwork in record["artworks"]] == ["good.svg"]
    words = done.stderr.decode()
    assert [name for name in ("pipe.svg", "folder.svg", "socket.svg", *links) if name not in words] == []


def test_empty_growing_and_vanishing_files_cost_only_themselves(folder: Folder) -> None:
    """A file that grows while it is read, one of no bytes and one that goes away are refused by name or drawn; the others are made."""
    for index in range(8):
        folder.put(b"good-%d.svg" % index, index)
    (folder.art / "empty.svg").write_bytes(b"")
    growing, vanishing = folder.art / "growing.svg", folder.art / "vanishing.svg"
    growing.write_bytes(drawing(50))
    vanishing.write_bytes(drawing(51))
    ended = threading.Event()

    def grow() -> None:
        while not ended.wait(0.001):
            with growing.open("ab") as file:
                file.write(b"<!-- more -->")
        vanishing.unlink(missing_ok=True)

    thread = threading.Thread(target=grow)
    thread.start()
    try:
        done = folder.run()
    finally:
        ended.set()
        thread.join()
    assert done.returncode == SOME_FAILED, done.stderr
    record = json.loads(done.stdout)
    states = {artwork["path"]: artwork["status"] for artwork in record["artworks"]}
    assert [states[f"good-{index}.svg"] for index in range(8)] == ["ok"] * 8
    assert states["empty.svg"] == "refused"
    assert states["growing.svg"] in {"ok", "refused"}
    assert folder.verify() == OK
