"""What a check may look at.

Comes in: nothing. Goes out: the records `Evidence` and `OnBlank`, and small helpers that checks share.
Never done here: judging.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from vectorprep.model import (
    Artwork,
    Blank,
    FadedPart,
    Ink,
    InkPolicy,
    Limits,
    Measurement,
    Output,
    Placement,
    Product,
    Raster,
    Treatment,
    Verdict,
)
from vectorprep.model.licence import NO_RECORD, LicenceRecord
from vectorprep.model.result import Corners

if TYPE_CHECKING:
    from vectorprep.engine.packed import Cover
    from vectorprep.press import PressProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class OnBlank:
    """The picture on one blank: what the process does there, and the verdict on what is looked at.

    `verdict` is that of the picture in the evidence: as drawn in an audit, after treatment in a conversion.
    """

    blank: Blank
    ink_policy: InkPolicy
    limits: Limits
    verdict: Verdict
    treatment: Treatment
    inks: tuple[Ink, ...]
    parts: tuple[FadedPart, ...] = ()
    """Separate parts that vanish although the verdict is clear."""
    ground: Blank | None = None
    """What lies behind the art where it is not the blank: the sheet's own printed ground, as a blank of its colour."""
    named_inks: int = 0
    """How many inks the seller has named for a spot print; 0 = none, and every colour is one."""

    @property
    def behind(self) -> Blank:
        """What the art is seen on."""
        return self.ground or self.blank

    @property
    def is_on_ground(self) -> bool:
        """Whether that is a printed ground."""
        return self.ground is not None and self.ground != self.blank


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """One picture of one artwork on one product, with every blank that it serves.

    `raster` is the region of the print file that holds the ink, premultiplied, at print size; None where nothing was drawn.
    """

    artwork: Artwork
    measured: Measurement
    product: Product
    placement: Placement
    on_blanks: tuple[OnBlank, ...]
    raster: Raster | None = None
    cover: Cover | None = None
    """The coverage of the raster, where it was found before."""
    outputs: tuple[Output, ...] = ()
    strict: bool = False
    press: PressProfile | None = None
    """The press that inks are checked with, where one is named."""
    licences: LicenceRecord = NO_RECORD
    """What the seller has on record about what others have made."""
    shared: dict[str, object] = field(default_factory=dict, repr=False)
    """What checks have found in the picture, so that the next one need not look again."""

    @property
    def px_per_mm(self) -> float:
        """Pixels of the print file per printed millimetre."""
        return self.placement.ppi / 25.4

    @property
    def scale(self) -> float:
        """Printed millimetres per millimetre of the page."""
        return self.placement.placed[0].px_per_mm / self.px_per_mm


def print_corners(evidence: Evidence, box_px: tuple[float, float, float, float]) -> Corners:
    """A box of canvas pixels as mm of the print file."""
    x0, y0, x1, y1 = box_px
    per_mm = evidence.px_per_mm
    return x0 / per_mm, y0 / per_mm, x1 / per_mm, y1 / per_mm


def ink_corners(evidence: Evidence, fractions: Corners) -> Corners:
    """A part of the ink box, given in fractions of it, as mm of the print file."""
    x0, y0, x1, y1 = evidence.placement.placed[0].ink_box_px
    fx0, fy0, fx1, fy1 = fractions
    box = (x0 + fx0 * (x1 - x0), y0 + fy0 * (y1 - y0), x0 + fx1 * (x1 - x0), y0 + fy1 * (y1 - y0))
    return print_corners(evidence, box)
