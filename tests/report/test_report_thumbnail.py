"""The thumbnail: a picture's ink alone, small, with the part of the print file that it shows."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from vectorprep.engine import draw_placed, open_engine
from vectorprep.measure import measure
from vectorprep.model import Encoded, Raster, Treatment
from vectorprep.outputs import Picture, make
from vectorprep.outputs.thumbnail import LONG_SIDE_PX, thumbnail_of
from vectorprep.plan import place
from vectorprep.profiles import load_catalogue
from vectorprep.read import read_artwork
from vectorprep.recolour import keyline_raster
from vectorprep.store import builtin_profiles

DRAWING = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
    b'<rect x="20" y="30" width="60" height="20" fill="#c23b2e"/></svg>'
)


def _picture(*, keyline_mm: float = 0.0) -> Picture:
    engine = open_engine()
    artwork = read_artwork(DRAWING, name="bar", slug="bar")
    product = load_catalogue(builtin_profiles(), {}).products["tee-adult-front-dtg"]
    placement = place(measure(artwork, engine), product)
    raster, placement = draw_placed(engine, artwork, placement)
    treatment = Treatment(kind="as-drawn")
    finish = None
    if keyline_mm:
        treatment = Treatment(kind="keyline", keyline_mm=keyline_mm, keyline_colour="#ffffff")

        def finish(raster: Raster, scale: float) -> Raster:
            pixels = keyline_raster(raster.pixels, keyline_mm * placement.ppi / 25.4 * scale, "#ffffff")
            margin = (pixels.shape[0] - raster.pixels.shape[0]) // 2
            return Raster(pixels=pixels, origin_px=(raster.origin_px[0] - margin, raster.origin_px[1] - margin))

    return Picture(
        artwork=artwork,
        placement=placement,
        product=product,
        treatment=treatment,
        stem="bar--tee-adult-front-dtg--as-drawn",
        blanks=("white",),
        raster=raster,
        engine=engine,
        finish=finish,
    )


def _pixels(made: Encoded) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(made.data)).convert("RGBA"))


def test_a_thumbnail_holds_the_ink_and_nothing_around_it() -> None:
    """The bar of 3:1 fills its thumbnail of 320 px, in its own colour."""
    (made,) = make("thumbnail", _picture())
    pixels = _pixels(made)
    assert pixels.shape == (made.output.height_px, made.output.width_px, 4)
    assert LONG_SIDE_PX <= made.output.width_px <= LONG_SIDE_PX + 1
    assert pixels.shape[1] / pixels.shape[0] == pytest.approx(3.0, abs=0.06)
    assert (pixels[8:-8, 8:-8, 3] > 250).all()
    assert np.abs(pixels[50, 160, :3].astype(int) - (0xC2, 0x3B, 0x2E)).max() < 10  # lossy WebP


def test_a_thumbnail_says_what_part_of_the_print_file_it_shows() -> None:
    """Its window in mm is the planned ink box, within a pixel of the thumbnail."""
    picture = _picture()
    output = thumbnail_of(picture).output
    assert output.window_mm is not None
    planned = [corner * 25.4 / picture.placement.ppi for corner in picture.placement.placed[0].ink_box_px]
    assert output.window_mm == pytest.approx(planned, abs=25.4 / output.ppi)


def test_a_keyline_lies_inside_the_thumbnail() -> None:
    """A thumbnail of a picture with a keyline is white at its left edge and the drawing's colour in its middle."""
    (made,) = make("thumbnail", _picture(keyline_mm=6.0))
    pixels = _pixels(made).astype(int)
    middle = pixels.shape[0] // 2
    assert pixels[middle, 3, :3].min() > 230
    assert np.abs(pixels[middle, pixels.shape[1] // 2, :3] - (0xC2, 0x3B, 0x2E)).max() < 12


def test_a_thumbnail_is_made_without_pixels_at_print_size() -> None:
    """Drawn afresh it looks as the one made beside a print file."""
    picture = _picture()
    assert thumbnail_of(replace(picture, raster=None)).data == thumbnail_of(picture).data


def test_nothing_is_made_where_files_are_only_planned() -> None:
    """Without pixels the shelf gives no thumbnail."""
    assert make("thumbnail", replace(_picture(), raster=None)) == ()


def test_the_same_picture_gives_the_same_bytes() -> None:
    """Two thumbnails of one picture are equal."""
    assert thumbnail_of(_picture()).data == thumbnail_of(_picture()).data
