"""All product files of a run -> products and blanks, with every fault of every file at once.

Comes in: TOML text by file name, the built-in files and the seller's own laid over them.
Goes out: a `Catalogue`.
Never done here: touching a file or a folder.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

from vectorprep.errors import Fault
from vectorprep.model import Blank, InkPolicy, Limits, Product
from vectorprep.profiles.record import read_product
from vectorprep.profiles.shared import SharedSets, read_limits, read_policy
from vectorprep.records import Faults, Table, parse_table

BLANKS_FILE = "blanks.toml"
LIMITS_FILE = "_limits.toml"
POLICIES_FILE = "_ink_policies.toml"
SHARED_FILES = (BLANKS_FILE, LIMITS_FILE, POLICIES_FILE)

KEY_MAX = 60  # so that a file name holds artwork, product and treatment within 255 bytes
RESERVED_BLANKS = ("pale", "dark", "all")
_KEY = re.compile(r"[a-z0-9]+(?:[-_.][a-z0-9]+)*")
_WIDTHS = "ideal_width_mm_by_garment_size"
_FOLLOWING = {
    "print_area_mm": ("ink_max_mm", "trim_size_mm", "print_area_max_mm"),
    "safe_margin_mm": ("ink_max_mm",),
    _WIDTHS: (_WIDTHS,),
}
"""Keys of a base that a record no longer inherits once it states the key on the left; a table of widths holds as written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """What can be printed on: products and blanks by key, in the order of the files; the shared limits by name."""

    products: dict[str, Product]
    blanks: dict[str, Blank]
    limits: dict[str, Limits]
    policies: dict[str, InkPolicy]


def load_catalogue(built_in: Mapping[str, str], own: Mapping[str, str] | None = None) -> Catalogue:
    """Products and blanks from TOML text by file name; a file of `own` adds to or replaces the built-in one of the same stem.

    Files named `_limits.toml`, `_ink_policies.toml` and `blanks.toml` hold what products name; tables of `own` add to the
    built-in ones and override them key by key. A product of `own` may start from another one: `based_on = "mug-11oz-wrap-sub"`.

    Raises:
        RecordError: every fault of every file.
    """
    faults = Faults()
    first, second = _parsed(built_in, faults), _parsed(own or {}, faults)
    blanks = _read_blanks([layer[BLANKS_FILE] for layer in (first, second) if BLANKS_FILE in layer], faults)
    limits = SharedSets(_named(LIMITS_FILE, first, second), read_limits, "limits")
    policies = SharedSets(_named(POLICIES_FILE, first, second), read_policy, "ink policies")
    products = {}
    for key, table in _product_tables(first, second).items():
        products[key] = read_product(table, key, limits=limits, policies=policies, blanks=tuple(blanks))
    faults.raise_if_any()
    return Catalogue(products=products, blanks=blanks, limits=limits.ready, policies=policies.ready)


def load_products(files: Mapping[str, str], own: Mapping[str, str] | None = None) -> dict[str, Product]:
    """The products of `load_catalogue`."""
    return load_catalogue(files, own).products


def load_blanks(text: str, *, where: str = BLANKS_FILE) -> dict[str, Blank]:
    """The blanks of one file, by key.

    Raises:
        RecordError: every fault of the file.
    """
    faults = Faults()
    table = parse_table(text, where, faults)
    blanks = _read_blanks([table] if table else [], faults)
    faults.raise_if_any()
    return blanks


def _parsed(files: Mapping[str, str], faults: Faults) -> dict[str, Table]:
    """Root tables by file name without its folder; files that are not TOML are faults."""
    tables = {}
    for path in sorted(files):
        name = PurePosixPath(path.replace("\\", "/")).name
        if not name.endswith(".toml"):
            continue
        stem = name.removesuffix(".toml")
        if name.startswith("_") and name not in SHARED_FILES:
            faults.add(
                path,
                Fault(where=path, message=f"{name} is no file of shared tables", fix=f"name it {LIMITS_FILE} or {POLICIES_FILE}"),
            )
        elif name not in SHARED_FILES and (not _KEY.fullmatch(stem) or len(stem) > KEY_MAX):
            message = f"the product key {stem} holds more than a-z, 0-9 and single - _ . between them, or over {KEY_MAX} characters"
            faults.add(path, Fault(where=path, message=message, fix="rename the file, e.g. tee-heavy-front.toml"))
        else:
            table = parse_table(files[path], path, faults)
            if table is not None:
                tables[name] = table
    return tables


