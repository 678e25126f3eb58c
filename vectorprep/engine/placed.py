"""An artwork drawn where a plan wants it, and the plan corrected to the pixels that came out.

Comes in: an `Artwork` and its `Placement`.
Goes out: one `Raster` that holds all ink of the canvas, and the `Placement` as drawn.
Never done here: choosing a place or size; colours; files.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.engine.coverage import ANY_ALPHA, alpha_of, box_of, edges_of
from vectorprep.engine.window import draw_window
from vectorprep.geometry import Box
from vectorprep.model import Raster

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.engine.base import Engine
    from vectorprep.model import Artwork, Placed, Placement
    from vectorprep.model.result import PxBox

INSET_PX = (
    0.3  # house value: ink ends this far inside its planned box, so that the outermost pixel is well covered and the next is not
)
MARGIN_PX = 4
WIDE_MARGIN_PX = 600  # filters drawn in a narrow region go wrong by hundreds of pixels
BAND_PX = 24_000_000  # house value: a larger region is drawn in bands of so many pixels, 96 MB each
MENDABLE_PX = 2  # a box off by more is another drawing (a keyline, a knock-out), drawn at the planned scale as it is


def draw_placed(engine: Engine, artwork: Artwork, placement: Placement) -> tuple[Raster, Placement]:
    """All ink of the canvas as one region at whole pixels, premultiplied, and the placement that it really has.

    The ink box of the first copy is read from the pixels. Where it misses the plan by a pixel or two, scale and offset are
    corrected and the copy is drawn once more; what is returned then states the box as drawn. Further copies are the same pixels.
    The raster is cropped to its pixels with any coverage; without any it is 1 x 1 and empty.

    Raises:
        ArtworkFailed: the region is above the pixel cap, or the engine gives no picture.
    """
    plan = placement.placed[0]
    near_px = MARGIN_PX + math.ceil(placement.keyline_mm * placement.ppi / 25.4)
    raster = _drawn(engine, artwork, plan, placement, near_px)
    mended = _mended(raster, plan)
    if mended is not None:
        again = _drawn(engine, artwork, mended, placement, near_px)
        if _error(again, plan) < _error(raster, plan):
            raster, plan = again, mended
    box = ink_box(raster)
    if box is None:
        return raster, placement
    copies = tuple(_moved(plan, box, placement.placed[0], other) for other in placement.placed)
    return _pasted(raster, box, copies, placement.canvas_px), replace(placement, placed=copies)


def draw_reduced(engine: Engine, artwork: Artwork, placement: Placement, scale: float, canvas_px: tuple[int, int]) -> Raster:
    """All ink of a placement on a canvas of another size, drawn afresh: each copy at its place to a fraction of a pixel.

    Args:
        engine: from `open_engine`.
        artwork: clean drawing.
        placement: as drawn at print size.
        scale: pixels of the new canvas per pixel of the print.
        canvas_px: size of the new canvas.

    Raises:
        ArtworkFailed: the region is above the pixel cap, or the engine gives no picture.
    """
    canvas = replace(placement, canvas_px=canvas_px)
    copies = [_drawn(engine, artwork, _scaled(placed, scale), canvas) for placed in placement.placed]
    return _joined([(copy, copy.origin_px) for copy in copies], canvas_px)


def ink_box(raster: Raster) -> PxBox | None:
    """Box on the canvas of all ink of a raster (alpha >= 8); None where it holds none."""
    box = box_of(alpha_of(raster))
    if box is None:
        return None
    x, y = raster.origin_px
    return box[0] + x, box[1] + y, box[2] + x, box[3] + y


def _drawn(engine: Engine, artwork: Artwork, placed: Placed, placement: Placement, near_px: int = MARGIN_PX) -> Raster:
    """The copy in a region wide enough that nothing painted is cut off, cropped to what is painted."""
    canvas_px, painted = placement.canvas_px, _painted(placed, placement)
    margins = (WIDE_MARGIN_PX, max(canvas_px)) if artwork.has_filters else (near_px, WIDE_MARGIN_PX, max(canvas_px))
    for margin in margins:
        region = _region(painted, margin, canvas_px)
        raster = _window(engine, artwork, placed, region)
        if region == (0, 0, *canvas_px) or not _touches_border(raster, region, canvas_px):
            break
    return _cropped(raster)


def _painted(placed: Placed, placement: Placement) -> PxBox:
    """The planned ink box, with what is painted too faintly to count."""
    if placement.reach_mm is None:
        return placed.ink_box_px
    reach = Box(*placement.reach_mm).scaled(placed.px_per_mm).shifted(*placed.offset_px)
    x0, y0, x1, y1 = placed.ink_box_px
    return min(x0, math.floor(reach.x0)), min(y0, math.floor(reach.y0)), max(x1, math.ceil(reach.x1)), max(y1, math.ceil(reach.y1))


def _region(box: PxBox, margin: int, canvas_px: tuple[int, int]) -> PxBox:
    """The box grown by a margin, inside the canvas, of one pixel at least."""
    width, height = canvas_px
    x0, y0 = min(max(box[0] - margin, 0), width - 1), min(max(box[1] - margin, 0), height - 1)
    return x0, y0, max(min(box[2] + margin, width), x0 + 1), max(min(box[3] + margin, height), y0 + 1)


def _window(engine: Engine, artwork: Artwork, placed: Placed, region: PxBox) -> Raster:
    """A region of the canvas; a large one in bands, since an engine holds what it draws two to four times over.

    Filters look beyond a band's edge, so a drawing that has some is drawn at once.
    """
    x0, y0, x1, y1 = region
    rows = y1 - y0 if artwork.has_filters else max(1, BAND_PX // (x1 - x0))
    if rows >= y1 - y0:
        return _band(engine, artwork, placed, region)
    pixels = np.zeros((y1 - y0, x1 - x0, 4), np.uint8)
    for top in range(y0, y1, rows):
        bottom = min(top + rows, y1)
        pixels[top - y0 : bottom - y0] = _band(engine, artwork, placed, (x0, top, x1, bottom)).pixels
    pixels.flags.writeable = False
    return Raster(pixels=pixels, origin_px=(x0, y0))


def _band(engine: Engine, artwork: Artwork, placed: Placed, region: PxBox) -> Raster:
    x, y = placed.offset_px
    scale = placed.px_per_mm
    window = Box((region[0] - x) / scale, (region[1] - y) / scale, (region[2] - x) / scale, (region[3] - y) / scale)
    raster = draw_window(engine, artwork, window, region[2] - region[0], region[3] - region[1])
    return Raster(pixels=raster.pixels, origin_px=region[:2])


def _touches_border(raster: Raster, region: PxBox, canvas_px: tuple[int, int]) -> bool:
    """Whether something is painted at a border of the region that is not the canvas's own."""
    alpha = alpha_of(raster)
    return bool(
        (region[0] > 0 and alpha[:, 0].any())
        or (region[1] > 0 and alpha[0].any())
        or (region[2] < canvas_px[0] and alpha[:, -1].any())
        or (region[3] < canvas_px[1] and alpha[-1].any())
    )


