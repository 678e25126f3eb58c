"""Remedies that the settings ask for, from the drawing to the file, its name, its record and what is said of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import ndimage

from vectorprep import png
from vectorprep.outputs.white_base_png import choked
from vectorprep.pipeline import RunOptions, convert_artworks

SOFT = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="80mm" viewBox="0 0 80 80">'
    '<linearGradient id="g"><stop stop-color="#c2185b"/><stop offset="1" stop-color="#c2185b" stop-opacity="0"/></linearGradient>'
    '<rect x="2" y="2" width="30" height="60" fill="#14532d"/><rect x="36" y="2" width="42" height="60" fill="url(#g)"/>'
    '<path d="M2 66h60l10 10H2z" fill="#000000"/></svg>'
)
PRODUCT = "tee-left-chest-dtf"


def made(tmp_path: Path, settings: str, *, blanks: tuple[str, ...] = ("white",), record: str = "") -> tuple[Path, dict[str, Any]]:
    """The out folder and the record of a run over one drawing."""
    art = tmp_path / "art"
    (art / "_own").mkdir(parents=True)
    (art / "soft.svg").write_text(SOFT, encoding="utf-8")
    (art / "vectorprep.toml").write_text(settings, encoding="utf-8")
    product = PRODUCT
    if record:
        (art / "_own" / "own.toml").write_text(record, encoding="utf-8")
        product = "own"
    options = RunOptions(products=(product,), blanks=blanks, profiles=(str(art / "_own"),) if record else (), jobs=1)
    return tmp_path / "out", convert_artworks([art], tmp_path / "out", options=options).record


def print_file(record: dict[str, Any], kind: str = "print-png") -> dict[str, Any]:
    """The first output of a kind."""
    return next(output for output in record["outputs"] if output["kind"] == kind)


def alpha_of(folder: Path, output: dict[str, Any]) -> np.ndarray[Any, np.dtype[np.uint8]]:
    """Coverage of a file."""
    return png.decode((folder / output["path"]).read_bytes()).pixels[..., 3]


def said(record: dict[str, Any], check: str) -> list[dict[str, Any]]:
    """Findings of one slug."""
    return [finding for finding in record["findings"] if finding["check"] == check]


def test_nothing_is_done_unasked(tmp_path: Path) -> None:
    """Without settings the fade is printed as drawn, and the check says so."""
    folder, record = made(tmp_path, "")
    assert len(np.unique(alpha_of(folder, print_file(record)))) > 100
    assert said(record, "alpha-soft-interior")
    assert not said(record, "remedy-applied")


@pytest.mark.parametrize("way", ["cut", "halftone", "stipple"])
def test_see_through_ink_is_made_full_and_the_check_is_content(tmp_path: Path, way: str) -> None:
    """The file holds full ink or none; the check that minded finds nothing any more; before and after are told."""
    folder, record = made(tmp_path, f'see_through = "{way}"\nclear_mist = true\n')
    assert set(np.unique(alpha_of(folder, print_file(record)))) == {0, 255}
    assert not said(record, "alpha-soft-interior")
    assert not said(record, "dot-too-small")
    notes = said(record, "remedy-applied")
    assert notes
    assert "before" in notes[0]["message"]
    assert "none above the limit now" in notes[0]["message"]


def test_the_ink_box_is_that_of_the_dots(tmp_path: Path) -> None:
    """Boxes are measured after remedies."""
    folder, record = made(tmp_path, 'see_through = "cut"\n')
    output = print_file(record)
    rows, columns = np.nonzero(alpha_of(folder, output) >= 8)
    box = [int(columns.min()), int(rows.min()), int(columns.max()) + 1, int(rows.max()) + 1]
    assert output["ink_box_px"] == box
    assert output["placements"][0]["ink_box_px"] == box


def test_black_is_left_out_on_black_cloth_alone(tmp_path: Path) -> None:
    """The picture for black cloth has no black; the one for white keeps it."""
    folder, record = made(tmp_path, "knock_out_black = true\ntreatments = []\n", blanks=("white", "black"))
    files = {blank: output for output in record["outputs"] if output["kind"] == "print-png" for blank in output["blanks"]}
    assert files["white"]["path"] != files["black"]["path"]
    assert files["black"]["treatment"] == "knock-out"
    assert files["white"]["ink_box_px"][3] > files["black"]["ink_box_px"][3]
    assert np.count_nonzero(alpha_of(folder, files["white"])) > np.count_nonzero(alpha_of(folder, files["black"]))
    assert any("knocked out" in note["message"] for note in said(record, "remedy-applied"))
    assert not said(record, "black-on-dark-cloth")


def test_edge_colour_reaches_into_transparent_pixels(tmp_path: Path) -> None:
    """Beside the green rectangle empty pixels are green; coverage is the same as without."""
    (tmp_path / "with").mkdir()
    (tmp_path / "without").mkdir()
    folder, record = made(tmp_path / "with", "edge_colour = true\n")
    plain_folder, plain = made(tmp_path / "without", "")
    pixels = png.decode((folder / print_file(record)["path"]).read_bytes()).pixels
    assert np.array_equal(pixels[..., 3], alpha_of(plain_folder, print_file(plain)))
    empty = (pixels[..., 3] == 0) & (pixels[..., 1] > 60)
    assert np.count_nonzero(empty) > 500


def test_a_seller_who_mirrors_gets_mirrored_files_that_say_so(tmp_path: Path) -> None:
    """Name, record and finding say it; the pixels are those of the plain file, turned over."""
    (tmp_path / "with").mkdir()
    (tmp_path / "without").mkdir()
    own = f'based_on = "{PRODUCT}"\nmirror = "before_print"\nmirror_done_by = "seller"\n'
    folder, record = made(tmp_path / "with", "", record=own)
    plain_folder, plain = made(tmp_path / "without", "")
    output = print_file(record)
    assert output["path"].endswith("--mirrored.png")
    assert output["mirrored"] is True
    assert said(record, "print-mirrored")
    assert np.array_equal(alpha_of(folder, output)[:, ::-1], alpha_of(plain_folder, print_file(plain)))
    rows, columns = np.nonzero(alpha_of(folder, output) >= 8)
    assert output["placements"][0]["ink_box_px"] == [
        int(columns.min()),
        int(rows.min()),
        int(columns.max()) + 1,
        int(rows.max()) + 1,
    ]
    assert "mirrored" not in print_file(record, "preview-png")["path"]


def test_the_white_base_is_the_ink_pulled_in_by_the_choke(tmp_path: Path) -> None:
    """Black where white ink goes; 0.25 mm inside the ink on every side, which a distance transform of scipy confirms."""
    folder, record = made(tmp_path, "white_base = true\n")
    base = ~(np.asarray(png_bits(folder / print_file(record, "white-base-png")["path"])))
    ink = alpha_of(folder, print_file(record)) >= 128
    distance = ndimage.distance_transform_edt(np.pad(ink, 1))[1:-1, 1:-1]  # nothing lies beyond the canvas
    choke_px = 0.25 * 300 / 25.4  # common practice, no source
    assert not base[distance < choke_px - 0.5].any()
    assert base[distance > choke_px + 1.0].all()


def png_bits(path: Path) -> np.ndarray[Any, np.dtype[np.bool_]]:
    """A PNG of one bit a pixel: True for white."""
    from PIL import Image

    with Image.open(path) as picture:
        assert picture.mode == "1"
        return np.asarray(picture)


@pytest.mark.parametrize(("width", "left"), [(5, 0), (6, 0), (7, 1), (11, 5)])
def test_a_line_under_twice_the_choke_has_no_base(width: int, left: int) -> None:
    """A choke of 2.95 px (0.25 mm at 300 ppi, arithmetic) leaves nothing of lines up to 6 px."""
    mask = np.zeros((40, 40), np.bool_)
    mask[:, 10 : 10 + width] = True
    assert choked(mask, 2.95)[20].sum() == left


def test_no_white_base_where_none_is_printed(tmp_path: Path) -> None:
    """Inkjet on white cloth prints no white; on navy it does, and the file of the base is made there."""
    size = "print_area_mm = [101.6, 101.6]\nfile_size_mm = [101.6, 101.6]\nfile_size_px = [1200, 1200]\n"
    own = f'based_on = "tee-adult-front-dtg"\n{size}'
    (tmp_path / "pale").mkdir()
    (tmp_path / "dark").mkdir()
    _, pale = made(tmp_path / "pale", "white_base = true\n", record=own)
    _, dark = made(tmp_path / "dark", "white_base = true\n", blanks=("navy",), record=own)
    assert not [output for output in pale["outputs"] if output["kind"] == "white-base-png"]
    assert [output for output in dark["outputs"] if output["kind"] == "white-base-png"]


def test_inks_beside_black_keep_covering(tmp_path: Path) -> None:
    """Knocking out black leaves the green of the drawing opaque on black cloth, and says how much ink is gone."""
    folder, record = made(tmp_path, "knock_out_black = true\ntreatments = []\n", blanks=("black",))
    pixels = png.decode((folder / print_file(record)["path"]).read_bytes()).pixels
    green = (pixels[..., 3] > 0) & (pixels[..., 1] > 60) & (pixels[..., 0] < 60)
    assert np.count_nonzero(green) > 1000
    assert (pixels[green][:, 3] == 255).mean() > 0.95
    (note,) = (note for note in said(record, "remedy-applied") if "knocked out" in note["message"])
    assert 0.03 < note["measured"] < 0.6
