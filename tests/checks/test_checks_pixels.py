"""What print checks see in pixels: dots, mist, seams, solids, spots, letters, shadows, each by its figure and place.

Limits are those of the built-in products (common practice, no source) unless a test names another source.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from tests.benchmarks.planted_faults import CAPS
from tests.checks.given import CATALOGUE
from vectorprep.checks.inks import is_by_hue
from vectorprep.model import Finding

Findings = Callable[..., list[Finding]]
SOLID = '<rect x="5" y="5" width="40" height="40" fill="#1f3a86"/>'
INK_MM2 = 1600.0
PX_MM = 25.4 / 300


def place(finding: Finding) -> tuple[float, float, float, float]:
    """The place of a finding, which it must have."""
    assert finding.place_mm is not None
    assert finding.place_on == "print"
    return finding.place_mm


@pytest.mark.parametrize("size", [0.2, 0.4, 0.7])
def test_a_dot_is_measured_by_its_area(findings: Findings, size: float) -> None:
    """A lone disc and a lone square of the same area have the disc's diameter, within a fifth of a pixel at 300 ppi."""
    side = size * math.sqrt(math.pi) / 2
    for shape in (f'<circle cx="80" cy="30" r="{size / 2}"/>', f'<rect x="80" y="30" width="{side}" height="{side}"/>'):
        (dot,) = findings(SOLID + shape, "dot-too-small")
        assert dot.measured == pytest.approx(size, abs=0.2 * PX_MM)
        assert (dot.limit, dot.unit) == (0.8, "mm")


def test_a_dot_above_the_limit_or_on_ink_is_left_alone(findings: Findings) -> None:
    """0.9 mm is no small dot under a limit of 0.8; a small dot on other ink holds to it; dots that touch are one."""
    assert not findings(SOLID + '<circle cx="80" cy="30" r="0.45"/>', "dot-too-small")
    assert not findings(SOLID + '<circle cx="25" cy="25" r="0.2" fill="#fc0"/>', "dot-too-small")
    joined = "".join(f'<circle cx="{80 + 0.3 * at}" cy="30" r="0.2"/>' for at in range(12))
    assert not findings(SOLID + joined, "dot-too-small")


def test_dots_are_counted_and_the_smallest_is_shown(findings: Findings) -> None:
    """Four dots: the message counts three more, and the place is the smallest one's."""
    sizes = ((60, 0.6), (70, 0.5), (80, 0.3), (90, 0.7))
    (dot,) = findings(SOLID + "".join(f'<circle cx="{x}" cy="60" r="{d / 2}"/>' for x, d in sizes), "dot-too-small")
    assert "3 more" in dot.message
    x0, _, x1, _ = place(dot)
    assert x1 - x0 < 0.3 + 3 * PX_MM


@pytest.mark.parametrize(("opacity", "found"), [(0.015, True), (0.04, True), (0.1, False), (1.0, False)])
def test_mist_is_ink_of_at_most_twelve_levels(findings: Findings, opacity: float, found: bool) -> None:
    """Coverage of 1 to 12 of 255 away from other ink (common practice, no source)."""
    content = SOLID + f'<rect x="60" y="60" width="20" height="10" fill="#b3402a" fill-opacity="{opacity}"/>'
    seen = findings(content, "alpha-near-zero")
    assert bool(seen) is found
    if found:
        assert seen[0].measured == pytest.approx(200 / (INK_MM2 + (200 if opacity > 8 / 255 else 0)), rel=0.03)
        x0, y0, x1, y1 = place(seen[0])
        assert (x1 - x0, y1 - y0) == pytest.approx((20, 10), abs=3)


def test_mist_of_a_few_pixels_or_on_ink_is_none(findings: Findings) -> None:
    """Under 0.05 % of the ink (common practice, no source); faint paint over solid ink prints as that ink."""
    assert not findings(SOLID + '<rect x="60" y="60" width="0.6" height="0.6" fill-opacity="0.03"/>', "alpha-near-zero")
    assert not findings(SOLID + '<rect x="10" y="10" width="20" height="20" fill-opacity="0.03"/>', "alpha-near-zero")


@pytest.mark.parametrize(("angle", "least_mm"), [(7.0, 8.0), (30.0, 19.0), (45.0, 19.0), (60.0, 19.0), (83.0, 8.0)])
def test_a_seam_runs_along_the_edge_that_two_shapes_share(findings: Findings, angle: float, least_mm: float) -> None:
    """20 mm between rectangles that abut; a steep seam is opaque where the edge meets pixels, and told in pieces."""
    pair = (
        '<rect x="40.03" y="40" width="10" height="20" fill="#1f3a86"/>'
        '<rect x="50.03" y="40" width="10" height="20" fill="#b3402a"/>'
    )
    (seam,) = findings(f'<g transform="rotate({angle} 50 50)">{pair}</g>', "seam-hairline")
    assert least_mm <= float(seam.measured or 0) * PX_MM <= 20
    x0, y0, x1, y1 = place(seam)
    assert abs(x1 - x0) <= 20 * abs(math.sin(math.radians(angle))) + 4 * PX_MM
    assert abs(y1 - y0) <= 20 * abs(math.cos(math.radians(angle))) + 4 * PX_MM