def _cropped(raster: Raster) -> Raster:
    box = box_of(alpha_of(raster), ANY_ALPHA)
    if box is None:
        return Raster(pixels=np.zeros((1, 1, 4), np.uint8), origin_px=raster.origin_px)
    x, y = raster.origin_px
    return Raster(pixels=raster.pixels[box[1] : box[3], box[0] : box[2]], origin_px=(x + box[0], y + box[1]))


def _error(raster: Raster, plan: Placed) -> int:
    """Worst difference of an edge of the ink box from the plan; a large number where there is no ink."""
    box = ink_box(raster)
    return 1 << 30 if box is None else max(abs(a - b) for a, b in zip(box, plan.ink_box_px, strict=True))


def _mended(raster: Raster, plan: Placed) -> Placed | None:
    """Scale and offset that bring the ink into its planned box; None where it is there, or is another drawing."""
    if not 0 < _error(raster, plan) <= MENDABLE_PX:
        return None
    local = box_of(alpha_of(raster))
    if local is None:
        return None
    drawn = edges_of(alpha_of(raster), local).shifted(*raster.origin_px)
    wanted = Box(*(float(edge) for edge in plan.ink_box_px))
    factor = min((wanted.width - 2 * INSET_PX) / drawn.width, (wanted.height - 2 * INSET_PX) / drawn.height)
    if not 0.5 < factor < 2:  # a box of a pixel or two: its scale says nothing
        factor = 1.0
    centre, (x, y) = drawn.centre, plan.offset_px
    offset = (wanted.centre[0] - (centre[0] - x) * factor, wanted.centre[1] - (centre[1] - y) * factor)
    return replace(plan, px_per_mm=plan.px_per_mm * factor, offset_px=offset)


