"""Prints on photographs that others took: at the right place, in the photograph's light, with nothing beside the print touched.

The photographs are those of the package scikit-image 0.26.0 (in its wheel, `skimage/data`): `coffee.png`, a cup on a table, by
Rachel Michetti, and `brick.png`, a wall, from CC0Textures; both CC0. The package is looked for below `photographs/` in the folder
named by VECTORPREP_CORPUS (`pip install --no-deps --target`), else where it is installed.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.linalg import solve
from scipy.ndimage import binary_dilation, binary_erosion
from scipy.stats import spearmanr

from vectorprep.colour.arrays import linear_from_srgb8, luminance
from vectorprep.pipeline import RunOptions
from vectorprep.pipeline.single_picture import write_picture

pytestmark = pytest.mark.corpus

Floats = NDArray[np.float64]
Point = tuple[float, float]
PRODUCT = "tee-adult-front-dtg"
WIDE, HIGH, ABOVE = 304.8, 406.4, 12.7
"""The product's print area, and what its record leaves free above the ink, mm."""
RADIUS = 14.0
HEAD = '<svg xmlns="http://www.w3.org/2000/svg"'
SHEET = f'{HEAD} width="{WIDE}" height="{HIGH - ABOVE}">'
DOTS = "".join(
    f'<circle cx="{x}" cy="{y}" r="{RADIUS}" fill="#fff"/>'
    for x in (RADIUS, WIDE - RADIUS)
    for y in (RADIUS, HIGH - ABOVE - RADIUS)
)
CHECKS = "".join(f'<rect x="{x}" y="{y}" width="40" height="40" fill="#c8b090"/>' for x in (60, 160) for y in (60, 200, 300))
PLATE = f'<rect width="{WIDE}" height="{HIGH - ABOVE}" fill="#c8b090"/>'
CUP = "M205 185 Q290 232 375 185 L358 222 Q290 262 222 222 Z"
BEFORE_CUP = ((196, 222), (258, 226), (255, 310), (200, 305))


@dataclass(frozen=True, slots=True)
class Shot:
    """A photograph and the area on it: its path, kind, blank, and what lies before the print."""

    file: str
    outline: str
    area: str
    blank: str
    front: tuple[Point, ...] = ()

    @property
    def corners(self) -> Floats:
        """Of an area with straight sides."""
        return np.array([pair.split() for pair in self.outline.strip("MZ").split("L")], np.float64)


SHOTS = {
    "flat": Shot("brick.png", "M106 56L406 56L406 456L106 456Z", "flat", "charcoal"),
    "turned": Shot("brick.png", "M180 60L434.1 160L302 498L47.9 398Z", "flat", "charcoal"),
    "perspective": Shot("coffee.png", "M40 40L560 90L520 370L80 330Z", "quad", "brown"),
}
CURVED = Shot("coffee.png", CUP, "cylinder", "brown", BEFORE_CUP)


@pytest.fixture(scope="module")
def photographs() -> Path:
    """The folder of the photographs."""
    below = Path(os.environ.get("VECTORPREP_CORPUS", ""), "photographs", "skimage", "data")
    if below.is_dir():
        return below
    found = importlib.util.find_spec("skimage")
    if found is None or found.origin is None:
        pytest.skip("scikit-image, whose photographs are used, is neither in VECTORPREP_CORPUS/photographs nor installed")
    return Path(found.origin).parent / "data"


