"""Values that come out: findings, placements, treatments, verdicts, pictures, outputs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from vectorprep.geometry import Box

Severity = Literal["note", "warning", "error"]
VerdictWord = Literal["clear", "weak", "lost"]
TreatmentKind = Literal["as-drawn", "neutral-swap", "shift", "keyline", "single-ink", "drawn-variant", "knock-out", "ask"]
Corners = tuple[float, float, float, float]
PxBox = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something the seller should weigh: which check, how bad, where, the figure, the limit, the remedy.

    `place_mm` is a box (x0, y0, x1, y1) in mm from the top-left corner of the page or of the print file, as `place_on` says.
    `artwork`, `product` and `blank` are empty where the finding is not about one.
    """

    check: str
    severity: Severity
    message: str
    fix: str = ""
    artwork: str = ""
    product: str = ""
    blank: str = ""
    measured: float | str | None = None
    limit: float | str | None = None
    unit: str = ""
    place_mm: Corners | None = None
    place_on: Literal["page", "print"] = "page"


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One copy of the artwork on the canvas.

    A point of the page (mm) lands at `page_mm * px_per_mm + offset_px`. `ink_box_px` is the planned box of its ink, whole pixels.
    """

    px_per_mm: float
    offset_px: tuple[float, float]
    ink_box_px: PxBox
    printed_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Where the ink lands on a product's print file."""

    product: str
    canvas_px: tuple[int, int]
    ppi: float
    placed: tuple[Placed, ...]
    background: str | None = None
    """`#rrggbb` of an opaque canvas, None for a transparent one."""
    garment_size: str = ""
    datum: str = ""
    canvas_origin_mm: tuple[float, float] = (0.0, 0.0)
    """Top-left corner of the canvas from the datum: x right of the centre line (or left edge), y below it."""
    keyline_mm: float = 0.0
    """Width reserved around the ink on every blank of this artwork and product."""
    reach_mm: tuple[float, float, float, float] | None = None
    """Box on the artwork's page of all that is painted, however faint; None where it is not known."""
    words: str = ""
    """The rule that applied, in plain words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InkSwap:
    """One ink changed into another, with its contrast ratio to the cloth before and after (1..21)."""

    before: str
    after: str
    ratio_before: float
    ratio_after: float
    is_open: bool = False
    """Whether the ink is left out and the cloth shows; `after` is then the cloth's colour."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Treatment:
    """What is done to an artwork's inks for one blank, and why."""

    kind: TreatmentKind
    swaps: tuple[InkSwap, ...] = ()
    keyline_colour: str = ""
    keyline_mm: float = 0.0
    single_ink: str = ""
    variant: str = ""
    """Name of the seller's own drawing that replaces the artwork on this blank."""
    reason: str = ""
    is_wish: bool = False
    """Whether the seller asked for it: it is carried out whatever the verdict, unless a later treatment is clear."""
    keeps_shades: bool = False
    """Whether gradients in one grey that fade away, such as the shadow under a ball, keep their colour in the swaps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Will it be seen on this cloth: the word, the one figure that decided, and the place.

    `outline_faded` 0..1 is the share of the outline that fades into the cloth with nothing visible beside it.
    `places` are boxes in fractions of the ink box (x0, y0, x1, y1 in 0..1), largest faded piece first.
    """

    word: VerdictWord
    decided_by: Literal["outline", "ratio"]
    outline_faded: float
    area_faded: float
    contrast_ratio: float
    delta_e: float
    deciding: str
    ink: str = ""
    """The ink that fades, else the weakest ink in contact with the cloth, `#rrggbb`."""
    places: tuple[Corners, ...] = ()
    limit: float = 0.0
    """What the deciding figure is held against: share of the outline, or contrast ratio."""
    has_plate: bool = False
    """Whether a rectangle in the colour of the cloth lies behind the artwork, which is judged as if it were bare cloth."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FadedPart:
    """A separate part that vanishes while the rest is seen.

    Its ink `#rrggbb`, contrast ratio 1..21, least CIEDE2000 over kinds of sight, shares of ink area and outline, place as a box
    in fractions of the ink box, and words.
    """

    ink: str
    contrast_ratio: float
    delta_e: float
    area_share: float
    outline_share: float
    place: Corners
    words: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Raster:
    """Pixels: height x width x 4, uint8, read-only; red, green, blue premultiplied by alpha unless `straight`.

    `origin_px` is where the top-left pixel lies on the canvas that it was drawn for.
    """

    pixels: NDArray[np.uint8]
    origin_px: tuple[int, int] = (0, 0)
    straight: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """One file made (or planned), as it stands in the manifest."""

    path: str
    kind: str
    artwork: str
    product: str
    blanks: tuple[str, ...]
    treatment: TreatmentKind
    width_px: int
    height_px: int
    ppi: float
    ink_box_px: PxBox | None
    placements: tuple[tuple[PxBox, tuple[float, float]], ...]
    """Per copy of the artwork: box of its ink in px, printed size in mm."""
    printed_mm: tuple[float, float]
    sha256: str = ""
    bytes: int = 0
    state: Literal["made", "kept", "planned", "failed"] = "made"
    window_mm: Corners | None = None
    """Part of the print file that a thumbnail shows, mm from its top-left corner; None for other kinds."""
    datum: str = ""
    """What of the product a print file is placed from, such as `collar_seam`."""
    canvas_origin_mm: tuple[float, float] | None = None
    """Top-left corner of a print file from the datum: x right of the centre line (or left edge), y below it; else None."""
    rule: str = ""
    """The rule by which a print file was placed, in words."""
    is_mirrored: bool = False
    """Whether the picture in the file is turned over from left to right."""
    alt: str = ""
    """What a product picture shows, for those who do not see it; empty for other kinds."""
    ink: str = ""
    """Name and colour of the ink that a separation plate is for; empty for other kinds."""
    plate: tuple[int, int] | None = None
    """Which plate it is in the order of printing, and of how many; None for other kinds."""
    facts: tuple[tuple[str, float], ...] = ()
    """Figures of the file that a check weighs, by name; they are no part of the manifest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Encoded:
    """An output together with the bytes of its file; `data` is empty for a planned one."""

    output: Output
    data: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """One artwork on one blank of one product: as drawn, what was done, and after."""

    artwork: str
    product: str
    blank: str
    verdict: Verdict
    verdict_after: Verdict
    treatment: Treatment
    findings: tuple[Finding, ...] = ()


def place_in(box: Box, fractions: Corners) -> Corners:
    """Corners of a part of a box that is given in fractions of it."""
    x0, y0, x1, y1 = fractions
    return (
        box.x0 + x0 * box.width,
        box.y0 + y0 * box.height,
        box.x0 + x1 * box.width,
        box.y0 + y1 * box.height,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """What a finding means: its cause, its consequence in print, its remedy; whole sentences."""

    cause: str
    consequence: str
    remedy: str
    is_refusal: bool = False
    """Whether something was not made because of it, so that it cannot be accepted."""
