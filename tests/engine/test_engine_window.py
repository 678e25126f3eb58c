"""Drawing windows of a page: the same pixels as the page itself, percentages and clips kept."""

from __future__ import annotations

import numpy as np
import pytest

from vectorprep.engine import Engine, draw_window, engine_names, open_engine
from vectorprep.engine.base import PIXELS_MAX, premultiplied
from vectorprep.engine.coverage import alpha_of, box_of
from vectorprep.engine.root_tag import parse_root, resized
from vectorprep.errors import ArtworkFailed, UsageError
from vectorprep.fonts import load_index
from vectorprep.geometry import Box
from vectorprep.model import Artwork
from vectorprep.read import read_artwork

_INDEX = load_index(system=False)
_SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" {}>{}</svg>'


def _artwork(content: str, root: str = 'viewBox="0 0 100 50"') -> Artwork:
    return read_artwork(_SVG.format(root, content).encode(), name="drawing", fonts=_INDEX)


@pytest.fixture(scope="module", params=["resvg-py", "resvg", "svg2png-py", None])
def engine(request: pytest.FixtureRequest) -> Engine:
    """Each engine of the package, and the one chosen without a name."""
    if request.param in {"resvg", "svg2png-py"}:
        pytest.importorskip(request.param.replace("-", "_"), reason="this engine is not installed")
    return open_engine(request.param, font_files=_INDEX.files)


def test_a_window_shows_its_part_of_the_page(engine: Engine) -> None:
    """10 px per mm: the rectangle 20..40 x 10..30 mm seen from (10, 5) begins at (100, 50) px."""
    raster = draw_window(
        engine, _artwork('<rect x="20" y="10" width="20" height="20" fill="#ff0000"/>'), Box(10, 5, 60, 45), 500, 400
    )
    assert box_of(alpha_of(raster)) == (100, 50, 300, 250)
    assert raster.pixels[100, 200].tolist() == [255, 0, 0, 255]


def test_a_window_may_stretch(engine: Engine) -> None:
    """Width and height of the raster need not have the window's ratio."""
    raster = draw_window(engine, _artwork('<rect x="20" y="10" width="20" height="20"/>'), Box(0, 0, 100, 50), 100, 500)
    assert box_of(alpha_of(raster)) == (20, 100, 40, 300)


def test_pixels_are_premultiplied(engine: Engine) -> None:
    """Half-transparent red is 128, 0, 0, 128."""
    raster = draw_window(
        engine, _artwork('<rect width="100" height="50" fill="#ff0000" fill-opacity="0.5"/>'), Box(0, 0, 100, 50), 10, 5
    )
    assert raster.pixels[2, 5].tolist() == [128, 0, 0, 128]


def test_the_page_clips_unless_told_otherwise(engine: Engine) -> None:
    """A window that reaches beyond the page shows nothing there, unless the clip is off or the artwork counts it."""
    artwork = _artwork('<rect x="-20" y="10" width="60" height="10"/>')
    window = Box(-30, 0, 100, 50)
    assert box_of(alpha_of(draw_window(engine, artwork, window, 130, 50))) == (30, 10, 70, 20)
    assert box_of(alpha_of(draw_window(engine, artwork, window, 130, 50, clip_to_page=False))) == (10, 10, 70, 20)


def test_the_pages_edge_is_smoothed_where_it_cuts(engine: Engine) -> None:
    """A page edge in the middle of a pixel leaves half of that pixel's ink."""
    artwork = _artwork('<rect x="-20" y="-20" width="160" height="90"/>')
    raster = draw_window(engine, artwork, Box(-10.5, 0, 89.5, 50), 100, 50)
    assert alpha_of(raster)[20, 9:12].tolist() == [0, 128, 255]


def test_percentages_keep_their_meaning_in_a_window(engine: Engine) -> None:
    """10 % of a page of 100 units is 10 units whatever part of it is drawn."""
    artwork = _artwork('<rect x="10%" y="20%" width="50%" height="40%"/>')
    assert artwork.has_percentages
    assert box_of(alpha_of(draw_window(engine, artwork, Box(5, 5, 75, 40), 700, 350))) == (50, 50, 550, 250)


@pytest.mark.parametrize(
    ("content", "box"),
    [
        pytest.param(
            '<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use href="#s"/>',
            (250, 0, 750, 500),
            id="symbol",
        ),
        pytest.param(
            '<linearGradient id="g" gradientUnits="userSpaceOnUse"><stop offset="0.5" stop-opacity="0"/><stop offset="0.5"/>'
            "</linearGradient>"
            '<rect width="100" height="50" fill="url(#g)"/>',
            (500, 0, 1000, 500),
            id="gradient across the viewport",
        ),
    ],
)
def test_percentages_that_nobody_wrote_keep_their_meaning(engine: Engine, content: str, box: tuple[int, int, int, int]) -> None:
    """Symbols are 100 % of the viewport, a gradient in user space ends at 100 % of it: in a window as on the page."""
    artwork = _artwork(content)
    assert box_of(alpha_of(draw_window(engine, artwork, Box(0, 0, 100, 50), 1000, 500))) == box
    part = box_of(alpha_of(draw_window(engine, artwork, Box(20, 10, 100, 50), 800, 400)))
    assert part == (max(box[0] - 200, 0), 0, box[2] - 200, 400)


