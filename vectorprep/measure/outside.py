"""Ink that lies beyond the page's edges.

Comes in: a `Grid`.
Goes out: the boxes of all ink, whether or not the page clips it.
Never done here: words.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.engine.coverage import ANY_ALPHA
from vectorprep.measure.edges import find_boxes

if TYPE_CHECKING:
    from vectorprep.measure.edges import InkBoxes
    from vectorprep.measure.grid import Grid
    from vectorprep.model.result import PxBox

LOOK_PX = 213  # a page in the coarse picture; three of them side by side
REACH_PAGES_MAX = 40


def boxes_beyond(grid: Grid) -> InkBoxes | None:
    """Boxes of all ink if some lies beyond the page, else None.

    The look reaches one page's length to each side, and farther while ink touches its border.
    """
    free = grid.unclipped()
    page = grid.page
    for reach in (1, 6, REACH_PAGES_MAX):
        region = _around(page, reach)
        size = _look_size(page, reach)
        alpha = free.alpha(region, size)
        if not _is_beyond(alpha, reach, size):
            return None
        if not _touches_border(alpha) or reach == REACH_PAGES_MAX:
            return find_boxes(free, region)
    return None


def _around(page: PxBox, reach: int) -> PxBox:
    width, height = page[2], page[3]
    return -reach * width, -reach * height, (1 + reach) * width, (1 + reach) * height


def _look_size(page: PxBox, reach: int) -> tuple[int, int]:
    """Size of a picture in which the page's edges fall between pixels."""
    pages = 2 * reach + 1
    scale = min(LOOK_PX, max(page[2], page[3])) * 3 / pages / max(page[2], page[3])
    return max(1, round(page[2] * scale)) * pages, max(1, round(page[3] * scale)) * pages


def _is_beyond(alpha: np.ndarray, reach: int, size: tuple[int, int]) -> bool:
    width, height = size[0] // (2 * reach + 1), size[1] // (2 * reach + 1)
    painted = alpha >= ANY_ALPHA
    inside = painted[reach * height : (reach + 1) * height, reach * width : (reach + 1) * width]
    return int(np.count_nonzero(painted)) > int(np.count_nonzero(inside))


def _touches_border(alpha: np.ndarray) -> bool:
    return bool(alpha[0].any() or alpha[-1].any() or alpha[:, 0].any() or alpha[:, -1].any())
