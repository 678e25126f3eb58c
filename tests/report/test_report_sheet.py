"""The review sheet: its order, its figures, its page."""

from __future__ import annotations

import json
import re
from typing import Any

from lxml import html

from tests.report.invented_run import artwork, pair, run, shelf
from vectorprep.report.page import review_page
from vectorprep.report.sheet import sheet_of


def page_of(record: dict[str, Any], **changes: Any) -> str:
    """The page of a run."""
    return review_page(sheet_of(record, shelf(record, **changes)))


def data_of(page: str) -> dict[str, Any]:
    """What the page's script reads."""
    found = re.search(r'id="data">(.*?)</script>', page, flags=re.DOTALL)
    assert found is not None
    return dict(json.loads(found.group(1)))


def test_the_worst_stands_first() -> None:
    """A refused drawing comes before a lost one, that before a clear one; lost before weak before clear in a row."""
    record = run(2)
    record["artworks"].append(
        artwork("z", status="refused", error={"code": "no-ink", "message": "no ink", "fix": "draw some"}),
    )
    for item in record["pairs"]:
        if item["artwork"] == "a0":
            item["verdict_after"] = "clear"
    sheet = sheet_of(record, shelf(record))
    assert [item["name"] for item in sheet["artworks"]] == ["z", "a1", "a0"]
    row = sheet["artworks"][1]["strips"][0]["pairs"]
    assert [item["state"] for item in row] == ["lost", "weak", "clear", "clear", "clear"]


def test_clear_after_a_change_is_told_apart_from_clear_as_drawn() -> None:
    """A treatment that helped is `changed`; an audit speaks of the drawing as it is."""
    record = run(1)
    record["pairs"] = [pair("a0", "navy", "lost", verdict_after="clear", treatment="keyline")]
    assert sheet_of(record, shelf(record))["counts"] == {"lost": 0, "weak": 0, "changed": 1, "clear": 0}
    record["verb"] = "audit"
    assert sheet_of(record, shelf(record))["counts"]["lost"] == 1


def test_the_headline_says_what_is_bad() -> None:
    """Lost and weak pairings are counted in the first sentence."""
    record = run(1)
    assert sheet_of(record, shelf(record))["headline"] == "1 pairing is lost and 1 pairing is weak; 3 of 5 can be seen."


def test_the_page_reads_as_a_table_without_script() -> None:
    """Inside noscript stands one row for each pairing, with its verdict in words and its picture's words."""
    text = re.search(r"<noscript>(.*)</noscript>", page_of(run(2)), flags=re.DOTALL)
    assert text is not None
    table = html.fromstring(text.group(1))
    assert len(table.findall(".//tbody/tr")) == 10
    assert {cell.text for cell in table.iterfind(".//tbody/tr/td[4]")} == {"lost", "weak", "clear"}
    pictures = table.findall(".//img")
    assert len(pictures) == 10
    assert all(image.get("alt") for image in pictures)


def test_a_hostile_title_stays_text() -> None:
    """A title that closes the script or opens an element does neither, and is read back as it was."""
    title = "</script><img src=x onerror=alert(1)>\u2028'\"&"
    record = run(1)
    page = page_of(record, titles={"a0": title})
    assert "<img src=x" not in page
    assert data_of(page)["artworks"][0]["title"].startswith("</script><img src=x onerror=alert(1)>")


def test_the_page_names_no_address() -> None:
    """Nothing in it begins with a scheme of the network, the namespace of SVG apart."""
    page = page_of(run(1)).replace("http://www.w3.org/2000/svg", "")
    assert re.findall(r"(?:https?:)?//[a-z0-9.]+\.[a-z]+", page) == []


def test_the_same_run_gives_the_same_page() -> None:
    """No clock and no chance stands in it."""
    assert page_of(run(3)) == page_of(run(3))


def test_paths_of_files_are_written_as_addresses() -> None:
    """A blank or a hash in a file name does not break its link."""
    record = run(1)
    record["outputs"][0]["path"] = "a b#c.png"
    strip = sheet_of(record, shelf(record))["artworks"][0]["strips"][0]
    assert strip["files"][0]["href"] == "a%20b%23c.png"


def test_half_characters_of_odd_file_names_do_not_stop_the_page() -> None:
    """A name that is no text becomes one."""
    record = run(1)
    record["artworks"][0]["path"] = "caf\udce9.svg"
    assert "caf?.svg" in page_of(record)
