"""Inks as they are seen: exact colours, contact with the cloth, neighbours, ramps, pictures, see-through paint."""

from __future__ import annotations

import base64
import io

import numpy as np
import pytest
from PIL import Image

from vectorprep.engine import Engine, open_engine
from vectorprep.geometry import Affine, Box
from vectorprep.measure.ink_colours import stop_colours
from vectorprep.measure.ink_labels import border_lengths, ink_records, joined_tiny, label_pixels
from vectorprep.measure.inks import list_inks
from vectorprep.model import Artwork, EmbeddedImage, Ink, Page

PAGE = 256.0
WINDOW = Box(0, 0, PAGE * 25.4 / 96, PAGE * 25.4 / 96)


@pytest.fixture(scope="module")
def engine() -> Engine:
    """The engine that this machine draws with."""
    return open_engine()


def drawing(body: str, *, images: tuple[EmbeddedImage, ...] = ()) -> Artwork:
    """A clean drawing of 256 x 256 CSS px."""
    names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    head = f'<svg {names} width="256" height="256" viewBox="0 0 256 256">'
    page = Page(width_px=PAGE, height_px=PAGE, uu_to_px=Affine())
    return Artwork(name="a", slug="a", path="a.svg", sha256="", markup=f"{head}{body}</svg>".encode(), page=page, images=images)


def by_colour(inks: tuple[Ink, ...]) -> dict[str, Ink]:
    """The inks under their colours."""
    return {ink.colour: ink for ink in inks}


def test_shares_and_neighbours_of_a_block_in_a_block(engine: Engine) -> None:
    """A yellow 100 x 100 block in the middle of a black 200 x 200 one: by hand 10,000 of 40,000 px, 400 px of shared border."""
    body = '<rect x="28" y="28" width="200" height="200"/><rect x="78" y="78" width="100" height="100" fill="#ffcc00"/>'
    black, yellow = list_inks(drawing(body), engine, WINDOW)
    assert (black.colour, yellow.colour) == ("#000000", "#ffcc00")
    assert black.area_share == pytest.approx(0.75, abs=1e-9)
    assert (black.edge_share, yellow.edge_share) == (1.0, 0.0)
    assert black.own_edge_share == pytest.approx(800 / 1200)
    assert dict(black.touches) == pytest.approx({"#ffcc00": 400 / 1200})
    assert dict(yellow.touches) == {"#000000": 1.0}
    assert black.in_contact
    assert not yellow.in_contact
    assert yellow.mark_width_share == pytest.approx(2 * 10_000 / 400 / 200)


def test_covered_and_hidden_paint_is_no_ink(engine: Engine) -> None:
    """Paint below other paint, of no opacity, or hidden does not appear."""
    body = (
        '<rect x="40" y="40" width="60" height="60" fill="#ff0000"/><rect x="30" y="30" width="90" height="90" fill="#0000ff"/>'
        '<rect x="150" y="150" width="60" height="60" fill="#00ff00" opacity="0"/>'
        '<rect x="150" y="30" width="60" height="60" fill="#ff00ff" visibility="hidden"/>'
    )
    assert [ink.colour for ink in list_inks(drawing(body), engine, WINDOW)] == ["#0000ff"]


def test_hole_through_which_cloth_shows_is_outline(engine: Engine) -> None:
    """The inner side of a ring meets the cloth: an ink that only lines the hole is in contact."""
    body = (
        '<path fill-rule="evenodd" d="M28 28H228V228H28ZM88 88H168V168H88Z"/>'
        '<path fill-rule="evenodd" fill="#cc0000" d="M78 78H178V178H78ZM88 88H168V168H88Z"/>'
    )
    red = by_colour(list_inks(drawing(body), engine, WINDOW))["#cc0000"]
    assert red.in_contact
    assert red.own_edge_share == pytest.approx(320 / 720)


def test_ramp_is_told_from_flat_paint(engine: Engine) -> None:
    """Stops of a gradient are ramps; a stop's colour used flat on a larger area is flat."""
    body = (
        '<defs><linearGradient id="g"><stop offset="0" stop-color="#ff0000"/>'
        '<stop offset="1" stop-color="#ffff00"/></linearGradient></defs>'
        '<rect width="256" height="100" fill="url(#g)"/><rect y="120" width="256" height="120" fill="#ff0000"/>'
    )
    inks = by_colour(list_inks(drawing(body), engine, WINDOW))
    assert inks["#ffff00"].kind == "ramp"
    assert inks["#ff0000"].kind == "flat"


