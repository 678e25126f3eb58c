"""A run that changes nothing: it writes nothing, and what was altered by hand is still put right."""

from __future__ import annotations

from pathlib import Path

import pytest

from vectorprep import convert_artworks
from vectorprep.pipeline import RunOptions

DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15" fill="#b3202c"/></svg>"""
PAPERS = ("manifest.json", "outputs.csv", "review.html", "listing.csv", "listing.jsonl")
STICKER = RunOptions(products=("sticker-kiss-cut",), jobs=1)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one drawing that was converted."""
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "dot.svg").write_text(DRAWING, encoding="utf-8")
    convert_artworks([tmp_path / "art"], tmp_path / "out", options=STICKER)
    return tmp_path


def _again(folder: Path, options: RunOptions = STICKER) -> None:
    convert_artworks([folder / "art"], folder / "out", options=options)


def _marks(folder: Path) -> dict[str, tuple[int, int]]:
    """Which file lies at each name: its number on the disk and when it was written."""
    return {name: ((found := (folder / "out" / name).stat()).st_ino, found.st_mtime_ns) for name in PAPERS}


def test_nothing_is_written_again_where_nothing_changed(folder: Path) -> None:
    """Manifest and papers stay the very files that they were."""
    before = _marks(folder)
    _again(folder)
    assert _marks(folder) == before


@pytest.mark.parametrize("name", PAPERS)
def test_an_altered_or_lost_paper_is_made_again(folder: Path, name: str) -> None:
    """It ends with the bytes that it had."""
    path = folder / "out" / name
    whole = path.read_bytes()
    for spoil in (path.unlink, lambda: path.write_bytes(whole[:-9] + b"         ")):
        spoil()
        _again(folder)
        assert path.read_bytes() == whole


def test_settings_that_only_papers_show_are_not_passed_over(folder: Path) -> None:
    """A listing's words change no print, but the listing."""
    settings = folder / "art" / "vectorprep.toml"
    settings.write_text('[listing]\ntags = ["dot"]\n', encoding="utf-8")
    before = (folder / "out" / "listing.csv").read_bytes()
    _again(folder)
    assert (folder / "out" / "listing.csv").read_bytes() != before
