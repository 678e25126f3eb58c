"""Closed paths for cut film: one group a film, strokes as shapes, true to the ink, corners kept."""

from __future__ import annotations

import base64
import io
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from lxml import etree
from PIL import Image

sys.path.insert(0, str(Path(__file__).parent))
from test_outputs_cut_svg import _STICKER, paths_of, picture_of  # type: ignore[import-not-found]

from vectorprep.model import Ink
from vectorprep.outputs import Picture, make

_FILM = replace(_STICKER, key="bench-film", cut=None, ink_max_mm=None)
_TWO = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
    '<rect x="10" y="10" width="80" height="80" fill="#f0c020"/>'
    '<circle cx="50" cy="50" r="20" fill="none" stroke="#203080" stroke-width="8"/></svg>'
)
_INKS = (Ink(colour="#f0c020", area_share=0.8, edge_share=1.0), Ink(colour="#203080", area_share=0.2, edge_share=0.0))


def film_picture() -> Picture:
    """A square of one film with a ring of another on it."""
    picture = picture_of(_TWO, _FILM)
    assert isinstance(picture, Picture)
    return replace(picture, inks=_INKS)


def test_each_film_is_a_group_of_closed_paths_from_light_to_dark() -> None:
    """Two inks give two groups, the pale film first; a stroke is an outline, and each path closes."""
    (made,) = make("paths-svg", film_picture())
    groups = list(etree.fromstring(made.data))
    assert [group.get("fill") for group in groups] == ["#f0c020", "#203080"]
    texts = [path.get("d", "") for group in groups for path in group]
    assert sorted(text.count("M") for text in texts) == [1, 2, 2]
    assert all(text.count("Z") == text.count("M") for text in texts)
    assert b"stroke" not in made.data


def test_the_outlines_are_true_and_keep_their_corners() -> None:
    """Ring radii lie within 0.05 mm of geometry; the square has its four corners within 0.06 mm (geometry, arithmetic)."""
    picture = film_picture()
    (made,) = make("paths-svg", picture)
    copy, px_per_mm = picture.placement.placed[0], 300 / 25.4
    scale = copy.px_per_mm / px_per_mm
    shift = np.array(copy.offset_px) / px_per_mm
    square, ring = (widest(group) for group in etree.fromstring(made.data))
    outer, inner = (_points(part) for part in ring.get("d", "").split("Z")[:2])
    away = [np.hypot(*(points - (np.array([50, 50]) * scale + shift)).T) for points in (outer, inner)]
    assert np.abs(away[0] - 24 * scale).max() <= 0.05
    assert np.abs(away[1] - 16 * scale).max() <= 0.05
    rim = _points(square.get("d", "").split("Z")[0])
    for corner in ((10, 10), (90, 10), (90, 90), (10, 90)):
        wanted = np.array(corner) * scale + shift
        assert np.hypot(*(rim - wanted).T).min() <= 0.06


def test_films_do_not_overlap() -> None:
    """What one film covers the other leaves free, within the thickness of a line."""
    data = make("paths-svg", film_picture())[0].data
    square, ring = (widest(group).get("d", "").split("Z") for group in etree.fromstring(data))
    first = shapely.Polygon(_points(square[0])).difference(shapely.Polygon(_points(square[1])))
    second = shapely.Polygon(_points(ring[0])).difference(shapely.Polygon(_points(ring[1])))
    assert first.intersection(second).area <= 0.05 * second.length


def test_the_same_picture_gives_the_same_paths() -> None:
    """No time and no chance is in the bytes."""
    assert make("paths-svg", film_picture())[0].data == make("paths-svg", film_picture())[0].data


def test_the_grain_of_a_photograph_becomes_areas() -> None:
    """Noise that leans to the pale film left and to the dark one right gives one area each, that meet in the middle.

    Cut as it is, the grain would be thousands of specks that no cutter makes and nobody weeds.
    """
    rng = np.random.default_rng(11)
    leans = np.linspace(0.8, 0.2, 200)[None, :] + rng.normal(0, 0.25, (200, 200))
    inks = np.array([(0xF0, 0xC0, 0x20), (0x20, 0x30, 0x80)], float)
    shares = leans.clip(0, 1)[..., None]
    noise = Image.fromarray((shares * inks[0] + (1 - shares) * inks[1]).round().astype(np.uint8))
    data = io.BytesIO()
    noise.save(data, "PNG")
    link = base64.b64encode(data.getvalue()).decode()
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
        f'<image x="10" y="10" width="80" height="80" href="data:image/png;base64,{link}"/></svg>'
    )
    picture = replace(picture_of(svg, _FILM), inks=_INKS)
    (made,) = make("paths-svg", picture)
    facts = dict(made.output.facts)
    assert facts["path-pieces"] <= 40
    pale, dark = (shapely.Polygon(_points(widest(group).get("d", "").split("Z")[0])) for group in etree.fromstring(made.data))
    whole = pale.union(dark).convex_hull.area
    assert pale.area + dark.area == pytest.approx(whole, rel=0.05)
    assert pale.centroid.x < dark.centroid.x
    assert pale.area == pytest.approx(dark.area, rel=0.15)


def widest(group: etree._Element) -> etree._Element:
    """The path of a film whose outline encloses most."""
    return max(group, key=lambda path: shapely.Polygon(_points(path.get("d", "").split("Z")[0])).area)


def _points(text: str) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Points along one closed subpath."""
    markup = f'<svg xmlns="http://www.w3.org/2000/svg"><path d="{text}Z"/></svg>'
    (shape,) = paths_of(markup.encode())
    return np.asarray(shape.exterior.coords)


@pytest.mark.parametrize("kind", ["paths-svg"])
def test_only_a_plan_costs_nothing(kind: str) -> None:
    """Where nothing was drawn, the file is planned without bytes."""
    (planned,) = make(kind, replace(film_picture(), raster=None))
    assert (planned.output.state, planned.data) == ("planned", b"")