def test_see_through_paint_keeps_its_colour_and_states_its_alpha(engine: Engine) -> None:
    """Paint of 70 % and a wash of 30 % are listed under the colour that is written, with their coverage."""
    strong = list_inks(drawing('<rect x="9" y="9" width="200" height="200" fill="#336699" opacity="0.7"/>'), engine, WINDOW)
    wash = list_inks(drawing('<rect x="9" y="9" width="200" height="200" fill="#336699" opacity="0.3"/>'), engine, WINDOW)
    assert [ink.colour for ink in strong] == [ink.colour for ink in wash] == ["#336699"]
    assert strong[0].alpha == pytest.approx(0.7, abs=0.01)
    assert wash[0].alpha == pytest.approx(0.3, abs=0.01)


def test_embedded_bitmap_is_one_picture_ink(engine: Engine) -> None:
    """A noisy bitmap becomes one ink of kind picture; the paint beside it stays what it is."""
    noise = np.random.default_rng(5).integers(60, 200, (40, 40, 3)).astype(np.uint8)
    stored = io.BytesIO()
    Image.fromarray(noise).save(stored, "PNG")
    link = base64.b64encode(stored.getvalue()).decode()
    body = (
        f'<image x="10" y="10" width="120" height="120" xlink:href="data:image/png;base64,{link}"/>'
        '<rect x="150" y="150" width="80" height="80" fill="#0000ff"/>'
    )
    image = EmbeddedImage(
        element="image", width_px=40, height_px=40, drawn_mm=(32, 32), box_mm=(0, 0, 32, 32), mode="RGB", has_alpha=False
    )
    picture, blue = list_inks(drawing(body, images=(image,)), engine, WINDOW)
    assert (picture.kind, blue.kind, blue.colour) == ("picture", "flat", "#0000ff")
    assert picture.area_share == pytest.approx(14400 / (14400 + 6400), abs=0.01)
    assert picture.edge_share == pytest.approx(480 / 800, abs=0.01)


def test_specks_join_a_like_ink_and_unlike_specks_stay() -> None:
    """Of two specks of 2 px the near-red one joins red, the blue one stays (CIEDE2000 limits 12; 4 px)."""
    pixels = np.zeros((40, 40, 4), np.uint8)
    pixels[5:35, 5:35] = (220, 20, 20, 255)
    pixels[10, 10:12] = (224, 24, 20, 255)
    pixels[20, 20:22] = (20, 20, 220, 255)
    found = joined_tiny(label_pixels(pixels, {"#dc1414", "#e01814", "#1414dc"}))
    assert [ink.colour for ink in ink_records(found)] == ["#dc1414", "#1414dc"]


def test_blended_pixels_go_to_the_nearest_ink() -> None:
    """A colour that nobody declared is given to the declared colour nearest in CIELAB."""
    pixels = np.zeros((8, 8, 4), np.uint8)
    pixels[:4] = (255, 0, 0, 255)
    pixels[4:] = (250, 12, 10, 255)
    found = label_pixels(pixels, {"#ff0000", "#00ff00"})
    assert [(ink.colour, ink.area_share) for ink in ink_records(found)] == [("#ff0000", 1.0)]
    assert int(np.count_nonzero(found.exact)) == 32


def test_border_lengths_count_unlike_sides() -> None:
    """Two 2 x 2 blocks side by side share 2 sides and have 6 sides of cloth each."""
    labels = np.array([[1, 1, 2, 2], [1, 1, 2, 2]])
    assert border_lengths(labels, 3).tolist() == [[0, 6, 6], [6, 0, 2], [6, 2, 0]]


def test_nothing_painted_has_no_inks() -> None:
    """An empty picture gives no record."""
    assert ink_records(label_pixels(np.zeros((6, 6, 4), np.uint8), set())) == ()


def test_stops_are_found_in_both_notations_of_clean_markup() -> None:
    """Attributes, style attributes and sheets count; other paint does not."""
    markup = b'<svg><stop stop-color="#FFAA00"/><stop style="stop-color:rgba(1,2,3,0.5)"/><path fill="#00ff00"/></svg>'
    assert stop_colours(markup) == {"#ffaa00", "#010203"}


def test_colour_of_an_unused_gradient_draws_no_pixels_to_itself(engine: Engine) -> None:
    """A grey that only an unused gradient names is no ink of a black-to-white ramp that passes through it."""
    body = (
        '<defs><linearGradient id="g"><stop offset="0" stop-color="#000000"/>'
        '<stop offset="1" stop-color="#ffffff"/></linearGradient>'
        '<linearGradient id="unused"><stop offset="0" stop-color="#808080"/></linearGradient></defs>'
        '<rect width="256" height="200" fill="url(#g)"/>'
    )
    assert {ink.colour for ink in list_inks(drawing(body), engine, WINDOW)} == {"#000000", "#ffffff"}
