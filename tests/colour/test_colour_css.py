"""CSS colour syntax: every way of writing a colour gives the one value that the specifications give it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tinycss2 import color4

from vectorprep.colour.css import alpha_text, colour_text, parse_colour
from vectorprep.colour.css_names import NAMED, SYSTEM
from vectorprep.colour.spaces import SPACES, convert


def normal(text: str) -> str | None:
    """The normal form of a token."""
    colour = parse_colour(text)
    return None if colour is None else colour.text


@pytest.mark.parametrize(
    ("token", "expected"),
    [
        ("#F00", "#ff0000"),
        ("#FF0000", "#ff0000"),
        ("#f008", "rgba(255,0,0,0.533333)"),
        ("#ff000080", "rgba(255,0,0,0.501961)"),
        ("#ff0000ff", "#ff0000"),
        ("RED", "#ff0000"),
        ("rebeccapurple", "#663399"),
        ("rgb(255, 0, 0)", "#ff0000"),
        ("rgb(100%, 0%, 0%)", "#ff0000"),
        ("rgb(255 0 0)", "#ff0000"),
        ("rgb(255 0 0 / 50%)", "rgba(255,0,0,0.5)"),
        ("rgba(255, 0, 0, .25)", "rgba(255,0,0,0.25)"),
        ("rgba(255, 0, 0, 25%)", "rgba(255,0,0,0.25)"),
        ("rgb(0 128 0)", "#008000"),
        ("rgb(none 128 0)", "#008000"),
        ("rgb(300, -5, 0)", "#ff0000"),
        ("rgb(12.5, 12.4, 12.6)", "#0d0c0d"),
        ("hsl(120, 100%, 25%)", "#008000"),
        ("hsl(120deg 100% 25%)", "#008000"),
        ("hsl(.5turn, 100%, 50%)", "#00ffff"),
        ("hsl(133.3333grad 100% 25%)", "#008000"),
        ("hsl(-240, 100%, 25%)", "#008000"),
        ("hsl(2.0943951rad 100% 25%)", "#008000"),
        ("hsl(120 200% 25%)", "#008000"),
        ("hsla(120, 100%, 25%, 50%)", "rgba(0,128,0,0.5)"),
        ("hwb(120 0% 49.8039%)", "#008000"),
        ("hwb(90 60% 60%)", "#808080"),
    ],
)
def test_srgb_syntaxes_become_hex_or_rgba(token: str, expected: str) -> None:
    """Hex, names, rgb(), hsl() and hwb() in old and new syntax are written in one form (CSS Color 4, sections 4 to 8)."""
    assert normal(token) == expected


@pytest.mark.parametrize(
    ("token", "expected"),
    [
        # CSS Color 4, examples of sections 9.2 to 9.4: one brick red and one orange in four spaces.
        ("lab(29.2345% 39.3825 20.0664)", "#7d2329"),
        ("lch(29.2345% 44.2 27)", "#7d2329"),
        ("oklab(40.101% 0.1147 0.0453)", "#7d2329"),
        ("oklch(40.101% 0.12332 21.555)", "#7d2329"),
        ("lab(52.2345% 40.1645 59.9971)", "#c65d06"),
        ("lch(52.2345% 72.2 56.2)", "#c65d06"),
        ("oklch(59.686% 0.15619 49.7694)", "#c65d06"),
        ("lab(67.5345% -8.6911 -41.6019)", "#62acef"),
        # White and black are white and black in every space, by definition of the spaces.
        ("color(srgb 1 1 1)", "#ffffff"),
        ("color(display-p3 1 1 1)", "#ffffff"),
        ("color(a98-rgb 1 1 1)", "#ffffff"),
        ("color(prophoto-rgb 1 1 1)", "#ffffff"),
        ("color(rec2020 1 1 1)", "#ffffff"),
        ("color(srgb-linear 0.21586 0.21586 0.21586)", "#808080"),
        ("color(xyz-d50 0.9642 1 0.8251)", "#ffffff"),
        ("color(xyz 0.9505 1 1.089)", "#ffffff"),
        ("lab(100 0 0)", "#ffffff"),
        ("oklch(0 0.2 50)", "#000000"),
    ],
)
def test_device_independent_colours(token: str, expected: str) -> None:
    """lab, lch, oklab, oklch and color() inside sRGB become the sRGB colour they name, and count as exact."""
    colour = parse_colour(token)
    assert colour is not None
    assert (colour.text, colour.exact) == (expected, True)


@pytest.mark.parametrize(
    ("token", "expected"),
    [
        # Web platform tests, css/css-color/parsing/color-computed-color-mix-function.html (from memory).
        ("color-mix(in hsl, hsl(120deg 10% 20%), hsl(30deg 30% 40%))", "#545c3d"),
        ("color-mix(in hsl, hsl(120deg 10% 20%) 25%, hsl(30deg 30% 40%))", "#706a43"),
        ("color-mix(in hsl, hsl(120deg 10% 20% / .4), hsl(30deg 30% 40% / .8))", "rgba(95,105,65,0.6)"),
        ("color-mix(in hsl, hsl(120deg 10% 20%) 30%, hsl(30deg 30% 40%) 30%)", "rgba(84,92,61,0.6)"),
        ("color-mix(in hsl longer hue, hsl(40deg 50% 50%), hsl(60deg 50% 50%))", "#4055bf"),
        # CSS Color 5, section 2: plain arithmetic in encoded sRGB.
        ("color-mix(in srgb, red, blue)", "#800080"),
        ("color-mix(in srgb, white 20%, black)", "#333333"),
        ("color-mix(in srgb, red, transparent)", "rgba(255,0,0,0.5)"),
        ("color-mix(in srgb, color-mix(in srgb, white, black), black)", "#404040"),
        ("light-dark(red, blue)", "#ff0000"),
    ],
)
def test_mixtures(token: str, expected: str) -> None:
    """color-mix() is worked out in the space it names, with premultiplied alpha and the hue arc asked for."""
    assert normal(token) == expected


@pytest.mark.parametrize(
    "token",
    ["", "#12", "#12345", "#ggg", "#ff0000;", "ff0000", "foo", "null", "red;", "none none", "url(#a)"],
)
def test_invalid_words_and_hashes_are_none(token: str) -> None:
    """What CSS calls invalid gives None, so that its declaration can be dropped."""
    assert parse_colour(token) is None


@pytest.mark.parametrize(
    "token",
    [
        "rgb(1, 2)",
        "rgb(50%, 20, 10)",
        "rgb(1 2 3",
        "rgb(1 2 3 4)",
        "hsl(120, 50, 50)",
        "hwb(1, 2%, 3%)",
        "lab(1, 2, 3)",
        "oklch(1 1 50%)",
        "color(nospace 1 1 1)",
        "color-mix(red, blue)",
        "color-mix(in srgb, red)",
        "color-mix(in srgb, red, nocolour)",
    ],
)
def test_invalid_functions_are_none(token: str) -> None:
    """Functions with the wrong arguments are invalid too."""
    assert parse_colour(token) is None


@pytest.mark.parametrize(
    ("token", "kind", "text"),
    [
        ("currentcolor", "currentcolor", "currentColor"),
        ("CURRENTCOLOR", "currentcolor", "currentColor"),
        ("None", "none", "none"),
        ("INHERIT", "inherit", "inherit"),
        ("initial", "initial", "initial"),
        ("revert", "unset", "unset"),
        ("Transparent", "transparent", "transparent"),
        ("context-fill", "context-fill", "context-fill"),
    ],
)
def test_keywords_keep_their_meaning(token: str, kind: str, text: str) -> None:
    """Keywords are recognised in any letter case and written in the one that every rasteriser reads."""
    colour = parse_colour(token)
    assert colour is not None
    assert (colour.kind, colour.text) == (kind, text)


@pytest.mark.parametrize(
    "token", ["rgb(from red r g b)", "color-mix(in srgb, currentColor, red)", "rgb(calc(1 + 2) 0 0)", "device-cmyk(0 1 1 0)"]
)
def test_colours_that_depend_on_others_are_unresolved(token: str) -> None:
    """A valid colour that cannot be worked out here is neither guessed nor called invalid."""
    colour = parse_colour(token)
    assert colour is not None
    assert (colour.kind, colour.exact) == ("unresolved", False)


@pytest.mark.parametrize("token", ["color(display-p3 1 0 0)", "oklch(0.7 0.4 150)", "lab(50% 120 -120)", "color(srgb 1.2 0 0)"])
def test_colours_outside_srgb_come_in_and_say_so(token: str) -> None:
    """A colour outside sRGB is brought in, marked as not exact, with the reason."""
    colour = parse_colour(token)
    assert colour is not None
    assert (colour.kind, colour.exact) == ("colour", False)
    assert "outside sRGB" in colour.note


def test_cutting_chroma_keeps_the_hue() -> None:
    """A green far outside sRGB comes in as a green of the same OKLCH hue, within the step of 8-bit colour."""
    colour = parse_colour("oklch(0.7 0.4 150)")
    assert colour is not None
    hue = convert((colour.r / 255, colour.g / 255, colour.b / 255), "srgb", "oklch")[2]
    assert hue == pytest.approx(150, abs=1)


def test_system_colours_have_no_fixed_value() -> None:
    """A system colour gets a conventional value and is marked as not exact."""
    colour = parse_colour("CanvasText")
    assert colour is not None
    assert (colour.hex, colour.exact) == ("#000000", False)
    assert SYSTEM["canvas"] == "#ffffff"


def test_named_colours_agree_with_another_parser() -> None:
    """All 148 names have the value that tinycss2 (its own table of CSS Color 4) gives them."""
    assert len(NAMED) == 148
    for name, expected in NAMED.items():
        other = color4.parse_color(name)
        assert expected == "#" + "".join(f"{round(channel * 255):02x}" for channel in other.coordinates)


@given(st.integers(0, 360), st.integers(0, 100), st.integers(0, 100))
def test_hsl_agrees_with_another_parser(hue: int, saturation: int, light: int) -> None:
    """hsl() gives what tinycss2 works out by the standard library's HLS formula, within one rounding."""
    token = f"hsl({hue}, {saturation}%, {light}%)"
    ours, other = parse_colour(token), color4.parse_color(token).to("srgb")
    assert ours is not None
    for mine, theirs in zip((ours.r, ours.g, ours.b), other.coordinates, strict=True):
        assert abs(mine - theirs * 255) <= 0.5 + 1e-6


@given(st.sampled_from(sorted(SPACES)), st.tuples(*[st.floats(0.02, 0.98)] * 3))
def test_spaces_there_and_back(space: str, rgb: tuple[float, float, float]) -> None:
    """A colour converted to any space and back is the same colour."""
    back = convert(convert(rgb, "srgb", space), space, "srgb")
    assert back == pytest.approx(rgb, abs=1e-6)


@given(st.integers(0, 0xFFFFFF), st.floats(0, 1))
def test_normal_form_is_a_fixed_point(value: int, alpha: float) -> None:
    """Reading the normal form and writing it again changes nothing."""
    text = colour_text(f"#{value:06x}", alpha)
    assert normal(text) == text


@pytest.mark.parametrize("byte", range(256))
def test_eight_bit_alpha_survives_as_decimal(byte: int) -> None:
    """The decimal alpha written for a hex alpha rounds back to the same byte."""
    assert int(float(alpha_text(byte / 255)) * 255 + 0.5) == byte
