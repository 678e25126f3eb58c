"""Listing records for a shop."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import vectorprep.report
from tests.report.invented_run import BLANKS, run
from vectorprep.report.listing import FIELDS, ListingWords, Shop, listing_csv, listing_jsonl, listing_records, unknown_fields

AWKWARD = ['Fox, "the" Fox', "two\nlines", "🦊 fox 👨‍👩‍👧", "semi; colon\ttab", "='cmd'!A1", "+1", "-1", "@home", "ümlaut | pipe"]
SCHEMA = json.loads((Path(str(vectorprep.report.__file__)).parent / "schemas" / "listing.schema.json").read_text("utf-8"))


def shop(title: str = "Fox", **words: Any) -> Shop:
    """A shop with one drawing."""
    return Shop(products={}, blanks=BLANKS, titles={"a0": title}, words={"a0": ListingWords(**words)})


def rows(text: str) -> list[dict[str, str]]:
    """The table as the standard library reads it."""
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_only_clear_blanks_are_offered_and_the_others_say_why() -> None:
    """Weak and lost blanks stand apart with verdict and words; a blank held back by the seller too."""
    record = listing_records(run(1), shop(not_offered={"tee": ("ash",)}))[0]
    assert [blank["key"] for blank in record["blanks_offered"]] == ["white", "navy"]
    assert {blank["key"]: blank["reason"].partition(":")[0] for blank in record["blanks_not_offered"]} == {
        "gold": "weak",
        "ash": "held back by you",
        "black": "lost",
    }


@pytest.mark.parametrize("title", AWKWARD)
def test_awkward_titles_keep_the_schema_and_come_back_whole(title: str) -> None:
    """Each line is valid by the shipped schema; json gives the title back, csv too, but for a quote before a formula."""
    records = listing_records(run(2), shop(title, tags=("fox", "camping"), notes=title))
    lines = listing_jsonl(records).split("\n")
    assert lines.pop() == ""
    for line in lines:
        jsonschema.Draft202012Validator(SCHEMA).validate(json.loads(line))
    expected = title.replace("\t", "")
    assert json.loads(lines[0])["title"] == expected
    cell = rows(listing_csv(records))[0]["title"]
    assert cell == (f"'{expected}" if expected[0] in "=+-@" else expected)


def test_the_schema_refuses_what_is_no_record() -> None:
    """A record without a title, or with a field that is not described, is not valid."""
    record = listing_records(run(1), shop())[0]
    for broken in ({key: value for key, value in record.items() if key != "title"}, {**record, "price": 3}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.Draft202012Validator(SCHEMA).validate(broken)


def test_the_schema_describes_every_field() -> None:
    """Fields of the table and of the schema are the same."""
    assert set(SCHEMA["properties"]) == {"schema", *FIELDS}


def test_no_cell_is_a_formula() -> None:
    """Whatever a cell begins with, a spreadsheet takes it for text (OWASP, CSV injection, from memory)."""
    records = listing_records(run(1), shop("=1+1", alt="@x", notes="-2", tags=("+3",)))
    for row in rows(listing_csv(records)):
        assert not [cell for cell in row.values() if cell[:1] in {"=", "+", "-", "@"}]


def test_columns_are_the_sellers_own() -> None:
    """Headings, order and texts with fields in them come from the settings."""
    columns = (("Product title", "{title}"), ("Details", "{notes} {printed_in} in"), ("Maker", "Lumbry Quay"))
    text = listing_csv(listing_records(run(1), shop(notes="Hello.")), columns)
    assert rows(text) == [{"Product title": "Fox", "Details": "Hello. 7.87 x 7.87 in", "Maker": "Lumbry Quay"}]


def test_a_column_of_a_field_that_is_not_there_is_named() -> None:
    """A misspelt field is found before anything is made."""
    assert unknown_fields((("A", "{title} {titel}"),)) == [("A", "titel")]


def test_files_of_the_first_offered_blank_come_first() -> None:
    """Pictures stand in the order of the blanks offered, and no print file is among them."""
    record = run(1)
    record["outputs"][1]["blanks"] = ["navy"]
    record["outputs"].append({**record["outputs"][1], "path": "first--preview.png", "blanks": ["white"]})
    made = listing_records(record, shop())[0]
    assert [picture["path"] for picture in made["pictures"]] == ["first--preview.png", "a0--tee--preview.png"]
    assert [file["path"] for file in made["print_files"]] == ["a0--tee.png"]


def test_product_pictures_come_first_and_what_the_printer_needs_is_no_picture() -> None:
    """A mask, a plate or a cut line never stands among the pictures of a listing; a product picture leads them with its alt."""
    record = run(1)
    first = record["outputs"][0]
    kinds = ("white-base-png", "separation-png", "paths-svg", "cut-svg", "pdf", "plate-png")
    record["outputs"] += [{**first, "kind": kind, "path": f"a0--tee.{kind}"} for kind in kinds]
    record["outputs"] += [
        {**first, "kind": "picture", "path": f"a0--{blank}.webp", "blanks": [blank], "alt": f"Drawing of a {blank} shirt"}
        for blank in ("navy", "white")
    ]
    made = listing_records(record, shop())[0]
    assert [(one["path"], one["alt"]) for one in made["pictures"]] == [
        ("a0--white.webp", "Drawing of a white shirt"),
        ("a0--navy.webp", "Drawing of a navy shirt"),
        ("a0--tee--preview.png", made["alt_text"]),
    ]
    assert [one["kind"] for one in made["print_files"]] == ["print-png", *kinds]
    jsonschema.Draft202012Validator(SCHEMA).validate(made)


def test_a_product_without_a_print_picture_has_its_size() -> None:
    """Plates and cut paths alone still say how large the print is."""
    record = run(1)
    record["outputs"] = [{**record["outputs"][0], "kind": "paths-svg", "path": "a0--tee--paths.svg"}]
    assert listing_records(record, shop())[0]["printed_mm"] == [200.0, 200.0]
