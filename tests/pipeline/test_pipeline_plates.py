"""Drawings with filters, drawn once for many product pictures."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from vectorprep.engine import draw_placed, draw_reduced, open_engine
from vectorprep.measure import measure
from vectorprep.model import Artwork, Placement, Product, Raster
from vectorprep.outputs.reduce import reduced
from vectorprep.pipeline.plates import Plates, is_scalable
from vectorprep.plan import place
from vectorprep.profiles import load_catalogue
from vectorprep.read import read_artwork
from vectorprep.store import builtin_profiles

ENGINE = open_engine()
PRODUCTS = load_catalogue(builtin_profiles()).products
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="380">'
DOTS = "".join(f'<circle cx="{x}" cy="{y}" r="9"/>' for x in (20, 150, 280) for y in (20, 200, 360))
SOFT = '<filter id="f"><feGaussianBlur stdDeviation="6"/></filter><circle cx="150" cy="190" r="130" fill="#27c" filter="url(#f)"/>'
TEXTURES = (("tee-adult-front-dtg", 1214), ("poster-iso-a3", 1826), ("tote-front-dtf", 2156))


def drawn(body: str) -> tuple[Artwork, dict[str, Placement]]:
    """The drawing, and its place on each product."""
    measured = measure(read_artwork(f"{HEAD}{body}</svg>".encode(), name="it"), ENGINE, with_inks=False)
    return measured.artwork, {key: place(measured, PRODUCTS[key]) for key, _ in TEXTURES}


def size_of(product: Product, across: int) -> tuple[float, tuple[int, int]]:
    """Scale and size of a texture of the whole canvas."""
    width, height = product.file_size_px
    return across / width, (across, round(across * height / width))


def whole(raster: Raster, size_px: tuple[int, int]) -> NDArray[np.int64]:
    """The raster on its canvas."""
    made = np.zeros((size_px[1], size_px[0], 4), np.int64)
    x, y = raster.origin_px
    height, width = raster.pixels.shape[:2]
    made[y : y + height, x : x + width] = raster.pixels
    return made


@pytest.mark.parametrize(("key", "across"), TEXTURES)
def test_ink_lies_where_a_drawing_for_the_texture_alone_has_it(key: str, across: int) -> None:
    """Dots within a fortieth of a pixel of their places, found by SciPy, and their coverage within a thousandth."""
    artwork, placements = drawn(DOTS)
    scale, size = size_of(PRODUCTS[key], across)
    shared = Plates(ENGINE).ink(artwork, placements[key], scale, size)
    assert shared is not None
    alone = whole(draw_reduced(ENGINE, artwork, placements[key], scale, size), size)[..., 3] / 255
    found = whole(shared, size)[..., 3] / 255
    places, count = ndimage.label(alone > 0.3)
    assert count == 9
    near = ndimage.grey_dilation(places, size=5)
    middles = [np.array(ndimage.center_of_mass(one, near, range(1, 10))) for one in (alone, found)]
    assert np.abs(middles[0] - middles[1]).max() < 0.025
    assert found.sum() == pytest.approx(alone.sum(), rel=0.001)


@pytest.mark.parametrize(("key", "across"), TEXTURES)
def test_a_blur_looks_as_in_the_print(key: str, across: int) -> None:
    """Its coverage is within 2 levels of the print's at the texture's size, and within 3 % of SciPy's true Gaussian.

    3 % is what three means in a row may err by (published: Filter Effects Module Level 1, feGaussianBlur).
    """
    artwork, placements = drawn(SOFT)
    scale, size = size_of(PRODUCTS[key], across)
    shared = Plates(ENGINE).ink(artwork, placements[key], scale, size)
    assert shared is not None
    found = whole(shared, size)[..., 3]
    raster, _ = draw_placed(ENGINE, artwork, placements[key])
    assert np.abs(found - whole(reduced(raster, scale, size), size)[..., 3]).max() <= 2
    placed = placements[key].placed[0]
    per_uu = placed.px_per_mm * scale * 25.4 / 96
    rows, columns = np.mgrid[0 : size[1], 0 : size[0]] + 0.5
    x, y = 150 * per_uu + placed.offset_px[0] * scale, 190 * per_uu + placed.offset_px[1] * scale
    disc = np.clip(130 * per_uu + 0.5 - np.hypot(columns - x, rows - y), 0, 1)
    assert np.abs(found / 255 - ndimage.gaussian_filter(disc, 6 * per_uu)).max() < 0.03


def test_what_was_drawn_before_does_not_tell() -> None:
    """A texture is the same bytes after others of the drawing and of another drawing, and by itself."""
    plates = Plates(ENGINE)
    artwork, placements = drawn(SOFT)
    other, of_other = drawn(DOTS)
    made: dict[str, list[NDArray[np.int64]]] = {key: [] for key, _ in TEXTURES}
    for key, across in (*TEXTURES, *reversed(TEXTURES)):
        scale, size = size_of(PRODUCTS[key], across)
        plates.ink(other, of_other[key], scale, size)
        for used in (plates, plates, Plates(ENGINE)):
            found = used.ink(artwork, placements[key], scale, size)
            assert found is not None
            made[key].append(whole(found, size))
    assert all(np.array_equal(one, ones[0]) for ones in made.values() for one in ones)


def test_a_texture_finer_than_the_shared_drawing_is_drawn_for_itself() -> None:
    """Nothing is enlarged."""
    artwork, placements = drawn(DOTS)
    scale, size = size_of(PRODUCTS["tee-adult-front-dtg"], 6000)
    assert Plates(ENGINE).ink(artwork, placements["tee-adult-front-dtg"], scale, size) is None


@pytest.mark.parametrize(
    ("step", "scalable"),
    [
        ('<feGaussianBlur stdDeviation="3"/>', True),
        ('<feDropShadow dx="2" dy="2" stdDeviation="1"/>', True),
        ('<feTurbulence baseFrequency=".1"/>', False),
        ('<feGaussianBlur stdDeviation="3"/><feMorphology radius="2"/>', False),
        ('<feConvolveMatrix kernelMatrix="0 0 0 0 1 0 0 0 0"/>', False),
    ],
)
def test_noise_kernels_and_morphology_are_taken_from_the_print(step: str, *, scalable: bool) -> None:
    """Their look depends on the number of pixels (published: Filter Effects Module Level 1)."""
    markup = f'{HEAD}<filter id="f">{step}</filter><rect width="90" height="90" filter="url(#f)"/></svg>'
    assert is_scalable(read_artwork(markup.encode(), name="it")) is scalable
