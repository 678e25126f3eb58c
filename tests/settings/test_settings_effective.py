"""What of the settings applies to one artwork on one product."""

from __future__ import annotations

import pickle

import pytest

from vectorprep.settings import ArtworkSettings, Settings, effective, load_settings

TEXT = """
garment_size = "L"
faces = "left"
accept = ["stray-ink"]
locked_inks = ["#ffcc00"]
keyline_mm = 0.5

[on.mug]
faces = "right"
nudge = ["1mm", "0mm"]
single_ink = "#111111"

[artworks.fox]
title = "Fox"
garment_size = "S"
scale = 0.5
nudge = ["2mm", "0mm"]
accept = ["dot-too-small"]
locked_inks = ["#00ccff"]
treatments = ["keyline", "shift"]
single_ink = ""

[artworks.fox.on.mug]
width = "70mm"
nudge = ["3mm", "0mm"]

[artworks.fox.colours]
"#000000" = "#101010"
"#222222" = "#202020"

[artworks.fox.colours.dark]
"#000000" = "#eeeeee"

[artworks.fox.colours.navy]
"#000000" = "#ffffff"

[artworks.fox.variants]
dark = "fox-dark.svg"
navy = "fox-navy.svg"

[artworks.owl]
keyline = false
"""
SETTINGS = load_settings(TEXT, "vectorprep.toml")


def test_without_settings_the_defaults_hold() -> None:
    """An unknown artwork of an empty file gets every default."""
    assert effective(Settings(), "anything", "mug") == ArtworkSettings()


@pytest.mark.parametrize(
    ("artwork", "product", "faces", "nudge", "size"),
    [
        ("owl", "tee", "left", 0.0, "L"),
        ("owl", "mug", "right", 1.0, "L"),
        ("fox", "tee", "left", 2.0, "S"),
        ("fox", "mug", "right", 3.0, "S"),
        ("fox", "", "left", 2.0, "S"),
    ],
)
def test_the_nearer_table_wins(artwork: str, product: str, faces: str, nudge: float, size: str) -> None:
    """One drawing on one product, one drawing, one product, the top of the file: in this order, key by key."""
    found = effective(SETTINGS, artwork, product)
    assert (found.faces, found.nudge_mm[0], found.garment_size) == (faces, nudge, size)


def test_a_nearer_width_beats_a_scale_farther_off() -> None:
    """Width and scale are one choice: on the mug the scale of the drawing no longer holds."""
    on_tee, on_mug = effective(SETTINGS, "fox", "tee"), effective(SETTINGS, "fox", "mug")
    assert (on_tee.width_mm, on_tee.scale) == (None, 0.5)
    assert (on_mug.width_mm, on_mug.scale) == (70.0, 1.0)


def test_lists_of_what_is_accepted_and_locked_add_up() -> None:
    """Those of the whole file hold for each drawing as well."""
    found = effective(SETTINGS, "fox", "tee")
    assert found.accept == ("stray-ink", "dot-too-small")
    assert found.locked_inks == ("#ffcc00", "#00ccff")


def test_a_choice_can_be_taken_back() -> None:
    """An empty ink of the drawing undoes the one ink of the product."""
    assert effective(SETTINGS, "owl", "mug").single_ink == "#111111"
    assert effective(SETTINGS, "fox", "mug").single_ink == ""


def test_a_keyline_that_is_forbidden_leaves_the_ladder() -> None:
    """The other rungs stay in their order."""
    assert effective(SETTINGS, "owl", "tee").treatments == ("neutral-swap", "shift")
    assert effective(SETTINGS, "fox", "tee").treatments == ("keyline", "shift")


@pytest.mark.parametrize(
    ("blank", "group", "black"), [("white", "pale", "#101010"), ("forest", "dark", "#eeeeee"), ("navy", "dark", "#ffffff")]
)
def test_inks_are_mapped_by_the_nearest_table(blank: str, group: str, black: str) -> None:
    """The blank beats its group, that beats all; an ink named only for all is kept."""
    mapping = effective(SETTINGS, "fox", "tee").colours_for(blank, group)
    assert mapping == {"#000000": black, "#222222": "#202020"}


@pytest.mark.parametrize(
    ("blank", "group", "file"), [("navy", "dark", "fox-navy.svg"), ("black", "dark", "fox-dark.svg"), ("white", "pale", "")]
)
def test_a_drawn_variant_is_found_by_blank_then_group(blank: str, group: str, file: str) -> None:
    """No variant is an empty name."""
    assert effective(SETTINGS, "fox", "tee").variant_for(blank, group) == file


def test_settings_travel_between_processes() -> None:
    """They pickle, compare and hash."""
    copy = pickle.loads(pickle.dumps(SETTINGS))
    assert copy == SETTINGS
    assert hash(copy) == hash(SETTINGS)


def test_a_plate_is_asked_for_on_any_level() -> None:
    """Off by default; the top of the file, a product and an artwork may turn it on."""
    assert not effective(Settings(), "owl", "mug").plate
    stated = load_settings("plate = true\n[artworks.fox]\nplate = false\n", "vectorprep.toml")
    assert effective(stated, "owl", "mug").plate
    assert not effective(stated, "fox", "mug").plate
