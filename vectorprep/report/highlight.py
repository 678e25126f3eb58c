"""A small picture that shows where: the artwork on its blank with the places of a finding ringed.

Comes in: a small picture of the ink (bytes of a file or pixels), boxes, the colour of the blank. Goes out: bytes of a WebP file.
Never done here: reading files, finding the places.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw

from vectorprep.model import Raster

if TYPE_CHECKING:
    from vectorprep.model.result import Corners

WHOLE: Corners = (0.0, 0.0, 1.0, 1.0)
LIGHT, DARK = (255, 255, 255, 255), (0, 0, 0, 255)
"""The ring is light between two dark lines: one of both stands out from any colour."""
BAND_SHARE, RIM_SHARE = 0.012, 0.006
"""Width of the light band, and of each dark line, of the picture's long side (house values)."""
ROOM_SHARE = 0.08
"""Bare blank around the ink, of its long side, so that rings at its edge are whole (house value)."""
CLEARANCE_SHARE = 0.015
"""Room between a place and its ring (house value)."""
LEAST_SHARE = 0.09
"""Least inner diameter of a ring: a smaller one covers what it shows (house value)."""
CORNER_SHARE = 0.05
"""Inner radius of a ring's corners at most: with this clearance the corners of a place stay inside it (house value)."""
FINE = 3
"""Rings are drawn this much larger and reduced, so that they are smooth."""
QUALITY = 82  # house value


def highlight(
    thumbnail: Raster | bytes,
    places: Sequence[Corners],
    blank: str,
    *,
    window: Corners = WHOLE,
    long_side_px: int = 320,
) -> bytes:
    """A WebP picture of the artwork on its blank, every place ringed.

    Args:
        thumbnail: the ink on nothing: premultiplied pixels, or a PNG or WebP file with straight alpha.
        places: boxes (x0, y0, x1, y1) in the units of `window`, such as `place_mm` of a finding on the print.
        blank: `#rrggbb` of the cloth.
        window: what the thumbnail shows, such as `window_mm` of its output; without it places are fractions of the thumbnail.
        long_side_px: long side of the artwork in the picture, which is larger by the room around it.
    """
    ink = _picture(thumbnail)
    scale = long_side_px / max(ink.size)
    size = max(1, round(ink.width * scale)), max(1, round(ink.height * scale))
    room = math.ceil(long_side_px * ROOM_SHARE)
    shown = Image.new("RGB", (size[0] + 2 * room, size[1] + 2 * room), blank)
    ink = ink.resize(size, Image.Resampling.LANCZOS).convert("RGBA")
    shown.paste(ink, (room, room), ink)
    rings = _rings([_ring_box(place, window, size, room) for place in places], shown.size, long_side_px)
    shown.paste(rings, (0, 0), rings)
    data = io.BytesIO()
    shown.save(data, "WEBP", quality=QUALITY, method=0)
    return data.getvalue()


def _picture(thumbnail: Raster | bytes) -> Image.Image:
    """The ink, premultiplied: averaging straight alpha drags hidden black into the edges."""
    if isinstance(thumbnail, Raster):
        height, width = thumbnail.pixels.shape[:2]
        mode = "RGBA" if thumbnail.straight else "RGBa"
        found = Image.frombuffer(mode, (width, height), np.ascontiguousarray(thumbnail.pixels), "raw", mode, 0, 1)
    else:
        with Image.open(io.BytesIO(thumbnail)) as opened:
            found = opened.convert("RGBA")
    return found if found.mode == "RGBa" else found.convert("RGBa")


def _ring_box(place: Corners, window: Corners, size: tuple[int, int], room: int) -> Corners:
    """Inner box of a place's ring in px of the picture."""
    long_side = max(size)
    corners = []
    for axis in (0, 1):
        start, stop = window[axis], window[axis + 2]
        ends = [room + min(1.0, max(0.0, (place[at] - start) / (stop - start))) * size[axis] for at in (axis, axis + 2)]
        middle = sum(ends) / 2
        half = max((ends[1] - ends[0]) / 2 + CLEARANCE_SHARE * long_side, LEAST_SHARE / 2 * long_side)
        corners.append((middle - half, middle + half))
    return corners[0][0], corners[1][0], corners[0][1], corners[1][1]


def _rings(boxes: list[Corners], size: tuple[int, int], long_side_px: int) -> Image.Image:
    """Rounded rings around boxes, on nothing; the light bands of all lie over the dark lines of all."""
    large = Image.new("RGBA", (size[0] * FINE, size[1] * FINE), (0, 0, 0, 0))
    pen = ImageDraw.Draw(large)
    whole, rim, light = (share * long_side_px for share in (BAND_SHARE + 2 * RIM_SHARE, RIM_SHARE, BAND_SHARE))
    for outset, colour, width in ((whole, DARK, whole), (whole - rim, LIGHT, light)):
        for x0, y0, x1, y1 in boxes:
            corners = (x0 - outset, y0 - outset, x1 + outset, y1 + outset)
            radius = min((x1 - x0) / 2, (y1 - y0) / 2, CORNER_SHARE * long_side_px) + outset
            pen.rounded_rectangle(
                [corner * FINE for corner in corners], radius=radius * FINE, outline=colour, width=max(1, round(width * FINE))
            )
    return large.convert("RGBa").reduce(FINE).convert("RGBA")
