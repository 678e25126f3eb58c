"""The tables `[licences.NAME]`: what the seller may do with fonts, photographs and textures of others.

Comes in: the tables of a settings file. Goes out: `Licence` records. Never done here: judging them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, cast

from vectorprep.model.licence import Licence, LicenceRecord

if TYPE_CHECKING:
    from vectorprep.records import Table


def licences_of(table: Table) -> tuple[Licence, ...]:
    """All assets on record."""
    tables = table.table("licences")
    if tables is None:
        return ()
    read = ((name, tables.table(name)) for name in tables.keys())  # noqa: SIM118 - a Table is no mapping
    return tuple(_licence(name, own) for name, own in read if own is not None)


def _licence(name: str, table: Table) -> Licence:
    return Licence(
        name=name,
        status=cast(Literal["ok", "ask", "blocked"], table.text("status", "ask", choices=("ok", "ask", "blocked"))),
        licence=table.text("licence", ""),
        is_for_goods=table.flag("commercial_goods", default=True),
        evidence=table.text("evidence", ""),
    )


def record_of(known: tuple[Licence, ...], names: tuple[str, ...], *, is_required: bool) -> LicenceRecord:
    """The record of an artwork that is made with some assets; those without a table are unrecorded."""
    by_name = {one.name.lower(): one for one in known}
    assets = tuple(by_name.get(name.lower(), Licence(name=name, status="unrecorded")) for name in names)
    return LicenceRecord(assets=assets, is_required=is_required)
