"""An audit's pictures of the places: each ring lies where the finding is."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from vectorprep import RunOptions, audit_artworks

# A large square, and at the right a dot far too small for ink on cotton.
ART = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
    '<path d="M10 20h60v60H10z" fill="#b3202c"/><circle cx="88" cy="30" r=".06" fill="#b3202c"/></svg>'
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A drawing with a speck far to the right, and one with an unseen square on navy."""
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "speck.svg").write_text(ART)
    (tmp_path / "art" / "night.svg").write_text(ART.replace("#b3202c", "#1b2340"))
    return tmp_path


def ringed(path: Path) -> tuple[float, float, float, float]:
    """Box of the ring's dark and light lines, as fractions of the picture: pixels that are neither cloth nor the art's red."""
    with Image.open(path) as opened:
        pixels = np.asarray(opened.convert("RGB")).astype(int)
    dark = (pixels.max(axis=2) < 60) & (np.ptp(pixels, axis=2) < 12)
    rows, columns = np.nonzero(dark)
    height, width = dark.shape
    return columns.min() / width, rows.min() / height, (columns.max() + 1) / width, (rows.max() + 1) / height


def test_a_dot_too_small_is_ringed_where_it_is(folder: Path) -> None:
    """The speck stands at the right end of the ink and near its upper edge; the ring is there and nowhere else."""
    report = audit_artworks(
        [folder / "art" / "speck.svg"],
        options=RunOptions(products=("tee-adult-front-dtg",), blanks=("white",)),
        places_folder=str(folder / "places"),
    )
    assert "dot-too-small" in {finding["check"] for finding in report.record["findings"]}
    x0, y0, x1, y1 = ringed(folder / "places" / "speck--tee-adult-front-dtg--dot-too-small.webp")
    # Ink is 10..88.06 by 20..80 mm of the page, with a twelfth of bare cloth around it.
    room = 0.08 * 78.06
    centre = (78 + room) / (78.06 + 2 * room), (10 + room) / (60 + 2 * room)
    assert (x0 + x1) / 2 == pytest.approx(centre[0], abs=0.02)
    assert (y0 + y1) / 2 == pytest.approx(centre[1], abs=0.02)
    assert x1 - x0 < 0.25


def test_a_finding_of_one_blank_is_shown_on_that_blank(folder: Path) -> None:
    """What is lost on navy is shown on navy."""
    audit_artworks(
        [folder / "art" / "night.svg"],
        options=RunOptions(products=("tee-adult-front-dtg",), blanks=("white", "navy")),
        places_folder=str(folder / "places"),
    )
    with Image.open(folder / "places" / "night--tee-adult-front-dtg--ink-lost.webp") as opened:
        corner = opened.convert("RGB").getpixel((2, 2))
    assert corner == pytest.approx((0x1B, 0x23, 0x40), abs=6)


def test_no_finding_makes_no_picture(folder: Path) -> None:
    """On white the navy square without its speck has nothing to ring: the folder stays empty."""
    art = folder / "art" / "plain.svg"
    art.write_text(ART.replace('r=".06"', 'r="0"'))
    audit_artworks(
        [art], options=RunOptions(products=("tee-adult-front-dtg",), blanks=("white",)), places_folder=str(folder / "places")
    )
    assert list((folder / "places").iterdir()) == []
