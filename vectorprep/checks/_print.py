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
from numpy.lib.stride_tricks import as_strided

from vectorprep.checks._bits import RIM, blank_bytes, count, halved, positions, with_pixels, words_of
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
FAINT = 48
"""Coverage (of 255) from which a hairline shows in the mask: half a pixel of ink split between two pixels is a quarter each."""
INK = 8
"""Coverage that counts as ink, as everywhere."""
MIST_TO = 12
"""Coverage up to which ink is invisible on screen and prints as mist (common practice, no source)."""
BASE_LEAST_MM = 0.2
"""White that must remain under a line (common practice, no source)."""
_BAND_ROWS = 8  # so many rows of a wide picture stay in the processor's cache
_LISTED_MOST = 1_500_000
"""Soft pixels up to which they are listed one by one."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Soft:
    """The pixels neither empty nor full: row, column, coverage, in reading order."""

    rows: Indexes
    columns: Indexes
    alpha: Bytes


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
    by_shape: dict[object, object] = field(default_factory=dict)
    """What was found in the coverage alone; shared by pictures that differ in colours only."""
    by_look: dict[object, object] = field(default_factory=dict)
    size_px: tuple[int, int] = (0, 0)
    """Rows and columns of the picture, known after its pixels are gone."""

    def __post_init__(self) -> None:
        """Notes the size."""
        self.size_px = (self.pixels.shape[0], self.pixels.shape[1])

    def let_go(self) -> None:
        """Gives the pixels back; what was found in their coverage stays, with the list of soft pixels to compare by."""
        if self.raster is not _NONE:
            self.once("soft list", self._soft_list)
        self.raster, self.pixels = _NONE, _NONE.pixels
        self.by_look.clear()
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
        height, width = self.pixels.shape[:2]
        pitch = self.pixels.strides[0]
        return as_strided(self.pixels, ((height - 1) * pitch + 4 * width,), (1,), writeable=False), pitch

    def alpha_at(self, rows: Indexes, columns: Indexes) -> Bytes:
        """Coverage of some pixels; none outside the picture."""
        height, width = self.pixels.shape[:2]
        flat, pitch = self.bytes_px
        inside = (rows >= 0) & (rows < height) & (columns >= 0) & (columns < width)
        return np.where(inside, flat[np.where(inside, rows * pitch + 4 * columns + 3, 3)], np.uint8(0))

    def ink(self, least: int) -> Bits:
        """Packed mask of the pixels with at least so much coverage."""
        return self.once(("ink", least), lambda: self._ink(least))

    def _ink(self, least: int) -> Bits:
        soft = self.soft_list
        if soft is None or least in (1, 255):
            return _thresholds(self.pixels, (least,))[0]
        chosen = np.flatnonzero(soft.alpha >= least)
        return with_pixels(self.ink(255), soft.rows[chosen], soft.columns[chosen])

    @property
    def soft(self) -> Bits:
        """Packed mask of the pixels neither empty nor full."""
        return self.once("soft bits", lambda: self.ink(1) & ~self.ink(255))

    @property
    def soft_list(self) -> Soft | None:
        """The soft pixels one by one, None where they are very many."""
        return self.once("soft list", self._soft_list)

    def _soft_list(self) -> Soft | None:
        if count(self.soft) > _LISTED_MOST:
            return None
        rows, columns = positions(self.soft)
        return Soft(rows=rows, columns=columns, alpha=self.alpha_at(rows, columns))

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
    picture = Prepared(
        raster=raster,
        pixels=pixels,
        corner_px=corner,
        px_per_mm=evidence.px_per_mm,
        widest_mm=widest_limit_mm(evidence),
    )
    empty, full = _thresholds(pixels, (1, 255))
    picture.by_shape.update({("ink", 1): empty, ("ink", 255): full})
    if last is not None and _has_same_shape(last, picture):
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


def _has_same_shape(first: Prepared, second: Prepared) -> bool:
    if (first.corner_px, first.size_px, first.widest_mm) != (second.corner_px, second.size_px, second.widest_mm):
        return False
    if not all(np.array_equal(first.ink(least), second.ink(least)) for least in (1, 255)):
        return False
    soft = first.soft_list
    return soft is not None and np.array_equal(soft.alpha, second.alpha_at(soft.rows, soft.columns))


def _thresholds(pixels: Bytes, leasts: tuple[int, ...]) -> list[Bits]:
    """Packed masks of the pixels with at least so much coverage each, by one pass through the picture."""
    height, width = pixels.shape[:2]
    words = pixels.view("<u4")[..., 0]  # alpha is the highest byte of a pixel read as one number
    made = [blank_bytes(height, width) for _ in leasts]
    mask = np.empty((_BAND_ROWS, width), np.bool_)
    columns = slice(8, 8 + -(-width // 8))
    for top in range(0, height, _BAND_ROWS):
        band = words[top : top + _BAND_ROWS]
        here = mask[: len(band)]
        for least, packed in zip(leasts, made, strict=True):
            np.greater_equal(band, np.uint32(least << 24), out=here)
            packed[RIM + top : RIM + top + len(band), columns] = np.packbits(here, axis=1)
    return [words_of(packed) for packed in made]


def _first_copy(evidence: Evidence, raster: Raster) -> tuple[Bytes, tuple[int, int]]:
    """The pixels of one copy: further copies are the same."""
    x, y = raster.origin_px
    if len(evidence.placement.placed) == 1:
        return raster.pixels, (x, y)
    x0, y0, x1, y1 = evidence.placement.placed[0].ink_box_px
    left, top = max(x0 - x, 0), max(y0 - y, 0)
    return raster.pixels[top : y1 - y, left : x1 - x], (x + left, y + top)
