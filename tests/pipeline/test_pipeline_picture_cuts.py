"""A sticker on its picture has the outline of its own cut file."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
import svgelements
from lxml import etree
from numpy.typing import NDArray
from PIL import Image

from vectorprep.pipeline import RunOptions, convert_artworks

SAMPLES = Path(__file__).parents[2] / "sample_svgs"
SIDE, LEFT, TOP, ACROSS = 1000, 140, 90, 720.0
"""Of the picture, and of the print area on it, px."""
BLEED_MM, AREA_MM = 2.0, 76.2
"""Of the product's record."""
SCENE = (
    f'<svg xmlns="http://www.w3.org/2000/svg" width="{SIDE}" height="{SIDE}"><metadata><scene xmlns="urn:vectorprep:scene" '
    'products="sticker-die-cut" source="made here" licence="own work"/></metadata>'
    f'<defs><path id="cut" d="M0 0H{SIDE}V{SIDE}H0Z"/></defs><rect id="backdrop" width="{SIDE}" height="{SIDE}" fill="#000"/>'
    f'<use id="cloth" href="#cut" fill="#808080"/><path id="area" d="M{LEFT} {TOP}h{ACROSS}v{ACROSS}h-{ACROSS}Z"/></svg>'
)


def picture_and_cut(folder: Path, art: bytes, *, scene: str = SCENE) -> tuple[NDArray[np.uint8], list[shapely.Polygon]]:
    """The picture, and the closed paths of the cut file in px of the picture, as svgelements reads them."""
    for name in ("art", "scenes"):
        (folder / name).mkdir()
    (folder / "art" / "it.svg").write_bytes(art)
    (folder / "scenes" / "view.svg").write_text(scene, encoding="utf-8")
    (folder / "vectorprep.toml").write_text(f'[pictures]\nsize_px = {SIDE}\nformat = "png"\n', encoding="utf-8")
    options = RunOptions(products=("sticker-die-cut",), jobs=1, pictures=(str(folder / "scenes"),))
    outputs = convert_artworks([folder / "art"], folder / "out", options=options).record["outputs"]
    files = {output["kind"]: folder / "out" / output["path"] for output in outputs}
    with Image.open(files["picture"]) as image:
        pixels = np.asarray(image.convert("RGB"))
    root = etree.fromstring(files["cut-svg"].read_bytes())
    rings = []
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        whole = svgelements.Path(path.get("d"))
        points = np.array([(p.x, p.y) for piece in whole for p in (piece.point(t) for t in np.linspace(0, 1, 20))])
        rings.append(shapely.Polygon((points - BLEED_MM) / AREA_MM * ACROSS + (LEFT, TOP)))
    return pixels, rings


def is_sticker(pixels: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """What is not the black beside it; within 20 px of the cut there is only white, the offset being 2.5 mm."""
    found: NDArray[np.bool_] = pixels.max(axis=-1) > 127
    return found


def centres_in(shape: shapely.Geometry) -> NDArray[np.bool_]:
    """Which pixels' centres lie inside a shape."""
    rows, columns = np.mgrid[0:SIDE, 0:SIDE] + 0.5
    found: NDArray[np.bool_] = shapely.contains_xy(shape, columns, rows)
    return found


@pytest.mark.parametrize("name", ["fox_camp-fire", "LUMBRY-quay-badge", "teapot-balloons_pastel"])
def test_the_picture_has_the_outline_of_the_cut_file(name: str, tmp_path: Path) -> None:
    """Every pixel that lies a pixel inside the cut is sticker, every one that lies a pixel beyond it is not (shapely)."""
    pixels, rings = picture_and_cut(tmp_path, (SAMPLES / f"{name}.svg").read_bytes())
    shape = rings[0]
    for ring in rings[1:]:
        shape = shape.symmetric_difference(ring)
    shown = is_sticker(pixels)
    assert not shown[~centres_in(shape.buffer(1))].any()
    assert shown[centres_in(shape.buffer(-1)) & ~centres_in(shape.buffer(-10))].all(), "the white border is not there"


def test_an_opening_is_cut_out_of_the_picture_too(tmp_path: Path) -> None:
    """A ring with an opening of 40 mm shows what lies behind it, up to the cut file's inner path."""
    ring = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100"><circle cx="50" cy="50" r="42" fill="none" stroke="#e04"'
        b' stroke-width="10"/></svg>'
    )
    pixels, rings = picture_and_cut(tmp_path, ring)
    assert len(rings) == 2
    outer, inner = sorted(rings, key=lambda one: -one.area)
    shown = is_sticker(pixels)
    assert not shown[centres_in(inner.buffer(-1))].any()
    assert shown[centres_in(outer.buffer(-1).difference(inner.buffer(1)))].all()


def test_a_drawing_without_a_place_for_the_cut_stays_as_it_is(tmp_path: Path) -> None:
    """A square of vinyl under another name is shown whole."""
    plain = SCENE.replace('id="cut"', 'id="card"').replace("#cut", "#card")
    pixels, _ = picture_and_cut(tmp_path, (SAMPLES / "fox_camp-fire.svg").read_bytes(), scene=plain)
    assert is_sticker(pixels)[[5, 5, -5, -5], [5, -5, 5, -5]].all()
