"""`vectorprep verify`: made files against their manifest.

Comes in: an out folder. Goes out: text or JSON, exit code 1 where anything differs. Never done here: the comparing.
"""

from __future__ import annotations

import click

from vectorprep.cli.show import print_json, print_text


@click.command("verify")
@click.argument("folder", metavar="DIR")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How results are printed.")
def command(folder: str, form: str) -> int:
    """Check every made file against the manifest of its folder: hash, size, density, ink box."""
    from vectorprep.pipeline import verify_outputs
    from vectorprep.report.text import verify_text

    report = verify_outputs(folder)
    if form == "json":
        print_json(report.record)
    else:
        print_text(verify_text(report.record, folder=folder))
    return int(report.exit_code)
