"""One plate for each spot ink of a screen print, a white base below them where the cloth is dark, and all of them together.

Comes in: a `Picture` with its inks. Goes out: PNGs of one bit a pixel, black where ink prints, numbered in the order of printing,
and a composite in colour.
Never done here: taking the picture apart (`_inked`), what each plate holds (`_stencils`), marks (`_marks`), dots (`shapes`),
one-ink pictures (`plate_png`).

Light inks print first and reach a little way under the darker ones that they touch; tones become dots. Registration marks and the
name of the ink stand in a margin around the print file, so that they never fall on the art.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from vectorprep import png
from vectorprep.colour import colour_word, rgb_from_hex
from vectorprep.model import Encoded, Raster
from vectorprep.outputs._inked import inked, spot_inks
from vectorprep.outputs._marks import marks_of, stamp
from vectorprep.outputs._stencils import BASE, Plate, plates_of
from vectorprep.outputs.picture import canvas_box, digest, output_of, planned, png_bytes
from vectorprep.shapes.fill import Scan
from vectorprep.shapes.halftone import Screen, dots
from vectorprep.shapes.plates import enlarged, order_of_printing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from vectorprep.outputs._inked import Inked
    from vectorprep.outputs.picture import Picture

    Bits = NDArray[np.bool_]
    Bytes = NDArray[np.uint8]

KIND = "separation-png"
FINER = 3
"""Plate pixels for each pixel of the print: 900 ppi for 300 (common practice, no source)."""
MARGIN_MM = 12.7
"""Around the print file, for marks and words (house value)."""
BAND_ROWS = 96 * FINER


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Size and resolution of every plate of a picture."""

    canvas_px: tuple[int, int]
    ppi: float

    @property
    def margin_px(self) -> int:
        """Margin on each side, a whole number of print pixels."""
        return FINER * round(MARGIN_MM * self.ppi / 25.4)

    @property
    def px_per_mm(self) -> float:
        """Plate pixels to the millimetre."""
        return FINER * self.ppi / 25.4

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height with the margins."""
        return FINER * self.canvas_px[0] + 2 * self.margin_px, FINER * self.canvas_px[1] + 2 * self.margin_px


def make(picture: Picture) -> tuple[Encoded, ...]:
    """Every plate in the order of printing, and their composite; none for pictures in one ink, which have their own plate."""
    if picture.treatment.kind == "single-ink":
        return ()
    sheet = Sheet(canvas_px=picture.placement.canvas_px, ppi=picture.placement.ppi)
    names = ((BASE,) if picture.base_blanks else ()) + order_of_printing(spot_inks(picture))
    composite = f"{picture.stem}--composite.png"
    if picture.raster is None:
        plans = [planned(picture, KIND, _path(picture, names, at), sheet.size_px, FINER * sheet.ppi) for at in range(len(names))]
        return (*plans, planned(picture, KIND, composite, sheet.canvas_px, sheet.ppi))
    parts = inked(picture)
    screen = _screen(picture)
    together = np.zeros((sheet.canvas_px[1], sheet.canvas_px[0], 4), np.uint8)
    made = []
    for at, plate in enumerate(plates_of(picture, parts)):
        bands = _bands(plate, sheet, parts, screen, _margin_words(picture, names, at, screen))
        data = png.encode_bits(_laid(bands, together, plate.ink, sheet), sheet.size_px, ppi=FINER * sheet.ppi, text=picture.text)
        facts = (("plate", float(at + 1)), ("plates", float(len(names))), *_facts(screen, plate))
        one = _encoded(picture, _path(picture, names, at), sheet, data, facts)
        made.append(replace(one, output=replace(one.output, ink=_full_name(picture, plate.ink), plate=(at + 1, len(names)))))
    return (*made, _composite(picture, composite, together, sheet))


def _path(picture: Picture, names: tuple[str, ...], at: int) -> str:
    return f"{picture.stem}--plate-{at + 1}-{_slug(_name(picture, names[at]), names[at])}.png"


def _name(picture: Picture, ink: str) -> str:
    """The seller's name of an ink, else a word for its colour."""
    if ink == BASE:
        return BASE
    return {colour: name for name, colour in picture.spot_inks}.get(ink) or colour_word(ink)


def _slug(name: str, ink: str) -> str:
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    words = [re.sub(r"[^a-z0-9]+", "-", plain).strip("-"), ink.lstrip("#") if ink != BASE else ""]
    return "-".join(word for word in words if word)


def _full_name(picture: Picture, ink: str) -> str:
    return BASE if ink == BASE else f"{_name(picture, ink)} {ink}"


def _margin_words(picture: Picture, names: tuple[str, ...], at: int, screen: Screen) -> str:
    """Order, ink, screen, job and size, as they stand on the film; letters that the face lacks are left out."""
    width, height = (float(side) for side in picture.product.file_size_mm)
    parts = [
        f"{at + 1}/{len(names)}",
        _full_name(picture, names[at]),
        f"{screen.ruling_lpi:g} lpi {screen.angle_deg:g} deg",
        picture.stem,
        f"{width:g} x {height:g} mm",
    ]
    return "   ".join(parts).encode("latin-1", "ignore").decode("latin-1")


def _screen(picture: Picture) -> Screen:
    policy = picture.product.ink_policy
    return Screen(
        ruling_lpi=policy.halftone_ruling_lpi or 45.0,
        angle_deg=22.5 if policy.halftone_angle_deg is None else policy.halftone_angle_deg,
        shape=policy.halftone_dot_shape or "ellipse",
        tone_min=policy.tone_min_fraction or 0.0,
        tone_max=1.0 if policy.tone_max_fraction is None else policy.tone_max_fraction,
    )


