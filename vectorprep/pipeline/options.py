"""What a caller asks of a run, and what it gets back.

Comes in: nothing. Goes out: frozen records. Never done here: work.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Literal

from vectorprep.errors import PRECEDENCE, ExitCode

FailOn = Literal["note", "warning", "error", "never"]
_RANK = {"note": 0, "warning": 1, "error": 2, "never": 3}


@dataclass(frozen=True, slots=True, kw_only=True)
class RunOptions:
    """Options of a run; None or empty means what the settings say, else the built-in default.

    Attributes:
            products: keys of products.
            blanks: keys of blanks, `#rrggbb`, or the groups `pale`, `dark`, `all`.
            profiles: folders of product records added to the built-in ones.
            fonts: folders of fonts added to the installed ones.
            settings: path of a settings file; None = the nearest `vectorprep.toml`.
            jobs: worker processes; None = cores, bounded by memory.
            press: path of the ICC profile of a press, with which inks are checked; None = what the settings say.
            time_limit_s: for one step of an artwork: reading and measuring it, or making one product; None = the built-in limit.
            scheduler: address of a Dask scheduler whose workers do the work; font folders must be there under the same paths.
            pictures: what product pictures are made from: `drawn`, folders, files; empty = what the settings say.
            only_pictures: whether nothing but product pictures is made.
            show_area: whether they show how the print area was understood.
            thumbnails: whether an audit makes small pictures for its page.
            review: whether `convert` writes the review sheet with its small pictures; None = what the settings say.
    """

    products: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    profiles: tuple[str, ...] = ()
    fonts: tuple[str, ...] = ()
    settings: str | None = None
    engine: str | None = None
    jobs: int | None = None
    dry_run: bool = False
    per_blank: bool = False
    force: bool = False
    strict: bool = False
    second_opinion: bool | None = None
    fail_on: FailOn | None = None
    scheduler: str | None = None
    thumbnails: bool = False
    review: bool | None = None
    press: str | None = None
    time_limit_s: float | None = None
    pictures: tuple[str, ...] = ()
    only_pictures: bool = False
    show_area: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a run is: artworks done of all, and which one ended last."""

    done: int
    total: int
    artwork: str
    status: str
    seconds_left: float | None = None


ProgressCallback = Callable[[Progress], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunReport:
    """The run's record (the JSON contract), what went beside it, and the exit code."""

    record: dict[str, Any]
    exit_code: ExitCode
    notes: tuple[str, ...] = ()
    bugs: tuple[str, ...] = ()
    titles: dict[str, str] = field(default_factory=dict)


def exit_code_of(
    record: dict[str, Any], *, fail_on: FailOn, stopped: bool = False, mismatch: bool = False, bug: bool = False
) -> ExitCode:
    """The exit code of a finished run, the first of the published order that applies."""
    applies = {ExitCode.FINE}
    if bug:
        applies.add(ExitCode.BUG)
    if stopped:
        applies.add(ExitCode.STOPPED)
    if any(artwork["status"] != "ok" for artwork in record["artworks"]):
        applies.add(ExitCode.SOME_FAILED)
    if mismatch or any(_RANK[finding["severity"]] >= _RANK[fail_on] for finding in record["findings"]):
        applies.add(ExitCode.FINDINGS)
    return next(code for code in PRECEDENCE if code in applies)
