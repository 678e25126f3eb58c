"""The cluster room with a real scheduler and real workers on loopback: the events of local workers, nothing lost."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from vectorprep.errors import UsageError
from vectorprep.pipeline import Progress, RunOptions, convert_artworks
from vectorprep.run.cluster import Cluster
from vectorprep.run.tasks import Crashed, Done, Emitted, Event, Limits, Started, Task

distributed: Any = pytest.importorskip("distributed", reason="dask.distributed is not installed (extra 'cluster')")

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
QUIET = {"DASK_DISTRIBUTED__LOGGING__DISTRIBUTED": "critical", "OPENBLAS_NUM_THREADS": "1"}


def _started(*arguments: str) -> subprocess.Popen[str]:
    environment = {**os.environ, **QUIET, "PYTHONPATH": os.pathsep.join((str(HERE), str(ROOT)))}
    command = [sys.executable, "-m", "distributed.cli." + arguments[0], *arguments[1:]]
    return subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)


def _ended(process: subprocess.Popen[str]) -> None:
    with suppress(ProcessLookupError):
        process.kill()
    process.communicate(timeout=10)


class Loopback:
    """A scheduler and two workers of one thread each."""

    def __init__(self, stack: ExitStack, folder: Path) -> None:
        place = folder / "scheduler.json"
        scheduler = _started(
            "dask_scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard", "--scheduler-file", str(place)
        )
        stack.callback(_ended, scheduler)
        deadline = time.monotonic() + 60
        while not place.exists() or not place.read_text():
            assert time.monotonic() < deadline, "the scheduler did not start"
            time.sleep(0.05)
        self.address: str = json.loads(place.read_text())["address"]
        self.workers = []
        for number in range(2):
            worker = _started(
                "dask_worker", self.address, "--nthreads", "1", "--no-nanny", "--no-dashboard", "--name", f"w{number}",
                "--local-directory", str(folder),
            )  # fmt: skip
            stack.callback(_ended, worker)
            self.workers.append(worker)
        with distributed.Client(self.address, set_as_default=False) as client:
            client.wait_for_workers(2, timeout=60)


@pytest.fixture
def loopback(tmp_path: Path) -> Iterator[Loopback]:
    """A cluster of this machine alone."""
    with ExitStack() as stack:
        yield Loopback(stack, tmp_path)


def _by_task(events: list[Event]) -> dict[str, list[Event]]:
    found: dict[str, list[Event]] = {}
    for event in events:
        found.setdefault(event.id, []).append(event)
    return found


def test_events_are_those_of_local_workers(loopback: Loopback) -> None:
    """Each task starts, emits in its order and ends; a crash costs one task and names its signal."""
    tasks = [Task(id=f"s{number}", function="run_jobs:stream", payload=(3, 1000)) for number in range(6)]
    tasks.insert(2, Task(id="crash", function="run_jobs:misbehave", payload="crash"))
    tasks += [Task(id=f"r{number}", function="run_jobs:recall", payload=number) for number in range(12)]
    with Cluster(loopback.address, init=("run_jobs:remember", "common"), limits=Limits(step_s=10)) as cluster:
        events = _by_task(list(cluster.run(tasks)))
    assert set(events) == {task.id for task in tasks}
    for number in range(6):
        first, *emitted, last = events[f"s{number}"]
        assert isinstance(first, Started)
        assert isinstance(last, Done)
        assert last.value == 3
        assert [event.value for event in emitted if isinstance(event, Emitted)] == [
            (0, bytes(1000)),
            (1, bytes(1000)),
            (2, bytes(1000)),
        ]
    crash = events["crash"][-1]
    assert isinstance(crash, Crashed)
    assert "SIGSEGV" in crash.reason
    answers = [event.value for number in range(12) for event in events[f"r{number}"] if isinstance(event, Done)]
    assert [answer[0] for answer in answers if isinstance(answer, tuple)] == ["common"] * 12


def test_both_workers_take_part(loopback: Loopback) -> None:
    """While one worker is busy the other takes the next task."""
    with Cluster(loopback.address, init=("run_jobs:remember", "common")) as cluster:
        naps = [Task(id=f"t{number}", function="run_jobs:sleep_and_recall", payload=0.2) for number in range(8)]
        processes = {str(event.value) for event in cluster.run(naps) if isinstance(event, Done)}
    assert len(processes) == 2


def test_tasks_of_a_killed_worker_are_done_again(loopback: Loopback) -> None:
    """One of two workers is killed while it works: every task ends well, none twice."""
    tasks = [Task(id=f"t{number}", function="run_jobs:sleep", payload=0.3) for number in range(14)]
    ended: list[str] = []
    with Cluster(loopback.address) as cluster:
        for event in cluster.run(tasks):
            if isinstance(event, (Done, Crashed)):
                assert isinstance(event, Done), event
                ended.append(event.id)
            if len(ended) == 3:
                loopback.workers[0].send_signal(signal.SIGKILL)
    assert sorted(ended) == sorted(task.id for task in tasks)
    assert loopback.workers[0].wait(timeout=5) == -signal.SIGKILL


def test_worker_of_another_version_is_refused(loopback: Loopback) -> None:
    """A worker that answers otherwise than this side stops the run with words, before anything is made."""
    with Cluster(loopback.address, alike=("operator:neg", 5, 5)) as cluster, pytest.raises(UsageError, match="-5; here: 5"):
        list(cluster.run([Task(id="t", function="run_jobs:sleep", payload=0)]))


def test_a_run_on_a_cluster_gives_the_same_files(loopback: Loopback, tmp_path: Path) -> None:
    """All files of a run on a cluster, one worker killed on the way, are those of a local run, byte by byte."""
    art = tmp_path / "art"
    art.mkdir()
    for number in range(6):
        circle = f'<circle cx="50" cy="50" r="{20 + 4 * number}" fill="#{number + 2}{number + 2}80a0"/>'
        picture = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">{circle}</svg>'
        (art / f"drawing-{number}.svg").write_text(picture, encoding="utf-8")
    asked = RunOptions(products=("mug-11oz-wrap-sub",), second_opinion=False)
    convert_artworks([art], tmp_path / "here", options=asked)
    done: list[str] = []

    def kill_one(progress: Progress) -> None:
        if not done:
            loopback.workers[1].send_signal(signal.SIGKILL)
        done.append(progress.artwork)

    report = convert_artworks([art], tmp_path / "there", options=replace(asked, scheduler=loopback.address), progress=kill_one)
    assert report.record["summary"]["ok"] == 6
    assert len(done) == 6
    assert _files(tmp_path / "there") == _files(tmp_path / "here")


def _files(folder: Path) -> dict[str, bytes]:
    """Every file that a run leaves for the seller."""
    return {path.name: path.read_bytes() for path in folder.rglob("*") if path.is_file() and ".vectorprep" not in path.parts}


def test_no_scheduler_is_a_usage_error() -> None:
    """An address where nobody listens is named."""
    with pytest.raises(UsageError, match=r"tcp://127\.0\.0\.1:9"), Cluster("tcp://127.0.0.1:9"):
        pass
