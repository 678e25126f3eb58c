"""What every job of a run shares, sent to each worker once; and one artwork's job and result.

Comes in: nothing. Goes out: frozen records that pickle. Never done here: work.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from vectorprep.model import Blank, Product
from vectorprep.settings import Settings

if TYPE_CHECKING:
    from vectorprep.press import PressProfile

Verb = Literal["convert", "audit", "recolour", "measure"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """The run's common part: verb, products and blanks by key, settings, engine, fonts."""

    verb: Verb
    products: dict[str, Product]
    blanks: dict[str, Blank]
    settings: Settings
    engine: str | None = None
    fonts: tuple[str, ...] = ()
    dry_run: bool = False
    strict: bool = False
    second_opinion: bool = False
    has_thumbnails: bool = False
    """Whether small pictures are made for a page that shows the run."""
    press: PressProfile | None = None
    """The press that inks are checked with, where one is named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """The seller's own drawing for some blanks: `when` is a blank's key or `pale`, `dark`, `all`."""

    when: str
    name: str
    sha256: str
    data: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One artwork to work on: its names, its bytes, and what it is made for: (product key, blank keys)."""

    name: str
    slug: str
    path: str
    sha256: str
    data: bytes
    scope: tuple[tuple[str, tuple[str, ...]], ...] = ()
    variants: tuple[Variant, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobResult:
    """What became of one artwork, as records of the JSON contract; the bytes of its outputs were emitted before."""

    artwork: dict[str, Any]
    pairs: tuple[dict[str, Any], ...] = ()
    findings: tuple[dict[str, Any], ...] = ()
    sizes: tuple[dict[str, Any], ...] = ()
    title: str = ""
    notes: tuple[str, ...] = field(default=())
