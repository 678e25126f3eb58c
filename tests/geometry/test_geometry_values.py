"""Boxes and affine maps."""

from __future__ import annotations

import math

import pytest

from vectorprep.geometry import Affine, Box


def test_a_box_unpacks_and_has_extent() -> None:
    """The four corners come in order, and width, height, centre and area follow."""
    box = Box(1.0, 2.0, 4.0, 8.0)
    x0, y0, x1, y1 = box
    assert (x0, y0, x1, y1, len(box), box[2]) == (1.0, 2.0, 4.0, 8.0, 4, 4.0)
    assert (box.width, box.height, box.centre, box.area) == (3.0, 6.0, (2.5, 5.0), 18.0)


def test_union_and_intersection() -> None:
    """The union holds both, the intersection is the common part, and boxes that only touch share none."""
    one, other = Box(0, 0, 2, 2), Box(1, 1, 3, 3)
    assert one.union(other) == Box(0, 0, 3, 3)
    assert one.intersection(other) == Box(1, 1, 2, 2)
    assert one.intersection(Box(2, 0, 3, 1)) is None
    assert Box(0, 0, 3, 3).contains(one)
    assert not one.contains(other)
    assert one.contains(other, slack=1.0)


def test_a_turn_by_90_degrees_maps_as_svg_says() -> None:
    """rotate(90) is matrix(0 1 -1 0 0 0) (SVG 2, transform functions): (1, 0) goes to (0, 1)."""
    turn = Affine(0, 1, -1, 0, 0, 0)
    assert turn.point(1, 0) == (0, 1)
    assert turn.box(Box(0, 0, 2, 1)) == Box(-1, 0, 0, 2)


def test_after_applies_the_inner_map_first() -> None:
    """Translate after scale differs from scale after translate."""
    scale, move = Affine(a=2, d=2), Affine(e=5, f=7)
    assert move.after(scale).point(1, 1) == (7, 9)
    assert scale.after(move).point(1, 1) == (12, 16)


def test_the_inverse_undoes_a_map() -> None:
    """A map and its inverse bring a point back; a flat map has none."""
    angle = math.radians(33)
    skewed = Affine(2 * math.cos(angle), math.sin(angle), -math.sin(angle) + 0.3, math.cos(angle), 4, -9)
    assert skewed.inverse().point(*skewed.point(3, 5)) == pytest.approx((3, 5))
    with pytest.raises(ZeroDivisionError):
        Affine(a=1, b=2, c=2, d=4).inverse()
