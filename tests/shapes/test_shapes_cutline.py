"""Cut lines against shapely's own parallel curves and against arithmetic."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from vectorprep.shapes.curves import fitted, on_curve, path_data
from vectorprep.shapes.cutline import CutLimits, cut_region, figures, ink_region
from vectorprep.shapes.trace import contours

PX_PER_MM = 20.0
WITHIN_MM = 0.05
"""What a cut may be off the true parallel curve."""
DIE = CutLimits(offset_mm=2.5, inner_radius_mm=2.0, outer_radius_mm=1.5, bridge_mm=3.0)
KISS = CutLimits(offset_mm=2.0, inner_radius_mm=1.5, outer_radius_mm=1.0, gap_mm=3.0)


def disc(x: float, y: float, radius: float) -> shapely.Polygon:
    """A disc, exact to a thousandth."""
    return shapely.Point(x, y).buffer(radius, quad_segs=100)


def star(points: int, outer: float, inner: float) -> shapely.Polygon:
    """A star around (25, 25)."""
    angle = np.arange(2 * points) * np.pi / points
    radius = np.where(np.arange(2 * points) % 2 == 0, outer, inner)
    return shapely.Polygon(np.stack([25 + radius * np.sin(angle), 25 - radius * np.cos(angle)], axis=-1))


def coverage(*shapes: shapely.Polygon, side_mm: float = 50.0) -> NDArray[np.uint8]:
    """The shapes drawn with 8 x 8 samples to a pixel."""
    side = round(side_mm * PX_PER_MM)
    picture = Image.new("L", (side * 8, side * 8))
    for shape in shapes:
        points = np.asarray(shape.exterior.coords) * PX_PER_MM * 8 - 0.5
        ImageDraw.Draw(picture).polygon([tuple(point) for point in points.tolist()], fill=255)
    return np.asarray(picture.reduce(8))


def apart(a: shapely.Geometry, b: shapely.Geometry) -> float:
    """How far two rims leave each other at most."""
    return float(shapely.hausdorff_distance(a.boundary.segmentize(0.2), b.boundary.segmentize(0.2)))


def smooth(region: shapely.Polygon) -> shapely.Polygon:
    """What lies inside the curve that is written."""
    return shapely.Polygon(on_curve(fitted(np.asarray(region.exterior.coords)[:-1], 0.015, 0.1), 16))


@pytest.mark.parametrize(
    "shape",
    [disc(25, 25, 18), shapely.box(10, 12, 40, 38), shapely.box(12, 14, 38, 36).buffer(3, quad_segs=60), star(5, 20, 9)],
    ids=["circle", "square", "rounded square", "star"],
)
def test_a_cut_is_the_parallel_curve_rounded_inward(shape: shapely.Polygon) -> None:
    """The written curve stays within 0.05 mm of shapely's parallel curve of the exact shape, closed by the inner radius."""
    true = shape.buffer(2.5 + 2.0, quad_segs=200).buffer(-2.0, quad_segs=200)
    cut = smooth(cut_region(ink_region(coverage(shape), PX_PER_MM), DIE))
    assert cut.is_valid
    assert apart(cut, true) <= WITHIN_MM


def test_a_circle_grows_by_twice_the_offset() -> None:
    """Art of 36 mm with a border of 2 mm is cut at 40 mm (arithmetic)."""
    found = figures(cut_region(ink_region(coverage(disc(25, 25, 18)), PX_PER_MM), KISS), KISS)
    assert found.size_mm == pytest.approx((40.0, 40.0), abs=WITHIN_MM)
    assert found.pieces == 1


def test_holes_are_filled() -> None:
    """A ring is cut along its outer rim alone."""
    ring = coverage(disc(25, 25, 18)) - coverage(disc(25, 25, 12))
    region = cut_region(ink_region(ring, PX_PER_MM), DIE)
    assert [len(part.interiors) for part in shapely.get_parts(region)] == [0]


def test_a_hole_is_cut_where_the_record_fills_none() -> None:
    """The hole of a ring keeps a rim of its own, nearer by the offset: 12 - 2.5 mm (arithmetic)."""
    ring = coverage(disc(25, 25, 18)) - coverage(disc(25, 25, 12))
    limits = CutLimits(offset_mm=2.5, inner_radius_mm=2.0, fills_holes=False)
    (part,) = shapely.get_parts(cut_region(ink_region(ring, PX_PER_MM, fills_holes=False), limits))
    (hole,) = part.interiors
    assert shapely.Polygon(hole).area == pytest.approx(np.pi * 9.5**2, rel=0.01)


