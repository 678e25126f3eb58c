"""One run per output folder: a lock of the kernel that dies with the process that holds it.

The lock file stays; its presence means nothing. Child processes do not inherit the lock.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def take(path: Path) -> int | None:
        """Handle that holds the lock, or None while another process holds it. Closing the handle gives it back."""
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_BINARY | os.O_NOINHERIT)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            os.close(handle)
            return None
        return handle

else:
    import fcntl

    def take(path: Path) -> int | None:
        """Handle that holds the lock, or None while another process holds it. Closing the handle gives it back."""
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC | os.O_NOFOLLOW, 0o666)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            os.close(handle)
            return None
        except BaseException:
            os.close(handle)
            raise
        return handle
