"""Worker processes: every task ends with its own answer, whatever becomes of the others."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path

import pytest

from vectorprep.errors import ArtworkRefused
from vectorprep.run.supervisor import Supervisor
from vectorprep.run.tasks import Crashed, Done, Emitted, Event, Limits, Started, Task

HERE = Path(__file__).parent
ON_LINUX = pytest.mark.skipif(sys.platform != "linux", reason="looks at /proc")
LIMITS = Limits(step_s=1.5, memory_mb=600)
ENOUGH = Limits(step_s=30, memory_mb=600)


@pytest.fixture(autouse=True)
def _jobs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(HERE))


def _task(name: str, function: str, payload: object = None, *, wall_s: float | None = None) -> Task:
    return Task(id=name, function=f"run_jobs:{function}", payload=payload, wall_s=wall_s)


def _answers(supervisor: Supervisor, tasks: Sequence[Task]) -> dict[str, Done | Crashed]:
    return {event.id: event for event in supervisor.run(tasks) if isinstance(event, Done | Crashed)}


def _one(supervisor: Supervisor, task: Task) -> Done | Crashed:
    return _answers(supervisor, [task])[task.id]


def _is_running(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


@pytest.mark.parametrize(
    ("way", "kind", "reason"),
    [
        ("crash", "signal", "SIGSEGV"),
        ("abort", "signal", "SIGABRT"),
        ("hog", "memory-limit", "limit 600 MB"),
        ("bad-alloc", "memory-limit", "limit 600 MB"),
        ("hang", "wall-limit", "1.5 s"),
        ("spin", "wall-limit", "1.5 s"),
        ("deaf", "wall-limit", "1.5 s"),
        ("blocked", "wall-limit", "1.5 s"),
        ("stopped", "wall-limit", "1.5 s"),
        ("leave-child", "signal", "SIGSEGV"),
        ("panic", "panic", "Panic: thread panicked"),
        ("bug", "exception", "ValueError: a bug"),
        ("system-exit", "panic", "SystemExit: 3"),
        ("exit", "exit", "exit code 7"),
        ("killed", "killed", "SIGKILL"),
        ("odd-result", "exception", "pickle"),
    ],
)
def test_a_bad_task_is_named_with_its_cause_and_costs_no_other(way: str, kind: str, reason: str) -> None:
    """Of five tasks only the bad one fails: under its id, with the signal or the limit; all workers go on."""
    limits = ENOUGH if way == "hog" else LIMITS
    tasks = [_task(f"{index}", "misbehave", way if index == 1 else "good") for index in range(5)]
    with Supervisor(2, limits=limits) as supervisor:
        answers = _answers(supervisor, tasks)
    assert {name: type(answer) for name, answer in answers.items()} == {
        str(index): Crashed if index == 1 else Done for index in range(5)
    }
    bad = answers["1"]
    assert isinstance(bad, Crashed)
    assert (bad.kind, reason in bad.reason) == (kind, True), bad
    assert bad.error.message.startswith("1: ")


def test_an_error_of_our_own_arrives_as_it_was_raised() -> None:
    """Message, remedy and code of a refusal cross the process border."""
    with Supervisor(1) as supervisor:
        answer = _one(supervisor, _task("a", "misbehave", "refuse"))
    assert isinstance(answer, Crashed)
    assert isinstance(answer.error, ArtworkRefused)
    assert (answer.kind, answer.error.message, answer.error.fix, answer.error.code) == (
        "refused",
        "no ink in the drawing",
        "draw something",
        "no-ink",
    )


def test_a_crash_says_what_was_being_done() -> None:
    """The last words stand in the reason and are forgotten with the next task; they reach nobody else and restart no clock."""
    tasks = [_task("a", "tell_and_return", "a fox"), _task("b", "misbehave", "bad-alloc"), _task("c", "tell_and_hang", "an owl")]
    begin = time.monotonic()
    with Supervisor(1, limits=LIMITS) as supervisor:
        events = list(supervisor.run(tasks))
    assert [event.value for event in events if isinstance(event, Emitted)] == ["begun"]
    assert {event.id: event.reason for event in events if isinstance(event, Crashed)} == {
        "b": "memory limit exceeded (limit 600 MB)",
        "c": "time limit exceeded: no progress for 1.5 s while drawing an owl",
    }
    assert time.monotonic() - begin < 8


def test_a_task_killed_from_outside_is_tried_once_more() -> None:
    """Started is told again with attempt 2; only the second kill is final."""
    with Supervisor(1) as supervisor:
        events = list(supervisor.run([_task("a", "misbehave", "killed")]))
    assert [type(event) for event in events] == [Started, Emitted, Started, Emitted, Crashed]
    assert [event.attempt for event in events if isinstance(event, Started)] == [1, 2]


def _killed_one(supervisor: Supervisor, task: str) -> str:
    """The task, once a living worker was killed; empty where those listed had just ended and their successors are not up yet."""
    for pid in supervisor.worker_pids:
        with suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)
            return task
    return ""


def test_a_kill_from_outside_at_any_time_loses_nothing() -> None:
    """Workers killed while idle and once while busy are replaced, and all tasks are answered."""
    with Supervisor(2) as supervisor:
        for number in range(3):
            assert len(_answers(supervisor, [_task(f"{number}-{index}", "sleep", 0) for index in range(4)])) == 4
            for pid in supervisor.worker_pids:
                os.kill(pid, signal.SIGKILL)
            while supervisor.worker_pids:  # a task given to a dying worker would count this kill as its first
                time.sleep(0.01)
        victim = ""
        done = []
        for event in supervisor.run([_task(f"b{index}", "sleep", 0.3) for index in range(4)]):
            if isinstance(event, Started) and not victim:
                victim = _killed_one(supervisor, event.id)
            if isinstance(event, Done):
                done.append(event.id)
    assert victim
    assert sorted(done) == ["b0", "b1", "b2", "b3"]


def test_messages_of_a_task_come_in_order_and_before_its_result() -> None:
    """A stream of large messages arrives whole and in order."""
    with Supervisor(2) as supervisor:
        events = list(supervisor.run([_task("a", "stream", (20, 300_000))]))
    assert [event.value[0] for event in events if isinstance(event, Emitted) and isinstance(event.value, tuple)] == list(range(20))
    assert isinstance(events[-1], Done)
    assert events[-1].value == 20


def test_a_slow_listener_holds_the_workers_up_and_not_the_clock() -> None:
    """With a full buffer the worker waits: no more than the buffer and the pipe is ahead, and its time limit stands still."""
    limits = Limits(step_s=0.5, wall_s=1.0)
    with Supervisor(1, limits=limits, buffer_mb=1) as supervisor:
        run = supervisor.run([_task("a", "stream", (40, 400_000))])
        next(run)
        time.sleep(2)
        answers = [event for event in run if isinstance(event, Done | Crashed)]
    assert [type(answer) for answer in answers] == [Done]


def test_the_wall_limit_binds_a_task_that_keeps_talking() -> None:
    """A whole task has a limit of its own, which one task may set for itself."""
    with Supervisor(1, limits=Limits(step_s=5, wall_s=30)) as supervisor:
        answer = _one(supervisor, _task("a", "sleep", 20, wall_s=0.5))
    assert isinstance(answer, Crashed)
    assert answer.reason == "time limit of 0.5 s exceeded"


@pytest.mark.skipif(sys.platform == "win32", reason="no processor limit there")
def test_the_processor_limit_counts_each_task_anew() -> None:
    """A worker that has used more than the limit over several tasks goes on; one task above the limit does not."""
    with Supervisor(1, limits=Limits(cpu_s=1)) as supervisor:
        answers = _answers(supervisor, [_task(f"{index}", "burn", seconds) for index, seconds in enumerate((0.7, 0.7, 0.7, 9))])
    assert [type(answers[str(index)]) for index in range(4)] == [Done, Done, Done, Crashed]
    bad = answers["3"]
    assert isinstance(bad, Crashed)
    assert bad.kind == "cpu-limit"


def test_a_worker_is_reused_and_initialised_once() -> None:
    """Common data is sent once per worker: all tasks of one worker find it, in the same process."""
    with Supervisor(1, init=("run_jobs:remember", {"large": 1})) as supervisor:
        answers = _answers(supervisor, [_task(f"{index}", "recall", index) for index in range(5)])
    values = [answer.value for answer in answers.values() if isinstance(answer, Done)]
    assert [value[0] for value in values if isinstance(value, tuple)] == [{"large": 1}] * 5
    assert len({(value[1], value[2]) for value in values if isinstance(value, tuple)}) == 1


def test_an_init_that_fails_ends_the_run_with_its_own_error() -> None:
    """The error of the init function reaches the caller, instead of a run that never ends."""
    with (
        pytest.raises(ArtworkRefused, match="cannot start with 7"),
        Supervisor(2, init=("run_jobs:fail_to_start", 7)) as supervisor,
    ):
        list(supervisor.run([_task("a", "sleep", 0)]))


def test_an_init_that_dies_ends_the_run() -> None:
    """A worker that cannot start is tried three times, then the run ends and says why."""
    with pytest.raises(RuntimeError, match="SIGSEGV"), Supervisor(1, init=("ctypes:string_at", 0)) as supervisor:
        list(supervisor.run([_task("a", "sleep", 0)]))


def test_a_payload_that_cannot_be_pickled_is_that_tasks_own_fault() -> None:
    """The next task is answered."""
    with Supervisor(1) as supervisor:
        answers = _answers(supervisor, [_task("a", "sleep", lambda: 0), _task("b", "sleep", 0)])
    assert (type(answers["a"]), type(answers["b"])) == (Crashed, Done)


def test_a_function_that_does_not_exist_is_that_tasks_own_fault() -> None:
    """The next task is answered."""
    with Supervisor(1) as supervisor:
        answers = _answers(supervisor, [_task("a", "no_such"), _task("b", "sleep", 0)])
    assert (type(answers["a"]), type(answers["b"])) == (Crashed, Done)


def test_tasks_are_taken_from_the_iterable_as_workers_get_free() -> None:
    """Tasks are made late, in order, so that forty thousand payloads never lie in memory together."""
    made: list[int] = []

    def tasks() -> Iterator[Task]:
        for index in range(30):
            made.append(index)
            yield _task(f"{index}", "sleep", 0)

    ahead = []
    done = 0
    with Supervisor(2) as supervisor:
        for event in supervisor.run(tasks()):
            done += isinstance(event, Done)
            ahead.append(len(made) - done)
    assert done == 30
    assert max(ahead) < 20


def test_tasks_added_on_the_way_belong_to_the_run() -> None:
    """A task that follows from an answer can be added while the run goes on."""
    names = []
    with Supervisor(2) as supervisor:
        for event in supervisor.run([_task("a", "sleep", 0)]):
            if isinstance(event, Done):
                names.append(event.id)
                if len(names) < 5:
                    supervisor.add(_task(event.id + "a", "sleep", 0))
    assert names == ["a", "aa", "aaa", "aaaa", "aaaaa"]


def test_no_tasks_no_workers() -> None:
    """A run of nothing ends at once and starts no process."""
    with Supervisor(4) as supervisor:
        assert list(supervisor.run([])) == []
        assert supervisor.worker_pids == ()


@ON_LINUX
def test_a_task_finds_a_bare_room(monkeypatch: pytest.MonkeyPatch) -> None:
    """Empty working folder, clean environment, own process group, no handles but its pipes and nothing printed reaches them."""
    monkeypatch.setenv("SECRET_TOKEN", "secret")
    with (HERE / "run_jobs.py").open() as inheritable, Supervisor(1) as supervisor:
        os.set_inheritable(inheritable.fileno(), True)
        answer = _one(supervisor, _task("a", "surroundings"))
    assert isinstance(answer, Done)
    found = answer.value
    assert isinstance(found, dict)
    assert found["entries"] == []
    assert "SECRET_TOKEN" not in found["environment"]
    assert found["environment"]["OPENBLAS_NUM_THREADS"] == "1"
    assert found["group"] == found["pid"] != os.getpgrp()
    kinds = {handle.partition(":")[0] for handle in found["handles"]}
    assert {kind for kind in kinds if not kind.startswith(("pipe", "/dev/null", "/proc/", "/tmp/#"))} == set()


@ON_LINUX
def test_no_process_is_left_after_the_run_or_an_early_end() -> None:
    """Workers are gone after leaving, whether idle, busy or hanging, and leaving takes no longer than a moment."""
    with Supervisor(2) as supervisor:
        list(supervisor.run([_task("a", "sleep", 0), _task("b", "sleep", 0)]))
        idle = supervisor.worker_pids
    with Supervisor(2) as supervisor:
        for event in supervisor.run([_task("a", "misbehave", "deaf"), _task("b", "misbehave", "spin")]):
            busy = supervisor.worker_pids
            if isinstance(event, Emitted) and len(busy) == 2:
                begin = time.monotonic()
                break
    assert time.monotonic() - begin < 2
    assert (len(idle) >= 1, len(busy)) == (True, 2)
    assert not any(map(_is_running, (*idle, *busy)))


@ON_LINUX
def test_children_of_a_task_end_with_it() -> None:
    """A process that a task left behind is killed with the task's group, and cannot hold the run up by the pipe it inherited."""
    begin = time.monotonic()
    with Supervisor(1) as supervisor:
        events: list[Event] = list(supervisor.run([_task("a", "misbehave", "leave-child")]))
    assert isinstance(events[-1], Crashed)
    assert time.monotonic() - begin < 5


