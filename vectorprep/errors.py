"""Errors and exit codes: the words in which every room says that something cannot be done.

Comes in: what, where, the figure and the limit, and how to mend it.
Goes out: exceptions that carry those words, and the published table of exit codes.
Never done here: printing, or deciding what happens next.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum


class ExitCode(IntEnum):
    """Exit codes of the command; where several apply the first of `PRECEDENCE` wins."""

    FINE = 0
    FINDINGS = 1
    USAGE = 2
    SOME_FAILED = 3
    PART_MISSING = 4
    BUG = 70
    FOLDER = 74
    BUSY = 75
    STOPPED = 130


PRECEDENCE: tuple[ExitCode, ...] = (
    ExitCode.BUG,
    ExitCode.STOPPED,
    ExitCode.BUSY,
    ExitCode.FOLDER,
    ExitCode.PART_MISSING,
    ExitCode.USAGE,
    ExitCode.SOME_FAILED,
    ExitCode.FINDINGS,
    ExitCode.FINE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong in a file the seller wrote: where it stands, what it is, how to mend it."""

    where: str
    message: str
    fix: str = ""

    def __str__(self) -> str:
        """The fault as it is shown: `where: message`, and the remedy on a line of its own."""
        head = f"{self.where}: {self.message}" if self.where else self.message
        return f"{head}\n  fix: {self.fix}" if self.fix else head


class VectorprepError(Exception):
    """Base of all errors that a person can act on.

    Args:
        message: what is wrong, with figure and limit.
        fix: what to do about it.
        code: stable slug of the error, for programs.
        check: slug of the print check that the error answers as well; empty = none.
    """

    exit_code = ExitCode.BUG

    def __init__(self, message: str, *, fix: str = "", code: str = "", check: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.fix = fix
        self.code = code
        self.check = check

    def __reduce__(self) -> tuple[object, ...]:
        """Errors cross process borders with their remedy and code."""
        return (_rebuilt, (type(self), self.message, self.fix, self.code, self.check))

    def __str__(self) -> str:
        """Message, with the remedy on a line of its own."""
        return f"{self.message}\n  fix: {self.fix}" if self.fix else self.message


def _rebuilt(kind: type[VectorprepError], message: str, fix: str, code: str, check: str) -> VectorprepError:
    return kind(message, fix=fix, code=code, check=check)


class ArtworkRefused(VectorprepError):
    """The reader or the plan says no to one artwork; the others go on."""

    exit_code = ExitCode.SOME_FAILED


class ArtworkFailed(VectorprepError):
    """An engine or a limit stopped one artwork; the others go on."""

    exit_code = ExitCode.SOME_FAILED


class SceneRefused(VectorprepError):
    """A picture that artworks should be put on cannot be used; the other pictures are made."""

    exit_code = ExitCode.SOME_FAILED


class UsageError(VectorprepError):
    """The command line, a settings file or a profile cannot be used, or there is no artwork."""

    exit_code = ExitCode.USAGE


class RecordError(UsageError):
    """All faults of a settings file or of product profiles, gathered and raised together."""

    def __init__(self, faults: tuple[Fault, ...], *, code: str = "record-faults") -> None:
        super().__init__("\n".join(str(fault) for fault in faults), code=code)
        self.faults = faults

    def __reduce__(self) -> tuple[object, ...]:
        """Keeps the single faults when crossing a process border."""
        return (RecordError, (self.faults,))


class PartMissing(VectorprepError):
    """An optional part that this command needs is not installed."""

    exit_code = ExitCode.PART_MISSING


class FolderError(VectorprepError):
    """A folder or disk cannot be used: full, no permission, unsuitable."""

    exit_code = ExitCode.FOLDER


class FolderBusy(VectorprepError):
    """Another run holds the output folder."""

    exit_code = ExitCode.BUSY


class Stopped(VectorprepError):
    """The run was stopped by Ctrl-C or a signal; whole files only are left behind."""

    exit_code = ExitCode.STOPPED
