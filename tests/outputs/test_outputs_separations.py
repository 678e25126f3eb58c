"""Plates of spot inks and paths for film: they add up to the picture, overlap as they should, and hold the screen asked for.

Trap 0.2 mm, choke 0.3 mm, 45 lines to the inch at 22.5 degrees: common practice, no source; they stand in the product's record.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
import shapely
from lxml import etree
from PIL import Image

from vectorprep import RunOptions, convert_artworks
from vectorprep.shapes.halftone import Screen, dots

PPI = 900
pytestmark = pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")  # plates are large and our own
PX_PER_MM = PPI / 25.4
MARGIN_PX = 450
ART = """<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">
<rect x="5" y="5" width="45" height="90" fill="#ffd447"/><rect x="50" y="25" width="45" height="50" fill="#b3202c"/></svg>"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two abutting oblongs, yellow and red, made for spot screen print on navy and for cut film."""
    folder = tmp_path_factory.mktemp("plates")
    (folder / "pair.svg").write_text(ART)
    report = convert_artworks(
        [folder / "pair.svg"],
        folder / "out",
        options=RunOptions(products=("tee-adult-front-spot", "tee-adult-front-cutfilm"), blanks=("navy",), time_limit_s=120),
    )
    assert not report.bugs
    return folder / "out"


def plate(made: Path, name: str) -> np.ndarray:
    """True where a plate prints, margins off."""
    (path,) = made.glob(f"*spot*--plate-*-{name}*.png")
    picture = Image.open(path)
    assert picture.mode == "1"
    assert picture.info["dpi"] == pytest.approx((PPI, PPI), abs=0.05)
    return ~np.asarray(picture)[MARGIN_PX:-MARGIN_PX, MARGIN_PX:-MARGIN_PX]


def span_mm(line: np.ndarray) -> tuple[float, float]:
    """Begin and end of the ink on a line of pixels."""
    at = np.flatnonzero(line)
    return at[0] / PX_PER_MM, (at[-1] + 1) / PX_PER_MM


def test_the_lighter_ink_reaches_under_the_darker_one_by_the_trap(made: Path) -> None:
    """The yellow plate ends 0.2 mm behind the red one's beginning, to 0.02 mm; elsewhere it keeps its edge."""
    yellow, red = plate(made, "yellow"), plate(made, "red")
    row = int(np.flatnonzero(red.any(axis=1)).mean())
    assert span_mm(yellow[row])[1] - span_mm(red[row])[0] == pytest.approx(0.2, abs=0.02)
    above = int(np.flatnonzero(yellow.any(axis=1))[0]) + 200
    assert span_mm(yellow[above])[1] == pytest.approx(span_mm(red[row])[0], abs=0.03)


def test_the_white_base_is_drawn_in_by_the_choke(made: Path) -> None:
    """The base ends 0.3 mm inside the inks on every side, to 0.02 mm, and is plate number one."""
    (first,) = made.glob("*--plate-1-*.png")
    assert "white-base" in first.name
    base, inks = plate(made, "white-base"), plate(made, "yellow") | plate(made, "red")
    row = int(np.flatnonzero(plate(made, "red").any(axis=1)).mean())
    inner, outer = span_mm(base[row]), span_mm(inks[row])
    assert (inner[0] - outer[0], outer[1] - inner[1]) == pytest.approx((0.3, 0.3), abs=0.02)


def test_the_plates_recombined_are_the_composite_and_the_print(made: Path) -> None:
    """Inks laid over each other in order give the composite, and away from edges the print file, within two levels."""
    (print_file,) = (path for path in made.glob("*spot*.png") if re.search(r"-as-drawn\.png$|-[0-9a-f]{4}\.png$", path.name))
    drawn = np.asarray(Image.open(print_file).convert("RGBA")).astype(int)
    (path,) = made.glob("*--composite.png")
    composite = np.asarray(Image.open(path).convert("RGBA")).astype(int)
    yellow, red = (plate(made, name)[1::3, 1::3] for name in ("yellow", "red"))
    laid = np.zeros_like(drawn)
    laid[yellow] = (0xFF, 0xD4, 0x47, 255)
    laid[red] = (0xB3, 0x20, 0x2C, 255)
    flat = np.ones(drawn.shape[:2], bool)
    for axis in (0, 1):
        for step in (-2, -1, 1, 2):
            flat &= (np.roll(drawn, step, axis) == drawn).all(axis=2)
    assert flat.mean() > 0.9
    assert np.abs(composite - drawn)[flat].max() <= 2
    assert np.abs(laid - drawn)[flat].max() <= 2


def test_paths_for_film_are_closed_and_hold_the_area_of_the_ink(made: Path) -> None:
    """Each colour is a group of closed paths on the page of the print file, whose area is that of the ink within half a percent."""
    (path,) = made.glob("*cutfilm*--paths.svg")
    root = etree.parse(path).getroot()
    assert root.get("width", "").endswith("mm")
    namespace = {"s": "http://www.w3.org/2000/svg"}
    areas = {}
    for group in root.findall("s:g", namespace):
        paths = [element.get("d", "") for element in group.findall("s:path", namespace)]
        assert all(data.rstrip().endswith(("Z", "z")) for data in paths)
        points = [list(map(float, re.findall(r"-?[\d.]+", data))) for data in paths]
        areas[group.get("fill")] = sum(shapely.Polygon(np.reshape(line, (-1, 2))).convex_hull.area for line in points)
    (print_file,) = (path for path in made.glob("*cutfilm*.png") if "preview" not in path.name)
    drawn = np.asarray(Image.open(print_file).convert("RGBA"))
    per_mm2 = (300 / 25.4) ** 2
    for ink, colour in {"#ffd447": (0xFF, 0xD4, 0x47), "#b3202c": (0xB3, 0x20, 0x2C)}.items():
        there = (np.abs(drawn[..., :3].astype(int) - colour).sum(axis=2) < 6) & (drawn[..., 3] > 127)
        assert areas[ink] == pytest.approx(there.sum() / per_mm2, rel=0.005)


@pytest.mark.parametrize(("lpi", "angle"), [(45.0, 22.5), (55.0, 45.0), (35.0, 75.0)])
def test_ruling_and_angle_can_be_read_back(lpi: float, angle: float) -> None:
    """The strongest frequency of a screened plate is the ruling, at the angle, by the Fourier transform."""
    side = 1800
    bits = dots(np.full((side, side), 0.4, np.float32), Screen(ruling_lpi=lpi, angle_deg=angle, shape="round"), PPI, (0, 0))
    power = np.abs(np.fft.rfft2(bits - bits.mean()))
    row, column = np.unravel_index(int(power.argmax()), power.shape)
    down, across = (row if row < side / 2 else row - side) / side * PPI, column / side * PPI
    assert np.hypot(down, across) == pytest.approx(lpi, rel=0.02)
    found = np.degrees(np.arctan2(down, across)) % 90
    assert found == pytest.approx(angle % 90, abs=1.0)


@pytest.mark.parametrize("tone", [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95])
def test_a_tone_keeps_its_area(tone: float) -> None:
    """A tone of so much sets so much of the pixels, within one percent of the whole."""
    bits = dots(np.full((1200, 1200), tone, np.float32), Screen(ruling_lpi=45, angle_deg=22.5), PPI, (0, 0))
    assert bits.mean() == pytest.approx(tone, abs=0.01)
