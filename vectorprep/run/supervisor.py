"""Runs tasks in worker processes that may crash, hang or be killed: tasks come in, events go out, no task costs another one.

One thread per worker talks to its process over a private pipe; the caller's thread only takes events, so that its own work (writing
files) never holds up a worker until the buffer is full. Never done here: drawing, writing, or knowing what a task is about.
"""

from __future__ import annotations

import pickle
import threading
import time
from collections import deque
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from types import TracebackType
from typing import Self

from vectorprep.errors import ArtworkFailed
from vectorprep.run import wire
from vectorprep.run.process import Process
from vectorprep.run.stop import check_stop, stop_signals, stopped
from vectorprep.run.tasks import Crashed, CrashKind, Done, Emitted, Event, Limits, Started, Task

_TICK_S = 0.1
_FED_AHEAD_PER_JOB = 2
_START_TRIES = 3
_START_KILLS = 20  # house value: a kill from outside is no fault of the worker, but a machine that kills every one ends the run
_NO_BOUND = 1 << 60
_FIXES = {
    "wall-limit": "simplify the drawing, or give it more time with --time-limit",
    "cpu-limit": "simplify the drawing, or give it more time with --time-limit",
    "memory-limit": "simplify the drawing, make its pictures, patterns and blurs smaller",
    "killed": "free some memory or run fewer jobs, then run the same command again",
}

Message = tuple[str, object, bytes | bytearray]
"""Kind, subject, pickled value."""


class _Channel:
    """What the threads share: tasks that wait, and messages to the caller, bounded by their bytes."""

    def __init__(self, buffer_bytes: int) -> None:
        self._changed = threading.Condition()
        self._waiting: deque[Task] = deque()
        self._messages: deque[Message] = deque()
        self._held = 0
        self._buffer_bytes = buffer_bytes
        self.is_closed = False
        self.fault: BaseException | None = None

    def add(self, task: Task) -> None:
        with self._changed:
            self._waiting.append(task)
            self._changed.notify_all()

    def waiting(self) -> int:
        return len(self._waiting)

    def take(self) -> Task | None:
        """The next task; None when the run is over."""
        with self._changed:
            while not self._waiting and not self.is_closed:
                self._changed.wait()
            return None if self.is_closed else self._waiting.popleft()

    def put(self, kind: str, subject: object, data: bytes | bytearray = b"") -> None:
        """Hands a message to the caller's thread, as soon as there is room for it."""
        with self._changed:
            while self._messages and self._held + len(data) > self._buffer_bytes and not self.is_closed:
                self._changed.wait()
            self._messages.append((kind, subject, data))
            self._held += len(data)
            self._changed.notify_all()

    def get(self, timeout: float) -> Message | None:
        with self._changed:
            if not self._messages and self.fault is None:
                self._changed.wait(timeout)
            if self.fault is not None:
                raise self.fault
            if not self._messages:
                return None
            message = self._messages.popleft()
            self._held -= len(message[2])
            self._changed.notify_all()
            return message

    def close(self, fault: BaseException | None = None) -> None:
        with self._changed:
            self.is_closed = True
            self.fault = self.fault or fault
            self._changed.notify_all()


