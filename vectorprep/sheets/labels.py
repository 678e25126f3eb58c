"""The words beside each picture of a gang sheet, as hard black pixels.

Comes in: a number, words, the room there is. Goes out: bits, True where the label prints.
Never done here: where a label lies.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw, ImageFont

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Bits = NDArray[np.bool_]

LABEL_MM = 3.0
"""Height of the words with their descenders (house value)."""
LABEL_CLEAR_MM = 1.0
"""Least distance of words from ink (house value)."""


def label(choices: Sequence[str], width_px: int, ppi: float) -> Bits:
    """The first of the choices that is narrow enough, else the last."""
    made = [_lettered(words, round(LABEL_MM * ppi / 25.4)) for words in choices]
    return next((bits for bits in made if bits.shape[1] <= width_px), made[-1])


def least_width_px(number: int, ppi: float) -> int:
    """What the shortest label of a picture needs: its number."""
    return int(_lettered(str(number), round(LABEL_MM * ppi / 25.4)).shape[1])


@lru_cache(maxsize=4096)
def _lettered(words: str, height_px: int) -> Bits:
    font = ImageFont.load_default(round(height_px * 0.75))
    x0, _, x1, _ = (int(edge) for edge in font.getbbox(words))
    picture = Image.new("1", (x1 - x0 + 2, height_px))
    ImageDraw.Draw(picture).text((1 - x0, height_px * 0.75), words, fill=1, font=font, anchor="ls")
    return np.asarray(picture)
