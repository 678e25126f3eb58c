"""Signals and capacity: a run stops once and in good order, and starts no more workers than the machine carries."""

from __future__ import annotations

import os
import signal
import threading

import pytest

from vectorprep.errors import ExitCode, Stopped
from vectorprep.run.capacity import cores, default_jobs, free_memory_mb
from vectorprep.run.stop import check_stop, stop_signals


def test_the_first_signal_stops_and_the_second_is_ignored() -> None:
    """`Stopped` is raised once, with the advice how to go on; clean-up is not cut by a second Ctrl-C."""
    with stop_signals():
        with pytest.raises(Stopped, match="same command again") as caught:
            os.kill(os.getpid(), signal.SIGINT)
        os.kill(os.getpid(), signal.SIGTERM)
    assert (caught.value.message, caught.value.exit_code) == ("stopped by Ctrl-C", ExitCode.STOPPED)


def test_the_handlers_from_before_come_back() -> None:
    """Outside, signals do what they did before, also after nested use."""
    before = [signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)]
    with stop_signals():
        with stop_signals():
            pass
        assert signal.getsignal(signal.SIGTERM) is not before[1]
    assert [signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)] == before


def test_a_stop_that_was_swallowed_is_raised_again() -> None:
    """Where the exception was lost on its way, the next check raises it again."""
    with stop_signals():
        check_stop()
        with pytest.raises(Stopped):
            os.kill(os.getpid(), signal.SIGTERM)
        with pytest.raises(Stopped, match="SIGTERM"):
            check_stop()
    check_stop()


def test_an_ignored_signal_stays_ignored() -> None:
    """Under `nohup` a hang-up does not stop the run."""
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        with stop_signals():
            os.kill(os.getpid(), signal.SIGHUP)
    finally:
        signal.signal(signal.SIGHUP, before)


def test_outside_the_main_thread_nothing_is_installed() -> None:
    """Only the main thread can take signals; elsewhere the handlers stay."""
    before = signal.getsignal(signal.SIGTERM)
    found = []

    def look() -> None:
        with stop_signals():
            found.append(signal.getsignal(signal.SIGTERM))

    thread = threading.Thread(target=look)
    thread.start()
    thread.join()
    assert found == [before]


def test_jobs_are_bounded_by_processors_and_memory() -> None:
    """Small jobs: one per processor; jobs larger than the memory: one; never none."""
    assert default_jobs(1) == cores()
    assert default_jobs(10**9) == (cores() if free_memory_mb() is None else 1)
