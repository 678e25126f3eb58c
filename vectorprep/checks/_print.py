"""The print picture made ready to be looked at: coverage, packed masks, and what several checks find in it, each found once.

Comes in: evidence with a raster. Goes out: `Prepared`, filled as checks ask. Never done here: limits' meaning, words, findings.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from vectorprep.checks._bands import COVERAGE_RIM
from vectorprep.checks._bits import pack
from vectorprep.model import Raster

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from vectorprep.checks._bits import Bits
    from vectorprep.checks._evidence import Evidence
    from vectorprep.model.result import Corners, PxBox

    Bytes = NDArray[np.uint8]

T = TypeVar("T")
_NONE = Raster(pixels=np.zeros((0, 0, 4), np.uint8))
FAINT = 48
"""Coverage (of 255) from which a hairline shows in the mask: half a pixel of ink split between two pixels is a quarter each."""
INK = 8
"""Coverage that counts as ink, as everywhere."""
MIST_TO = 12
"""Coverage up to which ink is invisible on screen and prints as mist (common practice, no source)."""


@dataclass(slots=True, kw_only=True, eq=False)
class Prepared:
    """One copy of the ink of a print picture."""

    raster: Raster
    """What it was made from."""
    coverage: Bytes
    """Alpha with COVERAGE_RIM empty pixels on every side."""
    pixels: Bytes
    """Premultiplied colours of the same part, without a rim."""
    corner_px: tuple[int, int]
    """Where pixel (0, 0) of the picture lies on the canvas."""
    px_per_mm: float
    known: dict[object, object] = field(default_factory=dict)

    def once(self, key: object, find: Callable[[], T]) -> T:
        """What `find` gives, found at the first time of asking."""
        if key not in self.known:
            self.known[key] = find()
        return self.known[key]  # type: ignore[return-value]

    @property
    def alpha(self) -> Bytes:
        """Coverage without the rim."""
        return self.coverage[COVERAGE_RIM:-COVERAGE_RIM, COVERAGE_RIM:-COVERAGE_RIM]

    def ink(self, least: int) -> Bits:
        """Packed mask of the pixels with at least so much coverage."""
        return self.once(("ink", least), lambda: pack(self.alpha >= np.uint8(least)))

    @property
    def soft(self) -> Bits:
        """Packed mask of the pixels neither empty nor full."""
        return self.ink(1) & ~self.ink(255)

    def ink_mm2(self, pixels: float) -> float:
        """Square millimetres of a number of pixels."""
        return pixels / self.px_per_mm**2

    def corners(self, box_px: PxBox) -> Corners:
        """A box of the picture's pixels as mm of the print file."""
        x, y = self.corner_px
        x0, y0, x1, y1 = box_px
        return (x0 + x) / self.px_per_mm, (y0 + y) / self.px_per_mm, (x1 + x) / self.px_per_mm, (y1 + y) / self.px_per_mm


def prepared(evidence: Evidence) -> Prepared | None:
    """The picture of an evidence made ready, once for all checks, and once for pictures that differ in colours only."""
    if evidence.raster is None:
        return None
    found = evidence.shared.get("print")
    if not isinstance(found, Prepared) or found.raster is not evidence.raster:
        found = _prepare(evidence, evidence.raster, found if isinstance(found, Prepared) else None)
        evidence.shared["print"] = found
    return found


def let_go(evidence: Evidence) -> None:
    """Gives back the pixels of a picture that was looked at; coverage and masks stay for the next picture of the same outline."""
    found = evidence.shared.get("print")
    if isinstance(found, Prepared):
        found.raster, found.pixels = _NONE, _NONE.pixels


def _prepare(evidence: Evidence, raster: Raster, last: Prepared | None) -> Prepared:
    pixels, corner = _first_copy(evidence, raster)
    if last is not None and last.corner_px == corner and np.array_equal(last.alpha, pixels[..., 3]):
        return replace(last, raster=raster, pixels=pixels)
    height, width = pixels.shape[:2]
    coverage = np.zeros((height + 2 * COVERAGE_RIM, width + 2 * COVERAGE_RIM), np.uint8)
    coverage[COVERAGE_RIM:-COVERAGE_RIM, COVERAGE_RIM:-COVERAGE_RIM] = pixels[..., 3]
    return Prepared(raster=raster, coverage=coverage, pixels=pixels, corner_px=corner, px_per_mm=evidence.px_per_mm)


def _first_copy(evidence: Evidence, raster: Raster) -> tuple[Bytes, tuple[int, int]]:
    """The pixels of one copy: further copies are the same."""
    x, y = raster.origin_px
    if len(evidence.placement.placed) == 1:
        return raster.pixels, (x, y)
    x0, y0, x1, y1 = evidence.placement.placed[0].ink_box_px
    left, top = max(x0 - x, 0), max(y0 - y, 0)
    return raster.pixels[top : y1 - y, left : x1 - x], (x + left, y + top)