_PARENT = """
import signal
import sys
signal.signal(signal.SIGHUP, signal.SIG_DFL)  # the tests may run where a hang-up is ignored
sys.path.insert(0, {here!r})
from vectorprep.errors import Stopped
from vectorprep.run.supervisor import Supervisor
from vectorprep.run.tasks import Emitted, Task
told = []
def tell(supervisor):
    told.append(supervisor.worker_pids)
    if len(told) == 2:
        print(*told[-1], flush=True)
try:
    with Supervisor(2) as supervisor:
        tasks = [Task(id=str(i), function="run_jobs:misbehave", payload=way) for i, way in enumerate(["deaf", "spin"])]
        for event in supervisor.run(tasks):
            if isinstance(event, Emitted):
                tell(supervisor)
except Stopped as stop:
    print("stopped", stop.message, flush=True)
    raise SystemExit(130)
"""


def _parent() -> tuple[subprocess.Popen[str], list[int]]:
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
    process = subprocess.Popen(
        [sys.executable, "-c", _PARENT.format(here=str(HERE))], stdout=subprocess.PIPE, text=True, env=environment
    )
    assert process.stdout is not None
    return process, [int(word) for word in process.stdout.readline().split()]


@ON_LINUX
@pytest.mark.parametrize(("number", "name"), [(signal.SIGINT, "Ctrl-C"), (signal.SIGTERM, "SIGTERM"), (signal.SIGHUP, "SIGHUP")])
def test_a_signal_to_the_parent_ends_all(number: signal.Signals, name: str) -> None:
    """With a deaf and a spinning worker the parent ends in under 5 s by `Stopped`, and no worker is left."""
    process, workers = _parent()
    begin = time.monotonic()
    process.send_signal(number)
    said, _ = process.communicate(timeout=10)
    assert time.monotonic() - begin < 5
    assert (said.strip(), process.returncode) == (f"stopped stopped by {name}", 130)
    assert len(workers) == 2
    assert not any(map(_is_running, workers))


@ON_LINUX
def test_workers_die_with_a_parent_that_is_killed() -> None:
    """SIGKILL of the parent ends also hung and deaf workers within a second."""
    process, workers = _parent()
    process.kill()
    process.communicate(timeout=10)
    end = time.monotonic() + 1
    while any(map(_is_running, workers)) and time.monotonic() < end:
        time.sleep(0.02)
    assert len(workers) == 2
    assert not any(map(_is_running, workers))
