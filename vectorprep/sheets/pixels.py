"""The pixels of a gang sheet from top to bottom, so that a sheet of several metres needs no more room than what crosses one band.

Comes in: a `Sheet`, and a function that gives a picture's straight-alpha pixels. Goes out: bands of straight-alpha rows.
Never done here: decoding, files.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.sheets.labels import LABEL_CLEAR_MM, label

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from numpy.typing import NDArray

    from vectorprep.sheets.layout import Film, Laid, Sheet

    Pixels = NDArray[np.uint8]
    Stamp = tuple[int, int, Pixels]

BAND_ROWS = 256


def bands(
    sheet: Sheet, film: Film, pixels_of: Callable[[int], Pixels], words_of: Callable[[int], Sequence[str]]
) -> Iterator[Pixels]:
    """Rows of the sheet in portions, (rows, width, 4); a picture is asked for at its first row and let go after its last."""
    width, height = sheet.size_px
    waiting = list(sheet.laid)
    open_stamps: list[Stamp] = []
    for top in range(0, height, BAND_ROWS):
        rows = min(BAND_ROWS, height - top)
        while waiting and waiting[0].y < top + rows:
            open_stamps += stamps_of(waiting.pop(0), film, pixels_of, words_of)
        band = np.zeros((rows, width, 4), np.uint8)
        for x, y, pixels in open_stamps:
            first, last = max(y, top), min(y + len(pixels), top + rows)
            if first < last:
                band[first - top : last - top, x : x + pixels.shape[1]] = pixels[first - y : last - y]
        open_stamps = [stamp for stamp in open_stamps if stamp[1] + len(stamp[2]) > top + rows]
        yield band


def stamps_of(
    laid: Laid, film: Film, pixels_of: Callable[[int], Pixels], words_of: Callable[[int], Sequence[str]]
) -> Iterator[Stamp]:
    """A picture as it lies, and its label beside it, each with its left and top."""
    pixels = pixels_of(laid.number)
    yield laid.x, laid.y, np.ascontiguousarray(np.rot90(pixels)) if laid.is_turned else pixels
    if not film.has_labels:
        return
    clear = film.px(LABEL_CLEAR_MM)
    words = words_of(laid.number)
    width, height = laid.size_px
    bits = label(words, height if laid.is_turned else width, film.ppi)
    ink = np.zeros((*bits.shape, 4), np.uint8)
    ink[..., 3] = np.where(bits, 255, 0)
    if laid.is_turned:
        # Turned like the picture: its beginning lies at the picture's lower end.
        ink = np.ascontiguousarray(np.rot90(ink))
        yield laid.x + width + clear, laid.y + max(height - len(ink), 0), ink
    else:
        yield laid.x, laid.y + height + clear, ink
