"""The main job from files to files, on small canvases."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from vectorprep import RunOptions, RunReport, audit_artworks, convert_artworks, measure_artwork, recolour_artworks
from vectorprep.errors import ExitCode, FolderBusy, FolderError, RecordError, Stopped, UsageError
from vectorprep.pipeline import verify_outputs

SQUARE = '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100"><path d="M20 30h40v50H20z" fill="{ink}"/></svg>'
SMALL = """
based_on = "tee-adult-front-dtg"
name = "A shirt on a small canvas"
print_area_mm = [{width}, {height}]
resolution_ppi = {ppi}
"""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder with two drawings and a product of a small canvas."""
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "black_box.svg").write_text(SQUARE.format(ink="#000000"))
    (tmp_path / "art" / "orange-box.svg").write_text(SQUARE.format(ink="#e2672b"))
    (tmp_path / "products").mkdir()
    (tmp_path / "products" / "tee-small.toml").write_text(SMALL.format(width=304.8, height=406.4, ppi=72))
    return tmp_path


def small(shop: Path, **changes: Any) -> RunOptions:
    """Options that make the small shirt in white and navy in one worker."""
    given: dict[str, Any] = {
        "products": ("tee-small",),
        "blanks": ("white", "navy"),
        "profiles": (str(shop / "products"),),
        "jobs": 1,
    }
    return RunOptions(**{**given, **changes})


def convert(shop: Path, out: str = "out", **changes: Any) -> RunReport:
    """One run over the folder of drawings."""
    return convert_artworks([shop / "art"], shop / out, options=small(shop, **changes))


def files_of(folder: Path) -> dict[str, bytes]:
    """The visible files of an out folder."""
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_a_folder_becomes_print_files_previews_manifest_and_table(shop: Path) -> None:
    """Black ink is swapped on navy and shared on white; orange serves both blanks with one file."""
    report = convert(shop)
    assert report.exit_code is ExitCode.FINE
    prints = sorted(path for path in files_of(shop / "out") if path.endswith(".png") and "preview" not in path)
    assert [path.rsplit("-", 1)[0] if "swap" in path else path for path in prints] == [
        "black_box--tee-small--as-drawn.png",
        "black_box--tee-small--neutral-swap",
        "orange-box--tee-small--as-drawn.png",
    ]
    orange = next(output for output in report.record["outputs"] if output["artwork"] == "orange-box")
    assert orange["blanks"] == ["white", "navy"]
    with (shop / "out" / "outputs.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["title"], row["blank"]) for row in rows] == [
        ("Black Box", "white"),
        ("Black Box", "navy"),
        ("Orange Box", "white"),
        ("Orange Box", "navy"),
    ]


def test_the_ink_box_of_the_finished_picture_is_the_one_stated(shop: Path) -> None:
    """The box read from the file by another library equals the manifest's, and the size is the product's."""
    report = convert(shop)
    for output in report.record["outputs"]:
        with Image.open(shop / "out" / output["path"]) as picture:
            assert picture.size == (output["width_px"], output["height_px"])
            ink = picture.getchannel("A").point(lambda alpha: 255 if alpha >= 8 else 0).getbbox()
        assert list(ink or ()) == output["ink_box_px"]


def test_a_15_by_17_inch_area_at_300_ppi_is_4500_by_5100_px(shop: Path) -> None:
    """The product's record sets the pixels: 15 x 17 in at 300 ppi (arithmetic, rounding rule of the project)."""
    (shop / "products" / "tee-small.toml").write_text(SMALL.format(width=381, height=431.8, ppi=300))
    (shop / "art" / "black_box.svg").unlink()
    report = convert(shop, blanks=("white",))
    made = next(output for output in report.record["outputs"] if output["kind"] == "print-png")
    assert (made["width_px"], made["height_px"]) == (4500, 5100)
    with Image.open(shop / "out" / made["path"]) as picture:
        assert picture.size == (4500, 5100)
        assert picture.info["dpi"] == pytest.approx((300, 300), abs=0.05)  # common practice, no source


