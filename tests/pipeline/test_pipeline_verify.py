"""`verify` finds every damage of an out folder, never falls over one, and `convert` mends it."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from vectorprep import RunOptions, convert_artworks
from vectorprep.errors import ExitCode, FolderError
from vectorprep.pipeline import verify_outputs
from vectorprep.pipeline.manifest import seal_of

DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" width="80" height="80"><circle cx="40" cy="50" r="15" fill="#203040"/></svg>'
Change = Callable[[dict[str, Any]], object]


def made(room: Path) -> Path:
    """An out folder of one drawing."""
    (room / "art").mkdir(exist_ok=True)
    (room / "art" / "disc.svg").write_text(DRAWING)
    (room / "vectorprep.toml").write_text("")
    options = RunOptions(products=("patch-printed-round-75mm",), jobs=1, settings=str(room / "vectorprep.toml"))
    assert convert_artworks([room / "art"], room / "out", options=options).exit_code is ExitCode.FINE
    return room / "out"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a drawing and what was made of it."""
    return made(tmp_path_factory.mktemp("shop")).parent


def files(folder: Path) -> dict[str, bytes]:
    """What the seller sees in the folder."""
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.is_file()}


ALTERED: dict[str, Change] = {
    "a width": lambda manifest: manifest["outputs"][0].update(width_px=1),
    "a density": lambda manifest: manifest["outputs"][0].update(ppi=1),
    "an ink box": lambda manifest: manifest["outputs"][0].update(ink_box_px=[0, 0, 1, 1]),
    "a length": lambda manifest: manifest["outputs"][0].update(bytes=1),
    "a digest": lambda manifest: manifest["outputs"][0].update(sha256="0"),
    "an owner": lambda manifest: manifest["outputs"][0].update(artwork="other"),
    "a blank": lambda manifest: manifest["outputs"][0].update(blanks=["plaid"]),
    "a path outside": lambda manifest: manifest["outputs"][0].update(path="../art/disc.svg"),
    "a path with a zero": lambda manifest: manifest["outputs"][0].update(path="a\0b"),
    "a list for a number": lambda manifest: manifest["outputs"][0].update(bytes=[]),
    "words for a list": lambda manifest: manifest.update(outputs="none"),
    "nothing for a list": lambda manifest: manifest.update(pairs=None),
    "a number for an output": lambda manifest: manifest["outputs"].append(7),
    "an output without path": lambda manifest: manifest["outputs"][0].pop("path"),
    "no papers": lambda manifest: manifest.pop("papers"),
}


@pytest.mark.parametrize("what", ALTERED)
def test_a_contradiction_is_found_even_under_a_right_seal(shop: Path, what: str) -> None:
    """A manifest altered and sealed anew is found out by the files or by itself."""
    place = shop / "out" / "manifest.json"
    whole = place.read_bytes()
    manifest = json.loads(whole)
    ALTERED[what](manifest)
    manifest["seal"] = seal_of(manifest)
    place.write_text(json.dumps(manifest))
    try:
        report = verify_outputs(shop / "out")
        assert (report.exit_code, bool(report.record["findings"])) == (ExitCode.FINDINGS, True)
    finally:
        place.write_bytes(whole)


def test_any_other_alteration_shows_by_the_seal(shop: Path) -> None:
    """A verdict altered by hand contradicts no file, yet is found."""
    place = shop / "out" / "manifest.json"
    whole = place.read_bytes()
    manifest = json.loads(whole)
    manifest["pairs"][0]["verdict"] = "lost"
    place.write_text(json.dumps(manifest))
    try:
        assert [finding["check"] for finding in verify_outputs(shop / "out").record["findings"]] == ["manifest-inconsistent"]
    finally:
        place.write_bytes(whole)
    assert verify_outputs(shop / "out").exit_code is ExitCode.FINE


@pytest.mark.parametrize("deep", ["[" * 100_000, "{}", "null", "", "\0", '{"schema": 1'])
def test_what_is_no_manifest_is_named(tmp_path: Path, deep: str) -> None:
    """Any text in the place of the manifest is found damaged, however odd."""
    (tmp_path / "manifest.json").write_text(deep)
    assert [finding["check"] for finding in verify_outputs(tmp_path).record["findings"]] == ["manifest-damaged"]


def test_convert_mends_what_verify_finds(tmp_path: Path) -> None:
    """Pictures cut, altered or deleted, table and manifest altered: one more run and all is as it was."""
    out = made(tmp_path)
    before = files(out)
    pictures = sorted(out.glob("*.png"))
    assert len(pictures) == 2
    pictures[0].write_bytes(pictures[0].read_bytes()[:-9])
    pictures[1].unlink()
    (out / "outputs.csv").write_text((out / "outputs.csv").read_text() + "\n")
    (out / "manifest.json").write_bytes(before["manifest.json"][:-30])
    for file in out.iterdir():
        os.utime(file, (0, 0))
    assert verify_outputs(out).exit_code is ExitCode.FINDINGS
    assert files(made(tmp_path)) == before
    assert verify_outputs(out).exit_code is ExitCode.FINE


@pytest.mark.parametrize("name", ["manifest.json", "outputs.csv", "review.html", "listing.csv"])
def test_a_file_of_somebody_else_stops_the_run_before_the_first_picture(tmp_path: Path, name: str) -> None:
    """What lies at the name of a paper and is not ours is not replaced, and is found before anything is made."""
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / name).write_text("mine")
    with pytest.raises(FolderError, match=name):
        made(tmp_path)
    assert files(tmp_path / "out") == {name: b"mine"}