def _named(name: str, *layers: Mapping[str, Table]) -> list[Table]:
    return [layer[name] for layer in layers if name in layer]


def _read_blanks(tables: Iterable[Table], faults: Faults) -> dict[str, Blank]:
    blanks: dict[str, Blank] = {}
    raw: dict[str, Mapping[str, object]] = {}
    for table in tables:
        for key in table.keys():  # noqa: SIM118 - a Table is no mapping
            own = table.table(key)
            if key in RESERVED_BLANKS or not _KEY.fullmatch(key):
                fix = "use another key of a-z, 0-9 and single hyphens"
                reason = "is the name of a group" if key in RESERVED_BLANKS else "is no key of a blank"
                faults.add(table.file, Fault(where=table.where(key), message=f"{table.name(key)} {reason}", fix=fix))
            elif own is not None:
                full = own.over(raw.get(key, {}))
                raw[key] = full.values
                blanks[key] = _read_blank(full, key)
                full.finish()
    return blanks


def _read_blank(table: Table, key: str) -> Blank:
    heather = table.text("texture", "smooth", choices=("smooth", "heather")) == "heather"
    return Blank(
        key=key,
        name=table.text("name", empty=False),
        colour=table.colour("colour"),
        texture="heather" if heather else "smooth",
        source=table.text("source", "guessed", choices=("guessed", "supplier", "measured")),
    )


def _product_tables(first: Mapping[str, Table], second: Mapping[str, Table]) -> dict[str, Table]:
    """The product tables, own ones winning, each laid over the one it is based on."""
    tables = {}
    for name in sorted({*first, *second} - set(SHARED_FILES)):
        table = second.get(name) or first[name]
        tables[name.removesuffix(".toml")] = _with_base(table, name, first, second, seen=())
    return tables


def _with_base(table: Table, name: str, first: Mapping[str, Table], second: Mapping[str, Table], *, seen: Sequence[Table]) -> Table:
    if "based_on" not in table:
        return table
    known = tuple(key.removesuffix(".toml") for key in {**first, **second} if key not in SHARED_FILES)
    base_name = table.text("based_on", choices=known) + ".toml"
    # A file that overrides a built-in product may start from that very product.
    base = (
        first.get(base_name) if base_name == name and second.get(name) is table else second.get(base_name) or first.get(base_name)
    )
    if base is None:
        return _without_base(table, table.values)
    if base is table or base in seen:
        table.fault(
            "based_on",
            f'is "{base_name.removesuffix(".toml")}", which is based on this one',
            "base it on a product that stands alone",
        )
        return _without_base(table, table.values)
    full = _with_base(base, base_name, first, second, seen=(*seen, table))
    dropped = {"file_size_mm", "file_size_px", "based_on"}
    for key, following in _FOLLOWING.items():
        if key in table:
            dropped.update(following)
    return _without_base(table, {key: value for key, value in full.values.items() if key not in dropped})


def _without_base(table: Table, base: Mapping[str, object]) -> Table:
    """The table over its base; marks of keys that were dropped with the base's own sizes are dropped too."""
    own = table.over(base)
    values = {key: value for key, value in own.values.items() if key != "based_on"}
    marks = values.get("source")
    if isinstance(marks, dict):
        stated = table.values.get("source")
        kept = stated if isinstance(stated, dict) else {}
        values["source"] = {key: mark for key, mark in marks.items() if key in kept or key.split(".")[0] in {*values, "default"}}
    return own.replaced(values)
