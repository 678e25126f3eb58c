"""Whether the seller has put on record that she may sell what others have made.

Comes in: evidence with the artwork's licence record. Goes out: `licence-missing-or-blocked`. Never done here: legal advice.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence
from vectorprep.model import Explanation, Finding
from vectorprep.model.licence import Licence

SLUGS = {
    "licence-missing-or-blocked": Explanation(
        cause="The artwork names a font, photograph or texture of others that has no licence on record, or one that is not settled"
        " or not for goods; or licences are required and the artwork names none.",
        consequence="Goods may have to be withdrawn. The tool only reads your own record and gives no legal advice.",
        remedy='Read the licence. Then write it down: a table [licences."NAME"] with status = "ok", licence and evidence in the'
        ' settings, and assets = ["NAME"] in the artwork\'s table; assets = ["own work"] where all of it is yours.',
    ),
}
OWN_WORK = "own work"


def check(evidence: Evidence) -> Iterator[Finding]:
    """One finding per asset, and one where none is named although it must be."""
    record = evidence.licences
    for asset in record.assets:
        if asset.name.lower() != OWN_WORK:
            yield from _judged(asset)
    if record.is_required and not record.assets:
        yield _finding(
            "no asset is named, and licences are required",
            'write assets = ["own work"] or the names of fonts and pictures used into the artwork\'s table of the settings',
            "none named",
        )


def _judged(asset: Licence) -> Iterator[Finding]:
    table = f'[licences."{asset.name}"]'
    if asset.status == "unrecorded":
        yield _finding(f"'{asset.name}' has no licence on record", f"write {table} with status, licence and evidence", asset.status)
    elif asset.status == "blocked":
        yield _finding(f"'{asset.name}' is blocked by your record", "replace it in the drawing, or obtain a licence", asset.status)
    elif not asset.is_for_goods:
        words = f"the licence of '{asset.name}' ({asset.licence or 'not named'}) is not for goods"
        yield _finding(words, "replace it in the drawing, or obtain a licence for goods", "commercial_goods = false")
    elif asset.status == "ask":
        fix = f'ask the licensor, then set status = "ok" under {table}'
        yield _finding(f"the licence of '{asset.name}' is not settled", fix, asset.status, severity="warning")


def _finding(message: str, fix: str, measured: str, *, severity: str = "error") -> Finding:
    return Finding(
        check="licence-missing-or-blocked",
        severity="warning" if severity == "warning" else "error",
        message=message,
        fix=fix,
        measured=measured,
        limit="ok",
    )
