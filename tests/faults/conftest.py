"""The bench of the fault runs: drawings, the command, a clean run to compare with, and what must hold after any fault.

`VECTORPREP_FAULTS=full` runs the whole table of faults; otherwise each fault is tried a few times.
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

DESIGNS = 40
JOBS = 2
TEMP = ".vectorprep-part-"
PRODUCT = "patch-printed-round-75mm"
_TALLY: Counter[str] = Counter()


def workers_of(pid: int) -> list[int]:
    """Living worker processes that were started by that process, whoever their parent is now."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                words = (entry / "cmdline").read_bytes().split(b"\0")
                state = (entry / "stat").read_text().rpartition(")")[2].split()[0]
            except OSError:
                continue
            if b"vectorprep.run.worker" in words and any(f'"parent": {pid},'.encode() in word for word in words) and state != "Z":
                found.append(int(entry.name))
    return found


@dataclass
class Bench:
    """The command on forty small drawings, and a clean run of it."""

    room: Path
    clean: dict[str, str] = field(default_factory=dict)
    seconds: float = 0.0
    chance: random.Random = field(default_factory=lambda: random.Random(20))

    @property
    def art(self) -> Path:
        """The drawings."""
        return self.room / "art"

    @staticmethod
    def draw(folder: Path, *, shade: int = 0) -> None:
        """Puts forty different drawings there; another shade gives other bytes for each."""
        folder.mkdir(exist_ok=True)
        for index in range(DESIGNS):
            (folder / f"shape-{index:02}.svg").write_text(Bench.drawing(index, shade), encoding="utf-8")

    @staticmethod
    def drawing(index: int, shade: int) -> str:
        """One drawing; its length does not depend on the shade."""
        colour = f"#{shade:02x}{10 + index * 3:02x}50"
        return (
            '<svg xmlns="http://www.w3.org/2000/svg" width="80" height="80">'
            f'<rect x="5" y="5" width="{20 + index}" height="30" fill="{colour}"/>'
            '<circle cx="40" cy="50" r="15" fill="#203040"/></svg>'
        )

    @staticmethod
    def digests(folder: Path) -> dict[str, str]:
        """What the seller sees in an out folder: name -> SHA-256; temporary files and the ledger are not among it."""
        return {
            file.name: hashlib.sha256(file.read_bytes()).hexdigest()
            for file in sorted(folder.iterdir())
            if file.is_file() and not file.name.startswith(".")
        }

    @staticmethod
    def temps(folder: Path) -> list[str]:
        """Temporary files left behind."""
        return [file.name for file in folder.rglob(f"{TEMP}*")]

    def fresh(self, name: str = "out") -> Path:
        """A path for an out folder that does not exist yet."""
        shutil.rmtree(self.room / name, ignore_errors=True)
        return self.room / name

    def command(self, out: Path, *more: str, art: Path | None = None) -> list[str]:
        """The command line."""
        jobs = () if "--jobs" in more else ("--jobs", str(JOBS))
        base = [sys.executable, "-m", "vectorprep", "convert", str(art or self.art), "--out", str(out)]
        return [*base, "--product", PRODUCT, "--format", "json", "--settings", str(self.room / "vectorprep.toml"), *jobs, *more]

    def environment(self) -> dict[str, str]:
        """Finds the package as this process does, from any working folder."""
        return os.environ | {"PYTHONPATH": os.pathsep.join(os.path.realpath(path) for path in sys.path)}

    def start(self, out: Path, *more: str, art: Path | None = None) -> subprocess.Popen[str]:
        """Starts the command in a process group of its own."""
        return subprocess.Popen(
            self.command(out, *more, art=art),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=self.environment(),
            cwd=self.room,
            start_new_session=True,
        )

    def run(self, out: Path, *more: str, art: Path | None = None) -> tuple[int, dict[str, Any], str]:
        """Runs the command to its end: exit code, the object on stdout, the words on stderr."""
        process = self.start(out, *more, art=art)
        said, words = process.communicate(timeout=300)
        return process.returncode, json.loads(said) if said.strip() else {}, words

    def require_whole(self, out: Path, *others: dict[str, str]) -> dict[str, str]:
        """Each picture is one of a clean run, never a part of one, and the papers are whole; returns what is there."""
        there = self.digests(out) if out.is_dir() else {}
        sound = [self.clean, *others]
        for name, digest in there.items():
            if not name.endswith(".png"):
                continue
            assert digest in [one.get(name) for one in sound], f"{name} is none of a clean run"
        if "manifest.json" in there:
            json.loads((out / "manifest.json").read_text(encoding="utf-8"))
        if "review.html" in there:
            assert (out / "review.html").read_text(encoding="utf-8").rstrip().endswith("</html>")
        return there

    def require_complete(self, out: Path) -> dict[str, Any]:
        """The same command completes the folder: equal to a clean run in every byte, nothing half-written left. Its record."""
        code, record, words = self.run(out)
        assert code == 0, words
        assert self.digests(out) == self.clean
        assert self.temps(out) == []
        return record

    def require_no_worker(self, pid: int, within: float = 1.0) -> None:
        """No worker of that process is left."""
        end = time.monotonic() + within
        while workers_of(pid) and time.monotonic() < end:
            time.sleep(0.02)
        assert workers_of(pid) == []

    def busy_workers(self, process: subprocess.Popen[str]) -> list[int]:
        """Waits until the command has all its workers; returns them."""
        end = time.monotonic() + 30
        while len(found := workers_of(process.pid)) < JOBS and process.poll() is None and time.monotonic() < end:
            time.sleep(0.01)
        return found


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """The bench with its clean run done."""
    room = tmp_path_factory.mktemp("faults")
    (room / "vectorprep.toml").write_text("", encoding="utf-8")
    made = Bench(room)
    made.draw(made.art)
    begin = time.monotonic()
    code, record, words = made.run(made.room / "clean")
    made.seconds = time.monotonic() - begin
    assert (code, record["summary"]["ok"]) == (0, DESIGNS), words
    made.clean = made.digests(made.room / "clean")
    yield made
    for pid in workers_of(os.getpid()):
        os.kill(pid, signal.SIGKILL)


@pytest.fixture(scope="session")
def tries() -> Tries:
    """How often each fault is tried."""
    return Tries(is_full=os.environ.get("VECTORPREP_FAULTS") == "full")


@dataclass(frozen=True)
class Tries:
    """The count of the table in a full run, else about a thirtieth; and what was tried."""

    is_full: bool

    def __call__(self, full: int) -> int:
        """How often a fault is tried of which the table wants so many."""
        return full if self.is_full else max(2, full // 30)

    def note(self, fault: str, count: int = 1) -> None:
        """Counts a try that ended as it must."""
        _TALLY[fault] += count


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The table of faults: tries that held."""
    if _TALLY:
        terminalreporter.section("faults tried, each with partial files 0 and outputs lost 0")
        for fault, count in sorted(_TALLY.items()):
            terminalreporter.write_line(f"{count:6} {fault}")
