"""Where one artwork lands on one product: scale and integer pixel box from the measured ink.

Comes in: a `Measurement`, a `Product` and the seller's choices.
Goes out: a `Placement`.
Never done here: stretching, drawing, judging whether the printed size is a good one (a check does that).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from vectorprep.errors import ArtworkRefused
from vectorprep.geometry import Box
from vectorprep.model import Measurement, Placed, Placement, Product
from vectorprep.plan import area, words
from vectorprep.plan.area import Room
from vectorprep.units import MM_PER_INCH, exact, px_from_mm

INSET_PX = 0.3  # true edges lie this far inside their pixel box, so that edge pixels are inked but never overflow
SQUARE_ASPECT = (0.8, 1.2)  # common practice, no source
SQUARE_FACTOR = Fraction(9, 10)  # common practice, no source: a square looks larger than a banner of its width
STICKER_SIDE_MM = 50.0  # house value: long side of the ink of one sticker on a sheet, before it grows into its cell
HALF = Fraction(1, 2)

Canvas = Literal["full", "trimmed"]
Fit = Literal["contain", "cover"]
Faces = Literal["centre", "both", "left", "right"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceOptions:
    """The seller's choices for one artwork on one product.

    `width_mm` beats the record's ideal width and is taken as it stands, `scale` multiplies the ideal one, `original_size` prints
    at the drawing's own size. `centroid_mm` (page) is the alpha-weighted middle of the ink, needed for a horizontal optical shift.
    `keyline_mm` is kept free around the ink. `nudge_mm` moves right and down.
    """

    garment_size: str = ""
    width_mm: float | None = None
    scale: float = 1.0
    original_size: bool = False
    nudge_mm: tuple[float, float] = (0.0, 0.0)
    is_optical: bool = False
    centroid_mm: tuple[float, float] | None = None
    keyline_mm: float = 0.0
    canvas: Canvas = "full"
    fit: Fit = "contain"
    faces: Faces = "centre"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    """What every step below needs, once."""

    product: Product
    options: PlaceOptions
    edges: Box
    reach: Box
    """Box of all that is painted, mm of the page; at least `edges`."""

    @property
    def px_per_mm(self) -> Fraction:
        return exact(self.product.resolution_ppi) / MM_PER_INCH

    @property
    def aspect(self) -> float:
        return self.edges.width / self.edges.height if self.edges.height > 0 else math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class _Size:
    """Pixel size of the ink and the scale that gives it."""

    width_px: int
    height_px: int
    px_per_mm: float


def place(measured: Measurement, product: Product, *, options: PlaceOptions = PlaceOptions()) -> Placement:
    """The ink box bounded by the product's box, never stretched, at whole pixels.

    Raises:
        ArtworkRefused: there is no ink, it has no room, or a nudge pushes it off the print area.
    """
    job = _job(measured, product, options)
    size_key = area.garment_size(product, options.garment_size)
    if product.placement.horizontal == "grid":
        placed, why = _grid(job)
    elif _is_cover(job):
        placed, why = (_cover(job),), words.COVER
    elif options.faces != "centre" and product.placement.face_centres_from_left_edge_mm:
        placed, why = _faces(job)
    else:
        placed, why = _one(job, size_key)
    placed = tuple(_nudged(job, one) for one in placed)
    placement = Placement(
        product=product.key,
        canvas_px=product.file_size_px,
        ppi=product.resolution_ppi,
        placed=placed,
        background=_background(product),
        garment_size=size_key if size_key != area.ANY_SIZE else "",
        datum=product.placement.datum,
        canvas_origin_mm=area.canvas_origin_mm(product),
        keyline_mm=options.keyline_mm,
        words=words.placement_words(product, placed, why, options.nudge_mm),
    )
    return _trimmed(job, placement) if options.canvas == "trimmed" else placement


def _job(measured: Measurement, product: Product, options: PlaceOptions) -> _Job:
    edges = measured.ink_edges_mm or measured.ink_box_mm
    if edges is None or (edges.width <= 0 and edges.height <= 0):
        raise ArtworkRefused(
            f"{measured.artwork.name} paints nothing: there is no ink to place on {product.key}",
            fix="check hidden layers, opacity and art outside the page",
            code="no-ink",
        )
    reach = edges.union(measured.any_ink_box_mm) if measured.any_ink_box_mm else edges
    return _Job(product=product, options=options, edges=edges, reach=reach)


def _background(product: Product) -> str | None:
    if product.background == "transparent":
        return None
    return product.background if product.background.startswith("#") else "#ffffff"


def _is_cover(job: _Job) -> bool:
    fit = job.product.fit
    return fit == "cover" or (fit == "cover_or_contain_with_border" and job.options.fit == "cover")


def _one(job: _Job, size_key: str) -> tuple[tuple[Placed, ...], str]:
    room = area.ink_room(job.product)
    width, why = _target_width(job, room, size_key)
    return (_in_room(job, room, width),), why


def _target_width(job: _Job, room: Room, size_key: str) -> tuple[Fraction, str]:
    """The width wanted before the box bounds it, with its reason."""
    options = job.options
    if options.original_size:
        return exact(job.edges.width) + 2 * exact(options.keyline_mm), words.ORIGINAL
    if options.width_mm is not None:
        return exact(options.width_mm), words.SETTINGS
    ideal = area.ideal_width_mm(job.product, size_key)
    width, why = (room.width, words.BOX) if ideal is None else (ideal, words.ideal(size_key))
    if SQUARE_ASPECT[0] <= job.aspect <= SQUARE_ASPECT[1]:
        width, why = width * SQUARE_FACTOR, why + words.SQUARE
    return width * exact(options.scale), why


def _in_room(job: _Job, room: Room, width_mm: Fraction) -> Placed:
    """The ink at a width bounded by a box, at the box's anchor."""
    inner = room.inset(exact(job.options.keyline_mm))
    if inner.width <= 0 or inner.height <= 0:
        raise ArtworkRefused(
            f"no room for ink on {job.product.key}: {float(room.width):.4g} x {float(room.height):.4g} mm with a keyline of {job.options.keyline_mm:g} mm",
            fix="choose a thinner keyline or a larger product",
            code="no-room",
        )
    size = _sized(job, min(width_mm - 2 * exact(job.options.keyline_mm), inner.width), inner.height)
    x_mm, y_mm = _optical(job, inner, size)
    canvas = job.product.file_size_px
    corner = (
        _anchored(job, 0, inner, size.width_px, canvas[0], x_mm),
        _anchored(job, 1, inner, size.height_px, canvas[1], y_mm),
    )
    return _placed(job, size, corner)


