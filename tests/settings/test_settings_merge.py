"""Decisions laid into a settings file."""

from __future__ import annotations

import pytest

from vectorprep.errors import RecordError
from vectorprep.settings import effective, load_settings
from vectorprep.settings.merge import merged

FILE = """\
# my shop
garment_size = "L"

[artworks."fox fire"]
accept = ["ink-fades"] # seen
scale = 0.8

[artworks."fox fire".on.tee]
scale = 0.9
"""
SNIPPET = """\
[artworks."fox fire"]
decided_for = "abc"
accept = ["ink-fades", "part-fades"]
[artworks."fox fire".on.tee]
width = "279.4mm"
[artworks.owl]
background = "drop"
"""


def test_decisions_win_and_the_rest_is_kept() -> None:
    """Comments, order and other keys stay; new tables and values are there."""
    text, changes = merged(FILE, SNIPPET, where="vectorprep.toml", snippet="decisions.toml")
    assert text.startswith('# my shop\ngarment_size = "L"\n')
    settings = load_settings(text, "vectorprep.toml")
    fox = effective(settings, "fox fire", "tee")
    assert (fox.accept, fox.decided_for, fox.width_mm) == (("ink-fades", "part-fades"), "abc", 279.4)
    assert effective(settings, "owl").background == "drop"
    assert len(changes) == 5


def test_a_width_takes_the_place_of_a_scale_in_its_own_table_only() -> None:
    """Both in one table would be a fault; the scale of the whole drawing stays."""
    text, _ = merged(FILE, SNIPPET, where="a", snippet="b")
    settings = load_settings(text, "a")
    assert effective(settings, "fox fire", "mug").scale == 0.8
    assert "scale = 0.9" not in text


def test_the_same_decisions_twice_change_nothing() -> None:
    """Merging is done once."""
    text, _ = merged(FILE, SNIPPET, where="a", snippet="b")
    assert merged(text, SNIPPET, where="a", snippet="b") == (text, [])


def test_an_empty_file_is_begun() -> None:
    """Where there are no settings the decisions are the settings."""
    text, _ = merged("", SNIPPET, where="a", snippet="b")
    assert effective(load_settings(text, "a"), "owl").background == "drop"


@pytest.mark.parametrize(("file", "snippet"), [("a = [", SNIPPET), (FILE, "no toml"), ("artworks = 3", SNIPPET)])
def test_what_cannot_be_merged_is_said(file: str, snippet: str) -> None:
    """Broken TOML and a value in a table's place name the file."""
    with pytest.raises(RecordError, match=r"\.toml"):
        merged(file, snippet, where="vectorprep.toml", snippet="decisions.toml")
