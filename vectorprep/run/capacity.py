"""How many workers this machine can carry: its free processors and memory come in, a number goes out.

Never done here: starting workers.
"""

from __future__ import annotations

import os
from pathlib import Path

_MEMINFO = Path("/proc/meminfo")
_CGROUP = Path("/sys/fs/cgroup")
# House value: what the system and other programs keep for themselves.
_MEMORY_SHARE = 0.8


def default_jobs(memory_per_job_mb: int) -> int:
    """Workers that the processors and the free memory allow; at least one."""
    free_mb = free_memory_mb()
    by_memory = free_mb * _MEMORY_SHARE // memory_per_job_mb if free_mb is not None else float("inf")
    return max(1, int(min(cores(), by_memory)))


def cores() -> int:
    """Processors that this process may use, quota of its control group included."""
    count = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    quota, _, period = _text(_CGROUP / "cpu.max").partition(" ")
    if quota.isdigit() and period.isdigit():
        count = min(count, int(quota) // int(period))
    return max(1, count)


def free_memory_mb() -> float | None:
    """Memory to be had, MB, within the limit of the control group; None where the system does not say."""
    found = [float(line.split()[1]) / 1024 for line in _text(_MEMINFO).splitlines() if line.startswith("MemAvailable:")]
    limit, used = _text(_CGROUP / "memory.max"), _text(_CGROUP / "memory.current")
    if limit.isdigit() and used.isdigit():
        found.append(max(0, int(limit) - int(used)) / 1_048_576)
    return min(found, default=None)


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        return ""
