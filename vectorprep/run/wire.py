"""What parent and worker say to each other: frames of a kind and pickled bytes over one private pipe each way.

Comes in: messages and pipe handles. Goes out: the same messages on the other side. Never done here: starting or judging processes.
"""

from __future__ import annotations

import os
import select
import struct
import sys
from collections.abc import Callable

INIT, READY, TASK, EMIT, DONE, ERROR, DOING = range(7)
_HEAD = struct.Struct("<BQ")
_CHUNK = 1 << 20
_POLLS = sys.platform != "win32"
_PATIENCE_MS = 500


class Ended(Exception):
    """The other side is gone."""


def send(handle: int, kind: int, payload: bytes, is_other_alive: Callable[[], bool] = lambda: True) -> None:
    """Sends one frame.

    Raises:
        Ended: the other side is gone.
    """
    for part in (_HEAD.pack(kind, len(payload)), payload):
        view = memoryview(part)
        while view:
            if not _is_ready(handle, select.POLLOUT if _POLLS else 0, is_other_alive):
                raise Ended
            try:
                view = view[os.write(handle, view[:_CHUNK]) :]
            except BlockingIOError:
                continue
            except OSError as error:
                raise Ended from error


def receive(handle: int, is_other_alive: Callable[[], bool] = lambda: True) -> tuple[int, bytearray]:
    """Receives one frame: its kind and its payload.

    Raises:
        Ended: the other side is gone.
    """
    kind, length = _HEAD.unpack(_receive_exactly(handle, _HEAD.size, is_other_alive))
    return kind, _receive_exactly(handle, length, is_other_alive)


def _receive_exactly(handle: int, length: int, is_other_alive: Callable[[], bool]) -> bytearray:
    buffer = bytearray()
    while len(buffer) < length:
        if not _is_ready(handle, select.POLLIN if _POLLS else 0, is_other_alive):
            raise Ended
        try:
            part = os.read(handle, min(length - len(buffer), _CHUNK))
        except BlockingIOError:
            continue
        except OSError as error:
            raise Ended from error
        if not part:
            raise Ended
        buffer += part
    return buffer


def _is_ready(handle: int, wanted: int, is_other_alive: Callable[[], bool]) -> bool:
    """Waits until the pipe can be used; False where the other side died but something it left behind keeps the pipe open."""
    if not _POLLS:
        return True
    poll = select.poll()
    poll.register(handle, wanted)
    while not poll.poll(_PATIENCE_MS):
        if not is_other_alive():
            return bool(poll.poll(0))
    return True
