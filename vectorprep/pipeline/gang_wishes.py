"""What is laid on gang sheets, and on what: the command line before `[gang]` of the settings before what is usual.

Comes in: what was given, an out folder, perhaps a settings file. Goes out: `GangWishes` that a film can meet.
Never done here: laying.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from vectorprep.errors import UsageError
from vectorprep.pipeline.catalogue import open_catalogue
from vectorprep.settings import Known, Settings, load_settings
from vectorprep.settings.gang import COPIES, FILM_WIDTH_MM, GAP_MM, LENGTH_MM
from vectorprep.store import find_settings, read_text


@dataclass(frozen=True, slots=True, kw_only=True)
class GangWishes:
    """What is laid together, and on what. Without products: those for film transfer. Lengths in mm."""

    products: tuple[str, ...] = ()
    artworks: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    copies: int = 1
    counts: Mapping[str, int] = field(default_factory=dict)
    """Copies of an artwork by its name, where they differ from `copies`."""
    film_width_mm: float = 558.8
    """22 in (common practice, no source)."""
    length_max_mm: float = 5000.0
    """House value: about what a PDF page of standard units holds."""
    gap_mm: float = 6.0
    """House value: room for scissors, and for a label."""
    margin_mm: float = 5.0
    """House value."""
    mirror: bool = False
    """Whether each print is turned over from left to right; numbers and names beside them are not."""
    may_turn: bool = True
    has_labels: bool = True
    has_pdf: bool = True
    is_dry: bool = False
    """Whether sheets are only planned, and nothing is written."""
    name: str = "gang"
    profiles: tuple[str, ...] = ()
    force: bool = False


def wishes_of(folder: str | os.PathLike[str], given: Mapping[str, Any], *, settings: str | None = None) -> GangWishes:
    """The wishes of a run: what was given (None and empty are not), then `[gang]` of the settings, then what is usual.

    Args:
        folder: the out folder; settings are looked for from there upward, then from the working folder.
        given: values of `GangWishes` by their names; `counts` are added to those of the settings.
        settings: path of a settings file, instead.

    Raises:
        RecordError: faults of the settings file.
        UsageError: it cannot be read.
    """
    place = Path(settings) if settings is not None else find_settings(Path(folder), Path.cwd())
    found = _loaded(place, tuple(given.get("profiles") or ())) if place else Settings()
    own = found.gang
    stated = {name: value for name in own.__dataclass_fields__ if (value := getattr(own, name)) is not None}
    stated["counts"] = dict(own.counts) | dict(given.get("counts") or {})
    if place is not None:
        stated["profiles"] = (*(str(place.parent / name) for name in found.profiles), *(given.get("profiles") or ()))
    asked = {name: value for name, value in given.items() if value not in (None, (), {}) and name not in {"counts", "profiles"}}
    return GangWishes(**stated | asked)


def _loaded(place: Path, profiles: tuple[str, ...]) -> Settings:
    text = read_text(place)
    first = load_settings(text, str(place))
    catalogue = open_catalogue((*(str(place.parent / name) for name in first.profiles), *profiles))
    return load_settings(text, str(place), known=Known(products=tuple(catalogue.products), blanks=tuple(catalogue.blanks)))


def require_sound(wishes: GangWishes) -> None:
    """Raises UsageError at the first wish that no film can meet."""
    checks = (
        _within("--film-width", wishes.film_width_mm, FILM_WIDTH_MM),
        _within("--max-length", wishes.length_max_mm, LENGTH_MM),
        _within("--gap", wishes.gap_mm, GAP_MM),
        (0 <= wishes.margin_mm <= wishes.film_width_mm / 4, "--margin", f"{wishes.margin_mm:g} mm", "0 to a quarter of the width"),
        (COPIES[0] <= wishes.copies <= COPIES[1], "--copies", str(wishes.copies), f"{COPIES[0]} to {COPIES[1]}"),
        (
            bool(re.fullmatch(r"[a-z0-9][a-z0-9._-]{0,60}", wishes.name)),
            "--name",
            repr(wishes.name),
            "small letters, digits, - and _",
        ),
        *((0 <= n <= COPIES[1], "--count", f"{name}={n}", f"0 to {COPIES[1]}") for name, n in wishes.counts.items()),
    )
    for is_sound, option, given, wanted in checks:
        if not is_sound:
            raise UsageError(f"{option} is {given}", fix=f"use {wanted}", code="gang-option")


def _within(option: str, value: float, span: tuple[float, float]) -> tuple[bool, str, str, str]:
    return span[0] <= value <= span[1], option, f"{value:g} mm", f"{span[0]:,.0f} to {span[1]:,.0f} mm"
