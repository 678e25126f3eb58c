"""What the measurement says beside the box: plates, ink beyond the page, specks, faint ink."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from vectorprep.model import Finding, Measurement

Measured = Callable[..., Measurement]

_SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="150mm" height="170mm" viewBox="0 0 150 170">{}</svg>'
_ART = '<rect x="40" y="50" width="60" height="40" fill="#c03030"/>'
_PLATE = '<rect width="150" height="170" fill="#ffeecc"/>'


def _finding(measured: Measurement, check: str) -> Finding:
    (found,) = [finding for finding in measured.findings if finding.check == check]
    return found


def _checks(measured: Measurement) -> set[str]:
    return {finding.check for finding in measured.findings}


def test_a_clean_drawing_has_no_findings(measured: Measured) -> None:
    """Art in the middle of the page gives a box and nothing to say."""
    assert measured(_SVG.format(_ART)).findings == ()


def test_edges_of_plain_ink_are_known_to_a_fraction_of_a_pixel(measured: Measured) -> None:
    """Edges between grid pixels are read from coverage: within 0.15 px of the drawing."""
    found = measured(_SVG.format('<rect x="40.013" y="50.021" width="60.009" height="40.004"/>'))
    assert found.ink_edges_mm is not None
    wanted = (40.013, 50.021, 100.022, 90.025)
    worst = max(abs(a - b) for a, b in zip(found.ink_edges_mm.corners, wanted, strict=True))
    assert worst <= 0.15 * found.tolerance_mm


@pytest.mark.parametrize("side", [30.0, 8.0, 1.5])
def test_edges_of_small_ink_are_known_as_finely_as_a_large_print_needs(measured: Measured, side: float) -> None:
    """Ink of a small part of the page is known to 0.2 px of a print 3600 px wide."""
    found = measured(_SVG.format(f'<circle cx="60.0137" cy="70.0071" r="{side / 2}"/>'))
    assert found.ink_edges_mm is not None
    wanted = (60.0137 - side / 2, 70.0071 - side / 2, 60.0137 + side / 2, 70.0071 + side / 2)
    worst = max(abs(a - b) for a, b in zip(found.ink_edges_mm.corners, wanted, strict=True))
    assert worst <= 0.2 * side / 3600


def test_a_plate_is_reported_with_the_box_of_the_rest(measured: Measured) -> None:
    """A page-wide plain rectangle below the art is named, kept, and the box of the art alone is given."""
    found = measured(_SVG.format(_PLATE + _ART))
    assert found.background == "#ffeecc"
    assert found.ink_box_mm is not None
    assert found.ink_box_mm.corners == pytest.approx((0, 0, 150, 170))
    assert found.box_without_background_mm is not None
    assert found.box_without_background_mm.corners == pytest.approx((40, 50, 100, 90), abs=found.tolerance_mm)
    assert _finding(found, "page-rectangle-behind-art").severity == "warning"


def test_a_dropped_plate_is_gone_from_the_artwork(measured: Measured) -> None:
    """Background = "drop" gives the artwork without the plate, its box, and a note."""
    found = measured(_SVG.format(_PLATE + _ART), background="drop")
    assert found.ink_box_mm is not None
    assert found.ink_box_mm.corners == pytest.approx((40, 50, 100, 90), abs=found.tolerance_mm)
    assert b"#ffeecc" not in found.artwork.markup
    assert _finding(found, "page-rectangle-behind-art").severity == "note"


@pytest.mark.parametrize(
    "content",
    [
        pytest.param('<rect width="150" height="160" fill="#ffeecc"/>' + _ART, id="94 % of the page"),
        pytest.param(_ART + _PLATE, id="above the art"),
        pytest.param(
            '<linearGradient id="g"><stop stop-color="red"/><stop offset="1" stop-color="blue"/></linearGradient>'
            '<rect width="150" height="170" fill="url(#g)"/>' + _ART,
            id="not plain",
        ),
        pytest.param('<rect width="150" height="170" fill="#ffeecc" fill-opacity="0.5"/>' + _ART, id="see-through"),
        pytest.param(_PLATE, id="the only art"),
    ],
)
def test_what_is_no_plate(measured: Measured, content: str) -> None:
    """A plate is plain, opaque, below all else, behind something, and covers 98 % of the page."""
    assert measured(_SVG.format(content)).background is None


@pytest.mark.parametrize(
    "plate",
    [
        '<path d="M-10,-10 H160 V180 H-10 Z" fill="#ffeecc"/>',
        '<g transform="scale(2)"><g><polygon points="0,0 75,0 75,85 0,85" fill="#ffeecc"/></g></g>',
        '<rect width="100%" height="100%" style="fill:#ffeecc"/>',
        '<defs><rect id="unused" width="3" height="3"/></defs><rect width="5" height="5" fill="none"/>'
        '<rect width="150" height="170" fill="#ffeecc"/>',
    ],
)
def test_a_plate_in_other_clothes(measured: Measured, plate: str) -> None:
    """A plate may be a path or polygon, moved by groups, sized in per cent, after things that paint nothing."""
    assert measured(_SVG.format(plate + _ART)).background == "#ffeecc"


def test_ink_beyond_the_page_is_measured_on_each_side(measured: Measured) -> None:
    """What lies outside is reported with its size and not counted."""
    found = measured(_SVG.format('<rect x="-12" y="50" width="100" height="140" fill="#c03030"/>'))
    assert found.outside_mm == pytest.approx((12, 0, 0, 20), abs=found.tolerance_mm)
    assert found.ink_box_mm is not None
    assert found.ink_box_mm.corners == pytest.approx((0, 50, 88, 170), abs=found.tolerance_mm)
    message = _finding(found, "ink-outside-page").message
    assert "12.0 mm (0.47 in) beyond the left" in message
    assert "20.0 mm (0.79 in) beyond the bottom" in message


def test_ink_far_beyond_the_page_is_found(measured: Measured) -> None:
    """Ink several pages away counts as beyond the page."""
    found = measured(_SVG.format(_ART + '<rect x="900" y="50" width="50" height="20" fill="#c03030"/>'))
    assert found.outside_mm == pytest.approx((0, 0, 800, 0), abs=1.0)


def test_recovered_ink_counts(measured: Measured) -> None:
    """Page = "recover" measures all ink, beyond the page too, and says so in a note."""
    found = measured(_SVG.format('<rect x="-12" y="50" width="100" height="140" fill="#c03030"/>'), page="recover")
    assert found.ink_box_mm is not None
    assert found.ink_box_mm.corners == pytest.approx((-12, 50, 88, 190), abs=found.tolerance_mm)
    assert found.artwork.is_unclipped
    assert _finding(found, "ink-outside-page").severity == "note"


def test_recovering_changes_nothing_where_all_ink_is_on_the_page(measured: Measured) -> None:
    """Page = "recover" gives the same box for a drawing that stays on its page."""
    assert measured(_SVG.format(_ART), page="recover").ink_box_mm == measured(_SVG.format(_ART)).ink_box_mm


def test_ink_at_the_page_edge_is_named_with_its_sides(measured: Measured) -> None:
    """Ink that ends exactly at the page's edge looks cut off."""
    found = measured(_SVG.format('<rect y="50" width="60" height="120" fill="#c03030"/>'))
    assert "left and bottom" in _finding(found, "ink-touches-page-edge").message


