"""`vectorprep decide`: decisions of the review sheet go into the settings file.

Comes in: the saved decisions, the drawings. Goes out: what was changed, in words. Never done here: the merging.
"""

from __future__ import annotations

import click

from vectorprep.cli.options import ARTWORKS_OR_NONE
from vectorprep.cli.show import print_json, verb_record


@click.command("decide")
@click.argument("decisions", metavar="DECISIONS")
@ARTWORKS_OR_NONE
@click.option("--settings", default=None, metavar="FILE", help="Settings file (default: nearest vectorprep.toml, else a new one).")
@click.option("--dry-run", is_flag=True, help="Show the merged settings; write nothing.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How results are printed.")
def command(*, decisions: str, art: tuple[str, ...], settings: str | None, dry_run: bool, form: str) -> int:
    """Lay DECISIONS, saved from the review sheet, into the settings file of the drawings ART; its comments are kept."""
    from vectorprep.pipeline.decide import decide
    from vectorprep.report.text import clean, counted

    done = decide(decisions, art, settings=settings, is_dry=dry_run)
    if form == "json":
        print_json(verb_record("decide", settings=done.file, changes=list(done.changes)))
        return 0
    if dry_run:
        click.echo(done.text, nl=False)
        return 0
    click.echo(clean("".join(f"  {change}\n" for change in done.changes)), nl=False)
    click.echo(clean(f"{counted(len(done.changes), 'change')} in {done.file}"))
    click.echo("Next: run the same convert command again; only the drawings that were decided on are made anew.")
    return 0
