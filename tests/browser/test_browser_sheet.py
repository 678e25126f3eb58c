"""The review sheet in a real browser, opened from disk: quick, walked by keys, without a fault of access, printed."""

from __future__ import annotations

import json
import os
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2 as pdfium
import pytest
from PIL import Image

from tests.browser.devtools import Browser, browser_path
from tests.report.invented_run import artwork, run, shelf
from vectorprep.model import Explanation
from vectorprep.report.page import review_page
from vectorprep.report.sheet import sheet_of

AXE = os.environ.get("VECTORPREP_AXE", "")
PAPERS_IN = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}  # ISO 216; ANSI/ASME Y14.1
PAINT_MS = 500
FILTER_MS = 150
LOADS = 10

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(browser_path() is None, reason="no Chromium here; set VECTORPREP_BROWSER to one"),
]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tests of this file."""
    with Browser() as started:
        yield started


@pytest.fixture(autouse=True)
def fresh(browser: Browser) -> None:
    """A window in daylight, nothing noted yet."""
    browser.look()
    browser.requests.clear()
    browser.complaints.clear()


def sheet_file(folder: Path, pairs: int, **changes: Any) -> Path:
    """A page of so many pairings with its picture, in an out folder of its own; a refused drawing stands first."""
    record = run(pairs // 5)
    error = {"code": "no-ink", "message": "nothing is painted", "fix": "show its layers"}
    record["artworks"].append(artwork("refused", status="refused", error=error))
    (folder / "review").mkdir()
    picture = Image.new("RGBA", (64, 64), "#22262f")
    picture.save(folder / "review" / "one.webp")
    text = Explanation(cause="A gap.", consequence="It closes.", remedy="Widen it.")
    page = review_page(sheet_of(record, shelf(record, explanations={"gap-too-narrow": text}, **changes)))
    path = folder / "review.html"
    path.write_text(page, encoding="utf-8")
    return path


def load(browser: Browser, path: Path) -> None:
    """Opens a page and waits for its first swatches: sections are filled as the browser finds them in view."""
    browser.open(path)
    browser.wait("document.querySelector('.swatch') !== null")


def shown(browser: Browser) -> str:
    """What the page says it shows."""
    return str(browser.value("document.getElementById('status').textContent"))


def focused(browser: Browser) -> list[str]:
    """Key of the swatch in focus: artwork, product, blank."""
    return str(browser.value("document.activeElement.dataset.key || ''")).split("\t")


def painted_ms(browser: Browser, path: Path) -> float:
    """First contentful paint of a load."""
    browser.open(path)
    browser.wait("performance.getEntriesByName('first-contentful-paint').length > 0")
    return float(browser.value("performance.getEntriesByName('first-contentful-paint')[0].startTime"))


def filtered_ms(browser: Browser) -> float:
    """The slowest of three filters, laid out."""
    steps = (
        "document.querySelector('.tape [data-state=lost]').click()",
        "document.querySelector('.tape [data-state=lost]').click()",
        "(() => { const n = document.getElementById('name'); n.value = 'A1'; n.dispatchEvent(new Event('input')); })()",
    )
    timed = "(() => {{ const t = performance.now(); {}; document.body.offsetHeight; return performance.now() - t; }})()"
    return max(float(browser.value(timed.format(step))) for step in steps)


@pytest.mark.parametrize("pairs", [10, 400, 2000])
def test_it_paints_in_half_a_second_and_filters_in_150_ms(browser: Browser, tmp_path: Path, pairs: int) -> None:
    """Both hold in the best of ten loads: other work on the machine only ever adds to a time."""
    path = sheet_file(tmp_path, pairs)
    paint = filtering = float("inf")
    for _ in range(LOADS):
        paint = min(paint, painted_ms(browser, path))
        filtering = min(filtering, filtered_ms(browser))
        if paint < PAINT_MS and filtering < FILTER_MS:
            break
    assert paint < PAINT_MS
    assert filtering < FILTER_MS
    assert browser.complaints == []


def test_it_asks_nothing_but_its_own_pictures(browser: Browser, tmp_path: Path) -> None:
    """Every request is for the page or a picture beside it."""
    path = sheet_file(tmp_path, 10)
    load(browser, path)
    browser.wait("document.images.length && [...document.images].every((image) => image.complete && image.naturalWidth === 64)")
    assert {url for url in browser.requests if url != "about:blank"} == {path.as_uri(), (tmp_path / "review" / "one.webp").as_uri()}


def test_filters_stand_in_the_address_and_come_back_from_it(browser: Browser, tmp_path: Path) -> None:
    """A loaded address shows what was filtered, and a filter writes it."""
    path = sheet_file(tmp_path, 400)
    browser.open(path, "#verdict=lost&name=A7")
    assert shown(browser) == "11 of 400 pairings, 11 drawings; worst first."
    browser.value("document.getElementById('reset').click()")
    assert shown(browser) == "All 400 pairings, 81 drawings; worst first."
    assert browser.value("location.hash") in {"", "#"}
    browser.value("document.querySelector('.tape [data-state=weak]').click()")
    assert browser.value("location.hash") == "#verdict=weak"
    assert shown(browser) == "80 of 400 pairings, 80 drawings; worst first."


def test_the_list_is_walked_and_opened_by_keys_alone(browser: Browser, tmp_path: Path) -> None:
    """Arrows along and between rows, n to what is bad, Enter opens, Tab goes in, Escape closes and gives the focus back."""
    load(browser, sheet_file(tmp_path, 400))
    browser.value("document.querySelector('.swatch').focus()")
    assert focused(browser) == ["a0", "tee", "black"]
    browser.press("ArrowRight")
    assert focused(browser) == ["a0", "tee", "gold"]
    browser.press("ArrowDown")
    assert focused(browser) == ["a1", "tee", "black"]
    browser.press("n")
    assert focused(browser) == ["a1", "tee", "gold"]
    browser.press("Enter")
    assert browser.value("document.querySelector('.bench').getAttribute('aria-label')") == "A1 on Gold, tee"
    browser.press("Tab")
    assert browser.value("document.querySelector('.bench').contains(document.activeElement)")
    browser.press("Escape")
    assert browser.value("document.querySelector('.bench')") is None
    assert focused(browser) == ["a1", "tee", "gold"]
    browser.press("/")
    assert browser.value("document.activeElement.id") == "name"


def test_keys_do_nothing_outside_the_list(browser: Browser, tmp_path: Path) -> None:
    """A letter typed into the name field is a letter (WCAG 2.2, 2.1.4)."""
    browser.open(sheet_file(tmp_path, 10))
    browser.value("document.getElementById('name').focus()")
    browser.press("n")
    assert browser.value("document.getElementById('name').value") == "n"
    assert browser.value("document.activeElement.id") == "name"


def test_places_of_findings_are_ringed_in_the_picture(browser: Browser, tmp_path: Path) -> None:
    """The place (40..60, 40..70) mm of the print lies at the left of a picture that begins at (50, 20) mm."""
    load(browser, sheet_file(tmp_path, 10))
    browser.value("document.querySelector('.swatch').click()")
    ring = browser.value(
        "(() => { const e = document.querySelector('.rings ellipse'); return [e.cx, e.cy].map((one) => one.baseVal.value); })()"
    )
    assert ring == [pytest.approx((0 + 10) / 2 * 64 / 200), pytest.approx((20 + 50) / 2 * 64 / 200)]


def test_decisions_become_settings_text(browser: Browser, tmp_path: Path) -> None:
    """What is decided is TOML that says so, tied to the drawing, and survives a reload."""
    path = sheet_file(tmp_path, 10)
    load(browser, path)
    browser.value("document.querySelector('.swatch').click()")
    press = "[...document.querySelectorAll('.bench button')].find((one) => one.textContent === '{}').click()"
    for word in ("larger", "higher", "higher"):
        browser.value(press.format(word))
    browser.value(
        "[...document.querySelectorAll('.bench label')].find((one) => one.textContent === 'accept gap-too-narrow').click()"
    )
    browser.value(
        "[...document.querySelectorAll('.bench label')].find((one) => one.textContent.startsWith('do not offer')).click()"
    )
    expected = {
        "decided_for": "ab" * 32,
        "accept": ["gap-too-narrow"],
        "on": {"tee": {"width": "210mm", "nudge": ["0mm", "-10mm"], "not_offered": ["black"]}},
    }
    assert tomllib.loads(browser.value("settingsText()"))["artworks"]["a0"] == expected
    load(browser, path)
    assert tomllib.loads(browser.value("settingsText()"))["artworks"]["a0"] == expected
    assert browser.value("document.getElementById('tray').hidden") is False
    browser.value("[...document.querySelectorAll('#tray button')].find((one) => one.textContent === 'Discard all').click()")
    assert browser.value("document.getElementById('tray').hidden") is True


@pytest.mark.parametrize("paper", list(PAPERS_IN))
def test_it_prints_whole_rows_with_their_head_on_each_page(browser: Browser, tmp_path: Path, paper: str) -> None:
    """Each page of paper has the head, pictures are there, and no row is cut in two."""
    browser.open(sheet_file(tmp_path, 50))
    width, height = PAPERS_IN[paper]
    document = pdfium.PdfDocument(browser.printed(width_in=width, height_in=height))
    texts = [" ".join(page.get_textpage().get_text_range().split()) for page in document]
    assert len(texts) > 1
    assert all("Product colours" in text for text in texts)
    for text in texts:  # each row has its name, its size and its treatment once
        assert len(re.findall(r"\bA\d\b", text)) == text.count("200 mm)") == text.count("as drawn")
    assert sum(text.count("200 mm)") for text in texts) == 30
    ink = document[0].render(scale=1).to_pil().convert("RGB").getcolors(1 << 24)
    assert any(colour == (0x14, 0x14, 0x14) for _, colour in ink or [])


@pytest.mark.skipif(not AXE, reason="VECTORPREP_AXE names no axe.min.js (npm package axe-core)")
@pytest.mark.parametrize("pairs", [10, 400, 2000])
@pytest.mark.parametrize(("width", "dark"), [(1280, False), (1280, True), (360, False)])
def test_axe_finds_no_violation(browser: Browser, tmp_path: Path, pairs: int, width: int, *, dark: bool) -> None:
    """The rules of axe-core, WCAG 2.2 AA and best practice, on the list and on an opened pairing with decisions."""
    changes = [
        {
            "artwork": "a0",
            "product": "tee",
            "blank": "gold",
            "what": "verdict",
            "old": "lost",
            "new": "weak",
            "difference": "-60 points",
        }
    ]
    browser.look(width=width, dark=dark)
    load(browser, sheet_file(tmp_path, pairs, changes=changes))
    browser.value("document.querySelector('.swatch').click()")
    browser.value("[...document.querySelectorAll('.bench button')].find((one) => one.textContent === 'larger').click()")
    browser.value("document.querySelector('#tray [aria-expanded]').click()")
    browser.value("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    browser.value(Path(AXE).read_text(encoding="utf-8"))
    found = json.loads(browser.value("axe.run().then((done) => JSON.stringify(done.violations))"))
    assert [(item["id"], [node["html"][:120] for node in item["nodes"][:3]]) for item in found] == []


def test_a_narrow_window_needs_no_sideways_scrolling(browser: Browser, tmp_path: Path) -> None:
    """At 320 px nothing is wider than the window (WCAG 2.2, 1.4.10), an opened pairing included."""
    browser.look(width=320, height=800)
    load(browser, sheet_file(tmp_path, 10))
    browser.value("document.querySelector('.swatch').click()")
    assert browser.value("document.documentElement.scrollWidth") <= 320


def test_what_is_opened_stands_below_its_own_row(browser: Browser, tmp_path: Path) -> None:
    """Of five swatches in rows of three the first opens above the fourth; in a wide window all five stand above it."""
    under = "document.querySelector('.opened').previousElementSibling.querySelector('.swatch').dataset.key.split('\\t')[2]"
    browser.look(width=360, height=800)
    load(browser, sheet_file(tmp_path, 10))
    browser.value("document.querySelector('.swatch').click()")
    keys = browser.value("[...document.querySelector('.rail').querySelectorAll('.swatch')].map((one) => one.dataset.key)")
    keys = [key.split("\t")[2] for key in keys]
    assert browser.value(under) == keys[2]
    browser.value("document.querySelector('.bench button').focus()")
    browser.look(width=1280, height=900)
    browser.wait(f"{under} === {json.dumps(keys[-1])}")
    assert browser.value("document.querySelector('.bench').contains(document.activeElement)")


def test_the_light_can_be_chosen(browser: Browser, tmp_path: Path) -> None:
    """Dark by the system, light by choice."""
    path = sheet_file(tmp_path, 10)
    ground = "getComputedStyle(document.body).backgroundColor"
    browser.look(dark=True)
    browser.open(path)
    dark = browser.value(ground)
    browser.value(
        "(() => { const s = document.getElementById('light'); s.value = 'light'; s.dispatchEvent(new Event('change')); })()"
    )
    browser.wait(f"{ground} !== {json.dumps(dark)}")
    browser.value(
        "(() => { const s = document.getElementById('light'); s.value = 'as the system'; s.dispatchEvent(new Event('change')); })()"
    )
    browser.wait(f"{ground} === {json.dumps(dark)}")


def test_it_reads_without_script(browser: Browser, tmp_path: Path) -> None:
    """With scripts switched off the table of all pairings is seen."""
    path = sheet_file(tmp_path, 10)
    browser.call("Emulation.setScriptExecutionDisabled", value=True)
    try:
        browser.open(path)
        root = browser.call("DOM.getDocument", depth=1)["root"]["nodeId"]
        rows = browser.call("DOM.querySelectorAll", nodeId=root, selector=".plain tbody tr")["nodeIds"]
        box = browser.call("DOM.getBoxModel", nodeId=rows[-1])["model"]
    finally:
        browser.call("Emulation.setScriptExecutionDisabled", value=False)
    assert len(rows) == 11
    assert box["height"] > 10
