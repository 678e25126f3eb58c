"""Printing: results on stdout, messages and progress on stderr.

Comes in: a finished `RunReport`, progress of a run. Goes out: characters on the two streams.
Never done here: deciding what the words are (`report`).
"""

from __future__ import annotations

import json
import shutil
import sys
import time
from dataclasses import dataclass, field
from typing import Any

import click

from vectorprep import __version__
from vectorprep.pipeline.options import Progress, RunReport
from vectorprep.report.records import run_record
from vectorprep.report.text import clean, duration, wrapped
from vectorprep.run.stop import stopped


@dataclass(slots=True)
class ProgressLine:
    """Shows how far a run is: a line that is redrawn on a terminal, else one line every ten seconds."""

    quiet: bool = False
    form: str = "auto"
    _shown: float = field(default=0.0)
    _width: int = 0

    def __call__(self, progress: Progress) -> None:
        """Called after each artwork; where nobody reads it any more the run is stopped in good order."""
        try:
            self._show(progress)
        except BrokenPipeError as error:
            raise stopped() from error

    def _show(self, progress: Progress) -> None:
        if self.quiet:
            return
        if self.form == "json":
            self._json(progress)
        elif sys.stderr.isatty():
            self._terminal(progress)
        elif time.monotonic() - self._shown > 10 and progress.done < progress.total:
            if self._shown:
                click.echo(_line(progress), err=True)
            self._shown = time.monotonic()

    def _json(self, progress: Progress) -> None:
        record = {
            "progress": progress.done,
            "of": progress.total,
            "artwork": progress.artwork,
            "status": progress.status,
            "seconds_left": progress.seconds_left,
        }
        click.echo(json.dumps(record), err=True)

    def _terminal(self, progress: Progress) -> None:
        line = _line(progress)[: shutil.get_terminal_size().columns - 1]
        end = "\n" if progress.done == progress.total else ""
        sys.stderr.write("\r" + line.ljust(self._width) + end)
        sys.stderr.flush()
        self._width = len(line)


def _line(progress: Progress) -> str:
    left = f", about {duration(progress.seconds_left)} left" if progress.seconds_left else ""
    return f"{progress.done} of {progress.total} artworks{left}  {clean(progress.artwork)}"


def print_text(text: str) -> None:
    """A summary on stdout, folded to the terminal's width where there is one."""
    click.echo(wrapped(text, shutil.get_terminal_size().columns) if sys.stdout.isatty() else text, nl=False)


def print_json(record: dict[str, Any]) -> None:
    """Exactly one object on stdout."""
    click.echo(json.dumps(record, ensure_ascii=False, indent=1))


def print_notes(report: RunReport, *, quiet: bool) -> None:
    """What went beside the result, on stderr."""
    if not quiet:
        for note in report.notes:
            click.echo(f"note: {clean(note)}", err=True)
    for bug in report.bugs:
        click.echo(f"vectorprep: this is a bug in vectorprep, not in your file; please report it. {bug}", err=True)


def verb_record(verb: str, **parts: Any) -> dict[str, Any]:
    """The contract's object for a verb that judges no drawing, with that verb's own parts beside the empty lists."""
    return {**run_record(verb, version=__version__, engine=""), **parts}
