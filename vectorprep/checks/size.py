"""The printed size and place against the product's record: ideal width, safe margin, print area, bleed, proportions.

Comes in: evidence. Goes out: `print-width-off-ideal`, `ink-outside-safe-margin`, `ink-outside-print-area`, `bleed-missing`,
`ratio-mismatch`, `art-cropped`. Never done here: placing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence, print_corners
from vectorprep.geometry import Box
from vectorprep.model import Explanation, Finding
from vectorprep.units import length_words

SLUGS = {
    "print-width-off-ideal": Explanation(
        cause="The art is printed much narrower or wider than the ideal width of the product.",
        consequence="It looks lost on the product, or crowds it; tall art bounded by its height is the usual case.",
        remedy="Accept it for tall art; else set width or scale for this artwork, or check the drawing for stray ink.",
    ),
    "ink-outside-safe-margin": Explanation(
        cause="Ink lies between the safe margin of the product and the edge of its print area.",
        consequence="It comes close to a seam, a rim or the trim, and may be cut or distorted there.",
        remedy="Nudge the art back, print it smaller, or let it run out into the bleed on purpose with fit set to cover.",
    ),
    "ink-outside-print-area": Explanation(
        cause="Ink lies outside the print area of the product.",
        consequence="It is cut off, or the printer refuses the file.",
        remedy="Print the art smaller or nudge it back; for art that bleeds, set fit to cover.",
    ),
    "bleed-missing": Explanation(
        cause="The art reaches the trim and stops there, or stops within the bleed.",
        consequence="A cut that is off by a millimetre leaves a white edge.",
        remedy="Let the art run past the trim by the whole bleed, or keep it inside the safe margin.",
    ),
    "ratio-mismatch": Explanation(
        cause="The drawing fills its page, and the page has other proportions than the sheet that it is printed on.",
        consequence="Either a part is cropped or a border stays bare; pictures are never stretched.",
        remedy="Draw the page in the sheet's proportions, extend the background, or choose a sheet of the drawing's proportions.",
    ),
    "art-cropped": Explanation(
        cause="The art covers a sheet of other proportions, as fit = cover asks, and is never stretched.",
        consequence="What reaches beyond the trim is cut off: this share of the art's area is not on the finished print.",
        remedy="Look at the edges; nudge the art so that what matters stays, or use fit = contain, or another sheet.",
    ),
}
LEAST, MOST = 0.75, 1.1  # common practice, no source: shares of the ideal width
RATIO_TOLERANCE = 0.005  # common practice, no source
FILLS_PAGE = 0.98  # share of each side of the page from which a drawing fills it (house value)
CROP_WARNED = 0.1  # share of the art from which a crop is a warning (house value)
PIXEL = 1.0  # boxes are whole pixels


def check(evidence: Evidence) -> Iterator[Finding]:
    """Findings that hold for every blank alike."""
    yield from _width(evidence)
    yield from _margins(evidence)
    yield from _ratio(evidence)
    yield from _cropped(evidence)


def _width(evidence: Evidence) -> Iterator[Finding]:
    ideal = dict(evidence.product.ideal_width_mm_by_garment_size).get(evidence.placement.garment_size)
    if ideal is None:
        return
    width = evidence.placement.placed[0].printed_mm[0]
    if LEAST * ideal <= width <= MOST * ideal:
        return
    yield Finding(
        check="print-width-off-ideal",
        severity="warning",
        message=f"printed {length_words(width)} wide, {width / ideal:.0%} of the ideal {length_words(ideal)}",
        fix=f'accept it for tall art; else set width = "{round(ideal)}mm" for this artwork in the settings',
        measured=round(width, 2),
        limit=round((LEAST if width < ideal else MOST) * ideal, 2),
        unit="mm",
        place_mm=print_corners(evidence, evidence.placement.placed[0].ink_box_px),
        place_on="print",
    )


def _margins(evidence: Evidence) -> Iterator[Finding]:
    product, per_mm = evidence.product, evidence.px_per_mm
    if evidence.placement.canvas_px != product.file_size_px:  # a canvas trimmed to the ink has no margins
        return
    x0, y0, x1, y1 = (float(side) * per_mm for side in product.area_mm)
    area = Box(x0, y0, x1, y1)
    safe, sheet = area.grown(-product.safe_margin_mm * per_mm), Box(0, 0, *(float(side) for side in product.file_size_px))
    for placed in evidence.placement.placed:
        box = Box(*(float(side) for side in placed.ink_box_px))
        if safe.contains(box, slack=PIXEL) or (product.bleed_mm and box.contains(sheet, slack=PIXEL)):  # inside, or a full bleed
            continue
        if product.bleed_mm and product.trim_size_mm:
            yield from _at_the_trim(evidence, box, area)
        elif not area.contains(box, slack=PIXEL):
            yield _beyond(evidence, "ink-outside-print-area", "error", box, area)
        else:
            yield _beyond(evidence, "ink-outside-safe-margin", "warning", box, safe)
        return


def _at_the_trim(evidence: Evidence, box: Box, area: Box) -> Iterator[Finding]:
    """On a sheet that is trimmed, a side either stays inside the safe margin or runs out through the whole bleed."""
    ends = _outward(box, area)
    short = [end for end in ends if -PIXEL <= end < evidence.product.bleed_mm * evidence.px_per_mm - PIXEL]
    if short:
        yield Finding(
            check="bleed-missing",
            severity="error",
            message=f"the art stops {max(min(short), 0) / evidence.px_per_mm:.1f} mm past the trim; the bleed is"
            f" {evidence.product.bleed_mm:g} mm",
            fix="let the art run past the trim by the whole bleed, or keep it inside the safe margin",
            measured=round(max(min(short), 0.0) / evidence.px_per_mm, 2),
            limit=evidence.product.bleed_mm,
            unit="mm",
            place_mm=print_corners(evidence, box.corners),
            place_on="print",
        )
    elif not any(end >= -PIXEL for end in ends):
        safe = area.grown(-evidence.product.safe_margin_mm * evidence.px_per_mm)
        yield _beyond(evidence, "ink-outside-safe-margin", "warning", box, safe)


def _outward(box: Box, area: Box) -> tuple[float, float, float, float]:
    """How far each side of a box lies outside an area, negative inside."""
    return area.x0 - box.x0, area.y0 - box.y0, box.x1 - area.x1, box.y1 - area.y1


def _beyond(evidence: Evidence, slug: str, severity: str, box: Box, room: Box) -> Finding:
    over = max(_outward(box, room)) / evidence.px_per_mm
    what = "the print area" if slug == "ink-outside-print-area" else "the safe margin"
    return Finding(
        check=slug,
        severity="error" if severity == "error" else "warning",
        message=f"ink lies {over:.1f} mm outside {what}",
        fix=f"nudge the art back by {math.ceil(10 * over) / 10:g} mm (nudge in the settings), or print it smaller (scale)",
        measured=round(over, 2),
        limit=0.0,
        unit="mm",
        place_mm=print_corners(evidence, box.corners),
        place_on="print",
    )


def _ratio(evidence: Evidence) -> Iterator[Finding]:
    """Only where the drawing fills its page: a motif may stand on any sheet."""
    product, box = evidence.product, evidence.measured.ink_box_mm
    page = evidence.measured.page_mm
    if not product.ratio_family or box is None or min(box.width / page[0], box.height / page[1]) < FILLS_PAGE:
        return
    if evidence.placement.background == evidence.measured.background or _is_covered(evidence):
        return  # its own background runs on over the sheet, or it was cropped
    ratio, wanted = page[0] / page[1], product.print_area_mm[0] / product.print_area_mm[1]
    off = abs(ratio / wanted - 1)
    if off > RATIO_TOLERANCE:
        yield Finding(
            check="ratio-mismatch",
            severity="warning",
            message=f"the page is {ratio:.3f} wide for 1 high, the sheet {wanted:.3f} ({product.ratio_family})",
            fix="draw the page in the sheet's proportions, or extend the background",
            measured=round(off, 4),
            limit=RATIO_TOLERANCE,
            unit="share",
            place_mm=print_corners(evidence, evidence.placement.placed[0].ink_box_px),
            place_on="print",
        )


def _is_covered(evidence: Evidence) -> bool:
    """Whether the ink fills the whole canvas."""
    return evidence.placement.placed[0].ink_box_px == (0, 0, *evidence.placement.canvas_px)


def _cropped(evidence: Evidence) -> Iterator[Finding]:
    edges = evidence.measured.ink_edges_mm or evidence.measured.ink_box_mm
    if edges is None or not _is_covered(evidence):
        return
    placed, (width, height) = evidence.placement.placed[0], evidence.placement.canvas_px
    drawn = edges.scaled(placed.px_per_mm).shifted(*placed.offset_px)
    bleed = float(evidence.product.bleed_mm) * evidence.placement.ppi / 25.4
    loss = crop_loss(drawn, Box(bleed, bleed, width - bleed, height - bleed))
    yield Finding(
        check="art-cropped",
        severity="warning" if loss >= CROP_WARNED else "note",
        message=f"{loss:.1%} of the art lies outside the trim and is cut off, so that it covers the sheet",
        fix='nudge it so that what matters stays, or set fit = "contain"',
        measured=round(loss, 4),
        limit=CROP_WARNED,
        unit="share of the art",
        place_mm=print_corners(evidence, (0, 0, width, height)),
        place_on="print",
    )


def crop_loss(drawn: Box, sheet: Box) -> float:
    """Share (0..1) of a picture's area that a sheet leaves out."""
    width = max(0.0, min(drawn.x1, sheet.x1) - max(drawn.x0, sheet.x0))
    height = max(0.0, min(drawn.y1, sheet.y1) - max(drawn.y0, sheet.y0))
    return 1 - width * height / (drawn.width * drawn.height)