def test_two_runs_give_the_same_bytes(shop: Path) -> None:
    """Everything in two fresh out folders is equal, with one worker and with two."""
    convert(shop, out="one", jobs=1)
    convert(shop, out="two", jobs=2)
    assert files_of(shop / "one") == files_of(shop / "two")


def test_what_is_up_to_date_is_kept_and_one_changed_drawing_alone_is_made_again(shop: Path) -> None:
    """A second run makes nothing; after a change only that drawing's files are made."""
    convert(shop)
    again = convert(shop)
    assert {output["state"] for output in again.record["outputs"]} == {"kept"}
    (shop / "art" / "orange-box.svg").write_text(SQUARE.format(ink="#1f4d36"))
    third = convert(shop)
    assert {output["artwork"]: output["state"] for output in third.record["outputs"]} == {
        "black_box": "kept",
        "orange-box": "made",
    }


def test_an_altered_output_is_noticed_and_made_again(shop: Path) -> None:
    """`verify` names the file whose bytes were changed, and `convert` repairs it."""
    convert(shop)
    target = shop / "out" / "orange-box--tee-small--as-drawn.png"
    whole = target.read_bytes()
    target.write_bytes(whole[:-20])
    found = verify_outputs(shop / "out")
    assert found.exit_code is ExitCode.FINDINGS
    assert [finding["check"] for finding in found.record["findings"]] == ["file-altered"]
    assert target.name in found.record["findings"][0]["message"]
    convert(shop)
    assert target.read_bytes() == whole
    assert verify_outputs(shop / "out").exit_code is ExitCode.FINE


def test_asking_for_less_later_loses_no_earlier_file(shop: Path) -> None:
    """A second run for one blank alone leaves the other blank's files and its rows in the manifest."""
    convert(shop)
    before = set(files_of(shop / "out"))
    convert(shop, blanks=("white",))
    assert set(files_of(shop / "out")) == before
    manifest = json.loads((shop / "out" / "manifest.json").read_text())
    assert {pair["blank"] for pair in manifest["pairs"]} == {"white", "navy"}


def test_files_of_an_outdated_drawing_are_taken_away(shop: Path) -> None:
    """When a drawing no longer needs a recoloured picture, the old one does not stay behind."""
    convert(shop)
    assert any("black_box--tee-small--neutral-swap" in name for name in files_of(shop / "out"))
    (shop / "art" / "black_box.svg").write_text(SQUARE.format(ink="#e2672b"))
    convert(shop)
    assert not any("black_box--tee-small--neutral-swap" in name for name in files_of(shop / "out"))


def test_a_file_of_somebody_else_is_not_replaced(shop: Path) -> None:
    """A foreign file at a target name fails that drawing alone and stays as it was; force replaces it."""
    (shop / "out").mkdir()
    foreign = shop / "out" / "orange-box--tee-small--as-drawn.png"
    foreign.write_bytes(b"mine")
    report = convert(shop)
    status = {artwork["name"]: artwork["status"] for artwork in report.record["artworks"]}
    assert status == {"black_box": "ok", "orange-box": "failed"}
    assert report.exit_code is ExitCode.SOME_FAILED
    assert foreign.read_bytes() == b"mine"
    assert convert(shop, force=True).exit_code is ExitCode.FINE
    assert foreign.read_bytes() != b"mine"


def test_bad_drawings_are_named_and_cost_no_other_drawing(shop: Path) -> None:
    """Each refusal names its cause and remedy; the good ones are delivered; the exit code says so."""
    bad = {
        "empty.svg": b"",
        "words.svg": b"just some words",
        "cut.svg": SQUARE.encode()[:60],
        "bare.svg": b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>',
        "linked.svg": SQUARE.encode().replace(b"<path", b'<image href="photo.png" width="9" height="9"/><path'),
    }
    for name, data in bad.items():
        (shop / "art" / name).write_bytes(data)
    report = convert(shop)
    assert report.exit_code is ExitCode.SOME_FAILED
    refused = {artwork["path"]: artwork["error"] for artwork in report.record["artworks"] if artwork["status"] == "refused"}
    assert set(refused) == set(bad)
    assert all(error["message"] and error["fix"] and error["code"] for error in refused.values())
    assert refused["linked.svg"]["code"] == "link-refused"
    assert {output["artwork"] for output in report.record["outputs"]} == {"black_box", "orange-box"}


