"""The plate of a picture in one ink: black where ink prints, white where nothing does, as a stencil or film is made from.

Comes in: a `Picture` treated to one ink, drawn at print size.
Goes out: one PNG of one bit a pixel, three times as fine as the print; none for pictures in more than one ink.
Never done here: choosing what prints, separations of several inks, screens of dots, mirroring.

Coverage is carried between pixels before it is cut at half, so that the finer grid shows an edge where it was drawn.
"""

from __future__ import annotations

import struct
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from vectorprep import png
from vectorprep.errors import ArtworkFailed
from vectorprep.model import Encoded
from vectorprep.outputs.picture import digest, inside, output_of, planned
from vectorprep.units import px_per_metre

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from vectorprep.model import Raster
    from vectorprep.outputs.picture import Picture

KIND = "plate-png"
FINER = 3
"""Plate pixels for each pixel of the print: 900 ppi for 300 (common practice, no source)."""
BAND_ROWS = 256
PRINTS = 128
"""Coverage from which ink prints; a plate knows no shades."""


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The plate; planned only where nothing was drawn."""
    if picture.treatment.kind != "single-ink":
        return ()
    path = f"{picture.stem}--plate.png"
    width, height = (FINER * side for side in picture.placement.canvas_px)
    ppi = FINER * picture.placement.ppi
    if picture.raster is None:
        return (planned(picture, KIND, path, (width, height), ppi),)
    data = png.encode_bits(_bands(picture.raster, picture.placement.canvas_px), (width, height), ppi=ppi, text=picture.text)
    _check(data, picture, (width, height), ppi)
    output = replace(output_of(picture, KIND, path, (width, height), ppi), sha256=digest(data), bytes=len(data), state="made")
    return (Encoded(output=output, data=data),)


def _bands(raster: Raster, canvas_px: tuple[int, int]) -> Iterator[NDArray[np.bool_]]:
    """Whether each pixel of the plate stays white, from top to bottom in portions."""
    raster = inside(raster, canvas_px)
    (x, y), (height, width) = raster.origin_px, raster.pixels.shape[:2]
    for top in range(0, canvas_px[1], BAND_ROWS):
        bottom = min(top + BAND_ROWS, canvas_px[1])
        white = np.ones((FINER * (bottom - top), FINER * canvas_px[0]), bool)
        first, last = max(top - y, 0), min(bottom - y, height)
        if first < last:
            rows = slice(FINER * (first + y - top), FINER * (last + y - top))
            white[rows, FINER * x : FINER * (x + width)] = _finer(raster.pixels[..., 3], first, last) < PRINTS
        yield white


def _finer(alpha: NDArray[np.uint8], first: int, last: int) -> NDArray[np.uint8]:
    """Coverage of rows first..last, `FINER` times as fine; the rows around them are looked at, so that portions join."""
    start, stop = max(first - 1, 0), min(last + 1, len(alpha))
    part = Image.fromarray(np.ascontiguousarray(alpha[start:stop]))
    fine = np.asarray(part.resize((FINER * part.width, FINER * part.height), Image.Resampling.BILINEAR))
    return fine[FINER * (first - start) : FINER * (last - start)]


def _check(data: bytes, picture: Picture, size: tuple[int, int], ppi: float) -> None:
    chunks = dict(png.read_chunks(data))
    density = px_per_metre(ppi)
    if chunks["IHDR"][:8] != struct.pack(">II", *size) or chunks["pHYs"] != struct.pack(">IIB", density, density, 1):
        raise ArtworkFailed(f"{picture.stem}: the plate written does not read back with its size and density", code="png-verify")