@pytest.mark.parametrize(
    "root", ['viewBox="0 0 50 50"', 'viewBox="0 0 50 50" preserveAspectRatio="xMaxYMin slice"', 'viewBox="7 3 40 90"', ""]
)
def test_windows_under_any_root_match_the_page(engine: Engine, root: str) -> None:
    """A part of the page drawn by itself equals the same part of the whole page, whatever viewBox and alignment."""
    artwork = _artwork(
        '<rect x="5" y="4" width="20" height="30" fill="#2040c0"/><circle cx="30" cy="20" r="10" fill="#c04020"/>', root
    )
    whole = draw_window(engine, artwork, Box(0, 0, 100, 50), 1000, 500).pixels
    part = draw_window(engine, artwork, Box(20, 10, 80, 40), 600, 300).pixels
    different = np.abs(whole[100:400, 200:800].astype(int) - part).max(axis=2) > 2
    assert different.mean() < 0.001


def test_crisp_drawing_has_no_soft_pixels(engine: Engine) -> None:
    """Without antialiasing each pixel is whole or empty."""
    artwork = _artwork('<circle cx="50" cy="25" r="20"/>')
    raster = draw_window(engine, artwork, Box(0, 0, 100, 50), 200, 100, crisp=True)
    assert set(np.unique(alpha_of(raster)).tolist()) == {0, 255}


def test_engines_agree_within_one_level() -> None:
    """The fast and the base engine give the same pixels within one level on art without text and filters."""
    pytest.importorskip("svg2png_py", reason="the fast engine is not installed")
    art = '<circle cx="40" cy="25" r="20" fill="#e07020"/><path d="M10,10 L90,40" stroke="#206080" stroke-width="3"/>'
    artwork = _artwork(f'<g opacity="0.7">{art}</g>')
    fast, base = (
        draw_window(open_engine(name), artwork, Box(0, 0, 100, 50), 800, 400).pixels for name in ("svg2png-py", "resvg-py")
    )
    assert np.abs(fast.astype(int) - base).max() <= 1


def test_text_with_a_generic_family_is_drawn() -> None:
    """A generic family, which the fast engine leaves out in silence, is given to the base engine."""
    engine = open_engine(font_files=_INDEX.files)
    text = '<text y="40" font-family="{}" font-size="40">A</text>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="50">{text}</svg>'
    drawn = {family: engine.draw(svg.format(family).encode(), 100, 50).pixels.any() for family in ("Caladea, serif", "Caladea")}
    assert drawn == {"Caladea, serif": True, "Caladea": True}


def test_a_canvas_above_the_cap_is_refused_with_figure_and_limit(engine: Engine) -> None:
    """The pixel cap is checked before an engine allocates anything."""
    with pytest.raises(ArtworkFailed, match="900 megapixels, above 400"):
        engine.draw(_artwork("").markup, 30_000, 30_000)
    assert PIXELS_MAX == 400_000_000


def test_a_canvas_without_area_is_refused(engine: Engine) -> None:
    """Zero pixels are no picture."""
    with pytest.raises(ArtworkFailed, match="no area"):
        engine.draw(_artwork("").markup, 0, 10)


def test_an_engines_fault_becomes_words(engine: Engine) -> None:
    """Whatever an engine raises, a panic too, arrives as an error that can be sent to another process."""
    with pytest.raises(ArtworkFailed, match="could not draw it"):
        engine.draw(b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect></svg>', 9, 9)


def test_rasters_cannot_be_written_to(engine: Engine) -> None:
    """Pixels are shared between rooms, so they are read-only."""
    raster = engine.draw(_artwork('<rect width="9" height="9"/>').markup, 20, 10)
    with pytest.raises(ValueError, match="read-only"):
        raster.pixels[0, 0] = 1


def test_engine_says_name_and_version(engine: Engine) -> None:
    """Name and version stand in the manifest; the version names the renderer inside."""
    assert engine.name in engine_names()
    assert "resvg" in engine.version


def test_unknown_engine_is_a_usage_error_with_the_known_names() -> None:
    """A name that no engine has is answered with those that there are."""
    with pytest.raises(UsageError, match="svg2png-py, resvg, resvg-py, cairosvg"):
        open_engine("paintbrush")


@pytest.mark.parametrize(
    "start",
    [
        b'<svg width="4" height="5" viewBox="0 0 4 5">',
        b"<svg\n  width='4'\n  height = \"5\" viewBox='0,0 4,5' data-a='a > b' >",
        b'<s:svg xmlns:s="http://www.w3.org/2000/svg" height="5" width="4" viewBox="0 0 4 5">',
    ],
)
def test_root_tags_are_read_however_they_are_written(start: bytes) -> None:
    """Quotes of both kinds, line breaks, prefixes and a bracket inside a value do not confuse the root's start tag."""
    root = parse_root(start + b"<g/></svg>")
    assert (root.get(b"width"), root.get(b"height"), root.view_box, root.rest) == (b"4", b"5", Box(0, 0, 4, 5), b"<g/></svg>")


def test_a_root_without_content_is_closed() -> None:
    """A self-closing root gets an end tag of its own."""
    assert parse_root(b'<svg width="4" height="5"/>').rest == b"</svg>"


def test_another_size_keeps_the_page() -> None:
    """A root without viewBox gets one, so that a larger canvas shows the page larger, not more of it."""
    assert parse_root(resized(b'<svg width="4" height="5"></svg>', 40, 50)).view_box == Box(0, 0, 4, 5)


def test_premultiplying_undoes_straight_alpha() -> None:
    """Colour times alpha, rounded to nearest; no colour is left where alpha is 0."""
    straight = np.array([[[200, 100, 50, 255], [200, 100, 50, 128], [200, 100, 50, 0]]], np.uint8)
    assert premultiplied(straight).tolist() == [[[200, 100, 50, 255], [100, 50, 25, 128], [0, 0, 0, 0]]]
