"""What a run needs before its first artwork: settings, products, blanks, drawings, names.

Comes in: paths and options. Goes out: a `Setup`. Every fault of settings and profiles is raised here, before anything is written.
Never done here: reading drawings, writing.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from vectorprep.errors import Fault, RecordError, UsageError
from vectorprep.model import Finding, Product
from vectorprep.pipeline.catalogue import STARTERS, check_selectors, open_catalogue, product_of, select_blanks
from vectorprep.pipeline.options import RunOptions
from vectorprep.pipeline.workshop import PictureWish, Verb, Workshop
from vectorprep.plan import assign_slugs
from vectorprep.profiles import Catalogue
from vectorprep.settings import ArtworkSettings, Known, Settings, effective, load_settings
from vectorprep.store import Source, find_settings, read_data, read_text, scan

if TYPE_CHECKING:
    from vectorprep.press import PressProfile

PRESS_BYTES_MAX = 20_000_000  # house value: profiles of presses are below 4 MB

Scope = dict[str, tuple[str, ...]]
"""Blank keys by product key: what one artwork is made for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """One drawing on the disk with the name of its outputs and of its own variants."""

    source: Source
    slug: str
    variants: tuple[tuple[str, Source], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """Everything known before the first artwork is read."""

    verb: Verb
    options: RunOptions
    settings: Settings
    catalogue: Catalogue
    drawings: tuple[Drawing, ...]
    products: tuple[Product, ...]
    notes: tuple[str, ...]
    press: PressProfile | None = None
    pictures: PictureWish | None = None
    scene_findings: tuple[Finding, ...] = ()
    """What is to be said of the pictures that artworks are put on."""

    @property
    def has_second_opinion(self) -> bool:
        """Whether a second renderer looks at each drawing: by the options, else in an audit."""
        asked = self.options.second_opinion
        return self.verb == "audit" if asked is None else asked

    @property
    def has_review(self) -> bool:
        """Whether the run writes a review sheet into its out folder."""
        asked = self.options.review
        return self.verb == "convert" and (self.settings.review if asked is None else asked)

    def workshop(self) -> Workshop:
        """What every job shares."""
        return Workshop(
            verb=self.verb,
            products=self.catalogue.products,
            blanks=self.catalogue.blanks,
            settings=self.settings,
            engine=self.options.engine or self.settings.engine or None,
            fonts=self.options.fonts,
            dry_run=self.options.dry_run,
            time_limit_s=self.options.time_limit_s,
            strict=self.options.strict or self.settings.strict,
            second_opinion=self.has_second_opinion,
            has_thumbnails=self.has_review or self.options.thumbnails,
            press=self.press,
            pictures=self.pictures,
        )

    def scope(self, name: str) -> Scope:
        """What is asked for of one artwork: the blanks of each product, flags before settings before the product's own."""
        asked: Scope = {}
        for product in self.products:
            chosen = effective(self.settings, name, product.key)
            if chosen.products is not None and product.key not in chosen.products:
                continue
            selectors = self.options.blanks or chosen.blanks
            keys, _ = select_blanks(self.catalogue, product, selectors or None)
            if keys:
                asked[product.key] = keys
        return asked


def set_up(verb: Verb, arts: Sequence[str | os.PathLike[str]], options: RunOptions) -> Setup:
    """Settings, products, blanks and drawings of a run.

    Raises:
        RecordError: faults of the settings file or of product records.
        UsageError: an unknown product or blank, or no artwork.
    """
    names = [os.fspath(art) for art in arts]
    place = _settings_place(options, names)
    folder = place.parent if place else Path()
    text = read_text(place) if place else ""
    first = load_settings(text, str(place)) if place else Settings()
    catalogue = open_catalogue([folder / own for own in first.profiles] + [Path(own) for own in options.profiles])
    known = Known(products=tuple(catalogue.products), blanks=tuple(catalogue.blanks))
    settings = load_settings(text, str(place), known=known) if place else first
    options = replace(options, fonts=(*(str(folder / own) for own in settings.fonts), *options.fonts))
    check_selectors(catalogue, options.blanks)
    products = _products(catalogue, verb, options, settings)
    found = scan(names)
    if not found.sources:
        raise UsageError(
            f"no artwork found in {', '.join(names)}",
            fix="name an .svg or .svgz file, or a folder that holds some",
            code="no-artwork",
        )
    drawings, notes = _drawings(found.sources, settings, folder)
    notes += [f"{skipped.path}: passed over, {skipped.reason}" for skipped in found.skipped]
    if all(Path(name).is_dir() for name in names):  # of single files named it is no wonder that others are missing
        notes += _unmatched_tables(settings, drawings)
    notes += _lacking_blanks(catalogue, products, options)
    pictures, told = _pictures(verb, options, settings, folder, catalogue=catalogue, products=products)
    return Setup(
        verb=verb,
        options=options,
        settings=settings,
        catalogue=catalogue,
        drawings=drawings,
        products=products,
        notes=tuple(notes),
        press=_press(options, settings, folder),
        pictures=pictures,
        scene_findings=told,
    )


def _pictures(
    verb: Verb, options: RunOptions, settings: Settings, folder: Path, *, catalogue: Catalogue, products: Sequence[Product]
) -> tuple[PictureWish | None, tuple[Finding, ...]]:
    """The pictures named on the command line, else in the settings, where paths are relative to their file."""
    own = [name if name == "drawn" else str(folder / name) for name in settings.pictures.sources]
    names = options.pictures or tuple(own)
    if verb != "convert" or not names:
        return None, ()
    from vectorprep.pipeline.planned_pictures import planned_pictures

    asked: Scope = {}
    for product in products:
        selectors = options.blanks or effective(settings, "", product.key).blanks
        asked[product.key] = select_blanks(catalogue, product, selectors or None)[0]
    wish, told = planned_pictures(
        names,
        settings.pictures,
        products=catalogue.products,
        blanks=catalogue.blanks,
        asked=asked,
        fonts=options.fonts,
        engine=options.engine,
    )
    return replace(wish, show_area=options.show_area, is_all=options.only_pictures), told


def _press(options: RunOptions, settings: Settings, folder: Path) -> PressProfile | None:
    """The press named on the command line, else in the settings, where paths are relative to their file."""
    place = Path(options.press) if options.press else folder / settings.press if settings.press else None
    if place is None:
        return None
    from vectorprep.press import PressProfile, PressProfileError, check_press_profile

    data = read_data(place, PRESS_BYTES_MAX)
    try:
        check_press_profile(data)
    except PressProfileError as error:
        raise UsageError(
            f"{place.name} cannot be used as the profile of a press: {error}",
            fix="ask the printer for the ICC output profile of the process",
            code="press-profile",
        ) from error
    return PressProfile(name=place.name, data=data, total_ink_limit_percent=settings.total_ink_limit_percent)


def _settings_place(options: RunOptions, arts: Sequence[str]) -> Path | None:
    if options.settings is not None:
        return Path(options.settings)
    starts = [art if Path(art).is_dir() else str(Path(art).parent) for art in arts[:1]]
    return find_settings(*starts, Path.cwd())


def _products(catalogue: Catalogue, verb: Verb, options: RunOptions, settings: Settings) -> tuple[Product, ...]:
    if options.products:
        keys = options.products
    elif verb == "measure":
        return ()
    else:
        keys = settings.products or STARTERS
    return tuple(product_of(catalogue, key) for key in dict.fromkeys(keys))


def _drawings(sources: Sequence[Source], settings: Settings, folder: Path) -> tuple[tuple[Drawing, ...], list[str]]:
    """Drawings with their slugs and variants, largest first, and notes on names that had to be told apart."""
    paths = [source.path for source in sources]
    keys = {source.name: source.path if paths.count(source.path) == 1 else f"{source.root}/{source.file}" for source in sources}
    plan = assign_slugs(list(keys.values()))
    faults: list[Fault] = []
    drawings = []
    for source in sources:
        variants = _variants(effective(settings, source.name), settings, folder, faults)
        drawings.append(Drawing(source=source, slug=plan.slugs[keys[source.name]], variants=variants))
    if faults:
        raise RecordError(tuple(faults))
    notes = [f"names alike once written: {', '.join(group)}; their outputs carry a suffix" for group in plan.collisions]
    return tuple(drawings), notes


def _variants(settings: ArtworkSettings, whole: Settings, folder: Path, faults: list[Fault]) -> tuple[tuple[str, Source], ...]:
    found = []
    for when, file in settings.variants:
        path = folder / file
        if not path.is_file():
            faults.append(
                Fault(
                    where=whole.where,
                    message=f"the variant {file} for {when} is not there",
                    fix=f"put it at {path}, or take it out",
                )
            )
            continue
        real = Path(os.path.realpath(path))
        found.append((when, Source(name=real.stem, path=file, root=str(real.parent), file=real.name)))
    return tuple(found)


def _unmatched_tables(settings: Settings, drawings: Sequence[Drawing]) -> list[str]:
    names = {drawing.source.name for drawing in drawings}
    missing = [name for name, _ in settings.by_artwork if name not in names]
    return [f'{settings.where}: [artworks."{name}"] matches none of the drawings of this run' for name in missing]


def _lacking_blanks(catalogue: Catalogue, products: Sequence[Product], options: RunOptions) -> list[str]:
    notes = []
    for product in products:
        _, lacking = select_blanks(catalogue, product, options.blanks or None)
        if lacking:
            notes.append(f"{product.key} does not come in {', '.join(lacking)}: passed over")
    return notes


def known_products(catalogue: Mapping[str, Product], scope: Scope) -> Scope:
    """The part of a scope whose products still exist."""
    return {key: blanks for key, blanks in scope.items() if key in catalogue}
