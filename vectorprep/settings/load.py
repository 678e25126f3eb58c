"""Text of a settings file -> `Settings`.

Comes in: TOML text, the name of its file, and (once they are known) the keys of products and blanks.
Goes out: `Settings`, or one error with every fault of the file.
Never done here: finding or opening the file, resolving its relative paths.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, cast

from vectorprep.records import Faults, Table, nearest, parse_table
from vectorprep.settings.gang import gang_of
from vectorprep.settings.licences import licences_of
from vectorprep.settings.listing import artwork_listing, listing_of
from vectorprep.settings.record import TREATMENTS, ArtworkTable, Choices, PictureSettings, PrintSize, Selected, Settings

GROUPS = ("pale", "dark", "all")
ORIGINAL = "original"
AUTO = "auto"
NUDGE_MAX_MM = 1000.0
WIDTH_LIMITS_MM = (1.0, 5000.0)
_HEX = re.compile(r"#[0-9a-fA-F]{6}")
_SUFFIX = re.compile(r"\.svgz?$", re.IGNORECASE)

INK_NAME_MAX = 40
SPOT_INKS_MAX = 12
"""House value: presses hold no more."""
SIZE_KEYS = ("width", "scale")
PLACE_KEYS = (*SIZE_KEYS, "nudge", "garment_size", "faces", "fit", "ground", "border")
REMEDY_KEYS = ("see_through", "clear_mist", "edge_colour", "knock_out_black", "white_base", "spot_inks")
PRODUCT_KEYS = (
    *PLACE_KEYS,
    *REMEDY_KEYS,
    *("canvas", "optical_centring", "blanks", "single_ink", "plate", "treatments", "keyline", "keyline_mm", "not_offered"),
)
TOP_KEYS = (
    *REMEDY_KEYS,
    *("garment_size", "faces", "fit", "ground", "border", "canvas", "optical_centring", "blanks", "single_ink", "plate"),
    *("treatments", "keyline", "keyline_mm", "not_offered"),
    *("background", "page", "enclosed_white", "standard_light", "standard_dark", "shift_cap"),
)
ARTWORK_KEYS = tuple(dict.fromkeys((*PRODUCT_KEYS, *TOP_KEYS)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """Keys that exist in this run; an empty list is not checked against."""

    products: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    garment_sizes: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()


def load_settings(text: str, where: str, *, known: Known | None = None) -> Settings:
    """The settings of a file's text; `known` also checks the keys of products, blanks, sizes and findings that it names.

    Raises:
        RecordError: every fault of the file.
    """
    faults = Faults()
    table = parse_table(text, where, faults)
    settings = _read(table, known or Known()) if table is not None else Settings()
    faults.raise_if_any()
    return settings


def _read(table: Table, known: Known) -> Settings:
    texts, columns = listing_of(table)
    settings = Settings(
        where=table.file,
        products=_products(table, known) or (),
        profiles=table.texts("profiles", ()),
        fonts=table.texts("fonts", ()),
        engine=table.text("engine", ""),
        jobs=table.integer("jobs", 0, low=0, high=1024),
        strict=table.flag("strict", default=False),
        fail_on=cast(
            Literal["note", "warning", "error", "never"],
            table.text("fail_on", "error", choices=("note", "warning", "error", "never")),
        ),
        preview_long_side_px=table.integer("preview_long_side_px", 2000, low=16, high=20000),
        preview_trimmed=table.flag("preview_trimmed", default=False),
        press=table.text("press", ""),
        total_ink_limit_percent=table.maybe_number("total_ink_limit_percent", low=100.0, high=400.0),
        licences=licences_of(table),
        licences_required=table.flag("licences_required", default=False),
        pictures=_pictures(table),
        gang=gang_of(table, known.products),
        locked_inks=_colours(table, "locked_inks"),
        accept=table.texts("accept", (), choices=known.checks),
        choices=_choices(table, TOP_KEYS, known),
        review=table.flag("review", default=True),
        listing=texts,
        listing_columns=columns,
        by_product=_on(table, known),
        by_artwork=_by_artwork(table, known),
    )
    table.finish()
    return settings


def _pictures(table: Table) -> PictureSettings:
    """The table `pictures`."""
    own = table.table("pictures")
    if own is None:
        return PictureSettings()
    return PictureSettings(
        sources=own.texts("from", ()),
        size_px=own.integer("size_px", 2000, low=64, high=6000),
        format=cast(Literal["webp", "jpeg", "png"], own.text("format", "webp", choices=("webp", "jpeg", "png"))),
        quality=own.integer("quality", 85, low=1, high=100),
        background=own.colour("background", ""),
        crop=cast(Literal["full", "square", "print"], own.text("crop", "full", choices=("full", "square", "print"))),
        order=own.texts("order", ()),
    )


def _products(table: Table, known: Known) -> tuple[str, ...] | None:
    if isinstance(table.raw("products"), dict):
        table.fault("products", "is a table, not a list of product keys", "settings of one product stand under [on.KEY]")
        return None
    return table.texts("products", choices=known.products) if "products" in table else None


def _on(table: Table, known: Known) -> tuple[tuple[str, Choices], ...]:
    """The tables `on.KEY`, one for each product."""
    all_on = table.table("on")
    if all_on is None:
        return ()
    read = []
    for key in all_on.keys():  # noqa: SIM118 - a Table is no mapping
        own = all_on.table(key)
        if known.products and key not in known.products:
            all_on.fault(key, "is the table of a product that does not exist", nearest(key, known.products))
        if own is not None:
            read.append((key, _choices(own, PRODUCT_KEYS, known)))
    return tuple(read)


def _by_artwork(table: Table, known: Known) -> tuple[tuple[str, ArtworkTable], ...]:
    artworks = table.table("artworks")
    if artworks is None:
        return ()
    read: dict[str, ArtworkTable] = {}
    for written in artworks.keys():  # noqa: SIM118
        own = artworks.table(written)
        name = _SUFFIX.sub("", written)
        if name in read:
            artworks.fault(written, "is stated twice, with and without .svg", "keep one of the two tables")
        if own is not None:
            read[name] = _artwork(own, known)
    return tuple(read.items())


def _artwork(table: Table, known: Known) -> ArtworkTable:
    return ArtworkTable(
        title=table.text("title", ""),
        units_per_inch=table.maybe_number("units_per_inch", low=1.0, high=100_000.0),
        products=_products(table, known),
        locked_inks=_colours(table, "locked_inks"),
        colours=_colour_maps(table, known),
        variants=_variants(table, known),
        accept=table.texts("accept", (), choices=known.checks),
        choices=_choices(table, ARTWORK_KEYS, known),
        on=_on(table, known),
        assets=table.texts("assets", ()),
        decided_for=table.text("decided_for", ""),
        listing=artwork_listing(table),
    )


def _choices(table: Table, keys: Sequence[str], known: Known) -> Choices:
    """Those of the overridable keys that may stand in this table."""

    def word(key: str, *choices: str) -> str | None:
        return table.text(key, choices=choices) if key in keys and key in table else None

    def flag(key: str) -> bool | None:
        return table.flag(key) if key in keys and key in table else None

    def colour(key: str) -> str | None:
        return table.colour(key) if key in keys and key in table else None

    def ink(key: str) -> str | None:
        return AUTO if table.raw(key) == AUTO and key in keys else colour(key)

    choices = Choices(
        size=_size(table) if "width" in keys else None,
        nudge_mm=_nudge(table) if "nudge" in keys and "nudge" in table else None,
        garment_size=word("garment_size", *known.garment_sizes),
        faces=cast(Literal["centre", "both", "left", "right"] | None, word("faces", "centre", "both", "left", "right")),
        fit=cast(Literal["contain", "cover"] | None, word("fit", "contain", "cover")),
        ground=cast(Literal["plate", "paper"] | None, word("ground", "plate", "paper")),
        border=cast(Literal["paper", "art"] | None, word("border", "paper", "art")),
        canvas=cast(Literal["full", "trimmed"] | None, word("canvas", "full", "trimmed")),
        optical_centring=flag("optical_centring"),
        blanks=_blanks(table, "blanks", known) if "blanks" in keys and "blanks" in table else None,
        not_offered=_blanks(table, "not_offered", known) if "not_offered" in keys and "not_offered" in table else None,
        background=cast(Literal["keep", "drop"] | None, word("background", "keep", "drop")),
        page=cast(Literal["clip", "recover"] | None, word("page", "clip", "recover")),
        enclosed_white=cast(Literal["ink", "see-through"] | None, word("enclosed_white", "ink", "see-through")),
        single_ink=ink("single_ink"),
        treatments=table.texts("treatments", choices=TREATMENTS) if "treatments" in keys and "treatments" in table else None,
        standard_light=colour("standard_light"),
        standard_dark=colour("standard_dark"),
        shift_cap=table.maybe_number("shift_cap", low=0.0, high=100.0) if "shift_cap" in keys else None,
        plate=flag("plate"),
        see_through=cast(
            Literal["keep", "cut", "halftone", "stipple"] | None, word("see_through", "keep", "cut", "halftone", "stipple")
        ),
        clear_mist=flag("clear_mist"),
        edge_colour=flag("edge_colour"),
        knock_out_black=flag("knock_out_black"),
        white_base=flag("white_base"),
        spot_inks=_spot_inks(table) if "spot_inks" in keys and "spot_inks" in table else None,
        keyline=flag("keyline"),
        keyline_mm=table.maybe_number("keyline_mm", low=0.1, high=10.0) if "keyline_mm" in keys else None,
    )
    for key in keys:
        table.raw(key)
    return choices


def _spot_inks(table: Table) -> Selected:
    """`spot_inks = { "Signal red" = "#b3202c" }`."""
    own = table.table("spot_inks")
    if own is None:
        return ()
    inks = tuple((name, own.colour(name)) for name in own.keys())  # noqa: SIM118
    for at, (name, colour) in enumerate(inks):
        if not name.strip() or len(name) > INK_NAME_MAX or not name.isprintable():
            own.fault(name, f"is no name for an ink: it wants 1 to {INK_NAME_MAX} letters", "write it as it stands on the pot")
        if colour in [other for _, other in inks[:at]]:
            own.fault(name, f'has the colour "{colour}" of another ink', "keep one of the two lines")
    if not 1 <= len(inks) <= SPOT_INKS_MAX:
        table.fault("spot_inks", f"holds {len(inks)} inks", f"name 1 to {SPOT_INKS_MAX}")
    return inks


def _size(table: Table) -> PrintSize | None:
    if "width" in table and "scale" in table:
        table.fault("scale", "stands beside width, and only one of them can hold", "keep one of the two lines")
    if "width" in table:
        if table.raw("width") == ORIGINAL:
            return PrintSize(is_original=True)
        return PrintSize(width_mm=table.length_mm("width", low=WIDTH_LIMITS_MM[0], high=WIDTH_LIMITS_MM[1]))
    if "scale" in table:
        return PrintSize(scale=table.number("scale", low=0.01, high=10.0))
    return None


def _nudge(table: Table) -> tuple[float, float]:
    right, down = table.lengths_mm("nudge", (0.0, 0.0), low=-NUDGE_MAX_MM, high=NUDGE_MAX_MM)
    return right, down


def _blanks(table: Table, where: str, known: Known) -> tuple[str, ...]:
    wanted = table.texts(where)
    for key in wanted:
        _check_selector(table, where, key, known)
    return tuple(key.lower() for key in wanted)


def _check_selector(table: Table, key: str, selector: str, known: Known) -> None:
    """A selector is the key of a blank, a group, or a colour."""
    if selector in GROUPS or _HEX.fullmatch(selector) or not known.blanks or selector in known.blanks:
        return
    table.fault(key, f'names the blank "{selector}", which does not exist', nearest(selector, (*GROUPS, *known.blanks)))


def _colours(table: Table, key: str) -> tuple[str, ...]:
    colours = table.texts(key, ())
    for colour in colours:
        _check_colour(table, key, colour)
    return tuple(colour.lower() for colour in colours)


def _check_colour(table: Table, key: str, colour: str) -> None:
    if not _HEX.fullmatch(colour):
        table.fault(key, f'holds "{colour}", not a colour', 'write six hexadecimal digits such as "#1b2340"')


def _colour_maps(table: Table, known: Known) -> tuple[tuple[str, Selected], ...]:
    """`colours = { "#from" = "#to" }` for all blanks, or one such table under a blank or group."""
    colours = table.table("colours")
    if colours is None:
        return ()
    for_all: list[tuple[str, str]] = []
    maps: list[tuple[str, Selected]] = []
    for key in colours.keys():  # noqa: SIM118
        if isinstance(colours.raw(key), dict):
            own = colours.table(key)
            _check_selector(colours, key, key, known)
            maps.append((key.lower(), tuple(_swap(own, ink) for ink in own.keys()) if own else ()))  # noqa: SIM118
        else:
            for_all.append(_swap(colours, key))
    if for_all:
        maps.insert(0, ("all", tuple(for_all)))
    return tuple(maps)


def _swap(table: Table, ink: str) -> tuple[str, str]:
    _check_colour(table, ink, ink)
    return ink.lower(), table.colour(ink)


def _variants(table: Table, known: Known) -> Selected:
    """`variants = { navy = "file.svg", dark = "other.svg" }`."""
    variants = table.table("variants")
    if variants is None:
        return ()
    read = []
    for selector in variants.keys():  # noqa: SIM118
        file = variants.text(selector)
        _check_selector(variants, selector, selector, known)
        if not _SUFFIX.search(file):
            variants.fault(
                selector, f'is "{file}", not the name of a drawing', 'name an .svg file beside this one, e.g. "fox-light.svg"'
            )
        read.append((selector.lower(), file))
    return tuple(read)
