"""One worker process as its parent sees it: started clean, spoken to over private pipes, ended by force if need be.

Comes in: limits and frames. Goes out: frames, and the reason why a process ended. Never done here: choosing what to do next.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
from contextlib import suppress
from pathlib import Path

import vectorprep
from vectorprep.run import wire
from vectorprep.run.clock import Clock
from vectorprep.run.tasks import CrashKind, Limits

if sys.platform == "linux":
    import ctypes
    import fcntl

    _LIBC = ctypes.CDLL(None)

_KEPT_VARIABLES = (
    "PATH", "HOME", "LANG", "LC_ALL", "LC_CTYPE", "TMPDIR", "TEMP", "TMP", "XDG_DATA_HOME", "XDG_DATA_DIRS", "FONTCONFIG_FILE",
    "FONTCONFIG_PATH", "LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH", "SYSTEMROOT", "WINDIR", "USERPROFILE", "LOCALAPPDATA", "APPDATA",
)  # fmt: skip
# The workers are the parallelism, so one thread each. A fixed hash seed keeps the order of sets, and with it every output, alike.
_SET_VARIABLES = {
    "OPENBLAS_NUM_THREADS": "1",
    "OMP_NUM_THREADS": "1",
    "MKL_NUM_THREADS": "1",
    "RAYON_NUM_THREADS": "1",
    # Huge pages for big buffers: a picture takes a fifth less CPU (glibc 2.35; others pass it over).
    "GLIBC_TUNABLES": "glibc.malloc.hugetlb=1",
    "PYTHONHASHSEED": "0",
    "PYTHONSAFEPATH": "1",
    "PYTHONUTF8": "1",
}
_PIPE_BYTES = 1 << 20
_PR_SET_PDEATHSIG = 1  # linux/prctl.h
_TAIL_BYTES = 4000
_FROM_OUTSIDE = frozenset(
    getattr(signal, name) for name in ("SIGKILL", "SIGTERM", "SIGINT", "SIGHUP", "SIGQUIT") if hasattr(signal, name)
)
# What allocators say on the error output before they abort: Rust, C++, glibc.
_OUT_OF_MEMORY = ("memory allocation of", "std::bad_alloc", "out of memory", "MemoryError")


class Process:
    """A running worker. Whoever owns it sets its `clock` and checks it now and then."""

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._guard = threading.Lock()
        self._fate: tuple[CrashKind, str] | None = None
        self._is_closed = False
        self._errors = tempfile.TemporaryFile()  # noqa: SIM115 - lives as long as the process
        settings = {"parent": os.getpid(), "memory_mb": limits.memory_mb, "cpu_s": limits.cpu_s}
        try:
            self._popen = subprocess.Popen(
                [sys.executable, "-m", "vectorprep.run.worker", json.dumps(settings)],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=self._errors,
                bufsize=0,
                env=_environment(),
                start_new_session=True,
                # Safe beside threads: one call into libc that takes no lock.
                preexec_fn=_die_with_parent if sys.platform == "linux" else None,  # noqa: PLW1509
            )
        except BaseException:
            self._errors.close()
            raise
        self.clock = Clock(self._popen.pid)
        self.doing = ""
        """What it last said that it does."""
        assert self._popen.stdin is not None
        assert self._popen.stdout is not None
        self._to, self._from = self._popen.stdin.fileno(), self._popen.stdout.fileno()
        for handle in (self._to, self._from):
            _widen(handle)

    @property
    def pid(self) -> int:
        """Its process id, and that of its process group."""
        return self._popen.pid

    def is_alive(self) -> bool:
        """Whether it still runs."""
        return self._popen.poll() is None

    def send(self, kind: int, payload: bytes) -> None:
        """Sends a frame; raises `wire.Ended` where the process is gone."""
        wire.send(self._to, kind, payload, self.is_alive)

    def receive(self) -> tuple[int, bytearray]:
        """Waits for the next frame, its clock running; raises `wire.Ended` where the process is gone."""
        self.clock.resume()
        kind, payload = wire.receive(self._from, self.is_alive)
        while kind == wire.DOING:
            self.doing = payload.decode()
            kind, payload = wire.receive(self._from, self.is_alive)
        self.clock.pause()
        return kind, payload

    def check_clock(self) -> None:
        """Kills the process when its time is up."""
        if overdue := self.clock.overdue():
            self.kill("wall-limit", overdue)

    def kill(self, kind: CrashKind, reason: str) -> None:
        """Ends the process and all it started, by force; the first reason counts."""
        with self._guard:
            if self._is_closed:
                return
            if self._fate is None and self.is_alive():
                self._fate = (kind, reason)
            self._kill_group()

    def ending(self) -> tuple[CrashKind, str, str]:
        """Why a process that stopped talking ended: kind, words, and what it said on its error output. Ends it if it still runs."""
        try:
            code = self._popen.wait(timeout=2)
        except subprocess.TimeoutExpired:
            self.kill("exit", "the worker closed its pipe")
            code = self._popen.wait()
        said = self._tail()
        kind, reason = self._fate or _fate(code, said)
        return kind, reason, said

    def close(self) -> None:
        """Ends the process if need be and gives everything back."""
        with self._guard:
            # After this its number may belong to another process group.
            self._is_closed = True
            self._kill_group()
        with suppress(subprocess.TimeoutExpired):
            self._popen.wait(timeout=5)
        for pipe in (self._popen.stdin, self._popen.stdout, self._errors):
            if pipe is not None:
                with suppress(OSError):
                    pipe.close()

    def _kill_group(self) -> None:
        with suppress(OSError):
            if sys.platform == "win32":
                self._popen.kill()
            else:
                os.killpg(self._popen.pid, signal.SIGKILL)

    def _tail(self) -> str:
        try:
            size = self._errors.seek(0, os.SEEK_END)
            self._errors.seek(max(0, size - _TAIL_BYTES))
            return self._errors.read().decode("utf-8", "replace")
        except OSError:
            return ""


def _fate(code: int, said: str) -> tuple[CrashKind, str]:
    if any(words in said for words in _OUT_OF_MEMORY):
        return "memory-limit", "memory limit exceeded"
    if code >= 0:
        return "exit", f"the worker ended with exit code {code}"
    number = -code
    name = signal.Signals(number).name if number in set(signal.Signals) else f"signal {number}"
    if sys.platform != "win32" and number == signal.SIGXCPU:
        return "cpu-limit", "processor time limit exceeded (SIGXCPU)"
    if number in _FROM_OUTSIDE:
        return "killed", f"the worker was killed from outside ({name})"
    return "signal", f"the worker crashed ({name})"


def _die_with_parent() -> None:
    """Run in the child before it becomes the worker: one that is stopped while Python still starts ends with its parent too."""
    _LIBC.prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)


def _environment() -> dict[str, str]:
    kept = {name: os.environ[name] for name in _KEPT_VARIABLES if name in os.environ}
    package_home = str(Path(vectorprep.__file__).resolve().parent.parent)
    path = dict.fromkeys(os.path.realpath(folder) for folder in (*sys.path, package_home))
    return kept | _SET_VARIABLES | {"PYTHONPATH": os.pathsep.join(path)}


def _widen(handle: int) -> None:
    """Lets a whole picture pass at once, and keeps the parent from waiting inside a system call."""
    if sys.platform == "win32":
        return
    os.set_blocking(handle, False)
    if sys.platform == "linux":
        # Refused where the user's share of pipe memory is used up; the default size works too.
        with suppress(OSError):
            fcntl.fcntl(handle, fcntl.F_SETPIPE_SZ, _PIPE_BYTES)
