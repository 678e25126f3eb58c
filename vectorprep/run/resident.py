"""How much memory this process holds.

Comes in: nothing. Goes out: megabytes. Never done here: limits.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path


def resident_mb() -> float:
    """Resident megabytes of this process by proc(5), statm; 0 where the system does not say."""
    if not sys.platform.startswith("linux"):
        return 0.0
    try:
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    except (OSError, ValueError, IndexError):
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6
