"""Being stopped: Ctrl-C, SIGTERM and SIGHUP come in, `Stopped` goes out, once, in the main thread.

Further signals are ignored while the run ends, which takes seconds at most. Never done here: the clean-up itself.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from vectorprep.errors import Stopped

_NAMES = ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")


class _State:
    is_installed = False
    stopped_by = ""


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


def check_stop() -> None:
    """Raises `Stopped` again if a signal came in but its exception was lost, as happens inside destructors."""
    if _state.is_installed and _state.stopped_by:
        raise stopped(_state.stopped_by)


def stopped(by: str) -> Stopped:
    """The error that says what stopped the run and how to go on."""
    return Stopped(f"stopped by {by}", fix="run the same command again to go on from here", code="stopped")


def _take(number: int, _frame: FrameType | None) -> None:
    if not _state.stopped_by:
        _state.stopped_by = "Ctrl-C" if number == signal.SIGINT else signal.Signals(number).name
        raise stopped(_state.stopped_by)
