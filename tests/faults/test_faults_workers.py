"""Faults of workers at every place of the queue: the others are answered, the culprit is named, the batch ends in time."""

from __future__ import annotations

import os
import random
import signal
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from vectorprep.run.supervisor import Supervisor
from vectorprep.run.tasks import Crashed, Done, Limits, Task

if TYPE_CHECKING:
    from tests.faults.conftest import Tries

pytestmark = [pytest.mark.faults, pytest.mark.skipif(sys.platform != "linux", reason="looks at /proc")]
JOBS_FOLDER = Path(__file__).parent.parent / "run"
STEP_S = 1.0
WAYS = {
    "crash": "SIGSEGV",
    "abort": "SIGABRT",
    "hog": "memory limit",
    "hang": "time limit",
    "deaf": "time limit",
    "blocked": "time limit",
}


@pytest.mark.parametrize("way", WAYS)
def test_f6_a_bad_task_at_every_place_of_the_queue(tries: Tries, monkeypatch: pytest.MonkeyPatch, way: str) -> None:
    """At each of twenty places: nineteen tasks are done, the bad one is named with signal or limit, within the limit and 10 s."""
    monkeypatch.syspath_prepend(str(JOBS_FOLDER))
    limits = Limits(step_s=10 if way == "hog" else STEP_S, memory_mb=400)
    for place in range(0, 20, 1 if tries.is_full else 10):
        begin = time.monotonic()
        tasks = [Task(id=str(n), function="run_jobs:misbehave", payload=way if n == place else "good") for n in range(20)]
        with Supervisor(2, limits=limits) as supervisor:
            answers = {event.id: event for event in supervisor.run(tasks) if isinstance(event, Done | Crashed)}
        bad = answers.pop(str(place))
        assert isinstance(bad, Crashed)
        assert WAYS[way] in bad.reason
        assert [type(answer) for answer in answers.values()] == [Done] * 19
        assert time.monotonic() - begin < (limits.step_s or 0) + 10
        tries.note("F6 bad task at a place of the queue")


def test_f6_workers_killed_at_random(tries: Tries, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three workers, sixty tasks, kills at random, also of idle workers: every task has one answer, every loss is named."""
    monkeypatch.syspath_prepend(str(JOBS_FOLDER))
    chance = random.Random(7)
    lost = 0
    for _ in range(tries(80)):
        with Supervisor(3) as supervisor, _killer(supervisor, chance):
            tasks = [Task(id=str(n), function="run_jobs:sleep", payload=0.02) for n in range(60)]
            answers = [event for event in supervisor.run(tasks) if isinstance(event, Done | Crashed)]
            time.sleep(0.2)
            answers += [event for event in supervisor.run(tasks[:5]) if isinstance(event, Done | Crashed)]
        assert sorted(answer.id for answer in answers[:60]) == sorted(task.id for task in tasks)
        assert len(answers) == 65
        crashed = [answer for answer in answers if isinstance(answer, Crashed)]
        assert {answer.kind for answer in crashed} <= {"killed"}
        lost += len(crashed)
        tries.note("F6 workers killed, also idle ones")
    assert lost < 65 * tries(80) // 20


@contextmanager
def _killer(supervisor: Supervisor, chance: random.Random) -> Iterator[None]:
    """Within, up to ten workers are killed at random moments."""
    ended = threading.Event()
    thread = threading.Thread(target=_keep_killing, args=(supervisor, ended, chance))
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join()


def _keep_killing(supervisor: Supervisor, ended: threading.Event, chance: random.Random) -> None:
    for _ in range(10):
        if ended.wait(chance.uniform(0.02, 0.3)):
            return
        pids = supervisor.worker_pids
        if pids:
            with suppress(ProcessLookupError):
                os.kill(chance.choice(pids), signal.SIGKILL)
