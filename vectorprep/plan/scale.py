"""Scale and whole-pixel size of the ink, exact on the bounding side.

Comes in: the box of true ink edges, the seller's choices, a width and height in mm that bound it.
Goes out: a pixel size with its scale, and the map that centres the edges in a pixel box.
Never done here: stretching; deciding where the box stands.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from vectorprep.errors import ArtworkRefused
from vectorprep.geometry import Box
from vectorprep.model import Placed, Product
from vectorprep.model.result import PxBox
from vectorprep.units import MM_PER_INCH, exact, px_from_mm

INSET_PX = 0.3  # true edges lie this far inside their pixel box, so that edge pixels are inked but never overflow
HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceOptions:
    """The seller's choices for one artwork on one product.

    `width_mm` beats the record's ideal width and is taken as it stands, `scale` multiplies the ideal one, `original_size` prints
    at the drawing's own size; the product's box bounds all of them. `centroid_mm` (page) is the alpha-weighted middle of the ink,
    which a horizontal optical shift needs. `ground` is the colour that fills an opaque sheet, empty for its own. `keyline_mm` is
    kept free around the ink. `nudge_mm` moves right and down.
    """

    garment_size: str = ""
    width_mm: float | None = None
    scale: float = 1.0
    original_size: bool = False
    nudge_mm: tuple[float, float] = (0.0, 0.0)
    is_optical: bool = False
    centroid_mm: tuple[float, float] | None = None
    keyline_mm: float = 0.0
    canvas: Literal["full", "trimmed"] = "full"
    fit: Literal["contain", "cover"] = "contain"
    ground: str = ""
    faces: Literal["centre", "both", "left", "right"] = "centre"


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One artwork on one product: true edges of its ink and the reach of all that is painted, mm of the page."""

    product: Product
    options: PlaceOptions
    edges: Box
    reach: Box

    @property
    def px_per_mm(self) -> Fraction:
        """Pixels of the print file in a millimetre."""
        return exact(self.product.resolution_ppi) / MM_PER_INCH

    @property
    def keyline_mm(self) -> Fraction:
        """Width kept free around the ink."""
        return exact(self.options.keyline_mm)

    @property
    def aspect(self) -> float:
        """Width over height of the ink."""
        return self.edges.width / self.edges.height if self.edges.height > 0 else math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class InkSize:
    """Pixel size of the ink and the scale that gives it."""

    width_px: int
    height_px: int
    px_per_mm: float


def bounded_size(job: Job, width_mm: Fraction, height_mm: Fraction) -> InkSize:
    """The largest size within a width and a height: the bounding side is a rounded length, the other follows from the scale.

    Raises:
        ArtworkRefused: the bounding side is under two pixels.
    """
    edges = job.edges
    is_wide = edges.height <= 0 or (edges.width > 0 and width_mm * exact(edges.height) <= height_mm * exact(edges.width))
    bound_mm, edge_mm, other_mm = (width_mm, edges.width, edges.height) if is_wide else (height_mm, edges.height, edges.width)
    bound_px = px_from_mm(bound_mm, job.product.resolution_ppi) if bound_mm > 0 else 0
    if bound_px < 2:
        message = f"the ink would be {float(bound_mm):.3g} mm, {bound_px} px, on {job.product.key}"
        raise ArtworkRefused(message, fix="ask for a larger width or scale", code="too-small")
    if job.options.original_size and bound_mm == exact(edge_mm):
        inset, scale = 0.0, float(job.px_per_mm)
    else:
        inset, scale = INSET_PX, (bound_px - 2 * INSET_PX) / edge_mm
    other_px = max(1, math.floor(other_mm * scale + 2 * inset + 0.5))
    return InkSize(width_px=bound_px if is_wide else other_px, height_px=other_px if is_wide else bound_px, px_per_mm=scale)


def placed_at(job: Job, size: InkSize, corner: tuple[int, int]) -> Placed:
    """The ink with its pixel box at a corner; the true edges are centred in that box."""
    x, y = corner
    edges, scale = job.edges, size.px_per_mm
    offset = (
        x + (size.width_px - edges.width * scale) / 2 - edges.x0 * scale,
        y + (size.height_px - edges.height * scale) / 2 - edges.y0 * scale,
    )
    return mapped(job, scale, offset, (x, y, x + size.width_px, y + size.height_px))


def mapped(job: Job, px_per_mm: float, offset_px: tuple[float, float], box: PxBox) -> Placed:
    """The record of one copy: its map, its pixel box, its printed size."""
    printed = tuple(float(length / job.px_per_mm) for length in (box[2] - box[0], box[3] - box[1]))
    return Placed(px_per_mm=px_per_mm, offset_px=offset_px, ink_box_px=box, printed_mm=(printed[0], printed[1]))


def rounded(value: Fraction) -> int:
    """The nearest whole number; halves go up."""
    return math.floor(value + HALF)


def low_corner(centre_px: Fraction, length_px: int) -> int:
    """Where a length begins that is centred on a point; halves go up or left."""
    return math.ceil(centre_px - Fraction(length_px, 2) - HALF)
