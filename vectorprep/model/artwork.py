"""Values of one drawing: the artwork as read, and what was measured of it."""

from __future__ import annotations

from dataclasses import dataclass

from vectorprep.geometry import Affine, Box
from vectorprep.model.result import Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """The page of a drawing: its outermost viewport.

    `uu_to_px` maps user units of the root's content to CSS px (1/96 in) of the page.
    `size_source` says where the size came from: `stated`, `viewBox`, `ratio`, `percent`, `default`, `override`.
    """

    width_px: float
    height_px: float
    uu_to_px: Affine
    size_source: str = "stated"
    generator: str = ""

    @property
    def width_mm(self) -> float:
        """Width in millimetres (1 CSS px = 1/96 in)."""
        return self.width_px * 25.4 / 96

    @property
    def height_mm(self) -> float:
        """Height in millimetres (1 CSS px = 1/96 in)."""
        return self.height_px * 25.4 / 96


@dataclass(frozen=True, slots=True, kw_only=True)
class EmbeddedImage:
    """A bitmap inside the drawing: its own pixels, and the length on the page of one image's side along each axis.

    `drawn_mm` are lengths of the image's edges after the whole transform chain (column lengths of the matrix),
    `box_mm` the upright box around it on the page. Effective ppi = width_px / (drawn_mm[0] x scale / 25.4).
    """

    element: str
    width_px: int
    height_px: int
    drawn_mm: tuple[float, float]
    box_mm: tuple[float, float, float, float]
    mode: str
    has_alpha: bool
    icc: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TextRun:
    """A run of live text: the words, the families asked for in order, the one that will be drawn, its size on the page.

    `resolved` is empty where no family of the list is to be had. `missing` holds the characters without a glyph.
    """

    text: str
    families: tuple[str, ...]
    weight: int
    italic: bool
    size_mm: float
    resolved: str = ""
    missing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Artwork:
    """One drawing, read and made safe.

    `markup` is clean SVG in UTF-8: no DOCTYPE, entity, script, comment, processing instruction, foreign namespace or outside link;
    embedded pictures re-encoded; every colour in `#rrggbb` or `rgba(r,g,b,a)`; the root carries width and height in CSS px
    and nothing precedes its start tag. `sha256` is that of the bytes on disk.
    """

    name: str
    slug: str
    path: str
    sha256: str
    markup: bytes
    page: Page
    has_filters: bool = False
    has_percentages: bool = False
    has_blending: bool = False
    """Blend modes other than normal."""
    is_unclipped: bool = False
    """Whether ink beyond the page's edges belongs to the drawing (page = "recover")."""
    images: tuple[EmbeddedImage, ...] = ()
    text: tuple[TextRun, ...] = ()
    title: str = ""
    plate: str = ""
    """`#rrggbb` of a plain rectangle over at least 98 % of the page below everything, empty where there is none."""
    font_files: tuple[str, ...] = ()
    """The font files that its text is drawn from, and no others."""
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """One colour that is seen, `#rrggbb`.

    `area_share` of the ink area; `edge_share` = share of the outline (cloth edges) that is this ink's;
    `own_edge_share` = share of this ink's own perimeter that is cloth; `touches` = (other ink, share of own perimeter).
    `in_contact`: cloth > 3 % of its own perimeter and > 1 % of the outline.
    """

    colour: str
    area_share: float
    edge_share: float
    own_edge_share: float = 0.0
    in_contact: bool = False
    touches: tuple[tuple[str, float], ...] = ()
    kind: str = "flat"
    """`flat`, `ramp` (part of a gradient), `picture` (of an embedded bitmap)."""
    alpha: float = 1.0
    """Least coverage at which the ink is painted over an area (1 = opaque)."""
    mark_width_share: float = 0.0
    """Mean width of its marks (twice area over perimeter) as a share of the ink box's long side; tells lines from shapes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """What was measured of one artwork; boxes in mm of the page, None where nothing is painted.

    `ink_box_mm`: pixels with alpha >= 8/255; `any_ink_box_mm`: alpha >= 1; both on the grid of `tolerance_mm`.
    `ink_edges_mm`: the ink box to a fraction of a grid pixel (from coverage), which placement uses.
    `background`: colour of a plain plate over the page, with `box_without_background_mm` of the rest.
    `outside_mm`: how far ink reaches beyond the page on the left, top, right, bottom (0 = not at all).
    """

    artwork: Artwork
    page_mm: tuple[float, float]
    ink_box_mm: Box | None
    any_ink_box_mm: Box | None
    ink_edges_mm: Box | None
    tolerance_mm: float
    background: str | None = None
    box_without_background_mm: Box | None = None
    outside_mm: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    centroid_mm: tuple[float, float] | None = None
    """Middle of the ink weighted by alpha, for optical centring."""
    inks: tuple[Ink, ...] = ()
    findings: tuple[Finding, ...] = ()
