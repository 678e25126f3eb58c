"""A settings file becomes one record, or one error with every fault."""

from __future__ import annotations

import re

import pytest

from vectorprep.errors import RecordError
from vectorprep.settings import STARTER, Choices, Known, PrintSize, Settings, effective, load_settings

KNOWN = Known(
    products=("mug-11oz-wrap-sub", "tee-adult-front-dtg"),
    blanks=("white", "navy"),
    garment_sizes=("S", "M", "XL"),
    checks=("contrast-hue-only", "stray-ink"),
)


def faults_of(text: str, known: Known | None = None) -> list[str]:
    """Every fault of a text, with its remedy."""
    with pytest.raises(RecordError) as caught:
        load_settings(text, "vectorprep.toml", known=known)
    return [f"{fault.where}: {fault.message} | {fault.fix}" for fault in caught.value.faults]


def switched_on(text: str) -> str:
    """The starter file with every line of settings switched on."""
    return re.sub(r'^# (?=(?:[a-z_]+|"#[0-9a-f]{6}") = |\[)', "", text, flags=re.MULTILINE)


def test_an_empty_file_changes_nothing() -> None:
    """All defaults hold."""
    assert load_settings("", "") == Settings()


def test_the_starter_file_is_all_comments() -> None:
    """As written it changes nothing."""
    assert load_settings(STARTER, "") == Settings()


def test_every_line_of_the_starter_file_can_be_switched_on() -> None:
    """Each key it shows exists and takes the value shown."""
    settings = load_settings(switched_on(STARTER), "vectorprep.toml")
    assert settings.products[0] == "tee-adult-front-dtg"
    assert dict(settings.by_product)["mug-11oz-wrap-sub"].nudge_mm == (0.0, -3.0)
    artwork = dict(settings.by_artwork)["fox_camp-fire"]
    assert artwork.title == "Fox by the Fire"
    assert artwork.choices.size == PrintSize(width_mm=228.6)
    assert artwork.colours == (("dark", (("#3b2a1a", "#f4e2c8"),)),)
    assert artwork.variants == (("navy", "fox-light.svg"),)
    assert dict(artwork.on)["mug-11oz-wrap-sub"].size == PrintSize(width_mm=70.0)


def test_the_starter_file_shows_every_key() -> None:
    """No key of the whole file or of a drawing is missing from it."""
    text = switched_on(STARTER)
    keys = set(re.findall(r"^# ?([a-z_]+) = |^([a-z_]+) = ", text, flags=re.MULTILINE))
    shown = {first or second for first, second in keys}
    stated = set(Choices.__dataclass_fields__) - {"size", "nudge_mm"}
    assert stated <= shown
    assert {
        "products",
        "profiles",
        "fonts",
        "engine",
        "jobs",
        "strict",
        "fail_on",
        "accept",
        "locked_inks",
        "title",
        "width",
    } <= shown


def test_lengths_are_read_as_people_write_them() -> None:
    """Inches and millimetres side by side (published: CSS Values and Units, 1 in = 25.4 mm)."""
    settings = load_settings('[artworks.fox]\nwidth = "9in"\nnudge = ["-5mm", "0.5 in"]\n', "a")
    choices = dict(settings.by_artwork)["fox"].choices
    assert choices.size == PrintSize(width_mm=228.6)
    assert choices.nudge_mm == (-5.0, 12.7)


def test_the_own_size_of_a_drawing_can_be_asked_for() -> None:
    """`width = "original"` is no length and yet fine."""
    settings = load_settings('[artworks.fox]\nwidth = "original"\n', "a")
    assert dict(settings.by_artwork)["fox"].choices.size == PrintSize(is_original=True)


def test_an_artwork_may_be_named_with_its_extension() -> None:
    """The table of `fox.svg` is that of `fox`."""
    assert dict(load_settings('[artworks."fox.svg"]\ntitle = "F"\n', "a").by_artwork)["fox"].title == "F"


def test_colours_may_be_mapped_for_all_blanks_and_for_some() -> None:
    """Ink to ink at the top, blanks and groups as tables below."""
    text = '[artworks.fox.colours]\n"#ABCDEF" = "#123456"\n[artworks.fox.colours.dark]\n"#000000" = "#ffffff"\n'
    colours = dict(load_settings(text, "a").by_artwork)["fox"].colours
    assert colours == (("all", (("#abcdef", "#123456"),)), ("dark", (("#000000", "#ffffff"),)))


