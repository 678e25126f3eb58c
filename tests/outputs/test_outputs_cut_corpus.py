"""Cut contours of open drawings: closed, not crossing themselves, at the offset, their radii, gaps and bridges kept.

Needs VECTORPREP_CORPUS; VECTORPREP_CORPUS_FILES says how many drawings of each set are taken (default 6).
"""

from __future__ import annotations

import os
import random
from pathlib import Path

import numpy as np
import pytest
import shapely
import shapely.affinity
from scipy import ndimage

from vectorprep.engine import draw_placed, open_engine
from vectorprep.engine.coverage import alpha_of
from vectorprep.errors import ArtworkRefused
from vectorprep.fonts import load_index
from vectorprep.measure import measure
from vectorprep.model import Product, Treatment
from vectorprep.outputs import Picture
from vectorprep.outputs._cut import _fine, cut_of, limits_of
from vectorprep.pipeline.catalogue import open_catalogue
from vectorprep.plan import place
from vectorprep.read import read_artwork
from vectorprep.shapes.curves import on_curve
from vectorprep.shapes.cutline import LEAST_INK_MM2, WIDEST_JOIN, cut_region, ink_region

SETS = {
    "openmoji": "node_modules/openmoji/color/svg",
    "twemoji": "node_modules/@twemoji/svg",
    "openclipart": "oca/usr/share/openclipart/svg",
}
WITHIN_MM = 0.05
_INDEX = load_index(system=False)
_ENGINE = open_engine(font_files=_INDEX.files)

pytestmark = pytest.mark.corpus


def pictures(name: str, product: Product) -> list[tuple[str, Picture]]:
    """Drawings of a set on a product, those left out that the reader refuses."""
    folder = os.environ.get("VECTORPREP_CORPUS")
    if not folder:
        pytest.skip("VECTORPREP_CORPUS names no folder of open drawings")
    paths = sorted(Path(folder, SETS[name]).rglob("*.svg"))
    wanted = min(int(os.environ.get("VECTORPREP_CORPUS_FILES", "6")), len(paths))
    found = []
    for path in random.Random(5).sample(paths, wanted):
        try:
            artwork = read_artwork(path.read_bytes(), name=path.stem, fonts=_INDEX)
            measured = measure(artwork, _ENGINE, with_inks=False)
            raster, placement = draw_placed(_ENGINE, measured.artwork, place(measured, product))
        except ArtworkRefused:
            continue
        picture = Picture(
            artwork=measured.artwork,
            placement=placement,
            product=product,
            treatment=Treatment(kind="as-drawn"),
            stem=path.stem,
            blanks=("white",),
            raster=raster,
            engine=_ENGINE,
        )
        found.append((path.name, picture))
    assert len(found) > wanted * 0.9
    return found


def ink_distances(picture: Picture, points: np.ndarray) -> np.ndarray:
    """Distance in mm of points on the print file from ink of half coverage or more, specks too small for a cut left out.

    Source: exact Euclidean distance transform of SciPy, half a pixel for the edge.
    """
    drawn, scale = _fine(picture)
    px_per_mm = picture.placement.ppi / 25.4 * scale
    pad = round(12 * px_per_mm)
    ink = np.pad(alpha_of(drawn) >= 128, pad)
    pieces, count = ndimage.label(ink, np.ones((3, 3)))
    sizes = ndimage.sum_labels(ink, pieces, np.arange(count + 1))
    ink &= (sizes >= LEAST_INK_MM2 * 1.5 * px_per_mm**2)[pieces]
    field = ndimage.distance_transform_edt(~ink)
    at = (points - np.array(drawn.origin_px) / px_per_mm) * px_per_mm + pad - 0.5
    return np.asarray((ndimage.map_coordinates(field, [at[:, 1], at[:, 0]], order=1) - 0.5) / px_per_mm)


@pytest.mark.parametrize("key", ["sticker-kiss-cut", "sticker-die-cut"])
@pytest.mark.parametrize("name", SETS)
def test_cuts_of_open_drawings(name: str, key: str) -> None:
    """Each path is closed and simple; it stays within 0.05 mm of shapely's parallel curve, never nearer to ink than the offset.

    Radii, gaps and bridges of the product's record are kept, and a die cut is one piece
    where the widest disc that may fill a narrow spans the gap (the command reports `cut-not-one-piece` of the others).
    """
    product = open_catalogue(()).products[key]
    assert product.cut is not None
    limits = limits_of(product.cut)
    reach = 2 * WIDEST_JOIN * max(limits.inner_radius_mm, limits.bridge_mm / 2)
    faults: list[tuple[str, str]] = []
    for file, picture in pictures(name, product):
        cut = cut_of(picture, product.cut)
        if cut is None:
            faults.append((file, "no cut"))
            continue
        own = cut.paths[: len(cut.paths) // len(picture.placement.placed)]
        lines = [on_curve(path, 64) for path in own]
        rings = [shapely.LinearRing(line) for line in lines]
        points = np.concatenate(lines)
        drawn, scale = _fine(picture)
        px_per_mm = picture.placement.ppi / 25.4 * scale
        ink = ink_region(np.ascontiguousarray(alpha_of(drawn)), px_per_mm, fills_holes=limits_of(product.cut).fills_all)
        rim = shapely.affinity.translate(cut_region(ink, limits), *(np.array(drawn.origin_px) / px_per_mm)).boundary
        found = cut.figures
        said = {
            "open": any(not np.allclose(path[0, 0], path[-1, 3]) for path in own),
            "crosses itself": not all(ring.is_simple for ring in rings),
            "off the parallel curve": shapely.distance(shapely.points(points), rim).max() > WITHIN_MM,
            "too near to ink": ink_distances(picture, points).min() < limits.offset_mm - WITHIN_MM,
            "inner radius": found.inner_radius_mm < limits.inner_radius_mm,
            "outer radius": found.outer_radius_mm < limits.outer_radius_mm,
            "gap": cut.gap_mm < limits.gap_mm - WITHIN_MM,
            "bridge": not found.bridges_hold,
            "pieces": limits.is_one_piece and found.pieces > 1 and found.gap_mm < reach,
        }
        faults += [(file, words) for words, is_so in said.items() if is_so]
    assert faults == []
