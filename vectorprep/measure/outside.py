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
    from numpy.typing import NDArray

    from vectorprep.measure.edges import InkBoxes
    from vectorprep.measure.grid import Grid
    from vectorprep.model.result import PxBox

LOOK_PX = 640  # long side of a look
REACHES = (1, 12, 100)  # pages on each side of the page that are looked at; the last only where ink touches the one before


def boxes_beyond(grid: Grid, *, is_rough: bool = False) -> InkBoxes | None:
    """Boxes of all ink if some lies beyond the page, else None; rough ones tell how far it reaches, within a few pixels."""
    free = grid.unclipped()
    found: PxBox | None = None
    for reach in REACHES:
        alpha = free.alpha(_around(grid.page, reach), _look_size(grid.page, reach))
        if _is_beyond(alpha, reach):
            found = _around(grid.page, reach)
        if reach > 1 and not _touches_border(alpha):
            break
    return None if found is None else find_boxes(free, found, is_rough=is_rough)


def _around(page: PxBox, reach: int) -> PxBox:
    width, height = page[2], page[3]
    return -reach * width, -reach * height, (1 + reach) * width, (1 + reach) * height


def _look_size(page: PxBox, reach: int) -> tuple[int, int]:
    """Size of a picture in which the page's edges fall between pixels."""
    pages = 2 * reach + 1
    scale = LOOK_PX / pages / max(page[2], page[3])
    return max(1, round(page[2] * scale)) * pages, max(1, round(page[3] * scale)) * pages


def _is_beyond(alpha: NDArray[np.uint8], reach: int) -> bool:
    """Whether anything is painted outside the middle one of the pages."""
    pages = 2 * reach + 1
    height, width = alpha.shape[0] // pages, alpha.shape[1] // pages
    painted = alpha >= ANY_ALPHA
    inside = painted[reach * height : (reach + 1) * height, reach * width : (reach + 1) * width]
    return int(np.count_nonzero(painted)) > int(np.count_nonzero(inside))


def _touches_border(alpha: NDArray[np.uint8]) -> bool:
    return bool(alpha[0].any() or alpha[-1].any() or alpha[:, 0].any() or alpha[:, -1].any())
