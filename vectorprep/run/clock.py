"""The time limits of a worker: a task's beginning, messages and ends come in, "overdue" goes out.

Measured by the monotonic clock. Neither the time during which nobody listens to the worker counts, nor, where the system tells it,
the time during which other programs kept the processors from it (up to as much again): a busy machine must not decide which
drawings fail. Never done here: ending a process.
"""

from __future__ import annotations

import time
from pathlib import Path


class Clock:
    """Limits of one process at a time: a whole task, and each step from one message to the next."""

    def __init__(self, pid: int) -> None:
        self._pid = pid
        self._wall_s: float | None = None
        self._step_s: float | None = None
        self._wall_spent = 0.0
        self._since: float | None = None
        self._starved_before = 0.0

    def begin(self, wall_s: float | None, step_s: float | None) -> None:
        """Sets the limits of a task and starts its first step."""
        self._wall_s, self._step_s, self._wall_spent = wall_s, step_s, 0.0
        self.resume()

    def resume(self) -> None:
        """Starts a step."""
        self._starved_before = self._starved()
        self._since = time.monotonic()

    def pause(self) -> None:
        """Ends a step: a worker that waits to be heard is not late."""
        if self._since is not None:
            self._wall_spent += time.monotonic() - self._since
            self._since = None

    def overdue(self) -> str:
        """Which limit is exceeded, in words; empty where none is."""
        since = self._since
        if since is None:
            return ""
        spent = time.monotonic() - since
        if self._is_over(self._wall_s, spent + self._wall_spent, spent):
            return f"time limit of {self._wall_s:g} s exceeded"
        if self._is_over(self._step_s, spent, spent):
            return f"time limit exceeded: no progress for {self._step_s:g} s"
        return ""

    def _is_over(self, limit_s: float | None, spent: float, in_step: float) -> bool:
        if limit_s is None or spent <= limit_s:
            return False
        starved = min(self._starved() - self._starved_before, in_step, limit_s)
        return spent - starved > limit_s

    def _starved(self) -> float:
        """Seconds for which the process was ready to run and had no processor; 0 where the system does not tell."""
        try:
            return int(Path(f"/proc/{self._pid}/schedstat").read_text(encoding="ascii").split()[1]) / 1e9
        except (OSError, ValueError, IndexError):
            return 0.0
