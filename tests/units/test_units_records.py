"""The typed getters over TOML tables."""

from __future__ import annotations

import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vectorprep.errors import RecordError
from vectorprep.records import Faults, Table, line_numbers, nearest, parse_table


def opened(text: str) -> tuple[Table, Faults]:
    """The root table of a text that is TOML."""
    faults = Faults()
    table = parse_table(text, "a.toml", faults)
    assert table is not None
    return table, faults


def shown(faults: Faults) -> list[str]:
    """Faults as a person reads them, without remedies."""
    return [f"{fault.where}: {fault.message}" for fault in faults.listed()]


def test_unknown_keys_come_before_wrong_values_before_missing_ones() -> None:
    """The order of faults does not depend on the order of reading."""
    table, faults = opened("nmae = 'x'\nwidth = 'wide'\n")
    table.text("name")
    table.number("width", low=0, high=1)
    table.finish()
    assert shown(faults) == [
        "a.toml:1: unknown key nmae",
        'a.toml:2: width is "wide", not a number',
        "a.toml: name is missing",
    ]
    assert faults.listed()[0].fix == "did you mean name?"


def test_a_number_outside_its_limits_names_figure_and_limits() -> None:
    """The message holds what was written and what is allowed."""
    table, faults = opened("[file]\nresolution_ppi = 30\n")
    child = table.table("file")
    assert child is not None
    child.number("resolution_ppi", low=72, high=1200)
    assert shown(faults) == ["a.toml:2: file.resolution_ppi is 30, outside 72..1200"]


@pytest.mark.parametrize("written", ["true", '"12"', "nan", "inf", "1" + "0" * 400, "[1]", "{ a = 1 }"])
def test_what_is_no_finite_number_is_a_fault(written: str) -> None:
    """Truth values, texts, lists, and numbers beyond the range of floats are refused."""
    table, faults = opened(f"width = {written}")
    table.number("width", low=0, high=10)
    assert len(faults.listed()) == 1


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('x = "5"', 'x is "5", not a length'),
        ("x = 5", "x is 5, not a length"),
        ('x = "5 parsec"', 'x is "5 parsec", not a length'),
        ('x = "900in"', 'x is "900in" = 22860 mm, outside 0..1000 mm'),
    ],
)
def test_a_length_needs_a_number_a_unit_and_sense(text: str, message: str) -> None:
    """A length without unit, of an unknown unit or beyond its limits is named as written."""
    table, faults = opened(text)
    table.length_mm("x", low=0, high=1000)
    assert shown(faults) == [f"a.toml:1: {message}"]


def test_lengths_are_read_in_the_unit_of_the_writer() -> None:
    """12 in are 304.8 mm (published: CSS Values and Units, 1 in = 25.4 mm)."""
    table, faults = opened('x = "12in"\ny = ["30mm", "-1 cm"]')
    assert table.length_mm("x", low=0, high=1000) == 304.8
    assert table.lengths_mm("y", (0, 0), low=-100, high=100) == (30.0, -10.0)
    assert not faults


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("x = 3", "x is 3, not a text"),
        ('x = "red"', 'x is "red", not a colour'),
        ('x = "#12345g"', 'x is "#12345g", not a colour'),
    ],
)
def test_a_colour_is_six_digits(text: str, message: str) -> None:
    """Names and short forms are refused, so that one notation holds everywhere."""
    table, faults = opened(text)
    table.colour("x")
    assert shown(faults) == [f"a.toml:1: {message}"]


def test_a_list_names_each_thing_once() -> None:
    """Doubles and unknown words are faults with the nearest known word."""
    table, faults = opened('x = ["navy", "navvy", "navy"]')
    table.texts("x", choices=("navy", "white"))
    assert [fault.fix for fault in faults.listed()] == ["did you mean navy?", "name each once"]


@pytest.mark.parametrize(("value", "kind"), [("1.5", "a whole number"), ("true", "a whole number")])
def test_a_whole_number_is_whole(value: str, kind: str) -> None:
    """Neither fractions nor truth values count."""
    table, faults = opened(f"jobs = {value}")
    table.integer("jobs", low=0, high=9)
    assert kind in shown(faults)[0]


