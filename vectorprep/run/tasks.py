"""The values of a supervised run: tasks and limits go in, events come out.

Never done here: starting processes, or deciding what follows from an event.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from vectorprep.errors import VectorprepError

CrashKind = Literal["refused", "exception", "panic", "signal", "exit", "killed", "wall-limit", "cpu-limit", "memory-limit"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What one worker may use; None = not limited.

    `wall_s`: a whole task. `step_s`: from one message of a task to its next. Both by the monotonic clock, not counting the time
    during which the parent does not listen. `cpu_s`: processor time of one task. `memory_mb`: address space of the worker.
    `start_s`: from the start of a worker until it is ready. Memory and processor limits hold on Linux; other systems bind less.
    """

    wall_s: float | None = 300.0
    step_s: float | None = 20.0
    cpu_s: float | None = 300.0
    memory_mb: int | None = 1536
    start_s: float = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One piece of work for a worker: `function` is `package.module:name` of a `function(payload, emit) -> result`.

    `emit(value)` sends a message to the parent before the result. `wall_s` and `step_s` replace those of the limits.
    """

    id: str
    function: str
    payload: object = None
    wall_s: float | None = None
    step_s: float | None = None


@dataclass(frozen=True, slots=True)
class Doing:
    """What a task says that it does now: it stands in the words of a crash, reaches nobody else and restarts no clock."""

    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Started:
    """A worker begins with the task. Attempt 2 follows a kill from outside: the messages of attempt 1 will come again."""

    id: str
    attempt: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Emitted:
    """A message of the task that came before its result."""

    id: str
    value: object


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """The result of the task."""

    id: str
    value: object


@dataclass(frozen=True, slots=True, kw_only=True)
class Crashed:
    """The task has no result.

    Kinds: `refused` = an error of our own, as it was raised; `exception` = any other one, a bug; `panic` = raised by an engine;
    `signal`, `exit` = the worker died of itself; `killed` = twice killed from outside; else the limit that was exceeded.
    `reason` names signal or limit, `error` is what to report, `detail` is for whoever looks for the cause.
    """

    id: str
    kind: CrashKind
    reason: str
    error: VectorprepError
    detail: str = ""


Event = Started | Emitted | Done | Crashed
