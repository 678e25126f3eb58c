"""The hostile set through `convert`, alone and among good drawings: nothing dies, nothing leaks, nothing good is lost.

`VECTORPREP_FAULTS=full` runs each case alone as well; otherwise a sample of them.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from tests.hostile.hostile_cases import NS, Case
from tests.hostile.hostile_found import FOUND
from tests.hostile.hostile_more import LINKS, MORE
from tests.hostile.hostile_set import BASICS, DIALECTS, ENTITIES

pytestmark = [pytest.mark.faults, pytest.mark.skipif(sys.platform != "linux", reason="limits of memory and /proc are Linux's")]
CASES = (*BASICS, *MORE, *FOUND)
IS_FULL = os.environ.get("VECTORPREP_FAULTS") == "full"
PRODUCT = "patch-printed-round-75mm"
GOOD = 20
OK, FINDINGS, SOME_FAILED = 0, 1, 3
LIMIT_S, LIMIT_MB = 20.0, 1024
CANARY = "canary-content"
# Those that use up their time limit, so that the short form would take minutes.
SLOW = re.compile(
    r"^(deep groups with|deep viewports|many (shapes|clipped|masked|grad|subp)|long (path|polygon)|use bomb (of|just)|patterns many"
    r"|markers (many|inh)|dash (tiny|by style|inh|in perc)|join round|filter|picture (png large|often|many)|text|style|gradient of)"
)
QUICK = tuple(case for case in CASES if not SLOW.match(case.name))


def good(index: int) -> str:
    """A drawing that nothing is wrong with."""
    return (
        f'<svg {NS} width="80" height="80"><rect x="5" y="5" width="{20 + index}" height="30" fill="#{10 + index}5040"/>'
        f'<circle cx="40" cy="50" r="15" fill="#2{index % 10}3040"/></svg>'
    )


@dataclass
class Listener:
    """A port that counts who calls."""

    port: int = 0
    calls: list[str] = field(default_factory=list)


@contextmanager
def listening() -> Iterator[Listener]:
    """A listener on the loopback for as long as this lasts."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(0.1)
        heard, ended = Listener(server.getsockname()[1]), threading.Event()

        def listen() -> None:
            while not ended.is_set():
                try:
                    caller, address = server.accept()
                except TimeoutError:
                    continue
                heard.calls.append(str(address))
                caller.close()

        thread = threading.Thread(target=listen)
        thread.start()
        try:
            yield heard
        finally:
            ended.set()
            thread.join()


@dataclass(frozen=True)
class Run:
    """What a run of the command gave and took."""

    code: int
    record: dict[str, Any]
    words: str
    seconds: float
    megabytes: float

    def of(self, case: Case) -> dict[str, Any]:
        """The record of one case."""
        return next(artwork for artwork in self.record["artworks"] if artwork["path"] == case.file)