def _sized(job: _Job, width_mm: Fraction, height_mm: Fraction) -> _Size:
    """The largest size within a width and a height: the bounding side is a rounded length, the other follows from the scale."""
    edges, ppi = job.edges, job.product.resolution_ppi
    is_wide = edges.height <= 0 or (edges.width > 0 and width_mm * exact(edges.height) <= height_mm * exact(edges.width))
    bound_mm, edge_mm, other_mm = (width_mm, edges.width, edges.height) if is_wide else (height_mm, edges.height, edges.width)
    bound_px = px_from_mm(bound_mm, ppi) if bound_mm > 0 else 0
    if bound_px < 2:
        raise ArtworkRefused(
            f"the ink would be {float(bound_mm):.3g} mm, {bound_px} px, on {job.product.key}",
            fix="ask for a larger width or scale",
            code="too-small",
        )
    inset = 0.0 if _is_original(job, bound_mm, edge_mm) else INSET_PX
    scale = (bound_px - 2 * inset) / edge_mm if inset else float(job.px_per_mm)
    other_px = max(1, math.floor(other_mm * scale + 2 * inset + 0.5))
    return _Size(width_px=bound_px if is_wide else other_px, height_px=other_px if is_wide else bound_px, px_per_mm=scale)


def _is_original(job: _Job, bound_mm: Fraction, edge_mm: float) -> bool:
    """Whether the drawing's own size was asked for and fits: then its scale is exact."""
    return job.options.original_size and bound_mm == exact(edge_mm)


def _anchored(job: _Job, axis: Literal[0, 1], room: Room, length_px: int, canvas_px: int, shift_mm: Fraction) -> int:
    """Top or left pixel of the ink on one axis, by the record's anchor; halves go up or left."""
    rule = job.product.placement
    anchor = (rule.horizontal, rule.vertical)[axis]
    low, high = ((room.x0, room.x1), (room.y0, room.y1))[axis]
    if anchor in {"top_of_ink", "left"}:
        return _round(low * job.px_per_mm + shift_mm * job.px_per_mm)
    file_mm = job.product.file_size_mm[axis]
    if anchor in {"bottom_of_ink", "right"}:
        return canvas_px - _round((file_mm - high) * job.px_per_mm) - length_px + _round(shift_mm * job.px_per_mm)
    # From the canvas's middle pixel, so that a rounded canvas has equal margins.
    centre_px = Fraction(canvas_px, 2) + ((low + high) / 2 - file_mm / 2 + shift_mm) * job.px_per_mm
    return math.ceil(centre_px - Fraction(length_px, 2) - HALF)


def _round(value: Fraction) -> int:
    return math.floor(value + HALF)


