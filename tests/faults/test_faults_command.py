"""Faults of the machine and of people while the command runs: nothing is lost, nothing is half-written, the next run completes."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.faults.conftest import Bench, Tries

pytestmark = [pytest.mark.faults, pytest.mark.skipif(sys.platform != "linux", reason="kills, mounts and looks at /proc")]
IS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0
DESIGNS = 40
JOBS = 2
TEMP = ".vectorprep-part-"
OK, MISMATCH, SOME_FAILED, FOLDER, BUSY, STOPPED = 0, 1, 3, 74, 75, 130


def _finished(there: dict[str, str]) -> int:
    """Designs whose print file and preview are both there."""
    prints = [name for name in there if name.endswith(".png") and not name.endswith("--preview.png")]
    return sum(name.replace(".png", "--preview.png") in there for name in prints)


def _made(record: dict[str, list[dict[str, str]]]) -> int:
    return len({output["artwork"] for output in record["outputs"] if output["state"] == "made"})


def test_f1_killed_at_any_moment(bench: Bench, tries: Tries) -> None:
    """SIGKILL of the whole group at any time: no partial file, no orphan; the next run makes what was unfinished and no more."""
    for _ in range(tries(200)):
        out = bench.fresh()
        process = bench.start(out)
        time.sleep(bench.chance.uniform(0.0, bench.seconds))
        os.killpg(process.pid, signal.SIGKILL)
        process.communicate()
        bench.require_no_worker(process.pid)
        there = bench.require_whole(out)
        made = _made(bench.require_complete(out))
        assert made <= DESIGNS - _finished(there) + JOBS
        tries.note("F1 killed at any moment")


@contextmanager
def _disk(path: Path) -> Iterator[None]:
    path.mkdir(exist_ok=True)
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64m", "tmpfs", path], check=True)
    try:
        yield
    finally:
        subprocess.run(["umount", path], check=True)


def _resize(disk: Path, size: int) -> None:
    subprocess.run(["mount", "-o", f"remount,size={size}", disk], check=True)


def _occupied(folder: Path) -> int:
    return sum(file.stat().st_blocks * 512 for file in folder.rglob("*") if file.is_file())


@pytest.mark.skipif(not IS_ROOT or shutil.which("mount") is None, reason="needs the right to mount a small disk")
@pytest.mark.parametrize("has_earlier", [False, True])
def test_f2_disk_full(bench: Bench, tries: Tries, has_earlier: bool) -> None:
    """A full disk: earlier files are whole, exit 74 with path and reason, and the run completes once there is space."""
    tried = tries(10)
    art = bench.room / "other-art"
    shutil.copytree(bench.art, art, dirs_exist_ok=True)
    for part in range(1, tried + 1):
        with _disk(disk := bench.room / "disk"):
            out = disk / "out"
            earlier: dict[str, str] = {}
            if has_earlier:
                bench.draw(art, shade=200)
                assert bench.run(out, art=art)[0] == OK
                earlier = bench.digests(out)
                bench.draw(art, shade=0)
            # Replacing files needs room for one more at a time, the manifest above all; making them needs room for all.
            need = (bench.room / "clean" / "manifest.json").stat().st_size if has_earlier else _occupied(bench.room / "clean")
            _resize(disk, _occupied(disk) + need * part // (tried + 2) // (2 if has_earlier else 1))
            code, _, words = bench.run(out, art=art)
            assert (code, str(out) in words) == (FOLDER, True), words
            assert "the disk is full" in words or "are free" in words
            there = bench.require_whole(out, earlier)
            assert set(earlier) <= set(there)
            _resize(disk, 64_000_000)
            code, _, words = bench.run(out, art=art)
            assert code == OK, words
            # The sheet tells what changed since the earlier run, and the manifest has its digest.
            told = {"review.html", "manifest.json"} if has_earlier else set()
            there = bench.digests(out)
            assert {name: there[name] for name in bench.clean if name not in told} == {
                name: digest for name, digest in bench.clean.items() if name not in told
            }
            tries.note("F2 disk full")


@pytest.mark.skipif(not IS_ROOT or shutil.which("chattr") is None, reason="needs the right to make a folder immutable")
def test_f3_permission_lost(bench: Bench, tries: Tries) -> None:
    """A folder that may not be written any more in the middle of a run: as a full disk."""
    for _ in range(tries(20)):
        out = bench.fresh()
        process = bench.start(out)
        while not (out.is_dir() and any(out.glob("*.png"))):
            time.sleep(0.005)
        time.sleep(bench.chance.uniform(0, 0.3))
        if subprocess.run(["chattr", "+i", out], check=False, capture_output=True).returncode:
            process.kill()
            process.communicate()
            pytest.skip("this file system has no immutable folders")
        try:
            _, words = process.communicate(timeout=60)
        finally:
            subprocess.run(["chattr", "-i", out], check=True)
        assert process.returncode in {OK, FOLDER}, words
        assert process.returncode == OK or (str(out) in words and "no permission" in words)
        bench.require_whole(out)
        bench.require_complete(out)
        tries.note("F3 permission lost")


def test_f4_drawings_changed_during_the_run(bench: Bench, tries: Tries) -> None:
    """Replaced, rewritten or deleted drawings: outputs belong to the bytes whose hash the manifest has."""
    other = bench.room / "shade-200"
    bench.draw(other, shade=200)
    assert bench.run(bench.room / "clean-200", art=other)[0] == OK
    references = [_by_source(bench, bench.room / name) for name in ("clean", "clean-200")]
    known = references[0] | references[1]
    art = bench.room / "changing"
    for _ in range(tries(100)):
        shutil.copytree(bench.art, art, dirs_exist_ok=True)
        out = bench.fresh()
        process = bench.start(out, art=art)
        changes = threading.Thread(target=_change, args=(art, other, bench.chance.uniform(0, bench.seconds / 2)))
        changes.start()
        said, words = process.communicate(timeout=120)
        changes.join()
        record = json.loads(said)
        gone = [artwork for artwork in record["artworks"] if artwork["status"] != "ok"]
        assert process.returncode == (SOME_FAILED if gone else OK), words
        assert all(artwork["path"] in artwork["error"]["message"] for artwork in gone)
        for source, files in _by_source(bench, out).items():
            assert known[source] == files
        tries.note("F4 drawings changed")
        shutil.rmtree(art)


def _change(art: Path, other: Path, delay: float) -> None:
    time.sleep(delay)
    for index, file in enumerate(sorted(art.iterdir())):
        if index % 3 == 0:
            (art / "new").write_bytes((other / file.name).read_bytes())
            (art / "new").replace(file)
        elif index % 3 == 1:
            file.unlink()
        time.sleep(0.003)


def _by_source(bench: Bench, out: Path) -> dict[str, list[tuple[str, str]]]:
    """SHA-256 of each source -> names and digests of its outputs, with the files themselves checked against them."""
    record = json.loads((out / "manifest.json").read_text(encoding="utf-8"))
    there = bench.digests(out)
    found: dict[str, list[tuple[str, str]]] = {}
    for artwork in record["artworks"]:
        if artwork["status"] == "ok":
            files = [(one["path"], one["sha256"]) for one in record["outputs"] if one["artwork"] == artwork["name"]]
            assert all(there[path] == sha256 for path, sha256 in files)
            found[artwork["sha256"]] = files
    return found


def test_f5_two_runs_in_one_folder(bench: Bench, tries: Tries) -> None:
    """Of two runs one is told at once; after the holder is killed with a hung worker a third is free to go."""
    for _ in range(tries(50)):
        out = bench.fresh()
        first = bench.start(out)
        time.sleep(bench.chance.uniform(0, 0.5))
        begin = time.monotonic()
        second = bench.start(out)
        waited = {first.pid: 0.0, second.pid: 0.0}
        while first.poll() is None and second.poll() is None:
            waited = {pid: _waited_s(pid) or before for pid, before in waited.items()}
            time.sleep(0.01)
        loser, holder = (first, second) if first.poll() is not None else (second, first)
        took = time.monotonic() - begin - waited[loser.pid]
        _, words = loser.communicate()
        assert (loser.returncode, "another run" in words) == (BUSY, True), words
        assert took < 2
        workers = bench.busy_workers(holder)
        for pid in workers[:1]:
            _signal(pid, signal.SIGSTOP)
        holder.kill()
        holder.communicate()
        bench.require_no_worker(holder.pid)
        bench.require_whole(out)
        bench.require_complete(out)
        tries.note("F5 two runs, one folder")


def _waited_s(pid: int) -> float:
    """Seconds for which a process was ready to run while others had the processor."""
    try:
        return int(Path(f"/proc/{pid}/schedstat").read_text(encoding="ascii").split()[1]) / 1e9
    except (OSError, ValueError, IndexError):
        return 0.0


def _signal(pid: int, number: signal.Signals) -> None:
    try:
        os.kill(pid, number)
    except ProcessLookupError:
        return


def test_f6_workers_killed_from_outside(bench: Bench, tries: Tries) -> None:
    """Workers killed at random while the command runs: every design is delivered, or named as killed and made by the next run."""
    for _ in range(tries(20)):
        out = bench.fresh()
        process = bench.start(out)
        killer = threading.Thread(target=_kill_some, args=(bench, process, bench.chance.randrange(1, 6)))
        killer.start()
        said, words = process.communicate(timeout=120)
        killer.join()
        record = json.loads(said)
        failed = [artwork for artwork in record["artworks"] if artwork["status"] != "ok"]
        assert process.returncode == (SOME_FAILED if failed else OK), words
        assert all("killed from outside" in artwork["error"]["message"] for artwork in failed)
        assert record["summary"]["ok"] >= DESIGNS - 3
        bench.require_no_worker(process.pid)
        bench.require_complete(out)
        tries.note("F6 workers of the command killed")


def _kill_some(bench: Bench, process: subprocess.Popen[str], count: int) -> None:
    for _ in range(count):
        workers = bench.busy_workers(process)
        time.sleep(bench.chance.uniform(0, 0.2))
        for pid in workers[:1]:
            _signal(pid, signal.SIGKILL)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_f7_stopped_by_a_signal(bench: Bench, tries: Tries, number: signal.Signals) -> None:
    """Ctrl-C, SIGTERM and SIGHUP at any time: ended in under 5 s, exit 130, whole files, no worker; the next run goes on."""
    for _ in range(tries(40) // 3 + 1):
        out = bench.fresh()
        process = bench.start(out)
        # Before the command is loaded a signal has its plain effect: nothing was begun.
        time.sleep(bench.chance.uniform(0.0, bench.seconds))
        begun = out.is_dir()
        begin = time.monotonic()
        process.send_signal(number)
        _, words = process.communicate(timeout=30)
        assert time.monotonic() - begin < 5
        assert process.returncode in ({STOPPED, OK} if begun else {STOPPED, OK, -number}), words
        bench.require_no_worker(process.pid, within=0.2)
        assert bench.temps(out) == []
        assert process.returncode != STOPPED or "same command again" in words
        bench.require_whole(out)
        bench.require_complete(out)
        tries.note("F7 signals")


@pytest.mark.parametrize("stream", ["stdout", "stderr"])
def test_f7_closed_pipe(bench: Bench, tries: Tries, stream: str) -> None:
    """A reader that goes away, as in `| head -1`, ends the command within 5 s: whole files only, no traceback, no worker."""
    for _ in range(tries(10) // 2 + 1):
        out = bench.fresh()
        process = bench.start(out, "--progress", "json")
        pipe, other = (process.stdout, process.stderr) if stream == "stdout" else (process.stderr, process.stdout)
        assert pipe is not None
        assert other is not None
        time.sleep(bench.chance.uniform(0.0, bench.seconds))
        begin = time.monotonic()
        pipe.close()
        with other:
            words = other.read()
        process.wait(timeout=60)
        assert time.monotonic() - begin < 5
        assert (process.returncode in {OK, STOPPED}, "Traceback" in words) == (True, False), words
        assert stream == "stderr" or process.returncode != STOPPED or not out.is_dir() or "same command again" in words
        bench.require_no_worker(process.pid, within=0.2)
        bench.require_whole(out)
        bench.require_complete(out)
        tries.note("F7 closed pipes")


JUMPY = """
import random, runpy, sys, time
real, begun, chance = time.time, time.time(), random.Random({seed})
time.time = lambda: real() + chance.choice({days}) * 86400
sys.argv = ["vectorprep", *sys.argv[1:]]
runpy.run_module("vectorprep", run_name="__main__", alter_sys=True)
"""
DATES = (0.0, 4_070_908_800.0, 86_400.0, 1_700_000_000.0)


def test_f8_clocks_decide_nothing(bench: Bench, tries: Tries) -> None:
    """Whatever the dates of drawings and the clock say: unchanged bytes are not made again, changed ones of the same size are."""
    art = bench.room / "dated"
    shutil.copytree(bench.art, art, dirs_exist_ok=True)
    out = bench.fresh()
    assert bench.run(out, art=art)[0] == OK
    for case in range(tries(40)):
        changed = bench.chance.sample(range(DESIGNS), case % 4 * 5)
        for index, file in enumerate(sorted(art.iterdir())):
            size = file.stat().st_size
            if index in changed:
                file.write_text(bench.drawing(index, case + 1), encoding="utf-8")
            assert file.stat().st_size == size
            os.utime(file, (DATES[case % 4], DATES[case % 4]))
        days = ((1,), (-1,), (-1, 0, 1))[case % 3]
        command = [sys.executable, "-c", JUMPY.format(seed=case, days=days), *bench.command(out, art=art)[3:]]
        done = subprocess.run(command, check=False, capture_output=True, text=True, env=bench.environment(), cwd=bench.room)
        assert (done.returncode, _made(json.loads(done.stdout))) == (OK, len(changed)), done.stderr
        tries.note("F8 clocks")


def _damages(out: Path, tried: int) -> Iterator[tuple[str, str]]:
    """Damages the folder anew each time; says what, and what must have been made again: `all` of it may be."""
    ledger, manifest = out / ".vectorprep" / "ledger.sqlite", out / "manifest.json"
    for file in (ledger, manifest):
        data = file.read_bytes()
        for part in range(tried):
            file.write_bytes(data[: len(data) * part // tried])
            yield f"{file.name} cut at {part}/{tried}", ""
            data = file.read_bytes()
        file.unlink()
        yield f"{file.name} deleted", ""
    shutil.rmtree(ledger.parent)
    yield "state folder deleted", ""
    picture = sorted(out.glob("*.png"))[3]
    picture.write_bytes(picture.read_bytes()[:-50])
    yield "output cut", picture.name
    picture.unlink()
    yield "output deleted", picture.name


def test_f9_damaged_ledger_manifest_and_outputs(bench: Bench, tries: Tries) -> None:
    """Cut anywhere, deleted or altered: the next run ends with the same files as a clean one, and says what it made again."""
    out = bench.fresh()
    bench.require_complete(out)
    for what, made_again in _damages(out, 20 if tries.is_full else 3):
        if what.startswith(("output", "manifest.json")):
            verify = [sys.executable, "-m", "vectorprep", "verify", str(out)]
            told = subprocess.run(verify, check=False, capture_output=True, text=True, env=bench.environment(), cwd=bench.room)
            assert told.returncode in {MISMATCH, 2}, (what, told.stdout, told.stderr)
        record = bench.require_complete(out)
        made = {output["path"] for output in record["outputs"] if output["state"] == "made"}
        assert made_again in made or not made_again, what
        tries.note("F9 damaged ledger, manifest or output")


@pytest.mark.skipif(shutil.which("strace") is None, reason="needs strace")
def test_f10_order_of_system_calls(bench: Bench, tries: Tries) -> None:
    """For every output: temporary file, all bytes, fsync, rename, fsync of the folder, and only then the ledger's entry."""
    out = bench.fresh()
    trace = bench.room / "trace"
    calls = "trace=openat,write,fsync,close,rename,renameat,renameat2,pwrite64"
    command = ["strace", "-f", "-y", "-qq", "-e", calls, "-o", str(trace), *bench.command(out)]
    done = subprocess.run(command, check=False, capture_output=True, text=True, env=bench.environment(), cwd=bench.room)
    assert done.returncode == OK, done.stderr
    lines = [line.partition(" ")[2].strip() for line in trace.read_text(errors="replace").splitlines()]
    assert _in_order(lines, out) == set(bench.clean)
    tries.note("F10 order of system calls, files", len(bench.clean))


