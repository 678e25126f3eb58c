"""Jobs for the tests of the worker processes: each misbehaves in the way that its payload names.

They are found by workers through the path of the test that puts this folder on it.
"""

from __future__ import annotations

import ctypes
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

from vectorprep.errors import ArtworkRefused
from vectorprep.run.tasks import Doing

Emit = Callable[[object], None]

_remembered: dict[str, object] = {}


class Panic(BaseException):
    """What some engines raise: no Exception, and not to be pickled."""

    def __reduce__(self) -> tuple[object, ...]:
        """Refuses to be pickled."""
        raise TypeError("a panic cannot be pickled")


def remember(value: object) -> None:
    """Init function: keeps a value in the worker."""
    _remembered["value"] = value
    _remembered["times"] = int(str(_remembered.get("times", 0))) + 1


def fail_to_start(value: object) -> None:
    """Init function that raises."""
    raise ArtworkRefused(f"cannot start with {value}", fix="use another value")


def recall(payload: object, emit: Emit) -> object:
    """What the worker keeps, and which process it is."""
    return _remembered.get("value"), _remembered.get("times"), os.getpid(), payload


def stream(payload: tuple[int, int], emit: Emit) -> int:
    """Emits so many messages of so many bytes, then their number."""
    count, size = payload
    for index in range(count):
        emit((index, bytes(size)))
    return count


def surroundings(payload: object, emit: Emit) -> dict[str, Any]:
    """What a task finds around itself."""
    os.write(1, b"printed by a task")
    return {
        "entries": os.listdir("."),  # noqa: PTH208 - a folder without a path
        "environment": dict(os.environ),
        "handles": sorted(os.readlink(f"/proc/self/fd/{handle}") for handle in os.listdir("/proc/self/fd") if _is_open(handle)),  # noqa: PTH115, PTH208
        "group": os.getpgrp(),
        "pid": os.getpid(),
    }


def _is_open(handle: str) -> bool:
    return os.path.lexists(f"/proc/self/fd/{handle}")


def sleep(payload: float, emit: Emit) -> float:
    """Waits, then returns how long."""
    time.sleep(payload)
    return payload


def sleep_and_recall(payload: float, emit: Emit) -> int:
    """Which process it is, after a while."""
    time.sleep(payload)
    return os.getpid()


def burn(payload: float, emit: Emit) -> float:
    """Uses the processor for so many seconds."""
    end = time.process_time() + payload
    while time.process_time() < end:
        pass
    return payload


def misbehave(payload: str, emit: Emit) -> str:
    """Does what the payload names; a good task emits once and returns."""
    emit("begun")
    return _WAYS[payload]()


def _crash() -> str:
    ctypes.string_at(0)
    return "not reached"


def _abort() -> str:
    os.abort()


def _hog() -> str:
    held = []
    while True:
        held.append(bytearray(64_000_000))


def _hang() -> str:
    time.sleep(1000)
    return "not reached"


def _spin() -> str:
    while True:
        pass


def _deaf() -> str:
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    return _hang()


def _blocked() -> str:
    read, _ = os.pipe()
    os.read(read, 1)
    return "not reached"


def _stopped() -> str:
    os.kill(os.getpid(), signal.SIGSTOP)
    return _hang()


def _leave_child() -> str:
    # The child keeps the worker's pipes open after the worker is gone.
    subprocess.Popen([sys.executable, "-c", "import time; time.sleep(1000)"], close_fds=False)
    return _crash()


def _panic() -> str:
    raise Panic("thread panicked")


def _refuse() -> str:
    raise ArtworkRefused("no ink in the drawing", fix="draw something", code="no-ink")


def _bug() -> str:
    raise ValueError("a bug")


def _bad_alloc() -> str:
    raise RuntimeError("std::bad_alloc")  # as the bindings of a C++ library translate it


def tell_and_hang(payload: str, emit: Emit) -> str:
    """Says what it does, several times, and comes to no end."""
    for _ in range(20):
        time.sleep(0.1)
        emit(Doing(f"drawing {payload}"))
    return _hang()


def tell_and_return(payload: str, emit: Emit) -> str:
    """Says what it does, then returns."""
    emit(Doing(f"drawing {payload}"))
    return payload


def _exit() -> str:
    os._exit(7)


def _system_exit() -> str:
    raise SystemExit(3)


def _killed() -> str:
    os.kill(os.getpid(), signal.SIGKILL)
    return _hang()


def _odd_result() -> str:
    return lambda: "not to be pickled"  # type: ignore[return-value]


_WAYS: dict[str, Callable[[], str]] = {
    "good": lambda: "good",
    "crash": _crash,
    "abort": _abort,
    "hog": _hog,
    "hang": _hang,
    "spin": _spin,
    "deaf": _deaf,
    "blocked": _blocked,
    "stopped": _stopped,
    "leave-child": _leave_child,
    "panic": _panic,
    "refuse": _refuse,
    "bug": _bug,
    "bad-alloc": _bad_alloc,
    "exit": _exit,
    "system-exit": _system_exit,
    "killed": _killed,
    "odd-result": _odd_result,
}
