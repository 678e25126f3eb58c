"""The engines against outside references: CairoSVG's pixels, svgelements' boxes."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
import svgelements

from vectorprep.engine import Engine, draw_window, open_engine
from vectorprep.engine.coverage import alpha_of, box_of
from vectorprep.errors import PartMissing
from vectorprep.fonts import load_index
from vectorprep.geometry import Box
from vectorprep.model import Artwork
from vectorprep.read import read_artwork

_INDEX = load_index(system=False)
_SAMPLES = sorted(Path(__file__).resolve().parents[2].glob("sample_svgs/*.svg"))


def _read(path: Path) -> Artwork:
    return read_artwork(path.read_bytes(), name=path.stem, fonts=_INDEX)


@pytest.fixture(scope="module")
def cairo() -> Engine:
    """The engine on another code base; it needs the system's cairo."""
    try:
        return open_engine("cairosvg")
    except PartMissing as missing:
        pytest.skip(str(missing))


@pytest.mark.parametrize("path", _SAMPLES, ids=lambda path: path.stem)
def test_prints_look_alike_on_another_code_base(cairo: Engine, path: Path) -> None:
    """On plain art under 1 % of the pixels differ by more than 64 of 255 levels from CairoSVG's."""
    artwork = _read(path)
    if artwork.has_filters or artwork.has_blending or artwork.text or artwork.images or b"<mask" in artwork.markup:
        pytest.skip("not plain art: CairoSVG draws its text, pictures, masks or filters another way or not at all")
    page = artwork.page
    scale = 800 / max(page.width_mm, page.height_mm)
    size = max(1, round(page.width_mm * scale)), max(1, round(page.height_mm * scale))
    window = Box(0, 0, size[0] / scale, size[1] / scale)
    ours, theirs = (
        draw_window(engine, artwork, window, *size).pixels.astype(int) for engine in (open_engine(font_files=_INDEX.files), cairo)
    )
    assert (np.abs(ours - theirs).max(axis=2) > 64).mean() < 0.01


SHAPES = [
    '<rect x="12.5" y="20" width="40" height="33"/>',
    '<rect x="30" y="20" width="40" height="10" transform="rotate(33 50 40)"/>',
    '<circle cx="55" cy="48" r="27.5"/>',
    '<ellipse cx="55" cy="48" rx="37.5" ry="10" transform="rotate(-20 55 48)"/>',
    '<polygon points="20,20 80,35 60,85 25,60"/>',
    '<path d="M20,80 C25,10 75,10 80,80 Z"/>',
    '<path d="M20,50 Q50,0 80,50 T90,60 L20,60 Z"/>',
    '<path d="M30,60 A25,15 20 1 1 60,70 Z"/>',
    '<g transform="translate(10,5) scale(1.5,0.8)"><path d="M10,10 h30 v40 h-10 z"/></g>',
    '<path d="M20,20 L80,20 L80,80" fill="none" stroke="#000" stroke-width="6" stroke-linejoin="round" stroke-linecap="round"/>',
]


@pytest.mark.parametrize("shape", SHAPES)
def test_boxes_of_plain_shapes_match_an_outside_geometry_library(shape: str) -> None:
    """Ink boxes are those of svgelements 1.9 (half the stroke width added by hand), to one pixel of 4500."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" viewBox="0 0 100 100">{shape}</svg>'
    parsed = svgelements.SVG.parse(io.StringIO(svg), reify=True)
    (element,) = [item for item in parsed.elements() if isinstance(item, svgelements.Shape)]
    half = 3.0 if "stroke-width" in shape else 0.0
    x0, y0, x1, y1 = element.bbox()
    artwork = read_artwork(svg.encode(), name="shape", fonts=_INDEX)
    raster = draw_window(open_engine(), artwork, Box(0, 0, artwork.page.width_mm, artwork.page.height_mm), 4500, 4500)
    box = box_of(alpha_of(raster))
    assert box is not None
    wanted = [45 * edge for edge in (x0 - half, y0 - half, x1 + half, y1 + half)]
    assert max(abs(a - b) for a, b in zip(box, wanted, strict=True)) <= 1.0 + 1e-6