class Shop:
    """A folder with drawings, canaries and the command."""

    def __init__(self, room: Path) -> None:
        self.room = room
        self.art = room / "art"
        self.art.mkdir()
        (room / "vectorprep.toml").write_text("")
        self.canaries = [room / "canary.png", self.art / "canary.png"]
        for canary in self.canaries:
            canary.write_text(CANARY)

    def put(self, case: Case, port: int = 9) -> None:
        """Writes one case, addressed to the canaries."""
        data = case.make().replace(b"@CANARY@", str(self.canaries[0]).encode()).replace(b"@PORT@", str(port).encode())
        (self.art / case.file).write_bytes(data)

    def command(self, out: str) -> list[str]:
        """The command line."""
        command = [sys.executable, "-m", "vectorprep", "convert", str(self.art), "--out", str(self.room / out), "--jobs", "2"]
        return [*command, "--product", PRODUCT, "--format", "json", "--settings", str(self.room / "vectorprep.toml")]

    def run(self, out: str = "out", before: tuple[str, ...] = ()) -> Run:
        """Runs it, perhaps under another program."""
        environment = os.environ | {"PYTHONPATH": os.pathsep.join(os.path.realpath(path) for path in sys.path)}
        begin = time.monotonic()
        with (self.room / "said").open("w+b") as said, (self.room / "words").open("w+b") as words:
            process = subprocess.Popen([*before, *self.command(out)], stdout=said, stderr=words, cwd=self.room, env=environment)
            _, status, used = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(status)
        text = (self.room / "said").read_text("utf-8")
        return Run(
            code=process.returncode,
            record=json.loads(text) if text else {},
            words=(self.room / "words").read_text("utf-8", "replace"),
            seconds=time.monotonic() - begin,
            megabytes=used.ru_maxrss / 1024,
        )


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A fresh one."""
    return Shop(tmp_path)


def digests(folder: Path, prefix: str) -> dict[str, str]:
    """SHA-256 of the files whose names begin so."""
    return {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in sorted(folder.glob(f"{prefix}*"))}


def require_right(case: Case, artwork: dict[str, Any]) -> None:
    """A case has become what it must, and a refusal says what, why and what to do."""
    if case.become != "any":
        assert artwork["status"] == {"drawn": "ok", "refused": "refused"}[case.become], (case.name, artwork["error"])
    if artwork["status"] == "ok":
        return
    error = artwork["error"]
    assert error["code"] not in {"", "worker-exception", "worker-panic", "worker-signal", "worker-exit", "worker-killed"}, (
        case.name,
        error,
    )
    assert len(error["message"]) > 10, case.name
    assert error["fix"], case.name


def test_good_drawings_among_hostile_ones_are_made_as_without_them(shop: Shop) -> None:
    """Twenty good drawings beside the hostile ones give the same bytes as alone; each hostile one is drawn, or named with its cause."""
    for index in range(GOOD):
        (shop.art / f"good-{index:02}.svg").write_text(good(index))
    clean = shop.run("clean")
    assert clean.code == OK, clean.words
    cases = CASES if IS_FULL else QUICK
    for case in cases:
        shop.put(case)
    mixed = shop.run("mixed")
    assert mixed.code == SOME_FAILED, mixed.words
    made = digests(shop.room / "mixed", "good-")
    assert (len(made), made) == (2 * GOOD, digests(shop.room / "clean", "good-"))
    assert mixed.megabytes < LIMIT_MB
    for case in cases:
        require_right(case, mixed.of(case))
    assert not any(CANARY.encode() in file.read_bytes() for file in (shop.room / "mixed").iterdir() if file.is_file())


@pytest.mark.parametrize("case", CASES if IS_FULL else QUICK[::12], ids=lambda case: case.name)
def test_each_alone_ends_in_time_and_memory(shop: Shop, case: Case) -> None:
    """One hostile drawing alone: never a bug's exit code, at most 20 s and 1 GiB, refused with its name and cause or drawn."""
    shop.put(case)
    run = shop.run()
    assert run.code in {OK, FINDINGS, SOME_FAILED}, run.words
    artwork = run.of(case)
    require_right(case, artwork)
    assert artwork["status"] != "ok" or any((shop.room / "out").glob("*.png"))
    assert run.megabytes < LIMIT_MB
    assert run.seconds < LIMIT_S


def test_a_refusal_in_words_names_file_and_cause(shop: Shop) -> None:
    """What a person reads on the terminal holds the file's name and the cause of each refusal."""
    cases = [case for case in QUICK if case.become == "refused"]
    for case in cases:
        shop.put(case)
    command = [word for word in shop.command("out") if word not in {"--format", "json"}]
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(os.path.realpath(path) for path in sys.path)}
    done = subprocess.run(command, check=False, capture_output=True, text=True, env=environment, cwd=shop.room)
    record = json.loads((shop.room / "out" / "manifest.json").read_text("utf-8"))
    for artwork in record["artworks"]:
        lines = [line for line in done.stdout.splitlines() if artwork["name"] in line]
        assert lines, artwork["name"]
        assert artwork["error"]["message"].split(": ")[-1][:30] in done.stdout, artwork["name"]


LEADING_OUT = (*LINKS, *ENTITIES, *DIALECTS)


def test_no_address_is_ever_called(shop: Shop) -> None:
    """Whatever the drawings link to: a listener on the port that they name hears nothing."""
    with listening() as heard:
        for case in LEADING_OUT:
            shop.put(case, heard.port)
        run = shop.run()
    assert run.code == SOME_FAILED, run.words
    assert heard.calls == []


@pytest.mark.skipif(shutil.which("strace") is None, reason="needs strace")
def test_no_file_is_opened_because_a_drawing_says_so(shop: Shop) -> None:
    """Whatever the drawings link to: no system call opens a canary or anything of the kind, and none calls a network address."""
    for case in LEADING_OUT:
        shop.put(case)
    trace = shop.room / "trace"
    run = shop.run(before=("strace", "-f", "-qq", "-e", "trace=open,openat,openat2,connect,sendto", "-o", str(trace)))
    assert run.code == SOME_FAILED, run.words
    calls = trace.read_text(errors="replace").splitlines()
    assert any("good" in line or ".svg" in line for line in calls)
    assert [line for line in calls if "canary" in line or "/etc/hostname" in line or "AF_INET" in line] == []