class _Keeper:
    """The thread of one worker: keeps a process alive, gives it tasks, passes on what it says, and tells how it ended."""

    def __init__(self, channel: _Channel, init: bytes, limits: Limits) -> None:
        self._channel = channel
        self._init = init
        self._limits = limits
        self.process: Process | None = None
        self.thread = threading.Thread(target=self._run, daemon=True, name="vectorprep-worker")

    def _run(self) -> None:
        try:
            while (task := self._channel.take()) is not None:
                self.work(task)
        except BaseException as error:  # noqa: BLE001 - whatever went wrong here is raised again in the caller's thread
            self._channel.close(error)
        finally:
            self.drop()

    def drop(self) -> None:
        """Ends its process, if it has one."""
        if self.process is not None:
            self.process.close()
            self.process = None

    def work(self, task: Task) -> None:
        """Carries out one task; what comes of it goes into the channel."""
        try:
            message = pickle.dumps((task.function, task.payload), protocol=5)
        except Exception as error:  # noqa: BLE001 - a payload that cannot be pickled is that task's own fault
            self._crash(task, "exception", f"{type(error).__name__}: {error}")
            return
        for attempt in (1, 2):
            process = self._ready()
            if process is None:
                return
            self._channel.put("started", (task.id, attempt))
            try:
                self._converse(process, task, message)
            except wire.Ended:
                if self._channel.is_closed:
                    return
                kind, reason, said = process.ending()
                self.drop()
                if kind == "killed" and attempt == 1:
                    continue
                self._crash(task, kind, reason, said, doing=process.doing)
            return

    def _converse(self, process: Process, task: Task, message: bytes) -> None:
        limits = self._limits
        process.doing = ""
        process.clock.begin(task.wall_s or limits.wall_s, task.step_s or limits.step_s)
        process.send(wire.TASK, message)
        while True:
            kind, payload = process.receive()
            if kind == wire.EMIT:
                self._channel.put("emitted", task.id, payload)
                continue
            if kind == wire.DONE:
                self._channel.put("done", task.id, payload)
            else:
                self._report(task, payload, process.doing)
            return

    def _report(self, task: Task, payload: bytearray, doing: str) -> None:
        kind, words, trace, own = pickle.loads(payload)
        if kind == "memory-limit":
            # What the task left behind would shorten the memory of the next one.
            self.drop()
        if own is not None:
            self._channel.put("crashed", Crashed(id=task.id, kind="refused", reason=own.message, error=own, detail=trace))
        else:
            self._crash(task, kind, words, trace, doing=doing)

    def _crash(self, task: Task, kind: CrashKind, reason: str, detail: str = "", *, doing: str = "") -> None:
        if kind == "memory-limit" and self._limits.memory_mb is not None:
            reason = f"{reason} (limit {self._limits.memory_mb} MB)"
        if doing:
            reason = f"{reason} while {doing}"
        error = ArtworkFailed(f"{task.id}: {reason}", fix=_FIXES.get(kind, ""), code=f"worker-{kind}")
        self._channel.put("crashed", Crashed(id=task.id, kind=kind, reason=reason, error=error, detail=detail))

    def _ready(self) -> Process | None:
        """A process that waits for a task, started anew where need be; None when the run is over."""
        if self.process is not None and self.process.is_alive():
            return self.process
        faults, kills = 0, 0
        while not self._channel.is_closed:
            self.drop()
            self.process = Process(self._limits)
            try:
                return self._initialised(self.process)
            except wire.Ended:
                kind, reason, said = self.process.ending()
                kills, faults = kills + (kind == "killed"), faults + (kind != "killed")
                if (faults >= _START_TRIES or kills >= _START_KILLS) and not self._channel.is_closed:
                    raise RuntimeError(f"a worker cannot start: {reason}\n{said}") from None
        return None

    def _initialised(self, process: Process) -> Process:
        process.clock.begin(self._limits.start_s, None)
        process.send(wire.INIT, self._init)
        kind, payload = process.receive()
        if kind == wire.ERROR:
            _, words, trace, own = pickle.loads(payload)
            raise own if own is not None else RuntimeError(f"a worker cannot start: {words}\n{trace}")
        return process


