"""Many copies of one artwork on a sheet of stickers.

Comes in: one artwork on a product whose record asks for a grid.
Goes out: the copies, row by row, all of one size.
Never done here: cut lines; several artworks on one sheet.
"""

from __future__ import annotations

import math
from fractions import Fraction

from vectorprep.errors import ArtworkRefused
from vectorprep.model import Placed
from vectorprep.plan import area, words
from vectorprep.plan.scale import Job, bounded_size, low_corner, placed_at
from vectorprep.units import exact

STICKER_SIDE_MM = 50.0  # house value: long side of the ink of one sticker, before it grows into its cell


def cells_across(length_mm: Fraction, side_mm: Fraction, gap_mm: Fraction) -> int:
    """How many sides with gaps between them fit a length: floor((length + gap) / (side + gap))."""
    return math.floor((length_mm + gap_mm) / (side_mm + gap_mm))


def fill_sheet(job: Job) -> tuple[tuple[Placed, ...], str]:
    """As many copies as the sheet holds, with the reason in words; without a width of the seller's they grow into their cells.

    Raises:
        ArtworkRefused: not even one copy fits.
    """
    rule, cut = job.product.placement, job.product.cut
    gap = exact(rule.gap_between_cuts_mm)
    border = 2 * (exact((cut.offset_outside_ink_mm if cut else None) or 0.0) + job.keyline_mm)
    sheet = area.print_area(job.product).inset(exact(rule.sheet_margin_mm))
    ink_w, ink_h = _ink_mm(job)
    columns, rows = cells_across(sheet.width, ink_w + border, gap), cells_across(sheet.height, ink_h + border, gap)
    if columns < 1 or rows < 1:
        message = f"a sticker of {float(ink_w):.4g} x {float(ink_h):.4g} mm does not fit {job.product.key}"
        raise ArtworkRefused(message, fix="ask for a smaller width", code="no-room")
    if job.options.width_mm is not None or job.options.original_size:
        cell_w, cell_h = ink_w + border, ink_h + border
    else:
        cell_w, cell_h = (sheet.width - gap * (columns - 1)) / columns, (sheet.height - gap * (rows - 1)) / rows
    size = bounded_size(job, cell_w - border, cell_h - border)
    lefts = [low_corner(centre * job.px_per_mm, size.width_px) for centre in _centres(sheet.centre[0], columns, cell_w, gap)]
    tops = [low_corner(centre * job.px_per_mm, size.height_px) for centre in _centres(sheet.centre[1], rows, cell_h, gap)]
    return tuple(placed_at(job, size, (left, top)) for top in tops for left in lefts), words.grid(columns, rows)


def _centres(middle: Fraction, count: int, side: Fraction, gap: Fraction) -> list[Fraction]:
    """Middles of cells in a row that is itself centred."""
    step = side + gap
    first = middle - step * (count - 1) / 2
    return [first + step * place for place in range(count)]


def _ink_mm(job: Job) -> tuple[Fraction, Fraction]:
    """Width and height of one copy's ink before the cells are counted."""
    width, height, options = exact(job.edges.width), exact(job.edges.height), job.options
    if options.original_size:
        return width, height
    if options.width_mm is not None and width > 0:
        factor = exact(options.width_mm) / width
    else:
        factor = exact(STICKER_SIDE_MM) * exact(options.scale) / max(width, height)
    return width * factor, height * factor