@pytest.fixture
def printed(photographs: Path, tmp_path: Path) -> Callable[..., tuple[Floats, Floats]]:
    """Puts art on a shot: the photograph, and the picture, in linear light."""

    def put(shot: Shot, art: str, *, shading: float = 0.0, nudge: float = 0.0) -> tuple[Floats, Floats]:
        shutil.copy(photographs / shot.file, tmp_path)
        bare = _linear(tmp_path / shot.file)
        page = f'width="{bare.shape[1]}" height="{bare.shape[0]}"'
        stated = f'products="{PRODUCT}" blanks="{shot.blank}" area="{shot.area}" angles_deg="-52 52" folds="0"'
        before = " ".join(f"{x},{y}" for x, y in shot.front)
        (tmp_path / "scene.svg").write_text(
            f'{HEAD} {page}><metadata><scene xmlns="urn:vectorprep:scene" {stated} shading="{shading}"'
            f' source="scikit-image 0.26.0" licence="CC0"/></metadata><image href="{shot.file}" {page}/>'
            f'<path id="area" d="{shot.outline}"/><polygon id="front" points="{before}"/></svg>',
            encoding="utf-8",
        )
        (tmp_path / "art.svg").write_text(f"{SHEET}{art}</svg>", encoding="utf-8")
        (tmp_path / "vectorprep.toml").write_text(
            f'[artworks.art]\nnudge = ["0mm", "{nudge}mm"]\n[on.{PRODUCT}]\nwidth = "12in"\n', encoding="utf-8"
        )
        out = tmp_path / "made.png"
        write_picture(str(tmp_path / "art.svg"), str(tmp_path / "scene.svg"), str(out), RunOptions(blanks=(shot.blank,)))
        return bare, _linear(out)

    return put


def _linear(path: Path) -> Floats:
    with Image.open(path) as image:
        linear: Floats = linear_from_srgb8(np.asarray(image.convert("RGB"))).astype(np.float64)
    return linear


def _cover(bare: Floats, made: Floats, lit: Floats) -> Floats:
    """How much of each pixel is ink that looks like `lit`, by the channel in which it differs most from the photograph."""
    reach = lit - bare
    most = np.abs(reach).argmax(axis=-1)[..., None]
    share: Floats = (np.take_along_axis(made - bare, most, -1) / np.take_along_axis(reach, most, -1))[..., 0]
    return share


def _homography(corners: Floats) -> Floats:
    """From shares of the area to px, by SciPy's solver (Heckbert, "Fundamentals of Texture Mapping and Image Warping", 1989)."""
    rows, values = [], []
    for (u, v), (x, y) in zip(((0, 0), (1, 0), (1, 1), (0, 1)), corners, strict=True):
        rows += [[u, v, 1, 0, 0, 0, -u * x, -v * x], [0, 0, 0, u, v, 1, -u * y, -v * y]]
        values += [x, y]
    found: Floats = np.append(solve(np.array(rows), np.array(values)), 1).reshape(3, 3)
    return found


def _through(h: Floats, points: Floats) -> Floats:
    mapped = np.concatenate([points, np.ones((*points.shape[:-1], 1))], axis=-1) @ h.T
    return np.asarray(mapped[..., :2] / mapped[..., 2:])


def _dot(h: Floats, centre: Floats) -> Floats:
    """The middle of a mapped dot: of its outline's polygon, by the shoelace formula."""
    around = np.linspace(0, 2 * np.pi, 721)
    edge = centre + RADIUS * np.stack([np.cos(around) / WIDE, np.sin(around) / HIGH], axis=-1)
    x, y = _through(h, edge).T
    cross = x[:-1] * y[1:] - x[1:] * y[:-1]
    middle = [((a[:-1] + a[1:]) * cross).sum() / (3 * cross.sum()) for a in (x, y)]
    return np.array(middle, np.float64)


@pytest.mark.parametrize("name", SHOTS)
def test_dots_in_the_corners_lie_where_the_paths_corners_put_them(name: str, printed: Callable[..., tuple[Floats, Floats]]) -> None:
    """Within 0.1 px of the homography of the four corners of the path, flat, turned and in perspective."""
    shot = SHOTS[name]
    bare, made = printed(shot, DOTS)
    h = _homography(shot.corners)
    for x in (RADIUS, WIDE - RADIUS):
        for y in (ABOVE + RADIUS, HIGH - RADIUS):
            expected = _dot(h, np.array([x / WIDE, y / HIGH]))
            column, row = (int(value) for value in expected)
            window = np.s_[max(row - 30, 0) : row + 31, max(column - 30, 0) : column + 31]
            cover = _cover(bare[window], made[window], made[row, column])
            rows, columns = np.mgrid[window] + 0.5
            found = np.array([(cover * columns).sum(), (cover * rows).sum()]) / cover.sum()
            assert np.abs(found - expected).max() < 0.1


