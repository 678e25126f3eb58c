"""A worker's memory allocator told to keep its big buffers instead of handing each back to the system.

Comes in and goes out: nothing; it changes the running process.
Never done here: anything on systems without glibc, where it does nothing.

Every picture takes buffers of tens of megabytes. Fresh ones cost a page fault for each 4 KiB: two thirds of the CPU of a plain
drawing where it was measured. The rest of the line sees to it that few are held at once.
"""

from __future__ import annotations

import ctypes
import sys

_TRIM_THRESHOLD = -1  # M_TRIM_THRESHOLD, glibc malloc.h
_MMAP_MAX = -4  # M_MMAP_MAX, glibc malloc.h
_KEPT_BYTES = 1 << 30


def keep_big_buffers() -> bool:
    """Makes malloc reuse big blocks for the rest of the process's life; False where the C library has no such switch.

    For processes that draw one picture after another. The most memory ever used stays with the process.
    """
    if not sys.platform.startswith("linux"):
        return False
    mallopt = getattr(ctypes.CDLL(None), "mallopt", None)
    return mallopt is not None and bool(mallopt(_MMAP_MAX, 0)) and bool(mallopt(_TRIM_THRESHOLD, _KEPT_BYTES))


def give_back() -> None:
    """Hands buffers that lie free back to the system: between buffers that are held, a free one of another size serves nobody.

    It costs a page fault for each 4 KiB that is asked for again.
    """
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None) if sys.platform.startswith("linux") else None
    if trim is not None:
        trim(0)