class Supervisor:
    """Worker processes for a run: `with Supervisor(jobs, ...) as supervisor: for event in supervisor.run(tasks)`.

    Args:
        jobs: worker processes, each started when there is a task for it.
        init: (`package.module:function`, value): called once in each new worker, before its first task.
        limits: of each worker.
        buffer_mb: how much the workers may be ahead of the caller before they wait.

    Ctrl-C, SIGTERM and SIGHUP raise `Stopped` in the main thread; on leaving, no worker is left.
    """

    def __init__(
        self, jobs: int, *, init: tuple[str, object] = ("", None), limits: Limits | None = None, buffer_mb: int = 64
    ) -> None:
        self._channel = _Channel(buffer_mb * 1_000_000)
        message = pickle.dumps(init, protocol=5)
        self._keepers = [_Keeper(self._channel, message, limits or Limits()) for _ in range(max(1, jobs))]
        self._watch = threading.Thread(target=self._watch_clocks, daemon=True, name="vectorprep-watch")
        self._unfinished = 0
        self._stack = ExitStack()

    def __enter__(self) -> Self:
        """Ready for tasks; signals now stop the run in good order."""
        self._stack.enter_context(stop_signals())
        self._watch.start()
        for keeper in self._keepers:
            keeper.thread.start()
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        """Ends all workers."""
        try:
            self._close()
        finally:
            self._stack.close()
        if isinstance(error, KeyboardInterrupt):
            raise stopped("Ctrl-C") from error

    @property
    def worker_pids(self) -> tuple[int, ...]:
        """Process ids of the workers that live now."""
        processes = [keeper.process for keeper in self._keepers]
        return tuple(process.pid for process in processes if process is not None and process.is_alive())

    def add(self, task: Task) -> None:
        """One more task for the run that is going on, after those that wait."""
        self._unfinished += 1
        self._channel.add(task)

    def run(self, tasks: Iterable[Task]) -> Iterator[Event]:
        """The events of all tasks as they happen; each task ends with `Done` or `Crashed`.

        Tasks are taken from the iterable as workers get free, in its order: put the longest first.

        Raises:
            Stopped: a signal came in.
            VectorprepError: `init` raised it.
            RuntimeError: no worker can be started.
        """
        feed = iter(tasks)
        is_fed = False
        try:
            while True:
                while not is_fed and self._channel.waiting() < _FED_AHEAD_PER_JOB * len(self._keepers):
                    task = next(feed, None)
                    if task is None:
                        is_fed = True
                    else:
                        self.add(task)
                if is_fed and not self._unfinished:
                    return
                check_stop()
                message = self._channel.get(timeout=0.5)
                if message is not None:
                    event = event_of(message)
                    self._unfinished -= isinstance(event, (Done, Crashed))
                    yield event
        finally:
            if self._unfinished:
                # The caller left early: what still runs must not be taken for an answer to a later run.
                self._close()

    def _watch_clocks(self) -> None:
        while not self._channel.is_closed:
            for keeper in self._keepers:
                if (process := keeper.process) is not None:
                    process.check_clock()
            time.sleep(_TICK_S)

    def _close(self) -> None:
        self._channel.close()
        for keeper in self._keepers:
            if (process := keeper.process) is not None:
                process.kill("killed", "the run was stopped")
        for keeper in self._keepers:
            keeper.thread.join(timeout=4)
        self._watch.join(timeout=1)


class Isolated:
    """One worker process for the thread that calls it, for a run whose tasks are handed out elsewhere.

    Args:
        init: pickled (`package.module:function`, value), as a `Supervisor` takes it.
        limits: of the process.
    """

    def __init__(self, init: bytes, limits: Limits) -> None:
        self._channel = _Channel(_NO_BOUND)
        self._keeper = _Keeper(self._channel, init, limits)
        self._watch = threading.Thread(target=self._watch_clock, daemon=True, name="vectorprep-watch")
        self._watch.start()

    def work(self, task: Task) -> list[Message]:
        """What one task said and how it ended; the messages of an attempt that was killed are left out."""
        self._keeper.work(task)
        said: list[Message] = []
        while (message := self._channel.get(timeout=0)) is not None:
            if message[0] == "started":
                said.clear()
            said.append(message)
        return said

    def close(self) -> None:
        """Ends the process."""
        self._channel.close()
        self._keeper.drop()

    def _watch_clock(self) -> None:
        while not self._channel.is_closed:
            if (process := self._keeper.process) is not None:
                process.check_clock()
            time.sleep(_TICK_S)


def event_of(message: Message) -> Event:
    """The event that a message of a worker stands for."""
    kind, subject, data = message
    if isinstance(subject, tuple):
        return Started(id=subject[0], attempt=subject[1])
    if isinstance(subject, Crashed):
        return subject
    value = pickle.loads(data)
    return Emitted(id=str(subject), value=value) if kind == "emitted" else Done(id=str(subject), value=value)