@pytest.mark.parametrize(("width", "is_open"), [(7.8, False), (9.6, True), (24.0, True)])
def test_wide_empty_holes_are_cut_out_of_a_die_cut(width: float, *, is_open: bool) -> None:
    """A wide round hole has a rim of its own, nearer by the offset (shapely's parallel curve); one under 8 mm is filled.

    Between 8 and 9 mm the rim would turn more sharply than the inner radius of 2 mm, and the hole closes.
    """
    limits = replace(DIE, hole_mm=8.0)
    shape = disc(25, 25, 19).difference(disc(25, 25, width / 2))
    ring = coverage(disc(25, 25, 19)) - coverage(disc(25, 25, width / 2))
    region = cut_region(ink_region(ring, PX_PER_MM, fills_holes=limits.fills_all), limits)
    found = figures(region, limits)
    assert found.holes == int(is_open)
    if is_open:
        true = shape.buffer(2.5 + 2.0, quad_segs=200).buffer(-2.0, quad_segs=200)
        assert apart(region, true) <= WITHIN_MM
        assert found.hole_mm == pytest.approx(width - 5.0, abs=WITHIN_MM)
    else:
        assert apart(region, disc(25, 25, 21.5)) <= WITHIN_MM


def test_a_hole_is_as_wide_as_the_widest_disc_in_it() -> None:
    """A slot of 7 x 20 mm is filled, one of 10 x 20 mm is cut out, whatever its length."""
    limits = replace(DIE, hole_mm=8.0)
    for across, holes in ((7.0, 0), (10.0, 1)):
        ring = coverage(disc(25, 25, 20)) - coverage(shapely.box(25 - across / 2, 15, 25 + across / 2, 35))
        region = cut_region(ink_region(ring, PX_PER_MM, fills_holes=limits.fills_all), limits)
        assert figures(region, limits).holes == holes


def test_a_hole_with_ink_in_it_is_filled() -> None:
    """An island would fall out: a ring around a disc is one piece without an opening."""
    limits = replace(DIE, hole_mm=8.0)
    art = coverage(disc(25, 25, 20)) - coverage(disc(25, 25, 17)) + coverage(disc(25, 25, 2))  # parts lie apart, so levels add up
    found = figures(cut_region(ink_region(art, PX_PER_MM, fills_holes=limits.fills_all), limits), limits)
    assert (found.pieces, found.holes) == (1, 0)


def test_a_pocket_between_parts_is_no_hole() -> None:
    """Four discs whose borders run together leave a pocket between them that the art does not have: it is filled."""
    limits = replace(DIE, hole_mm=8.0)
    discs = [disc(x, y, 8) for x in (12, 38) for y in (12, 38)]
    posts = [shapely.box(20, 11, 30, 13), shapely.box(20, 37, 30, 39), shapely.box(11, 21, 13, 29), shapely.box(37, 21, 39, 29)]
    region = cut_region(ink_region(coverage(*discs, *posts), PX_PER_MM, fills_holes=limits.fills_all), limits)
    found = figures(region, limits)
    assert (found.pieces, found.holes) == (1, 0)


def test_pieces_closer_than_the_gap_are_joined() -> None:
    """Two cuts that would run 1 mm apart become one."""
    region = cut_region(ink_region(coverage(disc(13, 25, 8), disc(34, 25, 8)), PX_PER_MM), KISS)
    assert figures(region, KISS).pieces == 1


def test_pieces_that_keep_their_gap_stay_apart() -> None:
    """Two cuts 4 mm apart stay two, and their gap is what arithmetic says."""
    found = figures(cut_region(ink_region(coverage(disc(12, 25, 7), disc(34, 25, 7)), PX_PER_MM), KISS), KISS)
    assert found.pieces == 2
    assert found.gap_mm == pytest.approx(22 - 14 - 4, abs=WITHIN_MM)


def test_a_joint_is_as_wide_as_a_bridge_must_be() -> None:
    """Parts that only just meet are joined over 3 mm at least."""
    region = cut_region(ink_region(coverage(disc(13, 25, 7), disc(32.6, 25, 7)), PX_PER_MM), DIE)
    found = figures(region, DIE)
    assert (found.pieces, found.bridges_hold) == (1, True)
    waist = region.intersection(shapely.box(22.7, 0, 22.9, 50))
    assert waist.bounds[3] - waist.bounds[1] >= 3.0 - WITHIN_MM


def test_radii_are_kept_and_a_sharp_corner_is_noticed() -> None:
    """A finished cut has the record's radii; the bare star has not."""
    bare = ink_region(coverage(star(5, 20, 9)), PX_PER_MM)
    kept, sharp = figures(cut_region(bare, DIE), DIE), figures(bare, DIE)
    assert (kept.inner_radius_mm, kept.outer_radius_mm) == (DIE.inner_radius_mm, DIE.outer_radius_mm)
    assert sharp.inner_radius_mm < 1.0
    assert sharp.outer_radius_mm < 1.0


def test_nothing_painted_gives_no_region() -> None:
    """Empty coverage has no ink to cut around."""
    assert ink_region(np.zeros((20, 20), np.uint8), PX_PER_MM).is_empty


