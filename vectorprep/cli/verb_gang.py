"""`vectorprep gang`: print files of an out folder laid together on film.

Comes in: an out folder, a film. Goes out: text or JSON, an exit code. Never done here: the laying.
"""

from __future__ import annotations

from typing import Any

import click

from vectorprep.cli.show import print_json, verb_record
from vectorprep.errors import ExitCode, UsageError


@click.command("gang")
@click.argument("folder", metavar="DIR")
@click.option(
    "--product", "products", multiple=True, metavar="KEY", help="A product; repeat for more (default: all film transfers)."
)
@click.option("--artwork", "artworks", multiple=True, metavar="NAME", help="An artwork; repeat for more (default: all).")
@click.option("--blank", "blanks", multiple=True, metavar="KEY", help="Only what is printed on this blank; repeat for more.")
@click.option("--copies", default=1, show_default=True, metavar="N", help="How often each print file is laid.")
@click.option("--count", "counts", multiple=True, metavar="NAME=N", help="How often one artwork is laid; repeat for more.")
@click.option("--film-width", default="22in", show_default=True, metavar="LENGTH", help="Width of the film.")
@click.option(
    "--max-length", default="5000mm", show_default=True, metavar="LENGTH", help="Longest sheet; more goes on further sheets."
)
@click.option("--gap", default="6mm", show_default=True, metavar="LENGTH", help="Least distance between inks.")
@click.option("--margin", default="5mm", show_default=True, metavar="LENGTH", help="Free at each edge of the film.")
@click.option("--turn/--no-turn", "may_turn", default=True, help="Whether pictures may be turned by a quarter.")
@click.option("--labels/--no-labels", "has_labels", default=True, help="Whether number and name stand beside each picture.")
@click.option("--pdf/--no-pdf", "has_pdf", default=True, help="Whether a PDF of the sheets is written too.")
@click.option("--name", default="gang", show_default=True, metavar="NAME", help="What the files are called.")
@click.option("--profiles", multiple=True, metavar="DIR", help="Folder of product records added to the built-in ones.")
@click.option("--force", is_flag=True, help="Replace files that vectorprep did not make.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How results are printed.")
def command(*, folder: str, counts: tuple[str, ...], form: str, **values: Any) -> int:
    """Lay print files of DIR, a folder that convert wrote to, together on film for transfers.

    The sheets (PNG, and a PDF with a page for each) and a list of what lies where go into DIR/gang.
    """
    from vectorprep.pipeline.gang import GangWishes, write_gang
    from vectorprep.report.gang import gang_text
    from vectorprep.report.records import finding_record

    values |= {
        name: _length(values.pop(option), option)
        for name, option in (
            ("film_width_mm", "film_width"),
            ("length_max_mm", "max_length"),
            ("gap_mm", "gap"),
            ("margin_mm", "margin"),
        )
    }
    sheets, findings = write_gang(folder, GangWishes(counts=_counts(counts), **values))
    if form == "json":
        print_json(verb_record("gang", sheets=sheets, findings=[finding_record(finding) for finding in findings]))
    else:
        click.echo(gang_text(folder, sheets, findings), nl=False)
    return int(ExitCode.SOME_FAILED if findings else ExitCode.FINE)


def _length(text: str, option: str) -> float:
    from vectorprep.units import mm_from_text

    try:
        return mm_from_text(text)
    except ValueError as error:
        raise UsageError(
            f"--{option.replace('_', '-')}: {error}", fix="write it like 22in, 560mm or 56cm", code="gang-option"
        ) from error


def _counts(given: tuple[str, ...]) -> dict[str, int]:
    found = {}
    for words in given:
        name, _, number = words.rpartition("=")
        if not name or not number.isdecimal():
            raise UsageError(f"--count {words!r} is no NAME=N", fix="write it like --count fox_camp-fire=12", code="gang-option")
        found[name] = int(number)
    return found
