"""Large solid areas in film transfer.

Comes in: evidence with a picture. Goes out: `solid-cover-heavy`. Never done here: the area of the art's box, which says little.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.checks._bits import CELL_PX, cells_covered
from vectorprep.checks._evidence import Evidence
from vectorprep.checks._print import Prepared, prepared
from vectorprep.model import Explanation, Finding

if TYPE_CHECKING:
    from vectorprep.model.result import PxBox

SLUGS = {
    "solid-cover-heavy": Explanation(
        cause="More than the product's share of its reference area is solid ink.",
        consequence="The print is stiff, does not breathe, and cracks or lifts sooner.",
        remedy="Open the solid with gaps or texture, let the cloth show where its colour will do, or print smaller.",
    ),
}
HALF = 128


def check(evidence: Evidence) -> Iterator[Finding]:
    """The heaviest part of the size of the reference area."""
    rule, picture = evidence.product.heavy_cover_warn, prepared(evidence)
    if rule is None or picture is None:
        return
    share, box = heaviest(picture, rule.reference_area_mm)
    if share > rule.cover_warn_above_fraction:
        width, height = rule.reference_area_mm
        yield Finding(
            check="solid-cover-heavy",
            severity="warning",
            message=f"solid ink covers {share:.0%} of {width:g} x {height:g} mm, above {rule.cover_warn_above_fraction:.0%}",
            fix=f"take out a {1 - rule.cover_warn_above_fraction / share:.0%} part of the solid, so that the cloth shows,"
            " or print smaller",
            measured=round(share, 4),
            limit=rule.cover_warn_above_fraction,
            unit="share of the reference area",
            place_mm=picture.corners(box),
            place_on="print",
        )


def heaviest(picture: Prepared, area_mm: tuple[float, float]) -> tuple[float, PxBox]:
    """Greatest share of an area that ink covers wherever it is laid, and the place, in pixels of the picture."""
    height, width = picture.pixels.shape[:2]
    rows, columns = -(-height // CELL_PX), -(-width // CELL_PX)
    reduced = picture.once("cover", lambda: cells_covered(picture.ink(HALF)))[:rows, :columns]
    sums = np.zeros((rows + 1, columns + 1))
    sums[1:, 1:] = reduced.cumsum(axis=0).cumsum(axis=1)
    across = min(columns, round(area_mm[0] * picture.px_per_mm / CELL_PX))
    down = min(rows, round(area_mm[1] * picture.px_per_mm / CELL_PX))
    inside = sums[down:, across:] - sums[:-down, across:] - sums[down:, :-across] + sums[:-down, :-across]
    row, column = np.unravel_index(int(inside.argmax()), inside.shape)
    covered_mm2 = picture.ink_mm2(float(inside[row, column]) * CELL_PX**2)
    x, y = int(column) * CELL_PX, int(row) * CELL_PX
    box = x, y, min(width, x + across * CELL_PX), min(height, y + down * CELL_PX)
    return covered_mm2 / (area_mm[0] * area_mm[1]), box