def _facts(screen: Screen, plate: Plate) -> tuple[tuple[str, float], ...]:
    if plate.tones is None:
        return ()
    return (("ruling-lpi", screen.ruling_lpi), ("angle-deg", screen.angle_deg))


def _bands(plate: Plate, sheet: Sheet, parts: Inked, screen: Screen, words: str) -> Iterator[tuple[int, Bits]]:
    """First row and bits, true where ink prints, from top to bottom."""
    width, height = sheet.size_px
    margin_mm = sheet.margin_px / sheet.px_per_mm
    corner = -parts.corner_mm[0] - margin_mm, -parts.corner_mm[1] - margin_mm
    scan = Scan(plate.region, sheet.px_per_mm, corner)
    per_px = parts.px_per_mm / sheet.px_per_mm
    place = corner[0] * parts.px_per_mm, corner[1] * parts.px_per_mm, per_px
    marks = marks_of(sheet.size_px, sheet.margin_px, sheet.px_per_mm, words)
    for top in range(0, height, BAND_ROWS):
        bottom = min(top + BAND_ROWS, height)
        bits = scan.rows(top, bottom, width)
        if plate.tones is not None:
            _dotted(bits, top, plate.tones, place, (screen, FINER * sheet.ppi))
        for x, y, mark in marks:
            stamp(bits, mark, x, y - top)
        yield top, bits


def _dotted(bits: Bits, top: int, tones: Bytes, place: tuple[float, float, float], screened: tuple[Screen, float]) -> None:
    """Adds the dots of the tones to a band, in place; `place`: the plate's corner on the grid, and grid pixels to a plate pixel."""
    left, upper, per_px = place
    height, width = tones.shape
    first = max(top, int(np.ceil(-upper / per_px)))
    last = min(top + len(bits), int((height - upper) / per_px))
    start, stop = max(0, int(np.ceil(-left / per_px))), min(bits.shape[1], int((width - left) / per_px))
    if first >= last or start >= stop:
        return
    inked_columns = tones[max(0, int(upper + first * per_px) - 1) : int(np.ceil(upper + last * per_px)) + 1].any(axis=0)
    toned = np.flatnonzero(inked_columns)
    if not toned.size:
        return
    start = max(start, int((toned[0] - 1 - left) / per_px))
    stop = min(stop, int(np.ceil((toned[-1] + 2 - left) / per_px)))
    window = left + start * per_px, upper + first * per_px, left + stop * per_px, upper + last * per_px
    window = max(window[0], 0.0), max(window[1], 0.0), min(window[2], float(width)), min(window[3], float(height))
    tone = enlarged(tones, (stop - start, last - first), window).astype(np.float32) / np.float32(255)
    bits[first - top : last - top, start:stop] |= dots(tone, *screened, (start, first)) & (tone > 0)


def _laid(bands: Iterator[tuple[int, Bits]], together: Bytes, ink: str, sheet: Sheet) -> Iterator[Bits]:
    """The bands as a plate's pixels, true for white; on the way their ink is laid over the composite."""
    margin, (width, height) = sheet.margin_px, sheet.canvas_px
    for top, bits in bands:
        first, last = max(top, margin), min(top + len(bits), margin + FINER * height)
        if first < last:
            part = bits[first - top : last - top, margin : margin + FINER * width]
            rows = slice((first - margin) // FINER, (last - margin) // FINER)
            _over(together[rows], _counted(part.view(np.uint8)), "#ffffff" if ink == BASE else ink)
        yield ~bits


def _counted(bits: Bytes) -> Bytes:
    """How many of a print pixel's plate pixels are inked."""
    lines = sum((bits[at::FINER] for at in range(1, FINER)), bits[0::FINER])
    return np.asarray(sum((lines[:, at::FINER] for at in range(1, FINER)), lines[:, 0::FINER]))


def _over(target: Bytes, covered: Bytes, ink: str) -> None:
    """Ink over what lies there, premultiplied, in place; `covered` counts bits of a pixel."""
    whole = FINER * FINER
    inked_rows = np.flatnonzero(covered.any(axis=1))
    if not len(inked_rows):
        return
    rows = slice(inked_rows[0], inked_rows[-1] + 1)
    share = covered[rows].astype(np.uint32)[..., None]
    paint = np.array([*rgb_from_hex(ink), 255], np.uint32)
    target[rows] = (paint * share + target[rows] * (whole - share) + whole // 2) // whole


def _encoded(picture: Picture, path: str, sheet: Sheet, data: bytes, facts: tuple[tuple[str, float], ...]) -> Encoded:
    made = replace(output_of(picture, KIND, path, sheet.size_px, FINER * sheet.ppi), facts=facts, ink_box_px=None, placements=())
    return Encoded(output=replace(made, sha256=digest(data), bytes=len(data), state="made"), data=data)


def _composite(picture: Picture, path: str, together: Bytes, sheet: Sheet) -> Encoded:
    raster = Raster(pixels=together)
    data = png_bytes(picture, raster, sheet.canvas_px, sheet.ppi)
    made = replace(output_of(picture, KIND, path, sheet.canvas_px, sheet.ppi), ink_box_px=canvas_box(raster))
    return Encoded(output=replace(made, sha256=digest(data), bytes=len(data), state="made"), data=data)
