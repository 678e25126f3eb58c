"""Time limits: what counts is the time in which the worker could have worked and been heard."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from vectorprep.run.clock import Clock

HAS_WAITING_TIMES = pytest.mark.skipif(not Path("/proc/self/schedstat").exists(), reason="the system does not tell waiting times")


def test_a_step_is_overdue_after_its_limit_and_not_before() -> None:
    """The words name the limit."""
    clock = Clock(os.getpid())
    clock.begin(None, 0.2)
    assert clock.overdue() == ""
    time.sleep(0.3)
    assert clock.overdue() == "time limit exceeded: no progress for 0.2 s"


def test_each_message_starts_a_new_step_and_the_whole_goes_on() -> None:
    """Steps within their limit add up to a task above its own."""
    clock = Clock(os.getpid())
    clock.begin(0.4, 0.3)
    for _ in range(3):
        time.sleep(0.18)
        clock.pause()
        clock.resume()
    assert clock.overdue() == "time limit of 0.4 s exceeded"


def test_a_paused_clock_stands_still() -> None:
    """Time during which nobody listens does not count, neither for the step nor for the whole."""
    clock = Clock(os.getpid())
    clock.begin(0.2, 0.2)
    clock.pause()
    time.sleep(0.4)
    assert clock.overdue() == ""
    clock.resume()
    assert clock.overdue() == ""


def test_without_limits_nothing_is_overdue() -> None:
    """A clock that was never begun, or begun without limits, lets everything pass."""
    clock = Clock(os.getpid())
    assert clock.overdue() == ""
    clock.begin(None, None)
    assert clock.overdue() == ""


@HAS_WAITING_TIMES
def test_a_process_without_processor_gets_up_to_twice_the_time() -> None:
    """A process that others keep from the processor is overdue later than one that sleeps, and in the end all the same."""
    spin = [sys.executable, "-c", "while True: pass"]
    processors = sorted(os.sched_getaffinity(0))[:1]
    rivals = [subprocess.Popen(spin) for _ in range(8)]
    try:
        for rival in rivals:
            os.sched_setaffinity(rival.pid, processors)
        clock = Clock(rivals[0].pid)
        clock.begin(None, 1.0)
        time.sleep(1.3)
        assert clock.overdue() == ""
        time.sleep(0.9)
        assert clock.overdue() != ""
    finally:
        for rival in rivals:
            rival.kill()
            rival.wait()
