"""Review sheet, listing, decisions and proofs of a real out folder."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pypdfium2 as pdfium
import pytest

import vectorprep.report
from vectorprep import RunOptions, RunReport, audit_artworks, convert_artworks
from vectorprep.errors import FolderError, RecordError, UsageError
from vectorprep.pipeline import verify_outputs
from vectorprep.pipeline.decide import decide
from vectorprep.pipeline.proof import write_proofs

SQUARE = '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100"><path d="M20 30h40v50H20z" fill="{ink}"/></svg>'
PRODUCT = 'based_on = "tee-adult-front-dtg"\nname = "A shirt on a small canvas"\nresolution_ppi = 72\n'


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder with two drawings and a product of few pixels."""
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "black_box.svg").write_text(SQUARE.format(ink="#000000"))
    (tmp_path / "art" / "orange-box.svg").write_text(SQUARE.format(ink="#e2672b"))
    (tmp_path / "products").mkdir()
    (tmp_path / "products" / "tee-small.toml").write_text(PRODUCT)
    return tmp_path


def options(shop: Path, **changes: Any) -> RunOptions:
    """The small shirt in white, orange and navy."""
    given: dict[str, Any] = {
        **{"products": ("tee-small",), "blanks": ("white", "orange", "navy"), "profiles": (str(shop / "products"),), "jobs": 1},
        **changes,
    }
    return RunOptions(**given)


def convert(shop: Path, out: str = "out", **changes: Any) -> RunReport:
    """One run over the folder of drawings."""
    return convert_artworks([shop / "art"], shop / out, options=options(shop, **changes))


