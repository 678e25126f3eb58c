"""Products and blanks as JSON records.

Comes in: products, blanks. Goes out: dictionaries of plain values. Never done here: text for people (`profiles` describes).
"""

from __future__ import annotations

from dataclasses import asdict
from fractions import Fraction
from typing import Any

from vectorprep.model import Blank, Product

HIDDEN = ("extra", "record_sha256", "source", "blanks")


def product_record(product: Product, blanks: tuple[str, ...]) -> dict[str, Any]:
    """All that a product's record states, its file size, and the blanks it comes in."""
    record = {key: value for key, value in asdict(product).items() if key not in HIDDEN}
    record["file_size_px"] = list(product.file_size_px)
    record["file_size_mm"] = [_plain(length) for length in product.file_size_mm]
    record["ideal_width_mm_by_garment_size"] = dict(product.ideal_width_mm_by_garment_size)
    record["blanks"] = list(blanks)
    record["source"] = dict(product.source)
    return record


def blank_record(blank: Blank) -> dict[str, Any]:
    """One blank."""
    return asdict(blank)


def _plain(length: Fraction) -> float:
    return round(float(length), 4)
