"""The values of a settings file: what the seller chose for all, for one product, for one artwork.

Comes in: nothing; these are plain records.
Goes out: `Settings`, and `ArtworkSettings` as they apply to one artwork on one product.
Never done here: reading TOML.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from vectorprep.model.licence import NO_RECORD, Licence, LicenceRecord
from vectorprep.settings.licences import record_of

Lengths = tuple[float, float]
Selected = tuple[tuple[str, str], ...]

TREATMENTS = ("neutral-swap", "shift", "keyline", "single-ink", "knock-out")
"""Changes of ink that may be allowed; leaving as drawn comes before them and asking after them, always."""
LADDER = ("neutral-swap", "shift", "keyline")


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintSize:
    """How large to print: a width, the drawing's own size, or the ideal width times `scale`."""

    width_mm: float | None = None
    is_original: bool = False
    scale: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What one table of the file states; None = not stated there."""

    size: PrintSize | None = None
    nudge_mm: Lengths | None = None
    garment_size: str | None = None
    faces: Literal["centre", "both", "left", "right"] | None = None
    fit: Literal["contain", "cover"] | None = None
    ground: Literal["plate", "paper"] | None = None
    border: Literal["paper", "art"] | None = None
    canvas: Literal["full", "trimmed"] | None = None
    optical_centring: bool | None = None
    blanks: tuple[str, ...] | None = None
    background: Literal["keep", "drop"] | None = None
    page: Literal["clip", "recover"] | None = None
    enclosed_white: Literal["ink", "see-through"] | None = None
    single_ink: str | None = None
    plate: bool | None = None
    see_through: Literal["keep", "cut", "halftone", "stipple"] | None = None
    clear_mist: bool | None = None
    edge_colour: bool | None = None
    knock_out_black: bool | None = None
    white_base: bool | None = None
    spot_inks: Selected | None = None
    treatments: tuple[str, ...] | None = None
    standard_light: str | None = None
    standard_dark: str | None = None
    shift_cap: float | None = None
    keyline: bool | None = None
    keyline_mm: float | None = None
    not_offered: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ListingTexts:
    """What stands in the shop's listing beside figures: for all drawings, or for one; empty = not stated there."""

    alt: str = ""
    notes: str = ""
    licence: str = ""
    author: str = ""
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ArtworkTable:
    """What `[artworks."name"]` states.

    `colours` holds pairs of a blank, group or `all` and its (from, to) pairs; `variants` pairs of a blank or group and a file;
    `on` what differs on one product.
    """

    title: str = ""
    units_per_inch: float | None = None
    products: tuple[str, ...] | None = None
    locked_inks: tuple[str, ...] = ()
    colours: tuple[tuple[str, Selected], ...] = ()
    variants: Selected = ()
    accept: tuple[str, ...] = ()
    assets: tuple[str, ...] = ()
    """Names of what others have made and the drawing holds; their licences stand under `licences`."""
    choices: Choices = Choices()
    on: tuple[tuple[str, Choices], ...] = ()
    decided_for: str = ""
    """SHA-256 of the drawing that the table was decided for; empty = of any."""
    listing: ListingTexts = ListingTexts()


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureSettings:
    """What `[pictures]` states: how pictures for a shop page are made, and from what."""

    sources: tuple[str, ...] = ()
    """`drawn`, folders and files of scenes; the key is `from`."""
    size_px: int = 2000
    format: Literal["webp", "jpeg", "png"] = "webp"
    quality: int = 85  # house value
    background: str = ""
    """`#rrggbb` in the place of a drawing's own backdrop; empty keeps it."""
    crop: Literal["full", "square", "print"] = "full"
    order: tuple[str, ...] = ()
    """Names of scenes that are listed first, in this order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GangSettings:
    """What `[gang]` states of gang sheets, lengths in mm; None = not stated."""

    products: tuple[str, ...] | None = None
    copies: int | None = None
    counts: tuple[tuple[str, int], ...] = ()
    """Pairs of an artwork's name and its copies."""
    film_width_mm: float | None = None
    length_max_mm: float | None = None
    gap_mm: float | None = None
    margin_mm: float | None = None
    mirror: bool | None = None
    may_turn: bool | None = None
    has_labels: bool | None = None
    has_pdf: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """A settings file; paths in it are relative to the folder of the file. `where` is its name, empty for none."""

    where: str = ""
    products: tuple[str, ...] = ()
    """Product keys; empty = the starter products."""
    profiles: tuple[str, ...] = ()
    """Folders of the seller's own product files."""
    fonts: tuple[str, ...] = ()
    engine: str = ""
    jobs: int = 0
    """Worker processes; 0 = as many as the machine bears."""
    strict: bool = False
    fail_on: Literal["note", "warning", "error", "never"] = "error"
    preview_long_side_px: int = 2000
    preview_trimmed: bool = False
    press: str = ""
    """ICC profile of the press, with which inks are checked; empty = none."""
    total_ink_limit_percent: float | None = None
    """None = what the product says, else the usual 300 %."""
    locked_inks: tuple[str, ...] = ()
    accept: tuple[str, ...] = ()
    choices: Choices = Choices()
    licences: tuple[Licence, ...] = ()
    licences_required: bool = False
    review: bool = True
    """Whether `convert` writes the review sheet."""
    listing: ListingTexts = ListingTexts()
    listing_columns: Selected = ()
    """Columns of `listing.csv` as (heading, field or fixed text); empty = all fields under their own names."""
    pictures: PictureSettings = PictureSettings()
    gang: GangSettings = GangSettings()
    by_product: tuple[tuple[str, Choices], ...] = ()
    by_artwork: tuple[tuple[str, ArtworkTable], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ArtworkSettings:
    """What applies to one artwork on one product, defaults filled in."""

    title: str = ""
    products: tuple[str, ...] | None = None
    """Products that this artwork is restricted to, or None."""
    blanks: tuple[str, ...] | None = None
    """Blanks, groups or colours wanted, or None for those of the product."""
    width_mm: float | None = None
    original_size: bool = False
    scale: float = 1.0
    nudge_mm: Lengths = (0.0, 0.0)
    garment_size: str = ""
    faces: Literal["centre", "both", "left", "right"] = "centre"
    fit: Literal["contain", "cover"] = "contain"
    ground: Literal["plate", "paper"] = "plate"
    """What fills a poster around the art: the drawing's own plain background, where it has one, or the bare paper."""
    border: Literal["paper", "art"] = "paper"
    """What lies between the art and the cut of a sticker, and past it: bare paper, or the art's own edge colours."""
    canvas: Literal["full", "trimmed"] = "full"
    optical_centring: bool = False
    background: Literal["keep", "drop"] = "keep"
    page: Literal["clip", "recover"] = "clip"
    units_per_inch: float | None = None
    enclosed_white: Literal["ink", "see-through"] | None = None
    """What enclosed white means; None = not answered, taken as ink."""
    locked_inks: tuple[str, ...] = ()
    colours: tuple[tuple[str, Selected], ...] = ()
    variants: Selected = ()
    single_ink: str = ""
    plate: bool = False
    """Whether a picture in one ink also comes as a plate, black on white."""
    see_through: Literal["keep", "cut", "halftone", "stipple"] = "keep"
    """What becomes of see-through ink: it is printed so, cut at half strength, or turned into dots of full ink."""
    clear_mist: bool = False
    """Whether ink too faint to be seen is cleared."""
    edge_colour: bool = False
    """Whether the colour of edges is carried into the transparent pixels beside them."""
    knock_out_black: bool = False
    """Whether black is left out on cloth that is as good as black."""
    white_base: bool = False
    """Whether the white base comes as a file of its own."""
    spot_inks: Selected = ()
    """The inks of a spot print, as pairs of the seller's name and `#rrggbb`; none: every colour of the drawing is an ink."""
    treatments: tuple[str, ...] = LADDER
    standard_light: str = "#fafaf8"  # house value
    standard_dark: str = "#1a1a1a"  # house value
    shift_cap: float = 12.0  # CIEDE2000, house value chosen by eye
    keyline_mm: float | None = None
    """Width of a keyline; None = by the limits of the process."""
    accept: tuple[str, ...] = ()
    licences: LicenceRecord = NO_RECORD
    decided_for: str = ""
    """SHA-256 of the drawing that its table was decided for; empty = of any."""
    not_offered: tuple[str, ...] = ()
    """Blanks that the shop does not offer, whatever their verdict."""

    def colours_for(self, blank: str, group: str) -> dict[str, str]:
        """The seller's own mapping of inks on a blank: that of the blank, of its group, of all; the nearest wins ink by ink."""
        tables = dict(self.colours)
        merged: dict[str, str] = {}
        for selector in ("all", group, blank):
            merged.update(tables.get(selector, ()))
        return merged

    def variant_for(self, blank: str, group: str) -> str:
        """File of the seller's own drawing for a blank, else for its group, else for all; empty for none."""
        files = dict(self.variants)
        return files.get(blank) or files.get(group) or files.get("all") or ""


def effective(settings: Settings, artwork_name: str, product_key: str = "") -> ArtworkSettings:
    """The settings of one artwork on one product: `artworks.X.on.P` beats `artworks.X`, then `on.P`, then the top.

    Args:
        settings: the file, or `Settings()`.
        artwork_name: name of the artwork (its stem, with its folder where two are alike).
        product_key: empty for what holds before a product is known.
    """
    own = dict(settings.by_artwork).get(artwork_name, ArtworkTable())
    levels = (
        dict(own.on).get(product_key, Choices()),
        own.choices,
        dict(settings.by_product).get(product_key, Choices()),
        settings.choices,
    )
    stated: dict[str, object] = {}
    for name in Choices.__dataclass_fields__:
        found = [value for value in (getattr(level, name) for level in levels) if value is not None]
        if found:
            stated[name] = found[0]
    size = stated.pop("size", PrintSize())
    keyline_allowed = stated.pop("keyline", True)
    treatments = stated.pop("treatments", LADDER)
    assert isinstance(size, PrintSize)
    assert isinstance(treatments, tuple)
    return ArtworkSettings(
        title=own.title,
        products=own.products,
        width_mm=size.width_mm,
        original_size=size.is_original,
        scale=size.scale,
        units_per_inch=own.units_per_inch,
        locked_inks=_joined(settings.locked_inks, own.locked_inks),
        colours=own.colours,
        variants=own.variants,
        accept=_joined(settings.accept, own.accept),
        licences=record_of(settings.licences, own.assets, is_required=settings.licences_required),
        decided_for=own.decided_for,
        treatments=tuple(kind for kind in treatments if kind != "keyline" or keyline_allowed),
        **stated,  # type: ignore[arg-type]
    )


def _joined(first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *second)))
