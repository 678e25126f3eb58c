"""`vectorprep audit`: the drawings judged on every blank, no print file.

Comes in: options. Goes out: text or JSON, an exit code. Never done here: the judging.
"""

from __future__ import annotations

from typing import Any

import click

from vectorprep.cli.options import ARTWORKS, BLANKS, JOBS, PRODUCTS, SCHEDULER, SECOND, STRICT, common, run_options
from vectorprep.cli.show import ProgressLine, print_json, print_notes, print_text


@click.command("audit")
@ARTWORKS
@PRODUCTS
@BLANKS
@JOBS
@SCHEDULER
@STRICT
@SECOND
@click.option("--press", default=None, metavar="PROFILE.icc", help="Output profile of a press: name inks that it cannot print.")
@click.option(
    "--report", default=None, metavar="FILE", help="Write the findings to FILE (.html, .json, .csv or .txt by its ending)."
)
@click.option("--places", default=None, metavar="DIR", help="Write small pictures to DIR on which the findings are ringed.")
@common
def command(
    *,
    art: tuple[str, ...],
    report: str | None,
    places: str | None,
    form: str,
    quiet: bool,
    verbose: int,
    **values: Any,
) -> int:
    """Judge the drawings as drawn on every blank and at print size; make no print file.

    `--blank pale` is the quick question what disappears on pale blanks; `--blank dark` the same for dark ones.
    """
    from vectorprep.pipeline import audit_artworks
    from vectorprep.report.text import audit_text

    result = audit_artworks(
        art, options=run_options(values), report_file=report, places_folder=places, progress=ProgressLine(quiet=quiet)
    )
    print_notes(result, quiet=quiet)
    if form == "json":
        print_json(result.record)
    else:
        print_text(audit_text(result.record, verbose=verbose))
    return int(result.exit_code)