def test_a_speck_far_away_is_named_with_its_place(measured: Measured) -> None:
    """A tiny dot in a corner of the page is reported where it lies."""
    found = measured(_SVG.format(_ART + '<circle cx="145" cy="165" r="0.2"/>'))
    place = _finding(found, "stray-ink").place_mm
    assert place is not None
    assert place[0] <= 145 <= place[2]
    assert place[1] <= 165 <= place[3]


def test_a_dot_beside_the_art_is_no_speck(measured: Measured) -> None:
    """A small dot next to the drawing belongs to it."""
    assert "stray-ink" not in _checks(measured(_SVG.format(_ART + '<circle cx="103" cy="70" r="0.4"/>')))


def test_faint_ink_that_reaches_farther_is_reported(measured: Measured) -> None:
    """Paint under 3 % coverage is outside the ink box, inside the box of any ink, and said."""
    found = measured(_SVG.format(_ART + '<rect x="30" y="50" width="80" height="40" fill-opacity="0.02"/>'))
    assert found.any_ink_box_mm is not None
    assert found.any_ink_box_mm.corners == pytest.approx((30, 50, 110, 90), abs=found.tolerance_mm)
    assert _finding(found, "any-ink-differs").measured == pytest.approx(10, abs=2 * found.tolerance_mm)


def test_no_ink_is_no_box_and_an_error(measured: Measured) -> None:
    """An empty page has no box at all."""
    found = measured(_SVG.format('<rect width="5" height="5" display="none"/>'))
    assert (found.ink_box_mm, found.any_ink_box_mm, found.ink_edges_mm) == (None, None, None)
    assert _finding(found, "no-ink").severity == "error"


def test_the_grid_is_the_page_fitted_to_4500_x_5100(measured: Measured) -> None:
    """The tolerance is one pixel of that grid: 150 mm on 4500 px, and the height bounds a tall page."""
    assert measured(_SVG.format(_ART)).tolerance_mm == pytest.approx(150 / 4500)
    tall = '<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="170mm"><rect width="9" height="9"/></svg>'
    assert measured(tall).tolerance_mm == pytest.approx(170 / 5100)