def _optical(job: _Job, room: Room, size: _Size) -> tuple[Fraction, Fraction]:
    """Optional shift in mm towards where the eye sees the middle; never out of the box."""
    zero = Fraction(0)
    if not job.options.is_optical:
        return zero, zero
    rule = job.product.placement
    width_mm = exact(size.width_px) / job.px_per_mm
    free_height = max(room.height - exact(size.height_px) / job.px_per_mm, zero)
    raised = -free_height * exact(rule.optical_raise_fraction_of_free_height) if rule.vertical.startswith("centre") else zero
    if rule.optical_shift is None or job.options.centroid_mm is None:
        return zero, raised
    scale = exact(size.px_per_mm) / job.px_per_mm
    off_centre = (exact(job.edges.centre[0]) - exact(job.options.centroid_mm[0])) * scale
    cap = min(width_mm * exact(rule.optical_shift.shift_max_fraction_of_width), max(room.width - width_mm, zero) / 2)
    wanted = off_centre * exact(rule.optical_shift.centroid_weight_fraction)
    return max(-cap, min(cap, wanted)), raised


def _placed(job: _Job, size: _Size, corner: tuple[int, int]) -> Placed:
    """The map that centres the true edges in their pixel box."""
    x, y = corner
    edges, scale = job.edges, size.px_per_mm
    offset = (
        x + (size.width_px - edges.width * scale) / 2 - edges.x0 * scale,
        y + (size.height_px - edges.height * scale) / 2 - edges.y0 * scale,
    )
    return _with_box(job, scale, offset, (x, y, x + size.width_px, y + size.height_px))


def _with_box(job: _Job, scale: float, offset: tuple[float, float], box: tuple[int, int, int, int]) -> Placed:
    per_px = 1 / float(job.px_per_mm)
    printed = ((box[2] - box[0]) * per_px, (box[3] - box[1]) * per_px)
    return Placed(px_per_mm=scale, offset_px=offset, ink_box_px=box, printed_mm=printed)


def _cover(job: _Job) -> Placed:
    """Ink over the whole file, bleed included, what is too much cut off evenly; true edges lie just outside."""
    canvas = job.product.file_size_px
    if job.edges.width <= 0 or job.edges.height <= 0:
        raise ArtworkRefused("ink without width or height cannot cover a page", fix='use fit = "contain"', code="no-room")
    grown = (canvas[0] + 2 * INSET_PX, canvas[1] + 2 * INSET_PX)
    scale = max(grown[0] / job.edges.width, grown[1] / job.edges.height)
    centre = job.edges.centre
    offset = (canvas[0] / 2 - centre[0] * scale, canvas[1] / 2 - centre[1] * scale)
    return _with_box(job, scale, offset, (0, 0, canvas[0], canvas[1]))


def _faces(job: _Job) -> tuple[tuple[Placed, ...], str]:
    """One copy on each face asked for, all of one size."""
    centres = job.product.placement.face_centres_from_left_edge_mm
    chosen = {"left": centres[:1], "right": centres[-1:]}.get(job.options.faces, centres)
    rooms = [area.face_room(job.product, centre) for centre in centres]
    narrowest = min(rooms, key=lambda room: room.width)
    width, why = _target_width(job, narrowest, "")
    placed = []
    for centre in chosen:
        room = area.face_room(job.product, centre)
        spare = (room.width - narrowest.width) / 2
        placed.append(_in_room(job, replace(room, x0=room.x0 + spare, x1=room.x1 - spare), width))
    return tuple(placed), why + words.FACES


def _grid(job: _Job) -> tuple[tuple[Placed, ...], str]:
    """As many copies as the sheet holds, row by row; without a width of the seller's they grow into their cells."""
    rule, cut = job.product.placement, job.product.cut
    gap = exact(rule.gap_between_cuts_mm)
    around = exact(cut.offset_outside_ink_mm or 0.0) if cut else Fraction(0)
    border = around + exact(job.options.keyline_mm)
    sheet = area.print_area(job.product).inset(exact(rule.sheet_margin_mm))
    width, height = _sticker_mm(job)
    columns, rows = cells_across(sheet.width, width + 2 * border, gap), cells_across(sheet.height, height + 2 * border, gap)
    if columns < 1 or rows < 1:
        raise ArtworkRefused(
            f"a sticker of {float(width):.4g} x {float(height):.4g} mm does not fit {job.product.key} with its margin of {rule.sheet_margin_mm:g} mm",
            fix="ask for a smaller width",
            code="no-room",
        )
    is_fixed = job.options.width_mm is not None or job.options.original_size
    cell_w = width + 2 * border if is_fixed else (sheet.width - gap * (columns - 1)) / columns
    cell_h = height + 2 * border if is_fixed else (sheet.height - gap * (rows - 1)) / rows
    left = sheet.centre[0] - (cell_w * columns + gap * (columns - 1)) / 2
    top = sheet.centre[1] - (cell_h * rows + gap * (rows - 1)) / 2
    size = _sized(job, cell_w - 2 * border, cell_h - 2 * border)
    placed = []
    for row in range(rows):
        for column in range(columns):
            centre = (left + (cell_w + gap) * column + cell_w / 2, top + (cell_h + gap) * row + cell_h / 2)
            corner = (_corner(job, centre[0], size.width_px), _corner(job, centre[1], size.height_px))
            placed.append(_placed(job, size, corner))
    return tuple(placed), words.grid(columns, rows)