def _moved(drawn: Placed, box: PxBox, first: Placed, other: Placed) -> Placed:
    """The drawn copy at another copy's place, moved by whole pixels."""
    dx, dy = other.ink_box_px[0] - first.ink_box_px[0], other.ink_box_px[1] - first.ink_box_px[1]
    return replace(
        other,
        px_per_mm=drawn.px_per_mm,
        offset_px=(drawn.offset_px[0] + dx, drawn.offset_px[1] + dy),
        ink_box_px=(box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy),
    )


def _scaled(placed: Placed, scale: float) -> Placed:
    x0, y0, x1, y1 = (edge * scale for edge in placed.ink_box_px)
    return replace(
        placed,
        px_per_mm=placed.px_per_mm * scale,
        offset_px=(placed.offset_px[0] * scale, placed.offset_px[1] * scale),
        ink_box_px=(math.floor(x0), math.floor(y0), math.ceil(x1), math.ceil(y1)),
    )


def _pasted(raster: Raster, box: PxBox, copies: tuple[Placed, ...], canvas_px: tuple[int, int]) -> Raster:
    """One raster that holds every copy, each the same pixels moved."""
    x, y = raster.origin_px
    return _joined([(raster, (x + copy.ink_box_px[0] - box[0], y + copy.ink_box_px[1] - box[1])) for copy in copies], canvas_px)


def _joined(copies: list[tuple[Raster, tuple[int, int]]], canvas_px: tuple[int, int]) -> Raster:
    """One raster with each copy's corner at its place, cut off at the canvas."""
    if len(copies) == 1:
        return replace(copies[0][0], origin_px=copies[0][1])
    left, top = max(min(x for _, (x, _y) in copies), 0), max(min(y for _, (_x, y) in copies), 0)
    right = min(max(x + copy.pixels.shape[1] for copy, (x, _) in copies), canvas_px[0])
    bottom = min(max(y + copy.pixels.shape[0] for copy, (_, y) in copies), canvas_px[1])
    pixels = np.zeros((bottom - top, right - left, 4), np.uint8)
    for copy, (x, y) in copies:
        _paste(pixels, copy.pixels, x - left, y - top)
    pixels.flags.writeable = False
    return Raster(pixels=pixels, origin_px=(left, top))


def _paste(target: NDArray[np.uint8], source: NDArray[np.uint8], x: int, y: int) -> None:
    """Source into target, what reaches beyond it cut off; copies do not overlap, so the greater value is the painted one."""
    x0, y0 = max(x, 0), max(y, 0)
    x1, y1 = min(x + source.shape[1], target.shape[1]), min(y + source.shape[0], target.shape[0])
    part = target[y0:y1, x0:x1]
    np.maximum(part, source[y0 - y : y1 - y, x0 - x : x1 - x], out=part)
