"""Being stopped: Ctrl-C, SIGTERM, SIGHUP or a reader that goes away come in, `Stopped` goes out, once, in the main thread.

Further signals are ignored while the run ends, which takes seconds at most. Never done here: the clean-up itself.
"""

from __future__ import annotations

import os
import select
import signal
import stat
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from vectorprep.errors import Stopped

_NAMES = ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")


_CLOSED_PIPE = "a closed pipe"


class _State:
    is_installed = False
    is_held = False
    stopped_by = ""
    reader: select.poll | None = None


_state = _State()


@contextmanager
def stop_signals() -> Iterator[None]:
    """Within, the first signal raises `Stopped`; the handlers from before come back at the end. Nested use adds nothing.

    Outside the main thread the signals stay as they are, since only the main thread can take them. A signal that was ignored
    from the start (as under `nohup`) stays ignored.
    """
    if _state.is_installed or threading.current_thread() is not threading.main_thread():
        yield
        return
    _state.is_installed, _state.stopped_by = True, ""
    before: dict[int, object] = {}
    try:
        for name in _NAMES:
            number = getattr(signal, name, None)
            if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
                before[number] = signal.signal(number, _take)
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler if handler is not None else signal.SIG_DFL)  # type: ignore[arg-type]
        _state.is_installed = False


@contextmanager
def no_stop() -> Iterator[None]:
    """Within, signals are passed over: for last steps that take a moment and must not be cut in two."""
    _state.is_held = True
    try:
        yield
    finally:
        _state.is_held = False


def pass_over_stops() -> None:
    """Lets signals go by from now on: the process has done its work and is about to end of itself."""
    for name in _NAMES:
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_IGN)


def watch_reader(handle: int) -> None:
    """From now on `check_stop` also notices when the pipe behind that handle has no reader any more, as after `| head -1`."""
    mode = os.fstat(handle).st_mode
    if hasattr(select, "poll") and (stat.S_ISFIFO(mode) or stat.S_ISSOCK(mode)):
        _state.reader = select.poll()
        _state.reader.register(handle, 0)  # that nobody reads is told whatever is asked for (POSIX poll)


def check_stop() -> None:
    """Raises `Stopped` if nobody reads any more, or again if a signal came in but its exception was lost in a destructor."""
    if not _state.is_installed:
        return
    if not _state.stopped_by and _state.reader is not None and _state.reader.poll(0):
        _state.stopped_by = _CLOSED_PIPE
    if _state.stopped_by:
        raise stopped(_state.stopped_by)


def stopped(by: str = _CLOSED_PIPE) -> Stopped:
    """The error that says what stopped the run and how to go on."""
    return Stopped(f"stopped by {by}", fix="run the same command again to go on from here", code="stopped")


def _take(number: int, _frame: FrameType | None) -> None:
    if not _state.stopped_by and not _state.is_held:
        _state.stopped_by = "Ctrl-C" if number == signal.SIGINT else signal.Signals(number).name
        raise stopped(_state.stopped_by)
