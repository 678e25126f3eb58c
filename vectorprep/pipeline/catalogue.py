"""Products and blanks of a run: the built-in ones with the seller's own laid over them.

Comes in: folders of product records. Goes out: a `Catalogue`, and products or blanks by the names people give.
Never done here: reading TOML (`profiles`), touching files (`store`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path

from vectorprep.errors import UsageError
from vectorprep.model import Blank, Product
from vectorprep.profiles import Catalogue, group_of, load_catalogue
from vectorprep.store import builtin_profiles, read_folder

STARTERS = ("tee-adult-front-dtg", "mug-11oz-wrap-sub", "sticker-kiss-cut", "poster-iso-a3")
GROUPS = ("pale", "dark", "all")
_HEX = re.compile(r"#?([0-9a-f]{6})")


def open_catalogue(folders: Sequence[str | Path] = ()) -> Catalogue:
    """The built-in products and blanks with those of the folders laid over them, in order.

    Raises:
        RecordError: every fault of every file.
        UsageError: no such folder.
    """
    own: dict[str, str] = {}
    for folder in folders:
        own.update({str(Path(folder) / name): text for name, text in read_folder(folder).items()})
    return load_catalogue(builtin_profiles(), own)


def product_of(catalogue: Catalogue, key: str) -> Product:
    """The product of that key.

    Raises:
        UsageError: there is none; the nearest is named.
    """
    if key in catalogue.products:
        return catalogue.products[key]
    raise UsageError(f"there is no product '{key}'", fix=_hint(key, catalogue.products, "profiles"), code="unknown-product")


def check_selectors(catalogue: Catalogue, selectors: Sequence[str]) -> None:
    """Refuses a name that is no blank, group or colour.

    Raises:
        UsageError: the nearest name is given.
    """
    for selector in selectors:
        if selector not in GROUPS and selector not in catalogue.blanks and not _HEX.fullmatch(selector.lower()):
            raise UsageError(
                f"there is no blank '{selector}'", fix=_hint(selector, (*GROUPS, *catalogue.blanks), "blanks"), code="unknown-blank"
            )


def blank_of(catalogue_blanks: Mapping[str, Blank], key: str) -> Blank:
    """The blank of a key; `#rrggbb` is a smooth blank of that colour."""
    known = catalogue_blanks.get(key)
    if known is not None:
        return known
    colour = f"#{_HEX.fullmatch(key.lower()).group(1)}"  # type: ignore[union-attr]
    return Blank(key=colour, name=colour, colour=colour, source="guessed")


def own_blanks(catalogue: Catalogue, product: Product) -> tuple[str, ...]:
    """Keys of the blanks that a product comes in."""
    return product.blanks or tuple(catalogue.blanks)


def select_blanks(
    catalogue: Catalogue, product: Product, selectors: Sequence[str] | None
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Keys of the blanks wanted on a product, in order, and those asked for that it does not come in.

    Args:
        catalogue: products and blanks.
        product: the product.
        selectors: keys, `#rrggbb` and groups; None = the product's own blanks.
    """
    own = own_blanks(catalogue, product)
    if selectors is None:
        return own, ()
    chosen: list[str] = []
    lacking: list[str] = []
    for selector in selectors:
        if selector == "all":
            chosen += own
        elif selector in GROUPS:
            chosen += [key for key in own if group_of(catalogue.blanks[key]) == selector]
        elif selector in catalogue.blanks:
            (chosen if selector in own else lacking).append(selector)
        else:
            chosen.append(blank_of(catalogue.blanks, selector).key)
    return tuple(dict.fromkeys(chosen)), tuple(dict.fromkeys(lacking))


def _hint(word: str, known: Sequence[str] | Mapping[str, object], verb: str) -> str:
    near = get_close_matches(word, list(known), n=1, cutoff=0.5)
    listed = "run 'vectorprep profiles' for the list" if verb == "profiles" else f"the blanks are {', '.join(known)}, or #rrggbb"
    return f"did you mean '{near[0]}'? Else {listed}" if near else listed