def test_every_fault_is_named_at_once_unknown_keys_first() -> None:
    """Each with its line, its dotted path and the nearest known key."""
    text = 'prodcuts = ["a"]\njobs = true\n[artworks."fox 2"]\nwidht = "9in"\nnudge = ["1in", 2]\n'
    assert faults_of(text) == [
        "vectorprep.toml:1: unknown key prodcuts | did you mean products?",
        'vectorprep.toml:4: unknown key artworks."fox 2".widht | did you mean width?',
        "vectorprep.toml:2: jobs is true, not a whole number | write jobs = 0",
        'vectorprep.toml:5: artworks."fox 2".nudge is 2, not a length | write nudge = "12in" or "300mm"',
    ]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ('canvas = "triimmed"', "did you mean trimmed?"),
        ('fail_on = "errors"', "did you mean error?"),
        ('standard_light = "white"', "not a colour"),
        ('locked_inks = ["#fff"]', "not a colour"),
        ('treatments = ["neutral swap"]', "did you mean neutral-swap?"),
        ("preview_long_side_px = 5", "outside 16..20000"),
        ("shift_cap = 200", "outside 0..100"),
        ("keyline_mm = 50", "outside 0.1..10"),
        ('width = "9in"', "unknown key width"),
        ('[products.mug]\nfaces = "both"', "settings of one product stand under [on.KEY]"),
        ('[on.mug]\ntitle = "x"', "unknown key on.mug.title"),
        ('[artworks.fox]\nscale = 2\nwidth = "9in"', "only one of them can hold"),
        ("[artworks.fox]\nscale = 0", "outside 0.01..10"),
        ('[artworks.fox]\nwidth = "9"', "not a length"),
        ('[artworks.fox]\nwidth = "9km"', "not a length"),
        ('[artworks.fox]\nwidth = "0.1mm"', "outside 1..5000 mm"),
        ("[artworks.fox]\nnudge = '1in'", "not a list of 2 lengths"),
        ('[artworks.fox]\nvariants = { navy = "fox.png" }', "not the name of a drawing"),
        ('[artworks.fox]\ncolours = { red = "#ffffff" }', 'holds "red", not a colour'),
        ('[artworks.fox]\ncolours = { "#ff0000" = "white" }', 'is "white", not a colour'),
        ("[artworks.fox]\n[artworks.'fox.svg']", "is stated twice"),
        ("artworks = 3", "not a table"),
        ("artworks = { fox = 3 }", "not a table"),
        ("on = { mug = 3 }", "not a table"),
    ],
)
def test_a_wrong_setting_is_named(text: str, fault: str) -> None:
    """Exactly one fault, and it says what is wrong."""
    faults = faults_of(text)
    assert len(faults) == 1
    assert fault in faults[0]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ('products = ["mug-11oz-wrap"]', "did you mean mug-11oz-wrap-sub?"),
        ('blanks = ["navvy"]', "did you mean navy?"),
        ('garment_size = "XM"', "did you mean M?"),
        ('accept = ["stray-inks"]', "did you mean stray-ink?"),
        ('[on.mug-11oz]\nfaces = "both"', "did you mean mug-11oz-wrap-sub?"),
        ('[artworks.fox.colours.nvy]\n"#000000" = "#ffffff"', "did you mean navy?"),
        ('[artworks.fox]\nvariants = { nvy = "a.svg" }', "did you mean navy?"),
        ('[artworks.fox]\nproducts = ["tee"]', "use one of mug-11oz-wrap-sub, tee-adult-front-dtg"),
    ],
)
def test_keys_of_the_run_are_checked_once_they_are_known(text: str, fault: str) -> None:
    """Without the keys the text passes, with them the unknown one is named."""
    load_settings(text, "a")
    faults = faults_of(text, KNOWN)
    assert len(faults) == 1
    assert fault in faults[0]


def test_groups_and_colours_are_blanks_too() -> None:
    """pale, dark, all and any #rrggbb need no entry in the list of blanks."""
    settings = load_settings('blanks = ["pale", "dark", "all", "navy", "#AABBCC"]', "a", known=KNOWN)
    assert settings.choices.blanks == ("pale", "dark", "all", "navy", "#aabbcc")


def test_spot_inks_are_names_with_a_colour_each() -> None:
    """Their order is kept; a wrong colour, a colour twice, an empty name and too many inks are faults."""
    settings = load_settings('[spot_inks]\n"Signal red" = "#B3202C"\nSand = "#f2c878"\n', "vectorprep.toml", known=KNOWN)
    assert settings.choices.spot_inks == (("Signal red", "#b3202c"), ("Sand", "#f2c878"))
    (red,) = faults_of('spot_inks = { Red = "red" }', KNOWN)
    assert "Red" in red
    (twice,) = faults_of('spot_inks = { A = "#b3202c", B = "#b3202c" }', KNOWN)
    assert "another ink" in twice
    (empty,) = faults_of('spot_inks = { " " = "#b3202c" }', KNOWN)
    assert "no name" in empty
    (many,) = faults_of("spot_inks = {" + ", ".join(f'i{at} = "#0000{at:02x}"' for at in range(13)) + "}", KNOWN)
    assert "13 inks" in many


def test_licences_of_an_artwork_are_those_of_its_assets() -> None:
    """A named asset takes its table's words; one without a table is unrecorded; without names there is nothing."""
    text = """
licences_required = true
[licences."Some Typeface"]
status = "ok"
licence = "OFL-1.1"
commercial_goods = false
[artworks.fox]
assets = ["some typeface", "A Photograph"]
"""
    settings = load_settings(text, "vectorprep.toml")
    record = effective(settings, "fox").licences
    assert [(one.name, one.status, one.is_for_goods) for one in record.assets] == [
        ("Some Typeface", "ok", False),
        ("A Photograph", "unrecorded", True),
    ]
    assert effective(settings, "owl").licences.assets == ()
    assert effective(settings, "owl").licences.is_required
