"""The plate: black where the one ink prints, white elsewhere, at its own fineness and at the print's place."""

from __future__ import annotations

import io
import struct
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from vectorprep import png
from vectorprep.model import Placed, Placement, Raster, Treatment
from vectorprep.outputs import Picture, make
from vectorprep.outputs.plate_png import BAND_ROWS, FINER
from vectorprep.profiles import load_catalogue
from vectorprep.read import read_artwork
from vectorprep.store import builtin_profiles
from vectorprep.units import px_per_metre

ARTWORK = read_artwork(b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9"/></svg>', name="a")
PRODUCT = load_catalogue(builtin_profiles()).products["tee-adult-front-spot"]
CANVAS = (200, BAND_ROWS + 150)
PPI = 300.0


def _disc(radius: float, side: int, colour: int = 26) -> NDArray[np.uint8]:
    """Premultiplied pixels of a smoothed disc."""
    rows, columns = np.mgrid[:side, :side] - (side - 1) / 2
    cover = np.clip(radius + 0.5 - np.hypot(rows, columns), 0, 1)
    pixels = np.zeros((side, side, 4), np.uint8)
    pixels[..., 3] = np.rint(255 * cover)
    pixels[..., :3] = np.rint(colour * cover)[..., None]
    return pixels


def _picture(pixels: NDArray[np.uint8], origin: tuple[int, int], kind: str = "single-ink") -> Picture:
    placed = Placed(px_per_mm=1.0, offset_px=(0.0, 0.0), ink_box_px=(0, 0, 10, 10), printed_mm=(10.0, 10.0))
    return Picture(
        artwork=ARTWORK,
        placement=Placement(product=PRODUCT.key, canvas_px=CANVAS, ppi=PPI, placed=(placed,)),
        product=PRODUCT,
        treatment=Treatment(kind=kind, single_ink="#1a1a1a"),  # type: ignore[arg-type]
        stem="a--tee--single-ink-1234",
        blanks=("white",),
        raster=Raster(pixels=pixels, origin_px=origin),
    )


def _white(picture: Picture) -> NDArray[np.bool_]:
    (made,) = make("plate-png", picture)
    return np.asarray(Image.open(io.BytesIO(made.data)))


def test_ink_is_black_on_white_whatever_its_colour() -> None:
    """A disc of a dark ink and one of a light ink give the same plate, black inside, white in the corners."""
    dark, light = (_white(_picture(_disc(40, 100, colour), (30, 20))) for colour in (26, 250))
    assert np.array_equal(dark, light)
    assert not dark[FINER * 70, FINER * 80]
    assert dark[0, 0]
    assert dark[-1, -1]


def test_shape_and_place_are_those_of_the_print_on_the_finer_grid() -> None:
    """Every plate pixel of a disc across two portions is black within its radius and white beyond it, to half a print pixel."""
    radius, side, origin = 60.0, 140, (30, BAND_ROWS - 70)
    white = _white(_picture(_disc(radius, side), origin))
    assert white.shape == (FINER * CANVAS[1], FINER * CANVAS[0])
    rows, columns = ((np.mgrid[: white.shape[0], : white.shape[1]] + 0.5) / FINER) - 0.5
    away = np.hypot(rows - origin[1] - (side - 1) / 2, columns - origin[0] - (side - 1) / 2)
    assert not white[away < radius - 0.5].any()
    assert white[away > radius + 0.5].all()


def test_the_file_says_its_size_density_and_one_bit() -> None:
    """One bit of grey a pixel (PNG third edition, IHDR), 900 ppi for a print of 300, the record alike."""
    (made,) = make("plate-png", _picture(_disc(40, 100), (0, 0)))
    chunks = dict(png.read_chunks(made.data))
    width, height = FINER * CANVAS[0], FINER * CANVAS[1]
    assert chunks["IHDR"] == struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    density = px_per_metre(FINER * PPI)
    assert chunks["pHYs"] == struct.pack(">IIB", density, density, 1)
    record = made.output
    assert (record.kind, record.width_px, record.height_px, record.ppi) == ("plate-png", width, height, 900.0)
    assert (record.bytes, record.path) == (len(made.data), "a--tee--single-ink-1234--plate.png")


def test_ink_beyond_the_canvas_is_cut_off() -> None:
    """A region that starts before the canvas keeps its place."""
    white = _white(_picture(_disc(40, 100), (-50, -50)))
    assert not white[0, 0]
    assert white[FINER * 60, 0]


def test_pictures_in_more_inks_have_no_plate_and_a_plan_has_no_bytes() -> None:
    """Only a single ink can be cut; where nothing was drawn the file is planned."""
    assert make("plate-png", _picture(_disc(40, 100), (0, 0), "as-drawn")) == ()
    (planned,) = make("plate-png", replace(_picture(_disc(40, 100), (0, 0)), raster=None))
    assert (planned.output.state, planned.data, planned.output.width_px) == ("planned", b"", FINER * CANVAS[0])
