"""What the settings say of gang sheets: `[gang]`.

Comes in: a table of the settings file. Goes out: a plain record; what is not stated is None.
Never done here: laying.
"""

from __future__ import annotations

from collections.abc import Sequence

from vectorprep.records import Table
from vectorprep.settings.record import GangSettings

FILM_WIDTH_MM = (50.0, 3000.0)
LENGTH_MM = (100.0, 100_000.0)
GAP_MM = (0.0, 200.0)
MARGIN_MM = (0.0, 750.0)
KEYS = ("products", "copies", "counts", "film_width", "max_length", "gap", "margin", "mirror", "turn", "labels", "pdf")
COPIES = (1, 2000)
"""Most pictures on all sheets of a run together (house value): laying more takes minutes."""


def gang_of(table: Table, products: Sequence[str]) -> GangSettings:
    """The table `gang`; `products` are known keys, none are not checked against."""
    own = table.table("gang")
    if own is None:
        return GangSettings()

    for key in KEYS:
        own.raw(key)

    def length(key: str, span: tuple[float, float]) -> float | None:
        return own.length_mm(key, low=span[0], high=span[1]) if key in own else None

    def flag(key: str) -> bool | None:
        return own.flag(key) if key in own else None

    counts = own.table("counts")
    return GangSettings(
        products=own.texts("products", choices=products) if "products" in own else None,
        copies=own.maybe_integer("copies", low=COPIES[0], high=COPIES[1]),
        counts=tuple((name, counts.integer(name, low=0, high=COPIES[1])) for name in counts.keys()) if counts else (),  # noqa: SIM118
        film_width_mm=length("film_width", FILM_WIDTH_MM),
        length_max_mm=length("max_length", LENGTH_MM),
        gap_mm=length("gap", GAP_MM),
        margin_mm=length("margin", MARGIN_MM),
        mirror=flag("mirror"),
        may_turn=flag("turn"),
        has_labels=flag("labels"),
        has_pdf=flag("pdf"),
    )
