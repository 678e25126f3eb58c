"""Listing records: what a shop wants to know of each artwork on each product, as JSON lines and as a table.

Comes in: a run's record, titles, the seller's texts. Goes out: the text of `listing.jsonl` and of `listing.csv`.
Never done here: files, a shop's network, offering a product colour on which the artwork is not clear.
"""

from __future__ import annotations

import csv
import io
import json
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from vectorprep.model import Blank, Product
from vectorprep.report.tables import safe_cell

Record = Mapping[str, Any]
SCHEMA = 1
FIELDS = (
    *("title", "slug", "alt_text", "artwork", "product", "product_name", "blanks_offered", "blanks_not_offered"),
    *(
        "garment_sizes",
        "printed_mm",
        "printed_in",
        "pictures",
        "print_files",
        "tags",
        "notes",
        "author",
        "licence",
        "source_sha256",
    ),
)
"""Fields of a record in their order; `schemas/listing.schema.json` says what each holds."""
PICTURE_KINDS = ("picture", "preview-png", "preview-trimmed-png")
"""Kinds of file that a shop page shows, those of a product before the bare art."""
NOT_PRINTED = {*PICTURE_KINDS, "thumbnail", "recoloured-svg"}
_FIELD = re.compile(r"\{([a-z0-9_]+)\}")


@dataclass(frozen=True, slots=True, kw_only=True)
class ListingWords:
    """The seller's words for one artwork; empty = not said. `not_offered` holds blank keys by product."""

    alt: str = ""
    notes: str = ""
    licence: str = ""
    author: str = ""
    tags: tuple[str, ...] = ()
    not_offered: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """What a listing needs beside the record."""

    products: Mapping[str, Product]
    blanks: Mapping[str, Blank]
    titles: Mapping[str, str]
    words: Mapping[str, ListingWords]


def listing_records(run: Record, shop: Shop) -> list[dict[str, Any]]:
    """One record for each artwork and product that was made, in the run's order."""
    pairs: dict[tuple[str, str], list[Record]] = {}
    for pair in run["pairs"]:
        pairs.setdefault((pair["artwork"], pair["product"]), []).append(pair)
    outputs: dict[tuple[str, str], list[Record]] = {}
    for output in run["outputs"]:
        outputs.setdefault((output["artwork"], output["product"]), []).append(output)
    artworks = {artwork["name"]: artwork for artwork in run["artworks"]}
    return [_record(artworks[key[0]], key[1], own, outputs.get(key, []), shop) for key, own in pairs.items()]


def _record(artwork: Record, key: str, pairs: Sequence[Record], outputs: Sequence[Record], shop: Shop) -> dict[str, Any]:
    name = artwork["name"]
    words = shop.words.get(name, ListingWords())
    title = _whole(shop.titles.get(name, name))
    product = shop.products.get(key)
    withheld = dict.fromkeys(words.not_offered.get(key, ()), "held back by you")
    withheld |= {pair["blank"]: _reason(pair) for pair in pairs if pair["verdict_after"] != "clear"}
    offered = [pair["blank"] for pair in pairs if pair["blank"] not in withheld]
    printed = next((output["printed_mm"] for output in outputs if output["printed_mm"]), None)
    alt = _whole(words.alt) or f"{title}, printed on a {product.product_noun if product else 'product'}"
    pictures = [file for file in _files(outputs, offered) if file["kind"] in PICTURE_KINDS]
    alts = {output["path"]: _whole(output.get("alt") or alt) for output in outputs}
    return {
        "schema": SCHEMA,
        "title": title,
        "slug": f"{artwork['slug']}--{key}",
        "alt_text": alt,
        "artwork": _whole(name),
        "product": key,
        "product_name": product.name if product else key,
        "blanks_offered": [_blank(blank, shop) for blank in offered],
        "blanks_not_offered": [
            {**_blank(pair["blank"], shop), "reason": withheld[pair["blank"]]} for pair in pairs if pair["blank"] in withheld
        ],
        "garment_sizes": [size for size, _ in product.ideal_width_mm_by_garment_size if size != "any"] if product else [],
        "printed_mm": list(printed) if printed else None,
        "printed_in": [round(length / 25.4, 2) for length in printed] if printed else None,
        "pictures": [{**file, "alt": alts[file["path"]]} for file in sorted(pictures, key=_rank)],
        "print_files": [file for file in _files(outputs, offered) if file["kind"] not in NOT_PRINTED],
        "tags": [_whole(tag) for tag in words.tags],
        "notes": _whole(words.notes),
        "author": _whole(words.author),
        "licence": _whole(words.licence),
        "source_sha256": artwork["sha256"],
    }


def _reason(pair: Record) -> str:
    return _whole(f"{pair['verdict_after']}: {pair['deciding_after']}")


def _blank(key: str, shop: Shop) -> dict[str, str]:
    blank = shop.blanks[key]
    return {"key": key, "name": blank.name, "colour": blank.colour}


def _files(outputs: Iterable[Record], offered: Sequence[str]) -> list[dict[str, Any]]:
    """Files of the blanks that are offered, those of the first blank first, else in the run's order."""
    found = []
    for output in outputs:
        blanks = [blank for blank in offered if blank in output["blanks"]]
        if blanks:
            found.append({"path": output["path"], "kind": output["kind"], "blanks": blanks})
    return sorted(found, key=lambda file: offered.index(file["blanks"][0]))


def _rank(file: Record) -> int:
    return PICTURE_KINDS.index(file["kind"])


def _whole(text: str) -> str:
    """Text as the seller wrote it, line breaks kept; half characters of odd file names and control characters are not passed on."""
    text = text.replace("\r\n", "\n").encode("utf-8", "replace").decode("utf-8")
    return "".join(character for character in text if character == "\n" or unicodedata.category(character) != "Cc")


def listing_jsonl(records: Sequence[Record]) -> str:
    """A line of JSON for each record."""
    return "".join(json.dumps(record, ensure_ascii=False) + "\n" for record in records)


def listing_csv(records: Sequence[Record], columns: Sequence[tuple[str, str]] = ()) -> str:
    """The table: all fields, or the seller's own columns.

    Args:
        records: from `listing_records`.
        columns: (heading, text with fields in braces such as "{title}"); empty = every field under its own name.
    """
    chosen = tuple(columns) or tuple((name, f"{{{name}}}") for name in FIELDS)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([safe_cell(heading) for heading, _ in chosen])
    for record in records:
        writer.writerow([safe_cell(_filled(pattern, record)) for _, pattern in chosen])
    return text.getvalue()


def _filled(pattern: str, record: Record) -> str:
    return _FIELD.sub(lambda match: _cell(record, match[1]), pattern)


def unknown_fields(columns: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """(heading, field) of every field named in the columns that no record has."""
    return [(heading, name) for heading, pattern in columns for name in _FIELD.findall(pattern) if name not in FIELDS]


def _cell(record: Record, name: str) -> str:
    value = record[name]
    if value is None:
        return ""
    if name == "blanks_not_offered":
        return "; ".join(f"{blank['name']} ({blank['reason']})" for blank in value)
    if name == "blanks_offered":
        return "; ".join(blank["name"] for blank in value)
    if name in {"pictures", "print_files"}:
        return "; ".join(file["path"] for file in value)
    if name in {"printed_mm", "printed_in"}:
        return " x ".join(f"{length:g}" for length in value)
    return ", ".join(value) if isinstance(value, list) else str(value)
