"""The worker process: tasks come in over a private pipe, messages and results go out, one task at a time.

It limits itself first: it dies with its parent, its memory is bounded, it leaves no core files, its working folder is empty.
What a task prints goes nowhere.
Never done here: touching files, or deciding what an error means.
"""

from __future__ import annotations

import faulthandler
import importlib
import json
import os
import pickle
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path

from vectorprep.errors import VectorprepError
from vectorprep.run import wire
from vectorprep.run.tasks import Doing

if sys.platform != "win32":
    import resource

# What libraries put into exceptions of other kinds where an allocation fails: C++, Rust, zlib.
_ALLOCATION_FAILED = ("std::bad_alloc", "memory allocation of", "insufficient memory")
_FILE_LIMIT = 16_000_000  # house value: a worker writes no files; this bounds what a library may leave in its error output


def main(argument: str) -> None:
    """Serves tasks until the parent closes the pipe."""
    incoming, outgoing = _private_pipes()
    settings = json.loads(argument)
    _die_with(settings["parent"])
    _limit_self(settings["memory_mb"])
    faulthandler.enable()
    with suppress(wire.Ended):
        _serve(incoming, outgoing, settings["cpu_s"])
    # Interpreter shutdown runs destructors of libraries; the parent is not listening any more.
    os._exit(0)


def function_of(reference: str) -> Callable[..., object]:
    """The function that `package.module:function` names."""
    module, _, name = reference.partition(":")
    function: Callable[..., object] = getattr(importlib.import_module(module), name)
    return function


def _private_pipes() -> tuple[int, int]:
    incoming, outgoing = os.dup(0), os.dup(1)
    nowhere = os.open(os.devnull, os.O_RDWR)
    os.dup2(nowhere, 0)
    os.dup2(nowhere, 1)
    os.close(nowhere)
    return incoming, outgoing


def _die_with(parent: int) -> None:
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_DFL)
    # The kernel ends it with its parent (see `Process`), unless that was gone before the two were bound.
    if sys.platform == "linux" and os.getppid() != parent:
        os._exit(0)


def _limit_self(memory_mb: int | None) -> None:
    if sys.platform == "win32":
        return
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    _lower(resource.RLIMIT_FSIZE, _FILE_LIMIT)
    if memory_mb is not None:
        _lower(resource.RLIMIT_AS, memory_mb * 1_048_576)
    _stand_in_an_empty_folder()


def _stand_in_an_empty_folder() -> None:
    """Moves into a folder that no longer exists: it is empty and stays so, and nothing is left behind after a kill."""
    try:
        folder = tempfile.mkdtemp(prefix="vectorprep-")
    except OSError:
        # Without a place for temporary files the root folder serves: nothing is read or written by a relative path.
        os.chdir("/")
        return
    os.chdir(folder)
    Path(folder).rmdir()


def _lower(kind: int, limit: int) -> None:
    if sys.platform == "win32":
        return
    _, hard = resource.getrlimit(kind)
    if hard == resource.RLIM_INFINITY or hard >= limit:
        # Not every system lets every limit bind; the wall limit of the parent always does.
        try:
            resource.setrlimit(kind, (limit, hard))
        except (OSError, ValueError):
            return


def _serve(incoming: int, outgoing: int, cpu_s: float | None) -> None:
    while True:
        kind, payload = wire.receive(incoming)
        if kind == wire.INIT:
            _answer(outgoing, wire.READY, partial(_initialised, payload))
        else:
            _allow_cpu(cpu_s)
            _answer(outgoing, wire.DONE, partial(_done, payload, outgoing))


def _initialised(message: bytearray) -> None:
    reference, value = pickle.loads(message)
    if reference:
        function_of(reference)(value)


def _done(message: bytearray, outgoing: int) -> object:
    reference, payload = pickle.loads(message)

    def emit(value: object) -> None:
        if isinstance(value, Doing):
            wire.send(outgoing, wire.DOING, value.words.encode())
            return
        wire.send(outgoing, wire.EMIT, pickle.dumps(value, protocol=5))

    return function_of(reference)(payload, emit)


def _answer(outgoing: int, kind: int, work: Callable[[], object]) -> None:
    """Does the work and sends its result, or whatever it raised as plain text: not every exception of a library can be pickled."""
    try:
        reply = pickle.dumps(work(), protocol=5)
    except wire.Ended:
        raise
    except BaseException as error:  # noqa: BLE001 - engines raise panics that are no Exception
        kind, reply = wire.ERROR, pickle.dumps(_told(error), protocol=5)
    wire.send(outgoing, kind, reply)


def _told(error: BaseException) -> tuple[str, str, str, VectorprepError | None]:
    """Kind, words and traceback of an error; the error itself where it is one of our own."""
    if isinstance(error, MemoryError) or any(words in str(error) for words in _ALLOCATION_FAILED):
        return "memory-limit", "memory limit exceeded", "", None
    kind = "exception" if isinstance(error, Exception) else "panic"
    words = f"{type(error).__name__}: {error}"[:2000]
    own = error if isinstance(error, VectorprepError) else None
    return kind, words, "".join(traceback.format_exception(error))[-8000:], own


def _allow_cpu(cpu_s: float | None) -> None:
    if cpu_s is not None and sys.platform != "win32":
        _lower(resource.RLIMIT_CPU, int(time.process_time() + cpu_s) + 1)


if __name__ == "__main__":
    main(sys.argv[1])
