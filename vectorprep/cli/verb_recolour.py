"""`vectorprep recolour`: the drawings recoloured for a blank, still vector.

Comes in: options. Goes out: text or JSON, an exit code. Never done here: the recolouring.
"""

from __future__ import annotations

from typing import Any

import click

from vectorprep.cli.options import ARTWORKS, BLANKS, JOBS, OUT, PRODUCTS, STRICT, common, run_options
from vectorprep.cli.show import ProgressLine, print_json, print_notes, print_text


@click.command("recolour")
@ARTWORKS
@OUT
@BLANKS
@PRODUCTS
@JOBS
@STRICT
@click.option("--dry-run", is_flag=True, help="Say what would be written; write nothing.")
@click.option("--force", is_flag=True, help="Replace files at the target names that vectorprep did not make.")
@common
def command(*, art: tuple[str, ...], out: str, form: str, quiet: bool, verbose: int, **values: Any) -> int:
    """Write each drawing as it will be printed on each blank: recoloured SVG, still vector."""
    from vectorprep.pipeline import recolour_artworks
    from vectorprep.report.text import convert_text

    if not values.get("blanks"):
        raise click.UsageError("recolour needs a blank. Name one with --blank, for example --blank navy.")
    report = recolour_artworks(art, out, options=run_options(values), progress=ProgressLine(quiet=quiet))
    print_notes(report, quiet=quiet)
    if form == "json":
        print_json(report.record)
    elif not quiet or report.exit_code:
        print_text(convert_text(report.record, out=out, verbose=verbose))
    return int(report.exit_code)