def test_curves_follow_a_circle_with_few_pieces() -> None:
    """A circle of 40 mm needs no more than 16 cubic pieces to stay within 0.015 mm, and its path is closed."""
    pieces = fitted(np.asarray(disc(0, 0, 20).exterior.coords)[:-1], 0.015, 0.1)
    radius = np.hypot(*on_curve(pieces, 50).T)
    assert len(pieces) <= 16
    assert np.abs(radius - 20).max() <= 0.02
    data = path_data(pieces, 4)
    assert data.startswith("M")
    assert data.endswith("Z")


def test_pieces_share_their_directions() -> None:
    """Where one piece ends the next goes on without a corner."""
    pieces = fitted(np.asarray(cut_region(star(5, 20, 9), DIE).exterior.coords)[:-1], 0.015, 0.1)
    leaving = pieces[:, 3] - pieces[:, 2]
    going_on = np.roll(pieces[:, 1] - pieces[:, 0], -1, axis=0)
    turn = (leaving * going_on).sum(axis=1) / np.hypot(*leaving.T) / np.hypot(*going_on.T)
    assert turn.min() > 0.9999


def random_coverage(seed: int) -> NDArray[np.uint8]:
    """Blots, rings, rings in rings and specks in holes, 40 mm across."""
    draw = np.random.default_rng(seed)
    rows, columns = np.mgrid[:800, :800] / PX_PER_MM
    level = np.zeros((800, 800))
    for x, y, radius in draw.uniform((2, 2, 0.3), (38, 38, 5.0), (60, 3)):
        waves = np.sin(np.hypot(rows - y, columns - x) / radius * draw.uniform(4, 16))
        level += np.where(np.hypot(rows - y, columns - x) < radius, waves, 0)
    return np.asarray(np.clip(level * 127.5 + 127.5 - 20, 0, 255), np.uint8)


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
@pytest.mark.parametrize("fills_holes", [True, False])
def test_ink_is_assembled_as_geos_does_from_crossings_alone(seed: int, fills_holes: bool) -> None:
    """Rims and holes told apart by their turning give what GEOS builds from the same lines without knowing it (BuildArea)."""
    covered = random_coverage(seed)
    rings = [shapely.LinearRing(loop / PX_PER_MM) for loop in contours(covered) if len(loop) > 3]
    built = shapely.get_parts(shapely.build_area(shapely.GeometryCollection(rings)))
    true = shapely.union_all([shapely.Polygon(part.exterior) if fills_holes else part for part in built])
    assert len(built) > 10
    assert sum(len(part.interiors) for part in built) > 5
    found = ink_region(covered, PX_PER_MM, fills_holes=fills_holes, least_mm2=0.0)
    assert found.is_valid
    assert found.buffer(0.01).contains(true)
    assert true.buffer(0.01).contains(found)


def test_narrow_holes_are_filled_where_others_stay() -> None:
    """A hole of 1 mm is filled where those from 2 mm on stay, one of 4 mm does not, with the ring that lies in it."""
    plate = disc(25, 25, 18).difference(disc(15, 25, 0.5)).difference(disc(30, 25, 2)).union(disc(30, 25, 1))
    holes = coverage(disc(25, 25, 18)) - coverage(disc(15, 25, 0.5)) - coverage(disc(30, 25, 2)) + coverage(disc(30, 25, 1))
    found = ink_region(holes, PX_PER_MM, fills_holes=False, hole_mm=2.0)
    assert [len(part.interiors) for part in shapely.get_parts(found)] == [1, 0]
    assert found.area == pytest.approx(plate.area + disc(15, 25, 0.5).area, rel=0.002)


def test_thousands_of_specks_are_cut_as_their_parallel_curve() -> None:
    """2,400 blots in rows: the cut is what shapely grows and shrinks from all of them at once."""
    places = [(row, column) for row in range(40) for column in range(48 if row < 20 else 12)]
    ink = shapely.MultiPolygon([disc(3 + 0.9 * column, 3 + 0.9 * row, 0.2 + 0.02 * (row % 7)) for row, column in places])
    grown = ink.buffer(KISS.offset_mm + KISS.inner_radius_mm, quad_segs=32)
    true = grown.buffer(-KISS.inner_radius_mm, quad_segs=32)
    assert apart(cut_region(ink, KISS), shapely.Polygon(true.exterior)) <= 0.002


def test_a_hair_that_breaks_into_specks_keeps_its_tip() -> None:
    """Specks of a pixel each 0.02 mm apart belong to the disc that they lead to; the same specks far from it are dropped."""
    covered = coverage(disc(25, 25, 5)).copy()
    covered[500, 600:660] = 100  # from x = 30 mm on, every other pixel above a half
    covered[500, 601:660:2] = 255
    covered[900, 601:660:8] = 255
    x0, y0, x1, y1 = ink_region(covered, PX_PER_MM).bounds
    assert (x0, x1) == pytest.approx((20.0, 33.0), abs=0.1)
    assert (y0, y1) == pytest.approx((20.0, 30.0), abs=0.1)
