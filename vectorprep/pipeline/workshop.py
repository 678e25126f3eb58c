"""What every job of a run shares, sent to each worker once; and one artwork's job and result.

Comes in: nothing. Goes out: frozen records that pickle. Never done here: work.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from vectorprep.model import Blank, Product
from vectorprep.settings import Settings
from vectorprep.store import Source

if TYPE_CHECKING:
    from vectorprep.press import PressProfile

PictureForm = Literal["webp", "jpeg", "png"]
Crop = Literal["full", "square", "print"]
Verb = Literal["convert", "audit", "recolour", "measure"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SceneFile:
    """The file of one scene on the disk. `shown` is how messages name it."""

    key: str
    shown: str
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedScene:
    """One scene that was opened and checked: the products it shows, and the blanks it is for on each (none named: any)."""

    file: SceneFile
    sha256: str
    order: int
    products: tuple[str, ...]
    blanks: tuple[tuple[str, tuple[str, ...]], ...]

    def shows(self, product: str) -> bool:
        """Whether it shows a product."""
        return product in self.products

    def is_for(self, product: str, blank: str) -> bool:
        """Whether it is for a blank of a product that it shows."""
        chosen = dict(self.blanks).get(product)
        return chosen is not None and (not chosen or blank in chosen)


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureWish:
    """The product pictures of a run, scenes in the order in which they are listed."""

    scenes: tuple[PlannedScene, ...]
    size_px: int = 2000
    form: PictureForm = "webp"
    quality: int = 85
    background: str = ""
    crop: Crop = "full"
    show_area: bool = False
    is_all: bool = False
    """Whether nothing but pictures is made."""

    def rules_for(self, product: str) -> str:
        """Everything that the pictures of a product depend on, as text."""
        own = [(scene.sha256, scene.file.key, scene.blanks) for scene in self.scenes if scene.shows(product)]
        return repr((own, self.size_px, self.form, self.quality, self.background, self.crop)) if own else ""


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
    time_limit_s: float | None = None
    strict: bool = False
    second_opinion: bool = False
    has_thumbnails: bool = False
    """Whether small pictures are made for a page that shows the run."""
    press: PressProfile | None = None
    """The press that inks are checked with, where one is named."""
    pictures: PictureWish | None = None
    """Pictures for a shop page, where any are wanted."""


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