def sheet_of(path: Path) -> dict[str, Any]:
    """What the page's script reads."""
    found = re.search(r'id="data">(.*?)</script>', path.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert found is not None
    return dict(json.loads(found.group(1)))


def states(report: RunReport) -> dict[str, str]:
    """Whether an artwork's files were made or kept."""
    return {output["artwork"]: output["state"] for output in report.record["outputs"]}


def test_the_out_folder_holds_a_sheet_whose_pictures_and_files_are_there(shop: Path) -> None:
    """Every picture and link of the page leads to a file of the folder."""
    convert(shop)
    sheet = sheet_of(shop / "out" / "review.html")
    named = [picture["src"] for picture in sheet["pictures"]]
    named += [file["href"] for artwork in sheet["artworks"] for strip in artwork["strips"] for file in strip["files"]]
    assert len(named) > 4
    assert [name for name in named if not (shop / "out" / name).is_file()] == []


def test_verify_knows_the_papers(shop: Path) -> None:
    """An altered sheet, listing or table is a mismatch, like an altered print file."""
    convert(shop)
    assert verify_outputs(shop / "out").record["findings"] == []
    for name in ("review.html", "listing.csv", "listing.jsonl", "outputs.csv"):
        with (shop / "out" / name).open("ab") as file:
            file.write(b" ")
    found = verify_outputs(shop / "out").record["findings"]
    assert [item["check"] for item in found] == ["file-altered"] * 4


def test_the_papers_repeat_byte_for_byte(shop: Path) -> None:
    """Two fresh folders are equal, and a second run changes no byte of the first."""
    names = ("review.html", "listing.csv", "listing.jsonl", "manifest.json")
    convert(shop, "one")
    convert(shop, "two", jobs=2)
    first = {name: (shop / "one" / name).read_bytes() for name in names}
    assert {name: (shop / "two" / name).read_bytes() for name in names} == first
    convert(shop, "one")
    assert {name: (shop / "one" / name).read_bytes() for name in names} == first


def test_a_sheet_that_is_not_wanted_is_not_made_and_an_earlier_one_goes(shop: Path) -> None:
    """Neither page nor small pictures stay; the rest is whole."""
    convert(shop)
    convert(shop, review=False)
    assert not (shop / "out" / "review.html").exists()
    assert list((shop / "out" / "review").glob("*.webp")) == []
    assert verify_outputs(shop / "out").record["findings"] == []


def test_decisions_are_honoured_by_the_next_run_and_the_sheet_shows_it(shop: Path) -> None:
    """Decide, merge, run again: one drawing alone is made anew, smaller and higher; the sheet tells old, new and difference."""
    convert(shop)
    sha256 = next(item["sha256"] for item in sheet_of(shop / "out" / "review.html")["artworks"] if item["name"] == "orange-box")
    (shop / "decisions.toml").write_text(
        f'[artworks.orange-box]\ndecided_for = "{sha256}"\n[artworks.orange-box.on.tee-small]\n'
        'width = "100mm"\nnudge = ["0mm", "5mm"]\nnot_offered = ["navy"]\n'
    )
    done = decide(str(shop / "decisions.toml"), [str(shop / "art")])
    assert (done.file, len(done.changes)) == (str(shop / "art" / "vectorprep.toml"), 4)
    again = convert(shop)
    assert states(again) == {"black_box": "kept", "orange-box": "made"}
    changes = {(change["artwork"], change["what"]): change for change in sheet_of(shop / "out" / "review.html")["changes"]}
    assert {("orange-box", "print size"), ("orange-box", "place")} <= set(changes)
    assert {artwork for artwork, _ in changes} == {"orange-box"}
    assert changes["orange-box", "print size"]["difference"].startswith("-")
    lines = [json.loads(line) for line in (shop / "out" / "listing.jsonl").read_text().splitlines()]
    offered = {line["artwork"]: [blank["key"] for blank in line["blanks_offered"]] for line in lines}
    assert offered["orange-box"] == ["white", "orange"]
    page = (shop / "out" / "review.html").read_bytes()
    assert states(convert(shop)) == {"black_box": "kept", "orange-box": "kept"}
    assert (shop / "out" / "review.html").read_bytes() == page


def test_what_was_accepted_for_another_version_of_a_drawing_counts_again(shop: Path) -> None:
    """Accepted for this drawing it is a note; after a change of the drawing it is what it was, and the staleness is said."""
    (shop / "art" / "orange-box.svg").write_text(SQUARE.format(ink="#e2672b").replace("M20 30h40", "M20 30h400"))
    report = convert(shop)
    sha256 = next(item["sha256"] for item in report.record["artworks"] if item["name"] == "orange-box")
    (shop / "art" / "vectorprep.toml").write_text(
        f'[artworks.orange-box]\naccept = ["ink-outside-page"]\ndecided_for = "{sha256}"\n'
    )

    def outside(report: RunReport) -> tuple[str, set[str]]:
        own = [item for item in report.record["findings"] if item["artwork"] == "orange-box"]
        return next(item["severity"] for item in own if item["check"] == "ink-outside-page"), {item["check"] for item in own}

    severity, checks = outside(convert(shop))
    assert severity == "note"
    assert "decision-stale" not in checks
    (shop / "art" / "orange-box.svg").write_text(SQUARE.format(ink="#e2672b").replace("M20 30h40", "M21 30h400"))
    severity, checks = outside(convert(shop))
    assert severity == "warning"
    assert "decision-stale" in checks


def test_decisions_that_would_break_the_settings_are_not_written(shop: Path) -> None:
    """An unknown key is named, and the file stays as it was."""
    (shop / "art" / "vectorprep.toml").write_text('garment_size = "L"\n')
    (shop / "decisions.toml").write_text("[artworks.orange-box]\ncolor = 3\n")
    with pytest.raises(RecordError, match="color"):
        decide(str(shop / "decisions.toml"), [str(shop / "art")])
    assert (shop / "art" / "vectorprep.toml").read_text() == 'garment_size = "L"\n'


def test_an_audit_writes_a_page_with_its_pictures_beside_it(shop: Path) -> None:
    """The page names pictures in its own folder, and judges as drawn."""
    audit_artworks([shop / "art"], options=options(shop), report_file=str(shop / "look.html"))
    sheet = sheet_of(shop / "look.html")
    assert sheet["verb"] == "audit"
    assert {picture["src"].partition("/")[0] for picture in sheet["pictures"]} == {"look-pictures"}
    assert all((shop / picture["src"]).is_file() for picture in sheet["pictures"])


def test_a_report_of_an_unknown_kind_is_refused_before_the_work(shop: Path) -> None:
    """Nothing is judged for a file that could not be written."""
    with pytest.raises(UsageError, match=r"\.html"):
        audit_artworks([shop / "art"], options=options(shop), report_file=str(shop / "look.docx"))


def test_the_listing_follows_schema_settings_and_columns(shop: Path) -> None:
    """Texts of the settings stand in every line; the table has the seller's own columns."""
    (shop / "art" / "vectorprep.toml").write_text(
        '[listing]\nlicence = "All rights reserved"\ntags = ["box"]\n[listing.columns]\nName = "{title}"\nTags = "{tags}"\n'
        '[artworks.orange-box.listing]\ntags = ["orange"]\nalt = "An orange box"\n'
    )
    convert(shop)
    schema = json.loads((Path(str(vectorprep.report.__file__)).parent / "schemas" / "listing.schema.json").read_text("utf-8"))
    lines = [json.loads(line) for line in (shop / "out" / "listing.jsonl").read_text("utf-8").splitlines()]
    for line in lines:
        jsonschema.Draft202012Validator(schema).validate(line)
    assert {line["licence"] for line in lines} == {"All rights reserved"}
    with (shop / "out" / "listing.csv").open(newline="", encoding="utf-8") as file:
        assert list(csv.DictReader(file)) == [{"Name": "Black Box", "Tags": "box"}, {"Name": "Orange Box", "Tags": "orange, box"}]


def test_a_column_of_no_field_stops_the_run_before_it_begins(shop: Path) -> None:
    """The heading and the misspelt field are named; no out folder is made."""
    (shop / "art" / "vectorprep.toml").write_text('[listing.columns]\nName = "{titel}"\n')
    with pytest.raises(RecordError, match="titel"):
        convert(shop)
    assert not (shop / "out").exists()


def test_proofs_are_written_for_each_artwork_or_for_a_client(shop: Path) -> None:
    """One PDF for each drawing, or one with all pages; an unknown name is told which there are."""
    convert(shop)
    profiles = [str(shop / "products")]
    made = write_proofs(shop / "out", profiles=profiles)
    assert [Path(path).name for path in made] == ["black_box.pdf", "orange-box.pdf"]
    assert [len(pdfium.PdfDocument(path)) for path in made] == [2, 2]
    write_proofs(shop / "out", profiles=profiles, file=str(shop / "all.pdf"), paper="letter", client="Lumbry Quay")
    assert len(pdfium.PdfDocument(shop / "all.pdf")) == 4
    with pytest.raises(UsageError, match="no print file"):
        write_proofs(shop / "out", artworks=["fox"])


def test_proofs_stand_in_the_manifest_and_a_signed_one_is_never_replaced(shop: Path) -> None:
    """`verify` looks at them and they outlive a run; one that was signed in its place stays until it is moved or forced away."""
    convert(shop)
    profiles = [str(shop / "products")]
    made = [Path(path) for path in write_proofs(shop / "out", profiles=profiles)]
    before = (shop / "out" / "manifest.json").read_bytes()
    write_proofs(shop / "out", profiles=profiles)
    convert(shop)
    assert (shop / "out" / "manifest.json").read_bytes() == before
    assert not verify_outputs(shop / "out").record["findings"]
    made[0].write_bytes(b"%PDF-1.4 signed")
    assert [finding["check"] for finding in verify_outputs(shop / "out").record["findings"]] == ["file-altered"]
    with pytest.raises(FolderError, match="did not make"):
        write_proofs(shop / "out", profiles=profiles)
    assert made[0].read_bytes() == b"%PDF-1.4 signed"
    write_proofs(shop / "out", profiles=profiles, force=True)
    assert not verify_outputs(shop / "out").record["findings"]