def test_a_range_is_written_with_its_smaller_figure_first() -> None:
    """A range the wrong way round is a fault."""
    table, faults = opened("x = [5, 2]")
    table.maybe_pair("x", low=0, high=10, rising=True)
    assert "the larger figure first" in shown(faults)[0]


def test_text_that_is_not_toml_is_one_fault_with_its_line() -> None:
    """A broken file names the line where reading stopped."""
    faults = Faults()
    assert parse_table("a = 1\nb = [\n", "a.toml", faults) is None
    assert shown(faults)[0].startswith("a.toml:")
    assert "not TOML" in shown(faults)[0]


def test_a_table_nested_without_end_is_a_fault_and_no_crash() -> None:
    """Ten thousand opening brackets are refused."""
    faults = Faults()
    assert parse_table("a = " + "[" * 10_000, "a.toml", faults) is None
    assert len(faults.listed()) == 1


def test_a_byte_order_mark_is_no_fault() -> None:
    """Editors that begin files with one are served."""
    table, faults = opened("\ufeffname = 'x'")
    assert table.text("name") == "x"
    assert not faults


def test_lines_of_keys_are_found_under_quoted_and_dotted_headers() -> None:
    """The scan knows headers, dotted keys and quoted keys."""
    lines = line_numbers('a = 1\n[artworks."fox 2.1"]\n"#fff" = 2\nb.c = 3\n')
    assert lines[("a",)] == 1
    assert lines[("artworks", "fox 2.1")] == 2
    assert lines[("artworks", "fox 2.1", "#fff")] == 3
    assert lines[("artworks", "fox 2.1", "b", "c")] == 4


def test_a_key_inside_an_inline_table_is_placed_at_its_line() -> None:
    """Where the scan cannot see a key it names the line of the table around it."""
    table, faults = opened("a = 1\nb = { c = 'x' }\n")
    child = table.table("b")
    assert child is not None
    child.number("c", low=0, high=1)
    assert shown(faults) == ['a.toml:2: b.c is "x", not a number']


def test_a_table_over_another_keeps_what_it_does_not_state() -> None:
    """Tables are merged key by key, deep down too."""
    table, _faults = opened("[file]\nsize = 1\n")
    full = table.over({"name": "x", "file": {"size": 2, "kind": "png"}})
    assert full.values == {"name": "x", "file": {"size": 1, "kind": "png"}}


def test_faults_of_several_files_stay_together_and_cross_processes() -> None:
    """The error keeps each fault, also when pickled."""
    faults = Faults()
    for file in ("a.toml", "b.toml"):
        table = parse_table("x = 1", file, faults)
        assert table is not None
        table.text("name")
        table.finish()
    with pytest.raises(RecordError) as caught:
        faults.raise_if_any()
    copy = pickle.loads(pickle.dumps(caught.value))
    assert [fault.where for fault in copy.faults] == ["a.toml:1", "a.toml", "b.toml:1", "b.toml"]


def test_control_characters_of_a_file_are_shown_as_escapes() -> None:
    """A value or key that holds a terminal sequence is named without sending it."""
    table, faults = opened('x = "\\u001b[2J"\n["\\u001bkey"]\ny = 1\n')
    table.colour("x")
    child = table.table("\x1bkey")
    assert child is not None
    child.text("y")
    assert all(line.isprintable() for line in shown(faults))
    assert "x1b[2J" in shown(faults)[0]


@pytest.mark.parametrize(
    ("word", "known", "remedy"),
    [
        ("resolution_ppl", ("resolution_ppi", "name"), "did you mean resolution_ppi?"),
        ("Navy", ("navy",), "did you mean navy?"),
        ("zzz", ("a", "b"), "use one of a, b"),
        ("zzz", (), "remove it"),
    ],
)
def test_the_nearest_known_word_is_offered(word: str, known: tuple[str, ...], remedy: str) -> None:
    """A near word is suggested, else the few known ones, else removal."""
    assert nearest(word, known) == remedy


@settings(deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text whatever crashes the reader."""
    faults = Faults()
    table = parse_table(text, "a.toml", faults)
    assert (table is None) == bool(faults)
