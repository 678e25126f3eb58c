"""The area's path as four sides."""

from __future__ import annotations

import pytest

from vectorprep.errors import SceneRefused
from vectorprep.geometry import Affine
from vectorprep.scenes.outline import area_of

PAGE = (100.0, 100.0)
PLAIN = Affine()


def test_a_rectangle_begins_at_the_top_left_of_the_artwork() -> None:
    """Corners are named in the order of the path."""
    area = area_of("M10 20 H90 V80 H10 Z", PLAIN, "area", PAGE)
    assert area.corners == ((10, 20), (90, 20), (90, 80), (10, 80))


def test_a_path_drawn_the_other_way_round_keeps_its_first_corner_and_mirrors_nothing() -> None:
    """Anticlockwise and clockwise outlines from one corner are the same area."""
    assert area_of("M10 20 V80 H90 V20 Z", PLAIN, "area", PAGE).corners == ((10, 20), (90, 20), (90, 80), (10, 80))


def test_a_path_that_begins_at_the_bottom_right_stands_on_its_head() -> None:
    """The artwork's top-left corner is where the path begins, wherever that lies."""
    assert area_of("M90 80 H10 V20 H90 Z", PLAIN, "area", PAGE).corners[0] == (90, 80)


def test_the_map_of_the_shape_is_applied() -> None:
    """Transforms of the path and the groups around it count."""
    assert area_of("M0 0 H10 V10 H0 Z", Affine(2, 0, 0, 3, 5, 7), "area", PAGE).corners[2] == (25, 37)


def test_an_arc_is_one_side_even_where_it_joins_the_next_one_smoothly() -> None:
    """Half ellipses end upright, so that their corners could not be told by a turn."""
    area = area_of("M10 20 A40 8 0 0 0 90 20 V70 A40 8 0 0 1 10 70 Z", PLAIN, "area", PAGE)
    assert len(area.top) == 2
    assert [number for corner in area.corners for number in corner] == pytest.approx([10, 20, 90, 20, 90, 70, 10, 70])


def test_a_side_of_several_smooth_pieces_is_one_side() -> None:
    """Two joined curves along the top make no fifth corner."""
    area = area_of("M10 20 C20 24 40 26 50 26 C60 26 80 24 90 20 V80 H10 Z", PLAIN, "area", PAGE)
    assert len(area.top) == 2
    assert area.corners == ((10, 20), (90, 20), (90, 80), (10, 80))


def test_a_side_that_runs_almost_straight_into_a_curve_of_several_pieces_ends_there() -> None:
    """A cup's sides turn by 11 and 12 degrees into its bottom, which is drawn in two pieces that meet evenly: four corners."""
    area = area_of("M10 20 C30 30 70 30 90 20 L80 70 C76 82 64 88 50 88 C36 88 24 82 20 70 Z", PLAIN, "area", PAGE)
    assert len(area.bottom) == 2
    assert area.corners == ((10, 20), (90, 20), (80, 70), (20, 70))


@pytest.mark.parametrize(
    ("data", "code"),
    [
        ("M10 20 H90 V80 Z", "scene-area-corners"),
        ("M10 20 H90 V80 L50 95 L10 80 Z", "scene-area-corners"),
        ("M10 20 H50 H90 L50 50 L10 80 Z", "scene-area-corners"),
        (
            "M10 50 C10 28 28 10 50 10 C72 10 90 28 90 50 C90 72 72 90 50 90 C40 90 30 86 22 79 C14 71 10 61 10 50 Z",
            "scene-area-corners",
        ),
        ("M10 20 H90 L10 80 H90 Z", "scene-area-crossed"),
        ("M10 20 H90 H10 H50 Z", "scene-area-crossed"),
        ("M110 20 H190 V80 H110 Z", "scene-area-outside"),
        ("M10 20 H90 V80 H10 Z M0 0 H1 V1 Z", "scene-area-corners"),
        ("", "scene-area-corners"),
        ("M10 20 nonsense", "scene-area-corners"),
    ],
)
def test_what_is_no_area_is_said(data: str, code: str) -> None:
    """Three or five corners, crossed sides, no part on the picture, two parts, no path: each has its code and a remedy."""
    with pytest.raises(SceneRefused) as told:
        area_of(data, PLAIN, "area", PAGE)
    assert told.value.code == code
    assert "'area'" in told.value.message
    assert told.value.fix
