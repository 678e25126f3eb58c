"""`vectorprep proof`: PDFs to be signed, from an out folder.

Comes in: an out folder. Goes out: names of the files written. Never done here: their layout.
"""

from __future__ import annotations

import click

from vectorprep.cli.show import print_json, verb_record


@click.command("proof")
@click.argument("folder", metavar="DIR")
@click.option("--artwork", "artworks", multiple=True, metavar="NAME", help="An artwork; repeat for more (default: all).")
@click.option("--product", "products", multiple=True, metavar="KEY", help="A product; repeat for more (default: all).")
@click.option("--profiles", multiple=True, metavar="DIR", help="Folder of product records added to the built-in ones.")
@click.option("--to", "file", default=None, metavar="FILE", help="One PDF for everything (default: one each in DIR/proofs).")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", help="Paper size.")
@click.option("--client", default="", metavar="NAME", help="Who signs.")
@click.option("--force", is_flag=True, help="Replace proofs that were altered, or signed, since they were written.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How results are printed.")
def command(
    *,
    folder: str,
    artworks: tuple[str, ...],
    products: tuple[str, ...],
    profiles: tuple[str, ...],
    file: str | None,
    paper: str,
    client: str,
    force: bool,
    form: str,
) -> int:
    """Write a proof to be signed for each drawing in DIR, a folder that convert wrote to."""
    from vectorprep.pipeline.proof import write_proofs
    from vectorprep.report.text import clean

    made = write_proofs(
        folder, artworks=artworks, products=products, profiles=profiles, file=file, paper=paper, client=client, force=force
    )
    if form == "json":
        print_json(verb_record("proof", proofs=made))
    else:
        click.echo(clean("\n".join(made)))
    return 0