def _in_order(lines: list[str], out: Path) -> set[str]:
    """Names whose steps came in order; fails at the first that did not."""
    flushed: set[str] = set()
    pending: set[str] = set()
    done: set[str] = set()
    here = f"<{out}>"
    for line in lines:
        if line.startswith("fsync(") and TEMP in line:
            flushed.add(line.partition(TEMP)[2].partition(">")[0])
        if here not in line:
            continue
        if line.startswith("openat(") and TEMP in line:
            assert "O_EXCL" in line, line
        elif line.startswith("rename") and TEMP in line:
            temp = line.partition(TEMP)[2].partition('"')[0]
            assert temp in flushed, line
            pending.add(line.rsplit('"', 2)[1])
        elif line.startswith("fsync(") and line.partition("<")[2].startswith(f"{out}>"):
            done |= pending
            pending.clear()
    assert pending == set()
    return done


def test_f11_same_bytes_whatever_the_workers(bench: Bench, tries: Tries) -> None:
    """One worker or five, and again: outputs, table and manifest are equal byte for byte."""
    for jobs in (["1", "5"] * tries(10))[: tries(10)]:
        out = bench.fresh()
        code, _, words = bench.run(out, "--jobs", jobs)
        assert code == OK, words
        assert bench.digests(out) == bench.clean
        tries.note("F11 number of workers")
