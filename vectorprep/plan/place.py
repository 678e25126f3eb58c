"""Where one artwork lands on one product: scale and whole-pixel box from the measured ink.

Comes in: a `Measurement`, a `Product` and the seller's choices.
Goes out: a `Placement`.
Never done here: stretching, drawing, judging whether the printed size is a good one (a check does that).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Literal

from vectorprep.errors import ArtworkRefused
from vectorprep.model import Measurement, Placed, Placement, Product
from vectorprep.plan import adjust, area, words
from vectorprep.plan.area import Room
from vectorprep.plan.scale import INSET_PX, InkSize, Job, PlaceOptions, bounded_size, low_corner, mapped, placed_at, rounded
from vectorprep.plan.sheet import fill_sheet
from vectorprep.units import exact

SQUARE_ASPECT = (0.8, 1.2)  # common practice, no source
SQUARE_FACTOR = Fraction(9, 10)  # common practice, no source: a square looks larger than a banner of its width
DEFAULTS = PlaceOptions()


def place(measured: Measurement, product: Product, *, options: PlaceOptions = DEFAULTS) -> Placement:
    """The ink bounded by the product's box, never stretched, at whole pixels.

    Raises:
        ArtworkRefused: there is no ink, it has no room, or a nudge pushes it off the print area.
    """
    job = _job(measured, product, options)
    size_key = area.garment_size(product, options.garment_size)
    placed, why = _copies(job, size_key)
    placement = Placement(
        product=product.key,
        canvas_px=product.file_size_px,
        ppi=product.resolution_ppi,
        placed=placed,
        background=_background(product, options),
        garment_size="" if size_key == area.ANY_SIZE else size_key,
        datum=product.placement.datum,
        canvas_origin_mm=area.canvas_origin_mm(product),
        keyline_mm=options.keyline_mm,
        reach_mm=job.reach.corners,
        words=words.placement_words(product, placed, why, options),
    )
    # A wrap that is bent lies about the middle of its whole canvas.
    return adjust.trimmed(job, placement) if options.canvas == "trimmed" and not product.is_bent else placement


def _job(measured: Measurement, product: Product, options: PlaceOptions) -> Job:
    edges = measured.ink_edges_mm or measured.ink_box_mm
    if edges is None or (edges.width <= 0 and edges.height <= 0):
        raise ArtworkRefused(
            f"{measured.artwork.name} paints nothing: there is no ink to place on {product.key}",
            fix="check hidden layers, opacity and art outside the page",
            code="no-ink",
        )
    reach = edges.union(measured.any_ink_box_mm) if measured.any_ink_box_mm else edges
    return Job(product=product, options=options, edges=edges, reach=reach)


def _background(product: Product, options: PlaceOptions) -> str | None:
    if product.background == "transparent":
        return None
    if options.ground:
        return options.ground
    return product.background if product.background.startswith("#") else "#ffffff"


def _copies(job: Job, size_key: str) -> tuple[tuple[Placed, ...], str]:
    """Every copy of the artwork on the canvas, with the rule that gave its size."""
    if _is_cover(job):
        return (_cover(job),), words.COVER
    if job.product.placement.horizontal == "grid":
        placed, why = fill_sheet(job)
    elif job.options.faces != "centre" and job.product.placement.face_centres_from_left_edge_mm:
        placed, why = _on_faces(job)
    else:
        room = area.ink_room(job.product)
        width, why = _target_width(job, room, size_key)
        placed = (_in_room(job, room, width),)
    return tuple(adjust.nudged(job, one) for one in placed), why


def _is_cover(job: Job) -> bool:
    fit = job.product.fit
    return fit == "cover" or (fit == "cover_or_contain_with_border" and job.options.fit == "cover")


def _target_width(job: Job, room: Room, size_key: str) -> tuple[Fraction, str]:
    """The width wanted, keyline included, before the box bounds it; with its reason."""
    options = job.options
    if options.original_size:
        return exact(job.edges.width) + 2 * job.keyline_mm, words.ORIGINAL
    if options.width_mm is not None:
        return exact(options.width_mm), words.SETTINGS
    ideal = area.ideal_width_mm(job.product, size_key)
    width, why = (room.width, words.BOX) if ideal is None else (ideal, words.ideal(size_key))
    if SQUARE_ASPECT[0] <= round(job.aspect, 2) <= SQUARE_ASPECT[1]:  # no finer than ink is measured
        width, why = width * SQUARE_FACTOR, why + words.SQUARE
    return width * exact(options.scale), why


def _in_room(job: Job, room: Room, width_mm: Fraction) -> Placed:
    """The ink at a width that a box bounds, at the anchor of the record."""
    inner = room.inset(job.keyline_mm)
    if inner.width <= 0 or inner.height <= 0:
        size = f"{float(room.width):.4g} x {float(room.height):.4g} mm"
        message = f"no room for ink on {job.product.key}: {size} with a keyline of {job.options.keyline_mm:g} mm"
        raise ArtworkRefused(message, fix="choose a thinner keyline or a larger product", code="no-room")
    size_px = bounded_size(job, min(width_mm - 2 * job.keyline_mm, inner.width), inner.height)
    shift_x, shift_y = _optical_shift(job, inner, size_px)
    left = _anchored(job, 0, (inner.x0 + shift_x, inner.x1 + shift_x), size_px.width_px)
    top = _anchored(job, 1, (inner.y0 + shift_y, inner.y1 + shift_y), size_px.height_px)
    return placed_at(job, size_px, (left, top))


def _anchored(job: Job, axis: Literal[0, 1], span_mm: tuple[Fraction, Fraction], length_px: int) -> int:
    """Top or left pixel of the ink on one axis, by the record's anchor."""
    rule = job.product.placement
    anchor = (rule.horizontal, rule.vertical)[axis]
    low, high = span_mm
    if anchor in {"top_of_ink", "left"}:
        return rounded(low * job.px_per_mm)
    canvas_px, file_mm = job.product.file_size_px[axis], job.product.file_size_mm[axis]
    if anchor in {"bottom_of_ink", "right"}:
        return canvas_px - rounded((file_mm - high) * job.px_per_mm) - length_px
    # From the middle of the canvas's pixels, so that a rounded canvas has equal margins.
    return low_corner(Fraction(canvas_px, 2) + ((low + high) / 2 - file_mm / 2) * job.px_per_mm, length_px)


