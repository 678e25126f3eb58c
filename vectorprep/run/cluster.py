"""Runs tasks on a Dask cluster: tasks come in, the same events go out as from the local `Supervisor`.

Drawings travel as bytes and results come back as bytes; whoever owns the out folder writes. On each worker of the cluster a task
runs in a killable process of its own, under the same limits as here. Tasks of a worker that is lost are done again elsewhere.
Never done here: starting a cluster, or touching files. Whoever reaches the scheduler can run code on it, so it belongs into a
network of its own.
"""

from __future__ import annotations

import pickle
import queue
import threading
import time
import uuid
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, suppress
from importlib import import_module
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

from vectorprep import __version__
from vectorprep.errors import ArtworkFailed, PartMissing, Stopped, UsageError
from vectorprep.run.stop import check_stop, stop_signals, stopped
from vectorprep.run.supervisor import Isolated, event_of
from vectorprep.run.tasks import Crashed, Done, Event, Limits, Task
from vectorprep.run.worker import function_of

if TYPE_CHECKING:
    from vectorprep.run.supervisor import Message

Client = Any
Future = Any
"""Of dask.distributed, whose calls carry no types."""
_FED_AHEAD_PER_THREAD = 2
_CONNECT_S = 5.0
_WORKERS_S = 30.0
_PARTING_S = 3.0
_COUNT_EVERY_S = 5.0
_EXTRA = "pip install 'vectorprep[cluster]'"


class Cluster:
    """A run on the workers of a scheduler: `with Cluster(address, ...) as cluster: for event in cluster.run(tasks)`.

    Args:
        address: of the scheduler, such as `tcp://127.0.0.1:8786`.
        init: (`package.module:function`, value): called once in each process that works, before its first task.
        alike: (`package.module:function`, argument, value): a worker on which the function gives another value is refused, so that
            all files of a run are made by the same versions.
        limits: of each process that works.

    Raises:
        PartMissing: dask.distributed is not installed.
        UsageError: no scheduler answers, or it has no workers.
    """

    def __init__(
        self,
        address: str,
        *,
        init: tuple[str, object] = ("", None),
        alike: tuple[str, object, object] | None = None,
        limits: Limits | None = None,
    ) -> None:
        self._address = address
        self._init = pickle.dumps((init, alike, limits or Limits(), __version__), protocol=5)
        self._run = f"vectorprep-{uuid.uuid4().hex}"
        self._ended: queue.SimpleQueue[tuple[Task, Future]] = queue.SimpleQueue()
        self._waiting: deque[Task] = deque()
        self._open: dict[str, Future] = {}
        self._number = 0
        self._stack = ExitStack()
        self._client: Client | None = None
        self._common: Future | None = None

    def __enter__(self) -> Self:
        """Connected; signals now stop the run in good order."""
        client = self._stack.enter_context(_connected(self._address))
        self._stack.enter_context(stop_signals())
        self._client = client
        # A task, not data: if the worker that holds it is lost, it is made again.
        self._common = client.submit(_same, self._init, key=f"{self._run}-common", pure=False)
        # On every worker from the start, else tasks gather where it lies.
        client.replicate([self._common])
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        """Gives up what is still open, ends the processes on the workers, and leaves the cluster."""
        try:
            if self._client is not None:
                for future in self._open.values():
                    with suppress(Exception):
                        future.cancel()
                _within(_PARTING_S, self._client.run, _close_all)
        finally:
            self._client = self._common = None
            self._stack.close()
        if isinstance(error, KeyboardInterrupt):
            raise stopped("Ctrl-C") from error

    def add(self, task: Task) -> None:
        """One more task for the run that is going on, after those that wait."""
        self._waiting.append(task)

    def run(self, tasks: Iterable[Task]) -> Iterator[Event]:
        """The events of all tasks; each task ends with `Done` or `Crashed`, and its events come together when it has ended.

        Raises:
            Stopped: a signal came in, or the scheduler went away.
            VectorprepError: `init` raised it, or a worker is not alike.
        """
        feed = iter(tasks)
        is_fed = False
        room, counted = 1, 0.0
        while True:
            if time.monotonic() - counted > _COUNT_EVERY_S:
                room, counted = self._room(), time.monotonic()
            while not is_fed and len(self._open) + len(self._waiting) < room:
                task = next(feed, None)
                if task is None:
                    is_fed = True
                else:
                    self._waiting.append(task)
            while self._waiting:
                self._submit(self._waiting.popleft())
            if is_fed and not self._open:
                return
            check_stop()
            with suppress(queue.Empty):
                yield from self._events(*self._ended.get(timeout=0.5))

    def _room(self) -> int:
        """Tasks that may be open at once: enough that no thread waits for the network."""
        assert self._client is not None
        with suppress(OSError, TimeoutError):
            return max(1, _FED_AHEAD_PER_THREAD * int(sum(self._client.nthreads().values())))
        return max(1, len(self._open))

    def _submit(self, task: Task) -> None:
        assert self._client is not None
        self._number += 1
        message = pickle.dumps(task, protocol=5)
        future = self._client.submit(_work, self._common, message, key=f"{self._run}-{self._number}", pure=False)
        self._open[task.id] = future
        future.add_done_callback(lambda ended, task=task: self._ended.put((task, ended)))

    def _events(self, task: Task, future: Future) -> Iterator[Event]:
        self._open.pop(task.id, None)
        if future.status in {"cancelled", "lost"}:
            raise Stopped(
                f"stopped: the scheduler at {self._address} went away",
                fix="start it again, and run the same command to go on from here",
                code="scheduler-lost",
            )
        if future.status == "error":
            yield self._crashed(task, future.exception())
            return
        said: list[Message] = pickle.loads(future.result())
        future.release()
        events = [event_of(message) for message in said]
        if not events or not isinstance(events[-1], (Done, Crashed)):
            raise RuntimeError(f"the task {task.id} came back without an end")
        yield from events

    def _crashed(self, task: Task, fault: BaseException | None) -> Crashed:
        """A task whose workers were lost again and again; any other fault is of the run, not of one task."""
        if type(fault).__name__ != "KilledWorker":
            raise fault if fault is not None else RuntimeError(f"the task {task.id} came back without an answer")
        reason = "every worker that took it was lost"
        error = ArtworkFailed(f"{task.id}: {reason}", fix="see what ends the workers of the cluster", code="worker-killed")
        return Crashed(id=task.id, kind="killed", reason=reason, error=error, detail=str(fault))