def test_shapes_that_overlap_or_stand_apart_have_no_seam(findings: Findings) -> None:
    """An overlap of a tenth of a millimetre closes the seam; a gap of half a millimetre is a gap."""
    left = '<rect x="40" y="40" width="10" height="20" fill="#1f3a86"/>'
    for x in (49.9, 50.5):
        both = f'<g transform="rotate(11 50 50)">{left}<rect x="{x}" y="40" width="10" height="20" fill="#b3402a"/></g>'
        assert not findings(both, "seam-hairline")


@pytest.mark.parametrize(("share", "found"), [(0.5, False), (0.59, False), (0.61, True), (0.9, True)])
def test_a_solid_is_weighed_over_the_reference_area(findings: Findings, share: float, found: bool) -> None:
    """Film transfer warns from 60 % of 254 x 254 mm (common practice, no source)."""
    side = 254 * math.sqrt(share)
    seen = findings(f'<rect x="10" y="10" width="{side}" height="{side}" fill="#1f3a86"/>', "solid-cover-heavy", page_mm=290.0)
    assert bool(seen) is found
    if found:
        assert seen[0].measured == pytest.approx(share, abs=0.01)
        assert place(seen[0])[2] - place(seen[0])[0] == pytest.approx(min(254, side), abs=2)


def test_ink_spread_thinly_is_no_solid(findings: Findings) -> None:
    """Stripes over the whole area that cover half of it."""
    stripes = "".join(f'<rect x="10" y="{10 + 10 * at}" width="254" height="5" fill="#1f3a86"/>' for at in range(25))
    assert not findings(stripes, "solid-cover-heavy", page_mm=290.0)


def test_spots_are_counted_and_those_beyond_are_shown(findings: Findings) -> None:
    """Seven colours where the record counts fewer; a row of squares, the least of which is among the place."""
    most = CATALOGUE.products["tee-adult-front-spot"].ink_policy.spot_inks_max_count
    assert most is not None
    inks = ("#e4572e", "#17bebb", "#ffc914", "#2e282a", "#76b041", "#b084cc", "#874000", "#f05d5e", "#0f2f73")[: most + 1]
    row = "".join(f'<rect x="5" y="{5 + 10 * at}" width="{20 - at}" height="9" fill="{ink}"/>' for at, ink in enumerate(inks))
    (spot,) = findings(row, "spot-count-too-high", "tee-adult-front-spot")
    assert (spot.measured, spot.limit) == (most + 1, most)
    assert "join 1 of them" in spot.fix
    x0, y0, x1, y1 = place(spot)
    assert (x1 - x0, y1 - y0) == pytest.approx((20 - most, 9), abs=1.5)
    fewer = row[: row.rindex("<rect")]
    assert not findings(fewer, "spot-count-too-high", "tee-adult-front-spot")


def test_one_ink_in_two_near_shades_is_one_spot(findings: Findings) -> None:
    """Colours of under 3 CIEDE2000 are mixed as one ink (house value)."""
    shades = ("#1f3a86", "#203b87", "#b3402a", "#b4412b", "#2f6f4e", "#306f4f", "#d99a2b", "#da9b2c")
    row = "".join(f'<rect x="5" y="{5 + 10 * at}" width="20" height="9" fill="{ink}"/>' for at, ink in enumerate(shades))
    assert not findings(row, "spot-count-too-high", "tee-adult-front-spot")


@pytest.mark.parametrize(("cap_mm", "found"), [(2.0, True), (2.9, True), (3.1, False), (6.0, False)])
def test_capitals_are_measured_on_outlines(findings: Findings, cap_mm: float, found: bool) -> None:
    """Capitals by the outline of H in the bundled sans face; film transfer wants 3 mm."""
    size = cap_mm / CAPS["Fredoka One"]
    seen = findings(SOLID + f'<text x="50" y="80" font-family="Fredoka One" font-size="{size}">HINT</text>', "text-too-small")
    assert bool(seen) is found
    if found:
        assert seen[0].measured == pytest.approx(cap_mm, abs=0.05)


@pytest.mark.parametrize("spacing", ["0", "1", "3", "0.4em"])
def test_the_place_of_text_holds_its_spaced_letters(findings: Findings, spacing: str) -> None:
    """The box named grows by the spacing of each letter (CSS Text: letter-spacing, added after each character)."""
    size, words = 2.5, "HINT"
    text = f'<text x="50" y="80" font-family="Fredoka One" font-size="{size}" letter-spacing="{spacing}">{words}</text>'
    (small,) = findings(SOLID + text, "text-too-small")
    gap = size * 0.4 if spacing.endswith("em") else float(spacing)
    x0, _, x1, _ = place(small)
    (plain,) = findings(SOLID + text.replace(f'letter-spacing="{spacing}"', ""), "text-too-small")
    a0, _, a1, _ = place(plain)
    assert x1 - x0 == pytest.approx(a1 - a0 + gap * len(words), rel=0.003)


