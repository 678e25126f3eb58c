"""`vectorprep explain`: what a finding means and how to mend it.

Comes in: a finding's slug. Goes out: text. Never done here: the wording.
"""

from __future__ import annotations

import click

from vectorprep.cli.show import print_json, verb_record
from vectorprep.errors import UsageError


@click.command("explain")
@click.argument("slug", required=False, metavar="[SLUG]")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How results are printed.")
def command(slug: str | None, form: str) -> int:
    """Say what a finding means, what it does to a print, and how to mend it; without a SLUG list all findings."""
    from vectorprep.pipeline.explained import explanations
    from vectorprep.report.explain import explain_all, explain_one, explanation_record, nearest

    known = explanations()
    if slug is not None and slug not in known:
        near = nearest(slug, known)
        hint = f"did you mean '{near}'?" if near else "run 'vectorprep explain' for the list"
        raise UsageError(f"there is no finding '{slug}'", fix=hint, code="unknown-finding")
    chosen = known if slug is None else {slug: known[slug]}
    if form == "json":
        print_json(verb_record("explain", explanations={key: explanation_record(value) for key, value in chosen.items()}))
    else:
        click.echo(explain_all(known) if slug is None else explain_one(slug, known[slug]), nl=False)
    return 0
