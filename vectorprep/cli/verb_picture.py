"""`vectorprep picture`: one drawing on one product picture.

Comes in: options. Goes out: a picture file, text or JSON, an exit code. Never done here: the picture.
"""

from __future__ import annotations

from typing import Any

import click

from vectorprep.cli.options import common, run_options
from vectorprep.cli.show import print_json, verb_record


@click.command("picture")
@click.argument("art", metavar="ART")
@click.argument("scene", metavar="SCENE")
@click.option("--out", required=True, metavar="FILE", help="The picture: .webp, .jpg or .png by its ending.")
@click.option("--product", default=None, metavar="KEY", help="The product (default: the first that the scene names).")
@click.option("--blank", default=None, metavar="KEY", help="A blank's key or #rrggbb (default: the scene's own, else white).")
@click.option("--show-area", is_flag=True, help="Draw on the picture how the print area was understood.")
@common
def command(
    *,
    art: str,
    scene: str,
    out: str,
    product: str | None,
    blank: str | None,
    form: str,
    quiet: bool,
    verbose: int,
    **values: Any,
) -> int:
    """Put one drawing on one picture: a drawing of a product, or your own photograph of it with the print area marked.

    SCENE is an .svg file: a photograph in it, and over it a path with the id 'area' around the print area, begun at its top-left
    corner.
    """
    del verbose
    from vectorprep.pipeline.single_picture import write_picture
    from vectorprep.report.records import finding_record, output_record

    values |= {"products": (product,) if product else (), "blanks": (blank,) if blank else ()}
    made, findings = write_picture(art, scene, out, run_options(values))
    if form == "json":
        records = [finding_record(finding) for finding in findings]
        print_json(verb_record("picture", outputs=[{**output_record(made.output), "path": out}], findings=records))
        return 0
    if not quiet:
        for finding in findings:
            click.echo(f"{finding.severity}: {finding.message}" + (f"\n  fix: {finding.fix}" if finding.fix else ""), err=True)
        click.echo(f"{out}: {made.output.width_px} x {made.output.height_px} px. {made.output.alt}")
    return 0
