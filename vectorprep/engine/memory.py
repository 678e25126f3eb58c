"""A worker's memory allocator told which buffers to keep and which to hand back to the system.

Comes in and goes out: nothing; it changes the running process.
Never done here: anything on systems without glibc, where it does nothing.

Every picture takes buffers of tens of megabytes. Fresh ones cost a page fault for each page, so those below 32 MB are used again;
greater ones go back at once, for a worker that kept them all would soon hold two pictures more than it needs.
"""

from __future__ import annotations

import ctypes
import sys

_TRIM_THRESHOLD = -1  # M_TRIM_THRESHOLD, glibc malloc.h
_MMAP_THRESHOLD = -3  # M_MMAP_THRESHOLD, glibc malloc.h
_KEPT_BYTES = 32 << 20  # the greatest that glibc takes for a threshold


def keep_middling_buffers() -> bool:
    """Makes malloc reuse blocks below 32 MB for the rest of the process's life; False where the C library has no such switch."""
    if not sys.platform.startswith("linux"):
        return False
    mallopt = getattr(ctypes.CDLL(None), "mallopt", None)
    return mallopt is not None and bool(mallopt(_MMAP_THRESHOLD, _KEPT_BYTES)) and bool(mallopt(_TRIM_THRESHOLD, _KEPT_BYTES))
