"""Print pictures on a film of given width: gaps, margins, labels, and the figures of what came of it.

Comes in: the ink size of each picture in px, the film. Goes out: `Sheet`s with everything on them placed in px.
Never done here: the nesting itself (`nest`), pixels.

Every picture owns the gap to its right and below it, so that inks are never nearer than the gap, however pictures are turned. Its
label lies in the gap below it, or to its right where it is turned.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from vectorprep.sheets.labels import LABEL_CLEAR_MM, LABEL_MM, least_width_px
from vectorprep.sheets.nest import fits, nested, row_length
from vectorprep.units import mm_from_px


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """What the printer prints on, in mm; a sheet is cut off where its last picture ends."""

    width_mm: float
    length_max_mm: float
    gap_mm: float
    margin_mm: float
    ppi: float
    may_turn: bool = True
    has_labels: bool = True

    def px(self, length_mm: float) -> int:
        """Whole pixels that hold a length at least."""
        return math.ceil(length_mm * self.ppi / 25.4 - 1e-6)

    @property
    def width_px(self) -> int:
        """Whole pixels across the film."""
        return math.floor(self.width_mm * self.ppi / 25.4 + 0.5)

    @property
    def length_max_px(self) -> int:
        """Whole pixels along the longest sheet."""
        return math.floor(self.length_max_mm * self.ppi / 25.4 + 1e-6)

    @property
    def gap_px(self) -> int:
        """Free to the right of each picture."""
        return self.px(self.gap_mm)

    @property
    def below_px(self) -> int:
        """What a picture keeps free below it: the gap, or what its label needs where that is more."""
        return max(self.gap_px, self._label_px)

    @property
    def margin_px(self) -> int:
        """Free at each edge; labels of the last pictures lie in it."""
        return max(self.px(self.margin_mm), self._label_px)

    @property
    def _label_px(self) -> int:
        return self.px(LABEL_MM + 2 * LABEL_CLEAR_MM) if self.has_labels else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A picture to be laid: its number on the list, and the size of its ink in px."""

    number: int
    size_px: tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A picture on a sheet: top-left corner of its ink, and whether it is turned by a quarter, counter-clockwise."""

    number: int
    x: int
    y: int
    is_turned: bool
    size_px: tuple[int, int]
    """Of the ink as it lies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One film sheet: its size, what lies on it from top to bottom, and the share of it that boxes of ink take."""

    size_px: tuple[int, int]
    laid: tuple[Laid, ...]
    fill_share: float


def sheets_of(items: Sequence[Item], film: Film) -> list[Sheet]:
    """Every item on as few and short sheets as are found.

    Raises:
        ValueError: an item that fits on no sheet (see `takes`).
    """
    margin, gap = film.margin_px, film.gap_px
    spots = nested([_slot(item, film) for item in items], *_room(film), may_turn=film.may_turn)
    sheets = []
    for number in range(max((spot.strip + 1 for spot in spots), default=0)):
        laid = sorted(
            (
                _laid(item, spot.x + margin, spot.y + margin, is_turned=spot.is_turned)
                for item, spot in zip(items, spots, strict=True)
                if spot.strip == number
            ),
            key=lambda one: (one.y, one.x),
        )
        length = max(one.y + one.size_px[1] + (gap if one.is_turned else film.below_px) for one in laid) - gap + margin
        size = film.width_px, length
        inked = sum(one.size_px[0] * one.size_px[1] for one in laid)
        sheets.append(Sheet(size_px=size, laid=tuple(laid), fill_share=inked / (size[0] * size[1])))
    return sheets


def takes(item: Item, film: Film) -> bool:
    """Whether an item fits on an empty sheet."""
    return fits(_slot(item, film), *_room(film), may_turn=film.may_turn)


def rows_length_mm(items: Sequence[Item], film: Film) -> float:
    """Length of film that plain rows would take, in the items' own order and as they stand."""
    length = row_length([_slot(item, film) for item in items], _room(film)[0])
    return mm_from_px(length - film.gap_px + 2 * film.margin_px, film.ppi)


def _slot(item: Item, film: Film) -> tuple[int, int]:
    """An item with what it keeps free to its right and below it."""
    width = max(item.size_px[0], least_width_px(item.number, film.ppi)) if film.has_labels else item.size_px[0]
    return width + film.gap_px, item.size_px[1] + film.below_px


def _room(film: Film) -> tuple[int, int]:
    """What nesting has: the film without margins, and with the gap that the last picture keeps free beyond it."""
    gap, margin = film.gap_px, film.margin_px
    return film.width_px - 2 * margin + gap, film.length_max_px - 2 * margin + gap


def _laid(item: Item, x: int, y: int, *, is_turned: bool) -> Laid:
    width, height = item.size_px
    size = (height, width) if is_turned else (width, height)
    return Laid(number=item.number, x=x, y=y, is_turned=is_turned, size_px=size)