def _optical_shift(job: Job, room: Room, size: InkSize) -> tuple[Fraction, Fraction]:
    """Shift in mm towards where the eye sees the middle, if asked for; never out of the box."""
    zero = Fraction(0)
    if not job.options.is_optical:
        return zero, zero
    rule = job.product.placement
    width_mm, height_mm = size.width_px / job.px_per_mm, size.height_px / job.px_per_mm
    raise_mm = max(room.height - height_mm, zero) * exact(rule.optical_raise_fraction_of_free_height)
    if rule.optical_shift is None or job.options.centroid_mm is None:
        return zero, -raise_mm
    off_mm = (exact(job.edges.centre[0]) - exact(job.options.centroid_mm[0])) * exact(size.px_per_mm) / job.px_per_mm
    cap = min(width_mm * exact(rule.optical_shift.shift_max_fraction_of_width), max(room.width - width_mm, zero) / 2)
    wanted = off_mm * exact(rule.optical_shift.centroid_weight_fraction)
    return max(-cap, min(cap, wanted)), -raise_mm


def _cover(job: Job) -> Placed:
    """Ink over the whole file, bleed included, what is too much cut off; true edges lie just outside, so that no border shows."""
    width, height = job.product.file_size_px
    edges = job.edges
    if edges.width <= 0 or edges.height <= 0:
        raise ArtworkRefused("ink without width or height cannot cover a page", fix='use fit = "contain"', code="no-room")
    scale = max((width + 2 * INSET_PX) / edges.width, (height + 2 * INSET_PX) / edges.height)
    dx, dy = adjust.nudge_px(job)
    offset = (width / 2 - edges.centre[0] * scale + dx, height / 2 - edges.centre[1] * scale + dy)
    drawn = edges.scaled(scale).shifted(*offset)
    bare_px = max(drawn.x0, drawn.y0, width - drawn.x1, height - drawn.y1)
    if bare_px > 0:
        raise adjust.nudge_refused(job, f"{bare_px / float(job.px_per_mm):.1f} mm short of the edge of the sheet")
    return mapped(job, scale, offset, (0, 0, width, height))


def _on_faces(job: Job) -> tuple[tuple[Placed, ...], str]:
    """One copy on each face asked for, all of one size."""
    centres = job.product.placement.face_centres_from_left_edge_mm
    chosen = {"left": centres[:1], "right": centres[-1:]}.get(job.options.faces, centres)
    narrowest = min((area.face_room(job.product, centre) for centre in centres), key=lambda room: room.width)
    width, why = _target_width(job, narrowest, "")
    placed = []
    for centre in chosen:
        room = area.face_room(job.product, centre)
        spare = (room.width - narrowest.width) / 2
        placed.append(_in_room(job, replace(room, x0=room.x0 + spare, x1=room.x1 - spare), width))
    return tuple(placed), why + words.FACES