def test_a_wrong_setting_stops_the_run_before_anything_is_written(shop: Path) -> None:
    """All faults come at once, and the out folder is not even made."""
    (shop / "art" / "vectorprep.toml").write_text('garment_sise = "M"\n[artworks."black_box"]\nwidth = "wide"\n')
    with pytest.raises(RecordError) as caught:
        convert(shop)
    assert len(caught.value.faults) == 2
    assert "garment_size" in str(caught.value)
    assert not (shop / "out").exists()


@pytest.mark.parametrize(
    ("change", "nearest"), [({"products": ("tee-smal",)}, "tee-small"), ({"blanks": ("nawy",)}, "navy")], ids=["product", "blank"]
)
def test_an_unknown_key_names_the_nearest(shop: Path, change: dict[str, Any], nearest: str) -> None:
    """A misspelt product or blank is refused with the nearest known key."""
    with pytest.raises(UsageError) as caught:
        convert(shop, **change)
    assert nearest in caught.value.fix


def test_a_drawing_of_ones_own_wins_over_any_change(shop: Path) -> None:
    """On the blanks it is named for, the seller's variant is what is printed."""
    (shop / "mine.svg").write_text(SQUARE.format(ink="#f0b323"))
    (shop / "vectorprep.toml").write_text('[artworks."black_box"]\nvariants = { dark = "mine.svg" }\n')
    report = convert(shop)
    navy = next(pair for pair in report.record["pairs"] if (pair["artwork"], pair["blank"]) == ("black_box", "navy"))
    assert (navy["treatment"], navy["verdict_after"]) == ("drawn-variant", "clear")
    made = next(
        output
        for output in report.record["outputs"]
        if output["artwork"] == "black_box" and output["blanks"] == ["navy"] and output["kind"] == "print-png"
    )
    with Image.open(shop / "out" / made["path"]) as picture:
        x0, y0, x1, y1 = made["ink_box_px"]
        assert picture.getpixel(((x0 + x1) // 2, (y0 + y1) // 2)) == (0xF0, 0xB3, 0x23, 255)


def test_one_name_for_each_blank_shares_the_bytes(shop: Path) -> None:
    """With per_blank each blank has its own file name; equal pictures are the same file on the disk."""
    report = convert(shop, per_blank=True)
    names = [output["path"] for output in report.record["outputs"] if output["artwork"] == "orange-box"]
    assert [name for name in names if "preview" not in name] == [
        "orange-box--tee-small--as-drawn--white.png",
        "orange-box--tee-small--as-drawn--navy.png",
    ]
    one, two = (shop / "out" / name for name in names if "preview" not in name)
    assert one.stat().st_ino == two.stat().st_ino


def test_a_dry_run_writes_nothing_and_says_what_would_be_made(shop: Path) -> None:
    """The planned outputs are the ones that a real run makes, with their sizes."""
    planned = convert(shop, dry_run=True)
    assert not (shop / "out").exists()
    assert {output["state"] for output in planned.record["outputs"]} == {"planned"}
    made = convert(shop)
    assert [(output["path"], output["width_px"]) for output in planned.record["outputs"]] == [
        (output["path"], output["width_px"]) for output in made.record["outputs"]
    ]


def test_a_colour_serves_as_a_blank(shop: Path) -> None:
    """A blank given as a colour is judged as smooth cloth of that colour."""
    report = convert(shop, blanks=("#101020",))
    black = next(pair for pair in report.record["pairs"] if pair["artwork"] == "black_box")
    assert (black["blank"], black["verdict"], black["verdict_after"]) == ("#101020", "lost", "clear")


def test_an_out_folder_that_would_be_read_is_refused(shop: Path) -> None:
    """The out folder may be neither the folder of the drawings nor lie inside it."""
    for out in ("art", "art/out"):
        with pytest.raises(FolderError):
            convert(shop, out=out)


def test_a_second_run_in_the_same_folder_stops_at_once(shop: Path) -> None:
    """The folder's lock is held while a run works; another run says so and leaves everything alone."""
    from vectorprep.store import OutFolder

    with OutFolder(shop / "out"), pytest.raises(FolderBusy):
        convert(shop)


def test_a_damaged_ledger_costs_nothing_but_work(shop: Path) -> None:
    """After the ledger was cut the same files stand there again, byte for byte, and nothing is called foreign."""
    convert(shop)
    before = files_of(shop / "out")
    ledger = shop / "out" / ".vectorprep" / "ledger.sqlite"
    ledger.write_bytes(ledger.read_bytes()[:5000])
    report = convert(shop)
    assert report.exit_code is ExitCode.FINE
    assert files_of(shop / "out") == before


def test_audit_judges_as_drawn_and_makes_nothing(shop: Path) -> None:
    """The verdict of an audit is that of the drawing; its finding is an error where the drawing is lost."""
    report = audit_artworks([shop / "art"], options=small(shop, blanks=("black", "navy")))
    verdicts = {(pair["artwork"], pair["blank"]): pair for pair in report.record["pairs"]}
    black, navy = verdicts["black_box", "black"], verdicts["black_box", "navy"]
    assert (black["verdict"], black["verdict_after"]) == ("lost", "clear")
    assert (navy["verdict"], navy["verdict_after"]) == ("weak", "clear")
    assert [finding["check"] for finding in black["findings"] if finding["severity"] == "error"] == ["ink-lost"]
    assert not [finding["check"] for finding in navy["findings"] if finding["severity"] == "error"]
    assert report.exit_code is ExitCode.FINDINGS
    assert sorted(path.name for path in shop.iterdir()) == ["art", "products"]


def test_recolour_writes_vectors(shop: Path) -> None:
    """The recoloured drawing is SVG with the swapped ink and without the old one."""
    report = recolour_artworks([shop / "art" / "black_box.svg"], shop / "out", options=small(shop, blanks=("navy",)))
    (output,) = report.record["outputs"]
    text = (shop / "out" / output["path"]).read_text()
    swap = report.record["pairs"][0]["swaps"][0]
    assert swap["before"] == "#000000"
    assert swap["after"] in text
    assert "#000000" not in text


def test_measure_gives_the_box_of_a_known_shape(shop: Path) -> None:
    """A path from (20, 30) to (60, 80) px on a page of 100 px: by arithmetic 25.4/96 mm each (CSS Values 4)."""
    measured = measure_artwork(shop / "art" / "black_box.svg")
    assert measured.ink_box_mm is not None
    expected = [length * 25.4 / 96 for length in (20, 30, 60, 80)]
    assert list(measured.ink_box_mm.corners) == pytest.approx(expected, abs=measured.tolerance_mm)


def test_a_stopped_run_leaves_whole_files_and_goes_on(shop: Path) -> None:
    """Stopped after the first drawing, the record says so; the next run makes the rest and keeps the first."""

    def stop(progress: object) -> None:
        raise Stopped("stopped by a test", fix="run it again")

    report = convert_artworks([shop / "art"], shop / "out", options=small(shop), progress=stop)
    assert report.exit_code is ExitCode.STOPPED
    assert len(report.record["artworks"]) == 1
    rest = convert(shop)
    assert {output["artwork"]: output["state"] for output in rest.record["outputs"]} == {"black_box": "kept", "orange-box": "made"}


def test_a_link_that_leads_out_is_passed_over_and_said(shop: Path) -> None:
    """A link among the drawings is not followed out of the folder; a note names it."""
    (shop / "elsewhere.svg").write_text(SQUARE.format(ink="#000000"))
    (shop / "art" / "link.svg").symlink_to(shop / "elsewhere.svg")
    report = convert(shop)
    assert {artwork["name"] for artwork in report.record["artworks"]} == {"black_box", "orange-box"}
    assert any("link.svg" in note for note in report.notes)
