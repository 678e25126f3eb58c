"""What the settings say for the shop's listing: texts for all drawings or for one, and the columns of its table.

Comes in: a table of the settings file. Goes out: plain records.
Never done here: writing a listing.
"""

from __future__ import annotations

from vectorprep.records import Table
from vectorprep.settings.record import ListingTexts, Selected


def listing_texts(table: Table) -> ListingTexts:
    """`[listing]` of the file, or of one artwork."""
    own = table.table("listing")
    if own is None:
        return ListingTexts()
    own.raw("columns")
    return ListingTexts(
        alt=own.text("alt", ""),
        notes=own.text("notes", ""),
        licence=own.text("licence", ""),
        author=own.text("author", ""),
        tags=own.texts("tags", ()),
    )


def listing_columns(table: Table) -> Selected:
    """`[listing.columns]`: heading = a field in braces such as "{title}", or fixed text with fields in it."""
    own = table.table("listing")
    columns = own.table("columns") if own is not None else None
    if columns is None:
        return ()
    return tuple((heading, columns.text(heading)) for heading in columns.keys())  # noqa: SIM118 - a Table is no mapping
