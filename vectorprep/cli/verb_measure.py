"""`vectorprep measure`: page, real ink box, inks, images and text of each drawing.

Comes in: options. Goes out: text or JSON, an exit code. Never done here: the measuring.
"""

from __future__ import annotations

from typing import Any

import click

from vectorprep.cli.options import ARTWORKS, JOBS, PRODUCTS, common, run_options
from vectorprep.cli.show import ProgressLine, print_json, print_notes


@click.command("measure")
@ARTWORKS
@PRODUCTS
@JOBS
@click.option(
    "--overlay", default=None, metavar="FILE", help="With one drawing: write a PNG of it with page and ink box drawn on it."
)
@common
def command(
    *,
    art: tuple[str, ...],
    overlay: str | None,
    form: str,
    quiet: bool,
    verbose: int,
    **values: Any,
) -> int:
    """Show the page, the real ink box, inks, images and text; with --product also at that product's size."""
    from vectorprep.pipeline import measure_artworks
    from vectorprep.report.measured import measure_text

    report = measure_artworks(art, options=run_options(values), overlay_file=overlay, progress=ProgressLine(quiet=quiet))
    print_notes(report, quiet=quiet)
    if form == "json":
        print_json(report.record)
    else:
        click.echo(measure_text(report.record, verbose=verbose), nl=False)
    return int(report.exit_code)
