"""The cut line as a file: on the print file's page, at the offset, once per copy."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from lxml import etree

from vectorprep.engine import draw_placed, open_engine
from vectorprep.fonts import load_index
from vectorprep.measure import measure
from vectorprep.model import CutRule, FileRule, InkPolicy, Limits, PlacementRule, Product, Treatment
from vectorprep.outputs import Picture, make
from vectorprep.plan import place
from vectorprep.read import read_artwork
from vectorprep.shapes.curves import on_curve

_INDEX = load_index(system=False)
_ENGINE = open_engine(font_files=_INDEX.files)
_DISC = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
    '<circle cx="40" cy="60" r="25" fill="#c03030"/></svg>'
)
_STICKER = Product(
    key="bench-sticker",
    name="Bench",
    product_noun="sticker",
    process="label_digital",
    audience="general",
    substrate="vinyl",
    print_area_mm=(60, 60),
    print_area_kind="cut_outline_max",
    bleed_mm=2,
    resolution_ppi=300,
    fit="contain",
    background="transparent",
    mirror="none",
    mirror_done_by="not_applicable",
    ink_max_mm=(56, 56),
    placement=PlacementRule(datum="sheet_centre", horizontal="centre", vertical="centre"),
    limits=Limits(key="bench"),
    ink_policy=InkPolicy(key="bench", white_ink="none", recolour="never"),
    file=FileRule(formats=("png",)),
    cut=CutRule(
        kind="kiss_cut",
        offset_outside_ink_mm=2.0,
        inner_radius_min_mm=1.5,
        outer_radius_min_mm=1.0,
        fill_holes=True,
        gap_between_cuts_min_mm=3,
        processing_step_type="PartialCutting",
    ),
)


def picture_of(svg: str, product: Product = _STICKER) -> Picture:
    """A drawing measured, placed and drawn as a run does it."""
    artwork = read_artwork(svg.encode(), name="badge", fonts=_INDEX)
    measured = measure(artwork, _ENGINE, with_inks=False)
    raster, placement = draw_placed(_ENGINE, measured.artwork, place(measured, product))
    return Picture(
        artwork=measured.artwork,
        placement=placement,
        product=product,
        treatment=Treatment(kind="as-drawn"),
        stem="badge--bench-sticker--as-drawn",
        blanks=("white",),
        raster=raster,
        engine=_ENGINE,
    )


def paths_of(data: bytes) -> list[shapely.Polygon]:
    """What each path of the file encloses, in mm."""
    found = []
    for path in etree.fromstring(data).iter("{http://www.w3.org/2000/svg}path"):
        text = path.get("d", "")
        assert text.endswith("Z")
        numbers = np.array([float(word) for word in text[1:-1].replace("C", " ").replace(",", " ").split()]).reshape(-1, 2)
        starts = numbers[:-1:3]
        pieces = np.stack([starts, numbers[1::3], numbers[2::3], numbers[3::3]], axis=1)
        found.append(shapely.Polygon(on_curve(pieces, 12)))
    return found


def test_the_cut_of_a_disc_lies_two_mm_outside_its_ink() -> None:
    """A disc is cut along a circle that is larger by the offset, within 0.05 mm, closed, on the page of the print file."""
    picture = picture_of(_DISC)
    (made,) = make("cut-svg", picture)
    assert made.output.path == "badge--bench-sticker--as-drawn--cut.svg"
    root = etree.fromstring(made.data)
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("64mm", "64mm", "0 0 64 64")
    (inside,) = paths_of(made.data)
    assert inside.is_valid
    copy, px_per_mm = picture.placement.placed[0], 300 / 25.4
    centre = [(at * copy.px_per_mm + offset) / px_per_mm for at, offset in zip((40, 60), copy.offset_px, strict=True)]
    away = np.hypot(*(np.asarray(inside.exterior.coords) - centre).T)
    assert np.abs(away - (25 * copy.px_per_mm / px_per_mm + 2.0)).max() <= 0.05


def test_every_copy_of_a_sheet_gets_its_cut_at_the_gap() -> None:
    """A sheet of four holds four paths, none nearer to another than the record's 3 mm."""
    rule = PlacementRule(datum="sheet_corner", horizontal="grid", vertical="grid", sheet_margin_mm=5, gap_between_cuts_mm=3)
    sheet = replace(_STICKER, print_area_mm=(125, 125), trim_size_mm=(125, 125), ink_max_mm=None, placement=rule)
    (made,) = make("cut-svg", picture_of(_DISC, sheet))
    paths = paths_of(made.data)
    assert len(paths) == 4
    assert min(a.distance(b) for at, a in enumerate(paths) for b in paths[:at]) >= 3.0 - 0.05
    assert dict(made.output.facts)["cut-gap-mm"] >= 3.0 - 0.05


def test_a_product_without_a_cut_offset_gets_no_cut() -> None:
    """A card that is not cut around its ink has no such file."""
    assert make("cut-svg", picture_of(_DISC, replace(_STICKER, cut=None))) == ()


def test_the_same_picture_gives_the_same_bytes() -> None:
    """Two runs differ in nothing."""
    picture = picture_of(_DISC)
    assert make("cut-svg", picture)[0].data == make("cut-svg", picture)[0].data
