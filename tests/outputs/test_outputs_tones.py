"""Plates of gradients, fades and abutting inks: dots that add up to the picture, and a base without slits.

45 lines to the inch at 22.5 degrees, tones of 7 to 90 %: common practice, no source; they stand in the product's record.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from vectorprep import RunOptions, convert_artworks

MARGIN_PX = 450
PPI = 900
pytestmark = pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")  # plates are large and our own
ART = """<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><defs>
<linearGradient id="two"><stop offset="0" stop-color="#ffd447"/><stop offset="1" stop-color="#b3202c"/></linearGradient></defs>
<rect x="5" y="5" width="90" height="40" fill="url(#two)"/>
<rect x="5" y="55" width="30" height="40" fill="#ffd447"/><rect x="35" y="55" width="30" height="40" fill="#b3202c"/>
<rect x="70" y="55" width="25" height="40" fill="#b3202c" fill-opacity="0.4"/></svg>"""

SMALL = 'based_on = "tee-adult-front-spot"\nname = "Small print"\nprint_area_mm = [101.6, 101.6]\n'


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A gradient between two inks, both flat and abutting, and one see-through, for spot screen print on navy."""
    folder = tmp_path_factory.mktemp("tones")
    (folder / "tones.svg").write_text(ART)
    (folder / "products").mkdir()
    (folder / "products" / "small-spot.toml").write_text(SMALL)
    options = RunOptions(products=("small-spot",), blanks=("navy",), profiles=(str(folder / "products"),), jobs=1, time_limit_s=120)
    assert not convert_artworks([folder / "tones.svg"], folder / "out", options=options).bugs
    return folder / "out"


def plate(made: Path, name: str) -> np.ndarray:
    """True where a plate prints, margins off."""
    (path,) = made.glob(f"*--plate-*-{name}*.png")
    return ~np.asarray(Image.open(path))[MARGIN_PX:-MARGIN_PX, MARGIN_PX:-MARGIN_PX]


def pixels(path: Path) -> np.ndarray:
    """A picture on navy."""
    picture = Image.open(path).convert("RGBA")
    navy = Image.new("RGBA", picture.size, (0x1B, 0x23, 0x40, 255))
    navy.alpha_composite(picture)
    return np.asarray(navy)[..., :3].astype(float)


def part(picture: np.ndarray, made: Path, box: tuple[float, float, float, float], *, finer: int = 1) -> np.ndarray:
    """A part of a picture that is so many times finer than the print, in the drawing's own units."""
    ink = pixels(print_of(made))
    rows, columns = np.nonzero(np.abs(ink - (0x1B, 0x23, 0x40)).max(axis=2) > 8)
    left, top, per = columns.min(), rows.min(), (columns.max() + 1 - columns.min()) / 90
    x0, y0, x1, y1 = (round((value - 5) * per) for value in box)
    return picture[finer * (top + y0) : finer * (top + y1), finer * (left + x0) : finer * (left + x1)]


def print_of(made: Path) -> Path:
    """The print file."""
    (path,) = (path for path in made.glob("*.png") if re.search(r"-as-drawn\.png$|-[0-9a-f]{4}\.png$", path.name))
    return path


def test_dots_of_a_gradient_add_up_to_its_colours(made: Path) -> None:
    """Over strips of some cells the composite has the mean colour of the print, within six levels where a stencil holds it."""
    (path,) = made.glob("*--composite.png")
    screened, drawn = (part(pixels(one), made, (5, 10, 95, 40)) for one in (path, print_of(made)))
    strips = 18
    width = screened.shape[1] // strips
    for at in range(strips):
        tone = (at + 0.5) / strips
        mean = [picture[:, at * width : (at + 1) * width].mean(axis=(0, 1)) for picture in (screened, drawn)]
        if 0.1 < tone < 0.85:
            assert np.abs(mean[0] - mean[1]).max() <= 6, tone


