"""Print files of an out folder become gang sheets in that folder."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from vectorprep import RunOptions, convert_artworks
from vectorprep.errors import ExitCode, FolderError, RecordError, UsageError
from vectorprep.pipeline import verify_outputs
from vectorprep.pipeline.gang import write_gang
from vectorprep.pipeline.gang_wishes import GangWishes, wishes_of

SHAPES = {
    "disc": '<circle cx="40" cy="40" r="30" fill="#b02040"/>',
    "bar": '<rect x="5" y="30" width="70" height="12" fill="#206080"/>',
    "post": '<rect x="30" y="2" width="9" height="76" fill="#208040"/>',
}
PRODUCTS = ("tee-left-chest-dtf", "tee-sleeve-short-dtf")


def convert(shop: Path) -> None:
    """Makes the print files anew where drawings changed."""
    options = RunOptions(
        products=(*PRODUCTS, "patch-printed-round-75mm"), blanks=("navy", "white"), jobs=1, settings=str(shop / "vectorprep.toml")
    )
    report = convert_artworks([shop / "art"], shop / "out", options=options)
    assert report.exit_code in {ExitCode.FINE, ExitCode.FINDINGS}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop of three drawings for two film transfers and a patch."""
    shop = tmp_path_factory.mktemp("shop")
    (shop / "art").mkdir()
    (shop / "vectorprep.toml").write_text("review = false\n")
    for name, shape in SHAPES.items():
        (shop / "art" / f"{name}.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" width="80" height="80">{shape}</svg>')
    convert(shop)
    return shop


@pytest.fixture
def shop(made: Path, tmp_path: Path) -> Path:
    """A copy of it, to be worked on."""
    return Path(shutil.copytree(made, tmp_path / "shop"))


def bytes_of(folder: Path) -> dict[str, bytes]:
    """Files that the seller sees."""
    return {
        str(file.relative_to(folder)): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.is_file() and ".vectorprep" not in file.parts
    }


def test_every_film_print_lies_on_the_sheet_pixel_for_pixel(shop: Path) -> None:
    """The list says where each print lies; there the sheet has its pixels, turned where it says so, patches left out."""
    entries, findings = write_gang(shop / "out", GangWishes(film_width_mm=150))
    assert not findings
    assert [entry["path"] for entry in entries] == ["gang/gang-1.png", "gang/gang.pdf", "gang/gang.csv"]
    with Image.open(shop / "out/gang/gang-1.png") as picture:
        sheet = np.asarray(picture)
    assert sheet.shape[1] == entries[0]["width_px"] == 1772
    assert sheet.shape[0] / 300 * 25.4 == pytest.approx(entries[0]["used_length_mm"], abs=0.01)
    rows = list(csv.DictReader((shop / "out/gang/gang.csv").read_text().splitlines()))
    outputs = {output["path"]: output for output in json.loads((shop / "out/manifest.json").read_text())["outputs"]}
    assert {row["product"] for row in rows} == set(PRODUCTS)
    assert len(rows) == 6
    for row in rows:
        with Image.open(shop / "out" / row["print_file"]) as picture:
            ink = np.asarray(picture.crop(outputs[row["print_file"]]["ink_box_px"]))
        ink = np.rot90(ink) if row["turned"] == "yes" else ink
        x, y = (round(float(row[key]) / 25.4 * 300) for key in ("left_mm", "top_mm"))
        assert np.array_equal(sheet[y : y + ink.shape[0], x : x + ink.shape[1]], ink)


def test_sheets_stand_in_the_manifest_and_outlive_the_next_run(shop: Path) -> None:
    """`verify` counts them, a second go and a second run change no byte, an altered sheet is found."""
    write_gang(shop / "out", GangWishes())
    before = bytes_of(shop / "out")
    assert verify_outputs(shop / "out").exit_code is ExitCode.FINE
    write_gang(shop / "out", GangWishes())
    convert(shop)
    assert bytes_of(shop / "out") == before
    (shop / "out/gang/gang-1.png").write_bytes(b"other")
    (finding,) = verify_outputs(shop / "out").record["findings"]
    assert (finding["check"], "vectorprep gang" in finding["fix"]) == ("file-altered", True)


def test_a_sheet_of_an_earlier_drawing_is_told(shop: Path) -> None:
    """Once a print file is made anew, `verify` names the sheets that hold the old one; a second go mends that."""
    write_gang(shop / "out", GangWishes(has_pdf=False))
    (shop / "art/bar.svg").write_text((shop / "art/bar.svg").read_text().replace('width="70"', 'width="60"'))
    convert(shop)
    findings = verify_outputs(shop / "out").record["findings"]
    assert [finding["check"] for finding in findings] == ["made-from-earlier-file"]
    write_gang(shop / "out", GangWishes(has_pdf=False))
    assert verify_outputs(shop / "out").exit_code is ExitCode.FINE


def test_sheets_that_are_not_needed_any_more_go(shop: Path) -> None:
    """Fewer sheets under the same name leave no old ones behind; another name leaves these alone."""
    entries, _ = write_gang(shop / "out", GangWishes(copies=4, length_max_mm=200, film_width_mm=250))
    drawn = [entry for entry in entries if entry["kind"] == "gang-sheet-png"]
    assert len(drawn) > 1
    assert sum(entry["pictures"] for entry in drawn) == 24
    assert all(entry["used_length_mm"] <= 200 for entry in drawn)
    write_gang(shop / "out", GangWishes(name="few", artworks=("disc",), counts={"disc": 2}, has_pdf=False))
    write_gang(shop / "out", GangWishes(has_pdf=False))
    assert sorted(file.name for file in (shop / "out/gang").iterdir()) == ["few-1.png", "few.csv", "gang-1.png", "gang.csv"]
    assert verify_outputs(shop / "out").exit_code is ExitCode.FINE


def test_a_print_wider_than_the_film_is_named_and_the_rest_laid(shop: Path) -> None:
    """What fits neither way round is a finding with both sizes."""
    entries, findings = write_gang(shop / "out", GangWishes(film_width_mm=80, length_max_mm=100, has_pdf=False))
    assert sum(entry.get("pictures", 0) for entry in entries) + len(findings) == 6
    assert {finding.artwork for finding in findings} == {"disc"}
    assert {finding.check for finding in findings} == {"too-large-for-film"}
    assert all("mm" in finding.message for finding in findings)


WRONG = {
    "no such artwork": (GangWishes(artworks=("cat",)), "no artwork 'cat'"),
    "no such product": (GangWishes(products=("tee",)), "no product 'tee'"),
    "a product without prints": (GangWishes(products=("poster-iso-a3",)), "no print file"),
    "a product that is cut": (GangWishes(products=("sticker-kiss-cut",)), "has a cut line"),
    "no width": (GangWishes(film_width_mm=0), "--film-width is 0 mm"),
    "a negative gap": (GangWishes(gap_mm=-1), "--gap is -1 mm"),
    "too many": (GangWishes(copies=500), "3000 pictures"),
    "a path for a name": (GangWishes(name="../gang"), "--name"),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_wish_that_cannot_be_met_is_said_before_anything_is_written(made: Path, case: str) -> None:
    """Each wrong wish ends with its own words, and the folder is as it was."""
    wishes, words = WRONG[case]
    before = bytes_of(made / "out")
    with pytest.raises(UsageError, match=words):
        write_gang(made / "out", wishes)
    assert bytes_of(made / "out") == before


def test_a_print_file_that_was_altered_is_never_laid(shop: Path) -> None:
    """Bytes that are not those of the manifest stop the sheet, and so does a manifest altered by hand."""
    path = next((shop / "out").glob("disc--tee-left-chest-dtf--as-drawn.png"))
    path.write_bytes(path.read_bytes()[:-1] + b"x")
    with pytest.raises(FolderError, match="not as they were made"):
        write_gang(shop / "out", GangWishes())
    manifest = shop / "out/manifest.json"
    manifest.write_text(manifest.read_text().replace('"ppi": 300', '"ppi": 150', 1))
    with pytest.raises(UsageError, match="not as convert wrote it"):
        write_gang(shop / "out", GangWishes())


def test_a_foreign_file_is_never_replaced(shop: Path) -> None:
    """A file of the seller's at a sheet's name stays, and is named."""
    (shop / "out/gang").mkdir()
    (shop / "out/gang/gang.csv").write_text("mine")
    with pytest.raises(FolderError, match="did not make"):
        write_gang(shop / "out", GangWishes())
    assert (shop / "out/gang/gang.csv").read_text() == "mine"


SETTINGS = """review = false
[gang]
products = ["tee-sleeve-short-dtf"]
film_width = "20cm"
max_length = "500mm"
gap = "4mm"
copies = 2
mirror = true
labels = false
pdf = false
[gang.counts]
post = 3
"""


def lines_of(shop: Path) -> list[str]:
    """The list of the mirrored sheet, one row a picture."""
    return (shop / "out/gang/gang--mirrored.csv").read_text().splitlines()[1:]


def test_settings_say_how_films_are_filled(shop: Path) -> None:
    """`[gang]` holds products, film, gap, copies, mirror; what is given beats it, and counts of both add up."""
    (shop / "vectorprep.toml").write_text(SETTINGS)
    wishes = wishes_of(shop / "out", {"copies": None, "gap_mm": 9.0, "counts": {"disc": 1}, "may_turn": False, "products": ()})
    assert wishes == GangWishes(
        products=("tee-sleeve-short-dtf",),
        copies=2,
        counts={"post": 3, "disc": 1},
        film_width_mm=200.0,
        length_max_mm=500.0,
        gap_mm=9.0,
        mirror=True,
        may_turn=False,
        has_labels=False,
        has_pdf=False,
    )
    entries, _ = write_gang(shop / "out", wishes)
    assert [entry["path"] for entry in entries] == ["gang/gang--mirrored-1.png", "gang/gang--mirrored.csv"]
    assert [entry.get("mirrored") for entry in entries] == [True, None]
    rows = [row.split(",") for row in lines_of(shop)]
    assert sorted(row[1] for row in rows) == ["bar", "bar", "disc", "post", "post", "post"]


def test_mirrored_sheets_hold_each_print_turned_over(shop: Path) -> None:
    """Where the list says a print lies, the sheet has its pixels from right to left; numbers beside them stay readable."""
    (shop / "art/bar.svg").write_text((shop / "art/bar.svg").read_text().replace("</svg>", '<circle cx="12" cy="25" r="6"/></svg>'))
    convert(shop)
    plain, _ = write_gang(shop / "out", GangWishes(film_width_mm=150, has_pdf=False))
    first = np.asarray(Image.open(shop / "out" / plain[0]["path"]))
    made, _ = write_gang(shop / "out", GangWishes(film_width_mm=150, has_pdf=False, mirror=True))
    sheets = [first, np.asarray(Image.open(shop / "out" / made[0]["path"]))]
    assert (shop / "out/gang/gang.csv").exists() is False  # the name of the run has other files now
    inside = np.zeros(sheets[0].shape[:2], bool)
    outputs = {output["path"]: output for output in json.loads((shop / "out/manifest.json").read_text())["outputs"]}
    for row in csv.DictReader((shop / "out/gang/gang--mirrored.csv").read_text().splitlines()):
        with Image.open(shop / "out" / row["print_file"]) as picture:
            ink = np.asarray(picture.crop(outputs[row["print_file"]]["ink_box_px"]))[:, ::-1]
        ink = np.rot90(ink) if row["turned"] == "yes" else ink
        x, y = (round(float(row[key]) / 25.4 * 300) for key in ("left_mm", "top_mm"))
        assert np.array_equal(sheets[1][y : y + ink.shape[0], x : x + ink.shape[1]], ink)
        inside[y : y + ink.shape[0], x : x + ink.shape[1]] = True
    assert np.array_equal(sheets[0][~inside], sheets[1][~inside])
    assert sheets[0][~inside].any()


def test_a_plan_writes_nothing_and_says_what_would_lie_there(shop: Path) -> None:
    """The figures of a plan are those of the sheets that are made afterwards."""
    before = bytes_of(shop / "out")
    planned, findings = write_gang(shop / "out", GangWishes(film_width_mm=150, copies=2, is_dry=True))
    assert bytes_of(shop / "out") == before
    assert not findings
    assert {entry["state"] for entry in planned} == {"planned"}
    assert sum(print_["copies"] for print_ in planned[0]["prints"]) == 12
    made, _ = write_gang(shop / "out", GangWishes(film_width_mm=150, copies=2))
    for key in ("path", "used_length_mm", "fill_share", "pictures", "rows_length_mm"):
        assert planned[0][key] == made[0][key]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('film_width = "2mm"', "film_width"),
        ('film_widht = "22in"', "film_width"),
        ("copies = 0", "copies"),
        ('products = ["tee-sleeve-short-dft"]', "tee-sleeve-short-dtf"),
        ("mirror = 1", "mirror"),
        ('gap = "six"', "gap"),
    ],
)
def test_a_mistake_in_the_settings_is_told_with_its_line(shop: Path, line: str, words: str) -> None:
    """File, line, key and the nearest known word stand in the error."""
    (shop / "vectorprep.toml").write_text(f"review = false\n[gang]\n{line}\n")
    with pytest.raises(RecordError, match=words) as caught:
        wishes_of(shop / "out", {})
    assert "vectorprep.toml:3" in str(caught.value) or "vectorprep.toml:2" in str(caught.value)


def test_prints_that_are_mirrored_already_are_not_turned_back(shop: Path) -> None:
    """A product whose seller mirrors, and a sheet that mirrors, are one too many."""
    (shop / "mine").mkdir()
    text = 'based_on = "tee-sleeve-short-dtf"\nname = "Sleeve"\nmirror = "before_print"\nmirror_done_by = "seller"\n'
    (shop / "mine/sleeve.toml").write_text(text)
    profiles = (str(shop / "mine"),)
    options = RunOptions(products=("sleeve",), blanks=("navy",), jobs=1, settings=str(shop / "vectorprep.toml"), profiles=profiles)
    convert_artworks([shop / "art"], shop / "out", options=options)
    wishes = GangWishes(products=("sleeve",), mirror=True, profiles=profiles)
    with pytest.raises(UsageError, match="mirrored already"):
        write_gang(shop / "out", wishes)
