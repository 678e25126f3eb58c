"""The drawings of products that come along: what the pictures for a shop page are made from."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from lxml import etree

from vectorprep.colour import delta_e_2000, hex_from_rgb, rgb_from_hex
from vectorprep.engine import draw_window, open_engine
from vectorprep.geometry import Box
from vectorprep.model import Product
from vectorprep.profiles import load_catalogue
from vectorprep.read import read_artwork

ROOT = Path(__file__).parents[2]
PRODUCTS = load_catalogue(
    {f"profiles/{path.name}": path.read_text(encoding="utf-8") for path in (ROOT / "profiles").glob("*.toml")}
).products
FILES = {path.stem: path.read_bytes() for path in sorted((ROOT / "profiles" / "scenes").glob("*.svg"))}
SVG = "{http://www.w3.org/2000/svg}"
SCENE = "{urn:vectorprep:scene}scene"
SIDE_SINE = math.sin(math.radians(80))
"""Half the chord between the sides of a cylinder's path, which look 80 degrees to the left and right, for a radius of 1."""
INKS = ("#c8102e", "#1d5fa8", "#f2c230", "#808080")
"""Invented inks of the middle of the scale."""

Point = tuple[float, float]


def _root(name: str) -> etree._Element:
    return etree.fromstring(FILES[name])


def _statement(root: etree._Element) -> dict[str, str]:
    return {str(key): str(value) for key, value in next(root.iter(SCENE)).attrib.items()}


def _ids(root: etree._Element) -> list[str]:
    return [str(element.get("id")) for element in root.iter() if element.get("id")]


def _corners(data: str) -> list[Point]:
    """The four corners of an area: of a polygon, or of a path whose top and bottom are two curves each."""
    pieces = re.findall(r"([MLC])([^MLCZ]*)", data)
    ends = [tuple(float(number) for number in text.split()[-2:]) for _, text in pieces]
    points = [(x, y) for x, y in ends]
    return points if len(points) == 4 else [points[0], points[2], points[3], points[5]]


def _areas(root: etree._Element) -> list[tuple[Product, list[Point]]]:
    """Every product of a drawing with the corners of its area."""
    paths = {str(path.get("id")): str(path.get("d")) for path in root.iter(f"{SVG}path") if str(path.get("id")).startswith("area")}
    keys = _statement(root)["products"].split()
    return [(PRODUCTS[key], _corners(paths.get(f"area-{key}", paths["area"]))) for key in keys]


def test_every_product_has_a_drawing() -> None:
    """No built-in product is without a picture."""
    drawn = {key for name in FILES for key in _statement(_root(name))["products"].split()}
    assert drawn == set(PRODUCTS)


@pytest.mark.parametrize("name", FILES)
def test_drawing_is_read_whole(name: str) -> None:
    """The reader of drawings takes each and has to leave nothing out."""
    artwork = read_artwork(FILES[name], name=name)
    assert [finding.check for finding in artwork.findings if finding.severity != "note"] == []
    assert max(artwork.page.width_px, artwork.page.height_px) == 2000


@pytest.mark.parametrize("name", FILES)
def test_drawing_has_its_parts(name: str) -> None:
    """Backdrop, cloth, area and shade are there, every name once, in the order in which they lie on each other."""
    names = _ids(_root(name))
    first = [
        next(place for place, one in enumerate(names) if one.split("-")[0] == part)
        for part in ("backdrop", "cloth", "area", "shade")
    ]
    assert first == sorted(first)
    assert len(names) == len(set(names))


@pytest.mark.parametrize("name", FILES)
def test_drawing_says_where_it_comes_from(name: str) -> None:
    """Licence, source, scale and the mark of every size are stated."""
    root = _root(name)
    statement = _statement(root)
    assert (statement["kind"], statement["source"], statement["licence"]) == ("drawing", "drawn for vectorprep", "MIT")
    assert re.search(r"common practice; from memory|ISO 216|house value", str(root.findtext(f"{SVG}desc")))


@pytest.mark.parametrize("name", FILES)
def test_area_has_the_size_of_the_print_area(name: str) -> None:
    """Sides of a flat area, and chord and height of a cylinder's, are the record's at the stated scale, within 0.5 %."""
    root = _root(name)
    statement = _statement(root)
    scale = float(statement["px_per_mm"])
    for product, (top_left, top_right, bottom_right, bottom_left) in _areas(root):
        width, height = (float(side) for side in product.print_area_mm)
        if product.taper is not None:
            lower = math.dist(bottom_left, bottom_right) / scale
            assert lower == pytest.approx(product.taper.bottom_diameter_mm * SIDE_SINE, rel=0.005)
            width = product.taper.top_diameter_mm * SIDE_SINE
            height = math.dist((0, 0), (product.taper.height_mm, (width - lower) / 2))
        elif statement["area"] == "cylinder":
            assert statement["angles_deg"] == "-80 80"
            assert product.outer_diameter_mm is not None
            width = float(product.outer_diameter_mm) * SIDE_SINE
        assert math.dist(top_left, top_right) / scale == pytest.approx(width, rel=0.005)
        assert math.dist(top_left, bottom_left) / scale == pytest.approx(height, rel=0.005)


@pytest.mark.parametrize("name", FILES)
def test_ink_in_the_middle_keeps_its_colour(name: str) -> None:
    """Light and shade change inks in the middle of what is seen of the area by less than a CIEDE2000 of 3."""
    root = _root(name)
    for element in list(root):
        if element.tag.rpartition("}")[2] not in {"defs", "metadata"} and element.get("id") != "shade":
            root.remove(element)
    artwork = read_artwork(etree.tostring(root), name=name)
    top_left, top_right, bottom_right, bottom_left = _areas(_root(name))[0][1]
    x = sum(point[0] for point in (top_left, top_right, bottom_right, bottom_left)) / 4
    y = min(sum(point[1] for point in (top_left, top_right, bottom_right, bottom_left)) / 4, 1800)
    unit = 25.4 / 96
    middle = Box((x - 60) * unit, (y - 60) * unit, (x + 60) * unit, (y + 60) * unit)
    pixels = draw_window(open_engine(), artwork, middle, 60, 60).pixels.reshape(-1, 4).mean(axis=0)
    for ink in INKS:
        shown = [part + own * (255 - pixels[3]) / 255 for part, own in zip(pixels[:3], rgb_from_hex(ink), strict=True)]
        assert delta_e_2000(ink, hex_from_rgb(*(round(part) for part in shown))) < 3