def test_no_cloth_shows_between_the_dots_of_two_inks(made: Path) -> None:
    """Where two inks together cover the cloth, the lighter is solid under the dots of the darker."""
    yellow = part(plate(made, "yellow")[1::3, 1::3], made, (12, 10, 70, 40))
    red = part(plate(made, "red")[1::3, 1::3], made, (12, 10, 70, 40))
    assert yellow.all()
    assert 0.1 < red.mean() < 0.6


def test_the_screen_of_a_finished_plate_has_its_ruling_and_angle(made: Path) -> None:
    """The strongest frequency of the red plate over the see-through oblong is 45 lines to the inch at 22.5 degrees."""
    bits = part(plate(made, "red"), made, (72, 60, 93, 81), finer=3).astype(float)
    side = len(bits)
    assert bits.mean() == pytest.approx(0.4, abs=0.02)
    power = np.abs(np.fft.rfft2((bits - bits.mean()) * np.outer(np.hanning(side), np.hanning(bits.shape[1])), (4096, 4096)))
    row, column = np.unravel_index(int(power.argmax()), power.shape)
    down, across = (row if row < 2048 else row - 4096) / 4096 * PPI, column / 4096 * PPI
    assert np.hypot(down, across) == pytest.approx(45, rel=0.02)
    assert np.degrees(np.arctan2(down, across)) % 90 == pytest.approx(22.5, abs=1.0)


def test_the_base_has_no_slit_where_inks_abut(made: Path) -> None:
    """Under two flat inks side by side, and under a gradient, the base is whole."""
    base = plate(made, "white-base")[1::3, 1::3]
    assert part(base, made, (6, 56, 64, 94)).all()
    assert part(base, made, (6, 6, 94, 44)).all()


def test_the_base_under_a_see_through_ink_is_dots_inside_its_dots(made: Path) -> None:
    """Where cloth shows through, white prints only under ink, on less of the area."""
    base, red = (part(plate(made, name)[1::3, 1::3], made, (72, 58, 93, 92)) for name in ("white-base", "red"))
    assert base.mean() == pytest.approx(0.8 * 0.4, abs=0.02)
    assert not (base & ~red).any()


FOUR = """<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">
<rect x="5" y="5" width="45" height="90" fill="#ffd447"/><rect x="50" y="5" width="45" height="45" fill="#b3202c"/>
<rect x="50" y="50" width="45" height="45" fill="#d97a3a"/></svg>"""
POTS = """[on.small-spot.spot_inks]
"Sonnengelb Ü1" = "#ffd447"
"Signal red" = "#b3202c"
"Sky" = "#77b5e2"
"""


def test_the_sellers_inks_are_the_plates_and_other_colours_are_dots_of_two(tmp_path: Path) -> None:
    """Plates bear the seller's names in the order of printing, an ink that nothing needs has none, and orange is dots of two."""
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "four.svg").write_text(FOUR)
    (tmp_path / "products").mkdir()
    (tmp_path / "products" / "small-spot.toml").write_text(SMALL)
    (tmp_path / "vectorprep.toml").write_text(POTS)
    options = RunOptions(products=("small-spot",), blanks=("navy",), profiles=(str(tmp_path / "products"),), jobs=1)
    report = convert_artworks([tmp_path / "art"], tmp_path / "out", options=options)
    plates = [output for output in report.record["outputs"] if "plate" in output]
    assert [(output["ink"], output["plate"]) for output in plates] == [
        ("white base", [1, 3]),
        ("Sonnengelb Ü1 #ffd447", [2, 3]),
        ("Signal red #b3202c", [3, 3]),
    ]
    assert [output["path"].partition("--plate-")[2] for output in plates] == [
        "1-white-base.png",
        "2-sonnengelb-u1-ffd447.png",
        "3-signal-red-b3202c.png",
    ]
    out = tmp_path / "out"
    orange = part(plate(out, "signal"), out, (55, 55, 90, 90), finer=3)
    assert 0.2 < orange.mean() < 0.8
    (path,) = out.glob("*--composite.png")
    mean = part(pixels(path), out, (55, 55, 90, 90)).mean(axis=(0, 1))
    # The nearest mixture of yellow and red to #d97a3a: 48 % red, (219, 125, 58).
    assert mean == pytest.approx((219, 125, 58), abs=6)
