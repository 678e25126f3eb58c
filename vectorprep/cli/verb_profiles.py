"""`vectorprep profiles`: the products, listed, shown in plain words, validated.

Comes in: a product key or none. Goes out: text or JSON. Never done here: reading of records.
"""

from __future__ import annotations

import click

from vectorprep.cli.show import print_json, verb_record


@click.command("profiles")
@click.argument("key", required=False, metavar="[KEY]")
@click.option("--profiles", multiple=True, metavar="DIR", help="Folder of product records added to the built-in ones.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How results are printed.")
def command(key: str | None, profiles: tuple[str, ...], form: str) -> int:
    """List the products, or show one with its sizes in inches and mm; a broken record is refused with all its faults."""
    from vectorprep.pipeline.catalogue import open_catalogue, own_blanks, product_of
    from vectorprep.profiles import describe, list_lines
    from vectorprep.report.products import blank_record, product_record

    catalogue = open_catalogue(profiles)
    chosen = catalogue.products if key is None else {key: product_of(catalogue, key)}
    if form == "json":
        products = {name: product_record(product, own_blanks(catalogue, product)) for name, product in chosen.items()}
        blanks = {name: blank_record(blank) for name, blank in catalogue.blanks.items()}
        print_json(verb_record("profiles", products=products, blanks=blanks))
    elif key is None:
        click.echo("\n".join(list_lines(catalogue.products)))
        click.echo("\nvectorprep profiles KEY shows one in inches and mm.")
    else:
        click.echo(describe(chosen[key], catalogue.blanks))
    return 0
