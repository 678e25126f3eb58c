"""The box that ink may fill on a product, and the width that is ideal in it.

Comes in: a `Product` and the seller's garment size, face and width.
Goes out: exact boxes in mm of the print file, the target width, each with its reason in words.
Never done here: anything with the artwork's own shape, or pixels.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from vectorprep.model import Product
from vectorprep.units import exact

FACE_WIDTH_MAX_MM = 75.0  # common practice, no source: 45 degrees either way read undistorted, 64-75 mm on an 11 oz mug
PREFERRED_SIZE = "M"
ANY_SIZE = "any"


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """An exact box in mm of the print file (origin top left, y down)."""

    x0: Fraction
    y0: Fraction
    x1: Fraction
    y1: Fraction

    @property
    def width(self) -> Fraction:
        """Extent along x."""
        return self.x1 - self.x0

    @property
    def height(self) -> Fraction:
        """Extent along y."""
        return self.y1 - self.y0

    @property
    def centre(self) -> tuple[Fraction, Fraction]:
        """Middle point."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    def inset(self, by: Fraction) -> Room:
        """The box with every side moved inward."""
        return Room(x0=self.x0 + by, y0=self.y0 + by, x1=self.x1 - by, y1=self.y1 - by)


def file_room(product: Product) -> Room:
    """The whole print file."""
    width, height = product.file_size_mm
    return Room(x0=Fraction(0), y0=Fraction(0), x1=width, y1=height)


def print_area(product: Product) -> Room:
    """The print area in the file: bleed lies around it; that of a tapered cup before it is bent."""
    x0, y0, x1, y1 = product.area_mm
    return Room(x0=x0, y0=y0, x1=x1, y1=y1)


def ink_room(product: Product) -> Room:
    """What ink may fill: the print area minus safe margin, rim and base, cut to the record's largest ink box and to its offset."""
    rule, margin = product.placement, exact(product.safe_margin_mm)
    area = print_area(product)
    room = Room(
        x0=area.x0 + margin,
        y0=area.y0 + max(margin, exact(rule.rim_clear_min_mm)),
        x1=area.x1 - margin,
        y1=area.y1 - max(margin, exact(rule.base_clear_min_mm)),
    )
    if product.ink_max_mm is not None:
        room = _shrunk(room, exact(product.ink_max_mm[0]), exact(product.ink_max_mm[1]))
    below, above = offset_gaps(product)
    height = file_room(product).y1
    return Room(x0=room.x0, y0=max(room.y0, below), x1=room.x1, y1=min(room.y1, height - above))


def _shrunk(room: Room, width: Fraction, height: Fraction) -> Room:
    """The box cut to a size about its own centre, where it is larger."""
    dx, dy = max(room.width - width, Fraction(0)) / 2, max(room.height - height, Fraction(0)) / 2
    return Room(x0=room.x0 + dx, y0=room.y0 + dy, x1=room.x1 - dx, y1=room.y1 - dy)


def offset_gaps(product: Product) -> tuple[Fraction, Fraction]:
    """How far below the canvas's top edge, or above its bottom edge, the ink begins.

    The edge lies at the smallest admissible offset from the datum, the ink at the record's offset.
    """
    rule = product.placement
    top = _gap(rule.top_offset_mm, rule.top_offset_range_mm) if rule.vertical == "top_of_ink" else Fraction(0)
    bottom = _gap(rule.bottom_offset_mm, rule.bottom_offset_range_mm) if rule.vertical == "bottom_of_ink" else Fraction(0)
    return top, bottom


def _gap(offset: float | None, span: tuple[float, float] | None) -> Fraction:
    return Fraction(0) if offset is None or span is None else exact(offset) - exact(span[0])


def canvas_origin_mm(product: Product) -> tuple[float, float]:
    """Top-left corner of the full canvas from the datum: x to the viewer's right of the centre line, y below it.

    A record with neither offset nor centred datum has its corner at the corner of the print area.
    """
    rule = product.placement
    width, height = product.file_size_mm
    x = -width / 2
    if rule.horizontal == "centre_at_offset":
        x += _side(product) * exact(rule.horizontal_offset_mm or 0.0)
    elif rule.horizontal in {"grid", "left", "right"}:
        x = -exact(product.bleed_mm)
    if rule.vertical == "top_of_ink":
        y = exact(_smallest(rule.top_offset_mm, rule.top_offset_range_mm))
    elif rule.vertical == "bottom_of_ink":
        y = -height - exact(_smallest(rule.bottom_offset_mm, rule.bottom_offset_range_mm))
    else:
        y = -exact(product.bleed_mm) if rule.vertical == "grid" else -height / 2
    return float(x), float(y)


def _smallest(offset: float | None, span: tuple[float, float] | None) -> float:
    return span[0] if span is not None else offset or 0.0


def _side(product: Product) -> int:
    """+1 where the wearer's side lies on the viewer's right: their left in front, their right behind."""
    front = not product.placement.datum.startswith("back")
    return 1 if (product.placement.side == "wearer_left") == front else -1


def face_room(product: Product, centre_mm: float) -> Room:
    """The part of a wrap around one face: as wide as it reads undistorted and as its neighbours leave."""
    room = ink_room(product)
    centre = exact(product.bleed_mm) + exact(centre_mm)
    others = [
        exact(product.bleed_mm) + exact(other) for other in product.placement.face_centres_from_left_edge_mm if other != centre_mm
    ]
    reach = [exact(FACE_WIDTH_MAX_MM) / 2, centre - room.x0, room.x1 - centre, *(abs(other - centre) / 2 for other in others)]
    half = min(reach)
    return Room(x0=centre - half, y0=room.y0, x1=centre + half, y1=room.y1)


def garment_size(product: Product, wanted: str) -> str:
    """The entry of the width table that applies: the wanted size, else M, `any`, the middle entry; empty without a table."""
    sizes = [size for size, _width in product.ideal_width_mm_by_garment_size]
    for size in (wanted, PREFERRED_SIZE, ANY_SIZE):
        if size in sizes:
            return size
    return sizes[(len(sizes) - 1) // 2] if sizes else ""


def ideal_width_mm(product: Product, size: str) -> Fraction | None:
    """The record's ideal width for an entry of its table, or None without a table."""
    widths = dict(product.ideal_width_mm_by_garment_size)
    return exact(widths[size]) if size in widths else None