def _corner(job: _Job, centre_mm: Fraction, length_px: int) -> int:
    return math.ceil(centre_mm * job.px_per_mm - Fraction(length_px, 2) - HALF)


def _sticker_mm(job: _Job) -> tuple[Fraction, Fraction]:
    """Width and height of one sticker's ink before the grid is counted."""
    width, height = exact(job.edges.width), exact(job.edges.height)
    if job.options.original_size:
        return width, height
    if job.options.width_mm is not None and width > 0:
        wanted = exact(job.options.width_mm)
        return wanted, height * wanted / width
    factor = exact(STICKER_SIDE_MM) * exact(job.options.scale) / max(width, height)
    return width * factor, height * factor


def cells_across(length_mm: Fraction, side_mm: Fraction, gap_mm: Fraction) -> int:
    """How many sides with gaps between them fit a length: floor((length + gap) / (side + gap))."""
    return math.floor((length_mm + gap_mm) / (side_mm + gap_mm))


def _nudged(job: _Job, placed: Placed) -> Placed:
    dx_mm, dy_mm = job.options.nudge_mm
    dx, dy = _round(exact(dx_mm) * job.px_per_mm), _round(exact(dy_mm) * job.px_per_mm)
    if dx == 0 and dy == 0:
        return placed
    x0, y0, x1, y1 = placed.ink_box_px
    box = (x0 + dx, y0 + dy, x1 + dx, y1 + dy)
    _refuse_outside(job, box)
    offset = (placed.offset_px[0] + dx, placed.offset_px[1] + dy)
    return replace(placed, offset_px=offset, ink_box_px=box)


def _refuse_outside(job: _Job, box: tuple[int, int, int, int]) -> None:
    """A nudge may use the safe margin, but not leave the print area."""
    limit = area.print_area(job.product)
    keyline_px = exact(job.options.keyline_mm) * job.px_per_mm
    over = max(
        limit.x0 * job.px_per_mm - box[0] + keyline_px,
        limit.y0 * job.px_per_mm - box[1] + keyline_px,
        box[2] + keyline_px - limit.x1 * job.px_per_mm,
        box[3] + keyline_px - limit.y1 * job.px_per_mm,
    )
    if over > 1:
        dx, dy = job.options.nudge_mm
        raise ArtworkRefused(
            f"the nudge of {dx:g} mm right and {dy:g} mm down puts the ink {float(over / job.px_per_mm):.2f} mm outside the print area of "
            f"{job.product.key} ({job.product.print_area_mm[0]:g} x {job.product.print_area_mm[1]:g} mm)",
            fix="nudge less, or ask for a smaller width",
            code="nudge-outside",
        )


def _trimmed(job: _Job, placement: Placement) -> Placement:
    """The canvas cut to all that is painted and its keyline."""
    border = math.ceil(exact(job.options.keyline_mm) * job.px_per_mm)
    boxes = [_reach_px(job, one) for one in placement.placed]
    left, top = min(box[0] for box in boxes) - border, min(box[1] for box in boxes) - border
    right, bottom = max(box[2] for box in boxes) + border, max(box[3] for box in boxes) + border
    origin = placement.canvas_origin_mm
    per_px = 1 / float(job.px_per_mm)
    return replace(
        placement,
        canvas_px=(right - left, bottom - top),
        placed=tuple(_moved(one, -left, -top) for one in placement.placed),
        canvas_origin_mm=(origin[0] + left * per_px, origin[1] + top * per_px),
    )


def _reach_px(job: _Job, placed: Placed) -> tuple[int, int, int, int]:
    """Whole pixels of everything painted, faint ink too, within the canvas."""
    x0, y0, x1, y1 = placed.ink_box_px
    reach = job.reach.scaled(placed.px_per_mm).shifted(*placed.offset_px)
    width, height = job.product.file_size_px
    return (
        max(min(x0, math.floor(reach.x0)), 0),
        max(min(y0, math.floor(reach.y0)), 0),
        min(max(x1, math.ceil(reach.x1)), width),
        min(max(y1, math.ceil(reach.y1)), height),
    )


def _moved(placed: Placed, dx: int, dy: int) -> Placed:
    x0, y0, x1, y1 = placed.ink_box_px
    offset = (placed.offset_px[0] + dx, placed.offset_px[1] + dy)
    return replace(placed, offset_px=offset, ink_box_px=(x0 + dx, y0 + dy, x1 + dx, y1 + dy))
