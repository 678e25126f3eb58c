"""The print picture made ready to be looked at: its coverage, packed masks of it, and what several checks find, each found once.

Comes in: evidence with a raster. Goes out: `Prepared`, filled as checks ask. Never done here: limits' meaning, words, findings.

A print picture has tens of millions of pixels, nearly all of them empty or full. It is read through once; what lies between is kept
as a list where it is short.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from vectorprep.checks._bits import RIM, halved, positions, with_pixels
from vectorprep.engine.packed import Cover, Soft, cover_of, flat_bytes, thresholds
from vectorprep.model import Raster

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from vectorprep.checks._bits import Bits
    from vectorprep.checks._evidence import Evidence
    from vectorprep.model.result import Corners, PxBox

    Bytes = NDArray[np.uint8]
    Indexes = NDArray[np.intp]

T = TypeVar("T")
_NONE = Raster(pixels=np.zeros((0, 0, 4), np.uint8))
INK_BITS, SOFT_BITS = "ink bits", "soft bits"
"""What large masks are remembered by; each is soon made again."""
FAINT = 48
"""Coverage (of 255) from which a hairline shows in the mask: half a pixel of ink split between two pixels is a quarter each."""
INK = 8
"""Coverage that counts as ink, as everywhere."""
MIST_TO = 12
"""Coverage up to which ink is invisible on screen and prints as mist (common practice, no source)."""
BASE_LEAST_MM = 0.2
"""White that must remain under a line (common practice, no source)."""


@dataclass(kw_only=True, eq=False)
class Prepared:
    """One copy of the ink of a print picture."""

    raster: Raster
    """What it was made from."""
    pixels: Bytes
    """Premultiplied red, green, blue, alpha."""
    corner_px: tuple[int, int]
    """Where pixel (0, 0) of the picture lies on the canvas."""
    px_per_mm: float
    widest_mm: float
    """The greatest limit of width, gap or dot that any check of the product holds against the picture."""
    cover: Cover
    """What is painted, full and soft."""
    by_shape: dict[object, object] = field(default_factory=dict)
    """What was found in the coverage alone; shared by pictures that differ in colours only."""
    by_look: dict[object, object] = field(default_factory=dict)
    size_px: tuple[int, int] = (0, 0)
    """Rows and columns of the picture, known after its pixels are gone."""

    def __post_init__(self) -> None:
        """Notes the size."""
        self.size_px = (self.pixels.shape[0], self.pixels.shape[1])

    def let_go(self) -> None:
        """Gives the pixels and the large masks back; what was found in their coverage stays."""
        self.raster, self.pixels = _NONE, _NONE.pixels
        self.by_look.clear()
        for key in [key for key in self.by_shape if key == SOFT_BITS or (isinstance(key, tuple) and key[0] == INK_BITS)]:
            del self.by_shape[key]
        vars(self).pop("bytes_px", None)

    def once(self, key: object, find: Callable[[], T], *, in_colour: bool = False) -> T:
        """What `find` gives, found at the first time of asking; `in_colour` where it depends on colours too."""
        known = self.by_look if in_colour else self.by_shape
        if key not in known:
            known[key] = find()
        return known[key]  # type: ignore[return-value]

    @cached_property
    def bytes_px(self) -> tuple[Bytes, int]:
        """The picture as one row of bytes, and how many of them lie between a pixel and the one below."""
        return flat_bytes(self.pixels)

    def alpha_at(self, rows: Indexes, columns: Indexes) -> Bytes:
        """Coverage of some pixels; none outside the picture."""
        height, width = self.pixels.shape[:2]
        flat, pitch = self.bytes_px
        inside = (rows >= 0) & (rows < height) & (columns >= 0) & (columns < width)
        return np.where(inside, flat[np.where(inside, rows * pitch + 4 * columns + 3, 3)], np.uint8(0))

    def ink(self, least: int) -> Bits:
        """Packed mask of the pixels with at least so much coverage."""
        return self.once((INK_BITS, least), lambda: self._ink(least))

    def _ink(self, least: int) -> Bits:
        soft = self.soft_list
        if least in (1, 255):
            return self.cover.painted if least == 1 else self.cover.full
        if soft is None:
            return thresholds(self.pixels, (least,))[0]
        chosen = np.flatnonzero(soft.alpha >= least)
        return with_pixels(self.ink(255), soft.rows[chosen], soft.columns[chosen])

    @property
    def soft(self) -> Bits:
        """Packed mask of the pixels neither empty nor full."""
        return self.once(SOFT_BITS, lambda: self.ink(1) & ~self.ink(255))

    @property
    def soft_list(self) -> Soft | None:
        """The soft pixels one by one, None where they are very many."""
        return self.cover.soft

    def all_of(self, least: int) -> Bits:
        """Squares of 2 x 2 pixels that all have at least so much coverage."""
        return self.once(("all of", least), lambda: halved(self.ink(least)))

    def any_of(self, least: int) -> Bits:
        """Squares of 2 x 2 pixels of which one has at least so much coverage."""
        return self.once(("any of", least), lambda: ~halved(~self.ink(least)))

    def pixels_of(self, squares: Bits) -> tuple[Indexes, Indexes]:
        """Rows and columns of the pixels of some squares of 2 x 2, square by square; none outside the picture."""
        rows, columns = positions(squares)
        height, width = self.pixels.shape[:2]
        rows, columns = 2 * rows + RIM, 2 * columns + RIM
        rows, columns = rows.repeat(4) + np.tile((0, 0, 1, 1), len(rows)), columns.repeat(4) + np.tile((0, 1, 0, 1), len(columns))
        inside = np.flatnonzero((rows >= 0) & (rows < height) & (columns >= 0) & (columns < width))
        return rows[inside], columns[inside]

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
        found.let_go()


def _prepare(evidence: Evidence, raster: Raster, last: Prepared | None) -> Prepared:
    pixels, corner = _first_copy(evidence, raster)
    cover = evidence.cover if pixels is raster.pixels else None
    picture = Prepared(
        raster=raster,
        pixels=pixels,
        corner_px=corner,
        px_per_mm=evidence.px_per_mm,
        widest_mm=widest_limit_mm(evidence),
        cover=cover or cover_of(pixels, None if last is None else last.cover),
    )
    if last is not None and last.cover is picture.cover and _lies_alike(last, picture):
        picture.by_shape = last.by_shape
    return picture


def widest_limit_mm(evidence: Evidence) -> float:
    """The greatest least width that the product's record states for anything, on any of its blanks."""
    product = evidence.product
    sets = [limits for limits in (product.limits, product.limits_on_light_cloth) if limits is not None]
    sets += [on.limits for on in evidence.on_blanks]
    policies = [policy for policy in (product.ink_policy, product.ink_policy_on_light_cloth) if policy is not None]
    policies += [on.ink_policy for on in evidence.on_blanks]
    based = [2 * policy.choke_mm + BASE_LEAST_MM for policy in policies if policy.choke_mm]
    stated = [
        width or 0.0
        for limits in sets
        for width in (
            limits.positive_line_min_mm,
            limits.negative_line_min_mm,
            limits.negative_line_min_mm_on_white_base,
            limits.dot_diameter_min_mm,
        )
    ]
    return max((*stated, *based), default=0.0)


def _lies_alike(first: Prepared, second: Prepared) -> bool:
    return (first.corner_px, first.widest_mm) == (second.corner_px, second.widest_mm)


def _first_copy(evidence: Evidence, raster: Raster) -> tuple[Bytes, tuple[int, int]]:
    """The pixels of one copy: further copies are the same."""
    x, y = raster.origin_px
    if len(evidence.placement.placed) == 1:
        return raster.pixels, (x, y)
    x0, y0, x1, y1 = evidence.placement.placed[0].ink_box_px
    left, top = max(x0 - x, 0), max(y0 - y, 0)
    return raster.pixels[top : y1 - y, left : x1 - x], (x + left, y + top)
