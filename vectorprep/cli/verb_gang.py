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
@click.option("--copies", type=int, default=None, metavar="N", help="How often each print file is laid (default: 1).")
@click.option("--count", "counts", multiple=True, metavar="NAME=N", help="How often one artwork is laid; repeat for more.")
@click.option("--film-width", default=None, metavar="LENGTH", help="Width of the film (default: 22in).")
@click.option("--max-length", default=None, metavar="LENGTH", help="Longest sheet; more goes on further sheets (default: 5000mm).")
@click.option("--gap", default=None, metavar="LENGTH", help="Least distance between inks (default: 6mm).")
@click.option("--margin", default=None, metavar="LENGTH", help="Free at each edge of the film (default: 5mm).")
@click.option("--mirror/--no-mirror", default=None, help="Whether prints are mirrored; labels are not (default: no).")
@click.option("--turn/--no-turn", "may_turn", default=None, help="Whether pictures may be turned by a quarter (default: yes).")
@click.option("--labels/--no-labels", "has_labels", default=None, help="Whether number and name stand beside (default: yes).")
@click.option("--pdf/--no-pdf", "has_pdf", default=None, help="Whether a PDF of the sheets is written too (default: yes).")
@click.option("--dry-run", "is_dry", is_flag=True, help="Say how the film would be filled; write nothing.")
@click.option("--settings", default=None, metavar="FILE", help="Settings file (default: nearest vectorprep.toml).")
@click.option("--name", default="gang", show_default=True, metavar="NAME", help="What the files are called.")
@click.option("--profiles", multiple=True, metavar="DIR", help="Folder of product records added to the built-in ones.")
@click.option("--force", is_flag=True, help="Replace files that vectorprep did not make.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How results are printed.")
def command(*, folder: str, counts: tuple[str, ...], form: str, settings: str | None, **values: Any) -> int:
    """Lay print files of DIR, a folder that convert wrote to, together on film for transfers.

    The sheets (PNG, and a PDF with a page for each) and a list of what lies where go into DIR/gang. What [gang] of the settings
    states holds where no option is given.
    """
    from vectorprep.pipeline.gang import write_gang
    from vectorprep.pipeline.gang_wishes import wishes_of
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
    sheets, findings = write_gang(folder, wishes_of(folder, values | {"counts": _counts(counts)}, settings=settings))
    if form == "json":
        print_json(verb_record("gang", sheets=sheets, findings=[finding_record(finding) for finding in findings]))
    else:
        click.echo(gang_text(folder, sheets, findings), nl=False)
    return int(ExitCode.SOME_FAILED if findings else ExitCode.FINE)


def _length(text: str | None, option: str) -> float | None:
    if text is None:
        return None
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
