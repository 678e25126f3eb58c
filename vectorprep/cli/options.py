"""Options that several verbs share.

Comes in: click. Goes out: decorators, and the `RunOptions` that they add up to. Never done here: work or printing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from vectorprep.pipeline.options import RunOptions

Function = TypeVar("Function", bound=Callable[..., Any])

ARTWORKS = click.argument("art", nargs=-1, required=True, metavar="ART...")
ARTWORKS_OR_NONE = click.argument("art", nargs=-1, metavar="[ART...]")
PRODUCTS = click.option(
    "--product", "products", multiple=True, metavar="KEY", help="A product; repeat for more. 'profiles' lists them."
)
BLANKS = click.option(
    "--blank", "blanks", multiple=True, metavar="KEY", help="A blank's key, #rrggbb, or pale, dark, all; repeat for more."
)
OUT = click.option("--out", required=True, metavar="DIR", help="Folder for the files made; created if absent.")
JOBS = click.option("--jobs", type=click.IntRange(1, 256), default=None, metavar="N", help="Worker processes (default: cores).")
SCHEDULER = click.option(
    "--scheduler", default=None, metavar="ADDRESS", help="Work on a Dask cluster, such as tcp://127.0.0.1:8786 (extra 'cluster')."
)
PICTURES = click.option(
    "--pictures",
    multiple=True,
    metavar="drawn|DIR",
    help="Also make pictures for a shop page: on the drawings that come along, or on your own photographs in DIR; repeat for more.",
)
SECOND = click.option(
    "--second-opinion/--no-second-opinion",
    default=None,
    help="Whether a second renderer draws each drawing too and differences are reported (default: in audit).",
)
STRICT = click.option("--strict", is_flag=True, help="Judge by contrast ratio 3 (4.5 for text and thin marks).")


def common(function: Function) -> Function:
    """Options of every verb that works on drawings."""
    for option in reversed(
        [
            click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How results are printed."),
            click.option(
                "--fail-on",
                type=click.Choice(["note", "warning", "error", "never"]),
                default=None,
                help="Least severity of a finding that makes the exit code 1 (default: error).",
            ),
            click.option("--profiles", multiple=True, metavar="DIR", help="Folder of product records added to the built-in ones."),
            click.option("--fonts", multiple=True, metavar="DIR", help="Folder of fonts added to those carried along."),
            click.option(
                "--engine", default=None, metavar="NAME", help="Rasteriser: svg2png-py, resvg, resvg-py, cairosvg, librsvg."
            ),
            click.option(
                "--time-limit",
                "time_limit_s",
                type=click.FloatRange(1, 3600),
                default=None,
                metavar="SECONDS",
                help="Most time for one step of a drawing: measuring it, or making one product (default: 8).",
            ),
            click.option("--settings", default=None, metavar="FILE", help="Settings file (default: nearest vectorprep.toml)."),
            click.option("-q", "--quiet", is_flag=True, help="Only errors beside the result."),
            click.option("-v", "--verbose", count=True, help="More words; -vv with details for a report."),
        ]
    ):
        function = option(function)
    return function


def run_options(values: dict[str, Any]) -> RunOptions:
    """The options of a verb as the record that the pipeline takes."""
    names = RunOptions.__slots__
    given = {name: value for name, value in values.items() if name in names}
    for name in ("products", "blanks", "profiles", "fonts", "pictures"):
        given[name] = tuple(given.get(name) or ())
    return RunOptions(**given)