def _connected(address: str) -> Client:
    try:
        distributed = import_module("distributed")
    except ImportError as fault:
        raise PartMissing(f"a run on a cluster needs dask.distributed: {fault}", fix=_EXTRA, code="cluster-missing") from fault
    try:
        client = distributed.Client(address, timeout=_CONNECT_S, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as fault:
        raise UsageError(
            f"no scheduler answers at {address}: {fault or 'time is up'}",
            fix="start one with 'dask scheduler' and give its address, such as tcp://127.0.0.1:8786",
            code="scheduler-unreachable",
        ) from fault
    try:
        client.wait_for_workers(1, timeout=_WORKERS_S)
    except TimeoutError as fault:
        client.close()
        raise UsageError(
            f"the scheduler at {address} has no workers", fix=f"start some with 'dask worker {address}'", code="cluster-empty"
        ) from fault
    return client


def _within(seconds: float, function: Callable[..., object], *arguments: object) -> None:
    """Calls a function and stops waiting for it after a while; what it raises does not matter any more."""

    def call() -> None:
        with suppress(Exception):
            function(*arguments)

    caller = threading.Thread(target=call, daemon=True, name="vectorprep-parting")
    caller.start()
    caller.join(seconds)


class _Here(threading.local):
    """What one thread of a cluster's worker keeps between tasks."""

    init: bytes = b""
    isolated: Isolated | None = None


_here = _Here()
_all: list[Isolated] = []


def _same(value: bytes) -> bytes:
    return value


def _work(common: bytes, message: bytes) -> bytes:
    """On a worker of the cluster: carries out one task in this thread's own process."""
    task: Task = pickle.loads(message)
    isolated = _here.isolated
    if isolated is None or _here.init != common or isolated not in _all:
        if isolated is not None:
            isolated.close()
        isolated = _opened(common)
        _here.init, _here.isolated = common, isolated
        _all.append(isolated)
    return pickle.dumps(isolated.work(task), protocol=5)


def _opened(common: bytes) -> Isolated:
    init, alike, limits, theirs = pickle.loads(common)
    own: Any = __version__
    if alike is not None and own == theirs:
        reference, argument, theirs = alike
        own = function_of(reference)(argument)
    if own != theirs:
        raise UsageError(
            f"a worker of the cluster has other versions: {own}; here: {theirs}",
            fix="install the same versions on all workers",
            code="cluster-unlike",
        )
    return Isolated(pickle.dumps(init, protocol=5), limits)


def _close_all() -> None:
    while _all:
        with suppress(OSError):
            _all.pop().close()