@pytest.mark.parametrize(
    ("effect", "word"),
    [
        ('<feGaussianBlur stdDeviation="3"/>', "shadow"),
        ('<feDropShadow dx="6" dy="6" stdDeviation="2" flood-color="#000" flood-opacity="0.6"/>', "shadow"),
    ],
)
def test_a_soft_shadow_over_a_base_is_named(findings: Findings, effect: str, word: str) -> None:
    """A blurred black shape is called a shadow; its share of the ink and its place are told."""
    soft = (
        f'<filter id="f" x="-1" y="-1" width="3" height="3">{effect}</filter>'
        '<circle cx="70" cy="70" r="9" fill="#000" filter="url(#f)"/>'
    )
    (found,) = findings(SOLID + soft, "alpha-soft-interior")
    assert word in found.message
    assert float(found.measured or 0) > 0.005
    x0, y0, x1, y1 = place(found)
    assert x1 - x0 > 8
    assert y1 - y0 > 8


def test_flat_opacity_and_glow_are_told_apart_from_shadows(findings: Findings) -> None:
    """An even veil is no shadow; a pale blur is a glow."""
    veil = '<rect x="55" y="55" width="20" height="20" fill="#000" fill-opacity="0.5"/>'
    assert "see-through area" in findings(SOLID + veil, "alpha-soft-interior")[0].message
    glow = (
        '<filter id="f" x="-1" y="-1" width="3" height="3"><feGaussianBlur stdDeviation="3"/></filter>'
        '<circle cx="70" cy="70" r="9" fill="#ffe9a0" filter="url(#f)"/>'
    )
    assert "glow" in findings(SOLID + glow, "alpha-soft-interior")[0].message


def test_see_through_ink_matters_only_over_a_white_base(findings: Findings) -> None:
    """Sublimation prints no base: a fade there is a fade."""
    veil = '<rect x="55" y="55" width="20" height="20" fill="#000" fill-opacity="0.5"/>'
    assert not findings(SOLID + veil, "alpha-soft-interior", "tee-poly-front-sub")


@pytest.mark.parametrize(
    ("slug", "product", "blank", "ink"),
    [
        ("black-on-dark-cloth", "tee-adult-front-dtf", "black", "#0b0b0b"),
        ("white-ink-unavailable", "tee-poly-front-sub", "natural", "#ffffff"),
        ("contrast-too-low", "tee-adult-front-dtf", "navy", "#1c3563"),
        ("contrast-hue-only", "tee-adult-front-dtf", "white", "#ffff00"),
    ],
)
def test_a_finding_about_an_ink_shows_where_it_is(findings: Findings, slug: str, product: str, blank: str, ink: str) -> None:
    """The place is the ink's largest area: a square of 20 mm at 40 mm right of and below the corner of all ink."""
    content = f'<rect x="5" y="5" width="30" height="30" fill="#e4572e"/><rect x="45" y="45" width="20" height="20" fill="{ink}"/>'
    (found,) = findings(content, slug, product, blanks=(blank,))
    x0, y0, x1, y1 = place(found)
    assert (x1 - x0, y1 - y0) == pytest.approx((20, 20), abs=1)
    whole = findings(content.replace("#e4572e", ink), slug, product, blanks=(blank,))
    assert place(whole[0])[0] <= x0 - 39


def test_a_gradient_shows_where_it_is(findings: Findings) -> None:
    """Beside a flat square, the place is the gradient's."""
    ramp = '<linearGradient id="g"><stop stop-color="#fd5"/><stop offset="1" stop-color="#0a3"/></linearGradient>'
    flat = '<rect x="5" y="5" width="30" height="30" fill="#1f3a86"/>'
    content = f'{flat}{ramp}<rect x="50" y="50" width="20" height="20" fill="url(#g)"/>'
    (found,) = findings(content, "gradient-not-printable", "tee-adult-front-cutfilm")
    x0, y0, x1, y1 = place(found)
    assert (x1 - x0, y1 - y0) == pytest.approx((20, 20), abs=1)


@pytest.mark.parametrize(
    ("ink", "cloth", "by_hue"),
    [("#ffff00", "#ffffff", True), ("#a8a8a8", "#ffffff", False), ("#d23c3c", "#3c8c3c", True), ("#404040", "#000000", False)],
)
def test_greys_are_never_told_apart_by_hue(ink: str, cloth: str, by_hue: bool) -> None:
    """By hue where hue and chroma differ more than lightness (CIELAB)."""
    assert is_by_hue(ink, cloth) is by_hue


def test_a_fix_says_by_how_much(findings: Findings) -> None:
    """A gap of 0.2 mm under a limit of 0.7: half a millimetre is missing; a tenth and more on each side closes it."""
    halves = (
        '<rect x="20" y="20" width="20" height="40" fill="#1f3a86"/><rect x="40.2" y="20" width="20" height="40" fill="#1f3a86"/>'
    )
    (gap,) = findings(halves, "gap-too-narrow")
    assert "by 0.49 mm to 0.7 mm" in gap.fix
    assert "grow each side by 0.11 mm" in gap.fix
