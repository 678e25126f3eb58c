"""What the settings say for the shop's listing: texts for all drawings or for one, and the columns of its table.

Comes in: a table of the settings file. Goes out: plain records.
Never done here: writing a listing.
"""

from __future__ import annotations

from vectorprep.records import Table
from vectorprep.settings.record import ListingTexts, Selected


def listing_of(table: Table) -> tuple[ListingTexts, Selected]:
    """`[listing]` of the file, and its columns: heading = a field in braces such as "{title}", or text with fields in it."""
    own = table.table("listing")
    if own is None:
        return ListingTexts(), ()
    columns = own.table("columns")
    return _texts(own), tuple((heading, columns.text(heading)) for heading in columns.keys()) if columns else ()  # noqa: SIM118


def artwork_listing(table: Table) -> ListingTexts:
    """`[artworks."name".listing]`."""
    own = table.table("listing")
    return ListingTexts() if own is None else _texts(own)


def _texts(own: Table) -> ListingTexts:
    return ListingTexts(
        alt=own.text("alt", ""),
        notes=own.text("notes", ""),
        licence=own.text("licence", ""),
        author=own.text("author", ""),
        tags=own.texts("tags", ()),
    )
