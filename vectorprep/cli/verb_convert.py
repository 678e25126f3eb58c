"""`vectorprep convert`: print files and previews from drawings.

Comes in: options. Goes out: text or JSON of the run, an exit code. Never done here: the run itself.
"""

from __future__ import annotations

from typing import Any

import click

from vectorprep.cli.options import ARTWORKS, BLANKS, JOBS, OUT, PICTURES, PRODUCTS, SCHEDULER, SECOND, STRICT, common, run_options
from vectorprep.cli.show import ProgressLine, print_json, print_notes, print_text


@click.command("convert")
@ARTWORKS
@OUT
@PRODUCTS
@BLANKS
@JOBS
@SCHEDULER
@STRICT
@SECOND
@PICTURES
@click.option("--dry-run", is_flag=True, help="Say what would be made, with sizes; write nothing.")
@click.option("--per-blank", is_flag=True, help="One file name per blank (linked where the picture is the same).")
@click.option("--force", is_flag=True, help="Replace files at the target names that vectorprep did not make.")
@click.option("--review/--no-review", default=None, help="Whether review.html and its small pictures are written (default: yes).")
@click.option("--progress", type=click.Choice(["auto", "json"]), default="auto", help="How progress is shown on stderr.")
@click.option(
    "--contact-sheet", default=None, metavar="FILE", help="Also write a PNG of all drawings on the first product's blanks."
)
@click.option("--no-words", is_flag=True, help="Leave titles and verdicts off the contact sheet.")
@common
def command(
    *,
    art: tuple[str, ...],
    out: str,
    form: str,
    quiet: bool,
    verbose: int,
    progress: str,
    contact_sheet: str | None,
    no_words: bool,
    **values: Any,
) -> int:
    """Make print files and previews from drawings, for many products and blanks at once.

    ART is files or folders of .svg and .svgz. Without --product: what the settings say, else four starter products
    (shirt, mug, sticker, poster). Without --blank: the product's own blanks.
    """
    from vectorprep.pipeline import convert_artworks
    from vectorprep.report.text import convert_text

    report = convert_artworks(art, out, options=run_options(values), progress=ProgressLine(quiet=quiet, form=progress))
    print_notes(report, quiet=quiet)
    if contact_sheet is not None and not values["dry_run"]:
        from vectorprep.pipeline.contact import write_contact_sheet

        write_contact_sheet(report, out, contact_sheet, has_words=not no_words)
    if form == "json":
        print_json(report.record)
    elif not quiet or report.exit_code:
        print_text(convert_text(report.record, out=out, verbose=verbose))
    return int(report.exit_code)
