"""The papers of an out folder beside its manifest: the review sheet and the listing.

Comes in: a run's setup and record. Goes out: bytes by file name; what changed since the run before.
Never done here: their words and looks (`report`).
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from vectorprep.errors import Fault, FolderError, RecordError
from vectorprep.pipeline.catalogue import blank_of
from vectorprep.pipeline.choices import is_stale
from vectorprep.pipeline.setup import Setup
from vectorprep.report.compare import changes_between, figures_of
from vectorprep.report.listing import FIELDS, ListingWords, Shop, listing_csv, listing_jsonl, listing_records, unknown_fields
from vectorprep.report.sheet import GENERATOR, Shelf, sheet_of
from vectorprep.settings import ArtworkTable, Choices, ListingTexts, effective
from vectorprep.store import OutFolder

REVIEW = "review.html"
REVIEW_BEGINS = GENERATOR.encode()
LISTING = ("listing.csv", "listing.jsonl")
PAPERS = (REVIEW, *LISTING)
BEFORE = ".vectorprep/before.json"
"""Figures of the last run that was not the same as the one in the manifest."""
Record = dict[str, Any]


def papers_of(setup: Setup, record: Record, titles: Mapping[str, str], changes: Sequence[Record]) -> dict[str, bytes]:
    """Review sheet and listing of everything in the out folder, by file name."""
    blanks = {pair["blank"]: blank_of(setup.catalogue.blanks, pair["blank"]) for pair in record["pairs"]}
    shop = Shop(products=setup.catalogue.products, blanks=blanks, titles=titles, words=_words(setup, record))
    records = listing_records(record, shop)
    papers = {
        LISTING[0]: listing_csv(records, setup.settings.listing_columns).encode(),
        LISTING[1]: listing_jsonl(records).encode(),
    }
    return {REVIEW: sheet_page(setup, record, titles, changes=changes), **papers} if setup.has_review else papers


def sheet_page(
    setup: Setup, record: Record, titles: Mapping[str, str], *, changes: Sequence[Record] = (), pictures: str = ""
) -> bytes:
    """The review sheet as a page; `pictures` stands before the path of each thumbnail."""
    # Here, since a run that changes nothing needs neither the checks nor the templates.
    from vectorprep.pipeline.explained import explanations
    from vectorprep.report.page import review_page

    shelf = Shelf(
        products=setup.catalogue.products,
        blanks={pair["blank"]: blank_of(setup.catalogue.blanks, pair["blank"]) for pair in record["pairs"]},
        titles=titles,
        explanations=explanations(),
        answers={artwork["name"]: _answers(setup, artwork) for artwork in record["artworks"]},
        changes=changes,
        pictures=pictures,
    )
    return review_page(sheet_of(record, shelf)).encode("utf-8", "replace")


def require_columns(setup: Setup) -> None:
    """Refuses a column of the listing that names a field which no record has.

    Raises:
        RecordError: every such column.
    """
    faults = tuple(
        Fault(
            where=setup.settings.where,
            message=f'listing.columns."{heading}" names {{{name}}}',
            fix=f"fields are {', '.join(FIELDS)}",
        )
        for heading, name in unknown_fields(setup.settings.listing_columns)
    )
    if faults:
        raise RecordError(faults)


def changes_since(record: Record, earlier: Any, folder: OutFolder) -> list[Record]:
    """What differs from the last run that was not the same as this one.

    Args:
        record: of this run.
        earlier: the manifest that still lies there, or None.
        folder: where the figures of the run before that are kept.
    """
    now = figures_of(record)
    kept = _figures(earlier)
    if kept is not None and kept != now:
        folder.write(BEFORE, json.dumps(kept, sort_keys=True).encode(), own=True)
    elif kept is None or not folder.exists(BEFORE):
        return []
    try:
        before = json.loads(folder.read(BEFORE))
        return changes_between(before, now)
    except (FolderError, ValueError, KeyError, TypeError, AttributeError):  # a file of an older version, or one that was altered
        return []


def _figures(manifest: Any) -> Record | None:
    try:
        return figures_of(manifest)
    except (KeyError, TypeError):
        return None


def _answers(setup: Setup, artwork: Record) -> Record:
    """What the settings' own table says of an artwork already, as the page puts it."""
    table = dict(setup.settings.by_artwork).get(artwork["name"], ArtworkTable())
    own = table.choices
    answers: Record = {
        "accept": list(table.accept),
        "locked_inks": list(table.locked_inks),
        "background": own.background,
        "page": own.page,
        "enclosed_white": own.enclosed_white,
        "colours": {blank: dict(swaps) for blank, swaps in table.colours},
        "on": {product: _on_product(chosen) for product, chosen in table.on},
        "stale": is_stale(effective(setup.settings, artwork["name"]), artwork["sha256"]),
    }
    return {key: value for key, value in answers.items() if value}


def _on_product(chosen: Choices) -> Record:
    stated = {
        "width_mm": chosen.size.width_mm if chosen.size else None,
        "nudge_mm": list(chosen.nudge_mm) if chosen.nudge_mm else None,
        "treatments": None if chosen.treatments is None else list(chosen.treatments),
        "not_offered": list(chosen.not_offered) if chosen.not_offered else None,
    }
    return {key: value for key, value in stated.items() if value is not None}


def _words(setup: Setup, record: Record) -> dict[str, ListingWords]:
    tables = dict(setup.settings.by_artwork)
    products = dict.fromkeys(pair["product"] for pair in record["pairs"])
    found = {}
    for artwork in record["artworks"]:
        name = artwork["name"]
        withheld = {key: effective(setup.settings, name, key).not_offered for key in products}
        found[name] = replace(_joined(setup.settings.listing, tables.get(name, ArtworkTable()).listing), not_offered=withheld)
    return found


def _joined(common: ListingTexts, own: ListingTexts) -> ListingWords:
    """The artwork's own words before the common ones; tags of both."""
    return ListingWords(
        alt=own.alt or common.alt,
        notes=own.notes or common.notes,
        licence=own.licence or common.licence,
        author=own.author or common.author,
        tags=tuple(dict.fromkeys((*own.tags, *common.tags))),
    )
