"""The page of a drawing: every rule of units, and the map from user units to the page, by hand."""

from __future__ import annotations

import pytest

from vectorprep.fonts import FontIndex
from vectorprep.model import Artwork
from vectorprep.read import ReadOptions, read_artwork

FONTS = FontIndex(system=False)
DEFAULTS = ReadOptions()


def page(attributes: str, *, options: ReadOptions = DEFAULTS) -> Artwork:
    """An empty drawing with the given root attributes."""
    return read_artwork(f'<svg xmlns="http://www.w3.org/2000/svg" {attributes}/>'.encode(), name="x", options=options, fonts=FONTS)


@pytest.mark.parametrize(
    ("attributes", "width_mm", "height_mm"),
    [
        # CSS Values and Units 4, "Absolute Lengths": 1 in = 25.4 mm = 96 px = 72 pt = 6 pc; 1 Q = 0.25 mm.
        ('width="96" height="96px"', 25.4, 25.4),
        ('width="1in" height="2.54cm"', 25.4, 25.4),
        ('width="72pt" height="6pc"', 25.4, 25.4),
        ('width="210mm" height="40Q"', 210, 10),
        ('width="1e2mm" height=" 5 mm "', 100, 5),
        # CSS Values 4: em is the font size, 16 px unless said otherwise.
        ('width="6em" height="12em" font-size="8px"', 12.7, 25.4),
        # SVG 2: only a viewBox, one side only, percentages.
        ('viewBox="0 0 96 192"', 25.4, 50.8),
        ('width="96" viewBox="0 0 10 20"', 25.4, 50.8),
        ('height="96" viewBox="0 0 10 20"', 12.7, 25.4),
        ('width="50%" height="100%" viewBox="0 0 192 96"', 25.4, 25.4),
        # CSS Images 3: default object size 300 x 150 px.
        ("", 79.375, 39.6875),
        ('width="100%" height="100%"', 79.375, 39.6875),
        ('width="96"', 25.4, 39.6875),
        # SVG 2, geometry properties: CSS beats attributes.
        ('width="5" height="5" style="width:96px;height:1in"', 25.4, 25.4),
    ],
)
def test_page_size_follows_css(attributes: str, width_mm: float, height_mm: float) -> None:
    """The page in mm is that of the published unit rules."""
    found = page(attributes).page
    assert (found.width_mm, found.height_mm) == pytest.approx((width_mm, height_mm), abs=1e-9)


@pytest.mark.parametrize(
    ("ratio", "at"),
    [
        # viewBox 0 0 10 10 in 200 x 100 px: meet scales by 10 with 100 px free across, slice by 20 with 100 px over down.
        ("", (50, 0, 10)),
        ("xMinYMin", (0, 0, 10)),
        ("xMidYMid meet", (50, 0, 10)),
        ("xMaxYMax meet", (100, 0, 10)),
        ("xMinYMid slice", (0, -50, 20)),
        ("xMaxYMin slice", (0, 0, 20)),
        ("xMidYMax slice", (0, -100, 20)),
        ("nonsense", (50, 0, 10)),
    ],
)
def test_view_box_is_fitted_as_asked(ratio: str, at: tuple[float, float, float]) -> None:
    """The origin of the viewBox lands where SVG 2, 'preserveAspectRatio', says, at its scale."""
    found = page(f'width="200" height="100" viewBox="0 0 10 10" preserveAspectRatio="{ratio}"').page.uu_to_px
    assert (*found.point(0, 0), found.a, found.d) == pytest.approx((at[0], at[1], at[2], at[2]))


def test_ratio_none_stretches_each_axis() -> None:
    """With `none` each axis has its own scale."""
    found = page('width="200" height="100" viewBox="5 5 10 10" preserveAspectRatio="none"').page.uu_to_px
    assert (found.point(5, 5), found.point(15, 15)) == ((0, 0), (200, 100))


def test_root_is_rewritten_in_css_px() -> None:
    """A page in mm without viewBox keeps CSS px as its user unit."""
    artwork = page('width="25.4mm" height="1in"')
    assert b'width="96" height="96" viewBox="0 0 96 96"' in artwork.markup
    assert artwork.page.uu_to_px.point(96, 48) == (96, 48)


def test_old_units_are_reported_and_never_guessed() -> None:
    """A sheet of A4 at 90 units an inch (744.09 x 1052.36) is named at 96, 90 and 72; 96 counts (ISO 216: 8.27 x 11.69 in)."""
    artwork = page('width="744.09448" height="1052.3622"')
    (finding,) = [finding for finding in artwork.findings if finding.check == "source-unit-suspect"]
    assert "8.27 x 11.69 in at 90" in finding.message
    assert artwork.page.width_px == pytest.approx(744.09448)


def test_units_override_scales_plain_numbers_only() -> None:
    """At 90 units an inch 90 units are one inch, a length in mm stays what it is, and content fills the page as before."""
    at_90 = ReadOptions(units_per_inch=90)
    plain, metric = page('width="90" height="180"', options=at_90).page, page('width="25.4mm" height="50.8mm"', options=at_90).page
    assert (plain.width_mm, plain.height_mm) == pytest.approx((25.4, 50.8))
    assert (metric.width_mm, metric.height_mm) == pytest.approx((25.4, 50.8))
    assert plain.uu_to_px.point(90, 180) == pytest.approx((96, 192))
    assert metric.uu_to_px.point(90, 180) == pytest.approx((96, 192))


@pytest.mark.parametrize(
    ("attributes", "source"), [('width="5" height="5"', "stated"), ('viewBox="0 0 5 5"', "viewBox"), ("", "default")]
)
def test_page_says_where_its_size_comes_from(attributes: str, source: str) -> None:
    """A size that nobody stated is noted."""
    artwork = page(attributes)
    assert artwork.page.size_source == source
    assert ("page-size-guessed" in {finding.check for finding in artwork.findings}) == (source != "stated")