def test_a_print_round_a_cup_begins_on_the_curve_of_its_path(printed: Callable[..., tuple[Floats, Floats]]) -> None:
    """The upper edge of a plate that begins at the area's top lies on the quadratic curve of the path within 0.1 px."""
    bare, made = printed(CURVED, PLATE.replace("#c8b090", "#fff"), nudge=-ABOVE)
    x, y = _bezier((205, 185), (290, 232), (375, 185)).T
    for column in range(250, 331, 8):
        rows = slice(180, 224)
        begins = 224 - _cover(bare[rows, column], made[rows, column], made[222, 290]).sum()
        assert begins == pytest.approx(np.interp(column + 0.5, x, y), abs=0.1)


@pytest.mark.parametrize("shot", [SHOTS["turned"], CURVED], ids=["wall", "cup"])
def test_the_photograph_is_untouched_beside_and_before_the_print(shot: Shot, printed: Callable[..., tuple[Floats, Floats]]) -> None:
    """Every pixel outside the path, and inside what lies before the print, is the photograph's own code."""
    bare, made = printed(shot, PLATE, shading=1.0)
    is_changed = (bare != made).any(axis=-1)
    assert is_changed.sum() > 1000
    inside = _drawn(_points(shot), bare.shape)
    assert not is_changed[~binary_dilation(inside, iterations=2)].any()
    if shot.front:
        hidden = binary_erosion(_drawn(np.array(shot.front), bare.shape), iterations=2)
        assert (hidden & inside).sum() > 50
        assert not is_changed[hidden].any()


def _drawn(points: Floats, shape: tuple[int, ...]) -> NDArray[np.bool_]:
    mask = Image.new("1", (shape[1], shape[0]))
    ImageDraw.Draw(mask).polygon([(float(x), float(y)) for x, y in points], fill=1)
    return np.asarray(mask)


def _points(shot: Shot) -> Floats:
    """The outline of an area."""
    if shot is not CURVED:
        return shot.corners
    return np.concatenate([_bezier((205, 185), (290, 232), (375, 185)), _bezier((358, 222), (290, 262), (222, 222))])


def _bezier(*points: Point) -> Floats:
    """Points of a quadratic curve (Bernstein form)."""
    a, b, c = np.array(points, np.float64)
    t = np.linspace(0, 1, 10_001)[:, None]
    curve: Floats = a * (1 - t) ** 2 + 2 * b * t * (1 - t) + c * t**2
    return curve


def test_the_print_takes_the_walls_light_and_shade(printed: Callable[..., tuple[Floats, Floats]]) -> None:
    """Where the wall is lighter the ink is lighter (rank correlation above 0.8), and far less so than the wall itself."""
    bare, made = printed(SHOTS["flat"], PLATE, shading=1.0)
    inner = np.s_[100:420, 140:380]
    wall, ink = luminance(bare[inner]).ravel(), luminance(made[inner]).ravel()
    assert spearmanr(wall, ink).statistic > 0.8
    assert 0.1 < np.std(np.log(ink)) / np.std(np.log(wall + 0.01)) < 1.0


def test_edges_have_no_fringe(printed: Callable[..., tuple[Floats, Floats]]) -> None:
    """In every channel a pixel lies between the photograph and the ink, as far as its coverage in the others says, within 2 codes.

    Light is left out, so that the ink is one colour.
    """
    bare, made = printed(SHOTS["perspective"], CHECKS)
    codes, counts = np.unique(made[(made != bare).any(axis=-1)], axis=0, return_counts=True)
    lit = codes[counts.argmax()]
    assert (np.abs(made - lit).max(axis=-1) == 0).sum() > 1000, "the ink is one colour in the middle of its patches"
    cover = np.clip(_cover(bare, made, lit), 0, 1)[..., None]
    mixed = bare * (1 - cover) + lit * cover
    is_edge = (cover[..., 0] > 0.02) & (cover[..., 0] < 0.98)
    assert is_edge.sum() > 500
    apart = np.abs(_codes(mixed) - _codes(made))[is_edge]
    assert apart.max() <= 2


def _codes(linear: Floats) -> Floats:
    return np.asarray(255 * np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.abs(linear) ** (1 / 2.4) - 0.055))
