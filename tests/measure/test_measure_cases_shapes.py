"""Ink boxes of filled shapes, derived by hand.

The page is 15 x 17 in, 150 x 170 units, measured on 4500 x 5100 px, so that 1 px is 1/30 unit. Boxes are in units.
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, pi, radians, sin, sqrt

import pytest

Case = tuple[str, str, tuple[float, float, float, float] | None, str]

_HALF_WIDTH_30 = sqrt((40 * cos(pi / 6)) ** 2 + (20 * sin(pi / 6)) ** 2)
_HALF_HEIGHT_30 = sqrt((40 * sin(pi / 6)) ** 2 + (20 * cos(pi / 6)) ** 2)
_T = (1 - sqrt(1 - 4 * 100 / 560)) / 2


def _bezier(t: float, *points: float) -> float:
    a, b, c, d = points
    return a * (1 - t) ** 3 + 3 * b * t * (1 - t) ** 2 + 3 * c * t**2 * (1 - t) + d * t**3


CASES: list[Case] = [
    ("rectangle", '<rect x="20" y="30" width="50" height="40"/>', (20, 30, 70, 70), "its own attributes"),
    (
        "rectangle-at-fractions",
        '<rect x="20.07" y="30.11" width="50.05" height="40.03"/>',
        (20.07, 30.11, 70.12, 70.14),
        "its own attributes; a pixel that is partly covered counts as ink",
    ),
    ("rounded-rectangle", '<rect x="20" y="30" width="50" height="40" rx="12"/>', (20, 30, 70, 70), "round corners stay inside"),
    ("circle", '<circle cx="75" cy="85" r="30"/>', (45, 55, 105, 115), "centre plus and minus the radius"),
    ("ellipse", '<ellipse cx="75" cy="85" rx="40" ry="20"/>', (35, 65, 115, 105), "centre plus and minus the radii"),
    (
        "rotated-ellipse",
        '<ellipse rx="40" ry="20" transform="translate(75,85) rotate(30)"/>',
        (75 - _HALF_WIDTH_30, 85 - _HALF_HEIGHT_30, 75 + _HALF_WIDTH_30, 85 + _HALF_HEIGHT_30),
        "half width of an ellipse turned by a: sqrt((rx cos a)^2 + (ry sin a)^2), half height with sin and cos exchanged",
    ),
    (
        "rotated-rectangle",
        '<rect x="-20" y="-10" width="40" height="20" transform="translate(75,85) rotate(45)"/>',
        (75 - 30 / sqrt(2), 85 - 30 / sqrt(2), 75 + 30 / sqrt(2), 85 + 30 / sqrt(2)),
        "half width (20 cos 45 + 10 sin 45) = 30 / sqrt 2",
    ),
    (
        "rectangle-rotated-by-30",
        '<rect x="-20" y="-10" width="40" height="20" transform="translate(75,85) rotate(30)"/>',
        (
            75 - 20 * cos(radians(30)) - 10 * sin(radians(30)),
            85 - 20 * sin(radians(30)) - 10 * cos(radians(30)),
            75 + 20 * cos(radians(30)) + 10 * sin(radians(30)),
            85 + 20 * sin(radians(30)) + 10 * cos(radians(30)),
        ),
        "corner (20, 10) turned by 30 degrees",
    ),
    (
        "triangle",
        '<polygon points="75,40 120,120 30,120"/>',
        (30, 40, 120, 120),
        "its corners; a corner of 59 degrees reaches its pixel",
    ),
    (
        "skewed-square",
        '<rect width="40" height="40" transform="translate(50,60) skewX(45)"/>',
        (50, 60, 130, 100),
        "x grows by y tan 45: the lower corners move right by 40",
    ),
    (
        "matrix",
        '<rect width="10" height="10" transform="matrix(2,1,-1,3,60,40)"/>',
        (50, 40, 80, 80),
        "corners (0,0), (20,10), (-10,30), (10,40) moved by (60,40)",
    ),
    (
        "mirrored",
        '<rect x="10" y="10" width="20" height="30" transform="translate(100,100) scale(-1,-2)"/>',
        (70, 20, 90, 80),
        "x: 100-30..100-10, y: 100-2*40..100-2*10",
    ),
    (
        "chain-of-transforms",
        '<g transform="translate(20,10)"><g transform="scale(3)"><rect x="5" y="10" width="10" height="20"/></g></g>',
        (35, 40, 65, 100),
        "3 x (5..15) + 20, 3 x (10..30) + 10",
    ),
    (
        "cubic-top",
        '<path d="M20,100 C20,40 120,40 120,100 Z"/>',
        (20, 55, 120, 100),
        "y at t = 1/2: (100 + 3*40 + 3*40 + 100) / 8 = 55",
    ),
    (
        "cubic-both-sides",
        '<path d="M40,40 C140,40 -40,120 60,120 Z"/>',
        (_bezier(1 - _T, 40, 140, -40, 60), 40, _bezier(_T, 40, 140, -40, 60), 120),
        "x' = 0 where 560 t^2 - 560 t + 100 = 0; x at both roots",
    ),
    ("quadratic", '<path d="M20,120 Q75,20 130,120 Z"/>', (20, 70, 130, 120), "y at t = 1/2: (120 + 2*20 + 120) / 4 = 70"),
    ("half-circle-arc", '<path d="M40,85 A35,35 0 0 1 110,85 Z"/>', (40, 50, 110, 85), "upper half of a circle of radius 35"),
    (
        "three-quarter-arc",
        '<path d="M75,85 L105,85 A30,30 0 1 1 75,55 Z"/>',
        (45, 55, 105, 115),
        "clockwise from 0 to 270 degrees: passes the lowest and the leftmost point",
    ),
    (
        "arc-radius-too-small",
        '<path d="M45,85 A1,1 0 0 1 105,85 Z"/>',
        (45, 55, 105, 85),
        "SVG 2, out-of-range radii: scaled up to half the chord, 30",
    ),
    (
        "arc-of-a-turned-ellipse",
        f'<path d="M{75 - 40 * cos(pi / 6)},{85 - 40 * sin(pi / 6)} A40,20 30 0 0 {75 + 40 * cos(pi / 6)},{85 + 40 * sin(pi / 6)} '
        f'A40,20 30 0 0 {75 - 40 * cos(pi / 6)},{85 - 40 * sin(pi / 6)} Z"/>',
        (75 - _HALF_WIDTH_30, 85 - _HALF_HEIGHT_30, 75 + _HALF_WIDTH_30, 85 + _HALF_HEIGHT_30),
        "two half arcs between the ends of the long axis are the whole turned ellipse",
    ),
    (
        "relative-path",
        '<path d="m30,40 h50 v30 h-20 v10 h-30 z"/>',
        (30, 40, 80, 80),
        "x 30..80; y 40, 70, 80",
    ),
    (
        "even-odd-hole",
        '<path fill-rule="evenodd" d="M20,20 h60 v60 h-60 z M30,30 h40 v40 h-40 z"/>',
        (20, 20, 80, 80),
        "a hole does not move the outside",
    ),
    (
        "hairline-fill-far-above",
        '<rect x="40" y="60" width="60" height="60"/><rect x="40" y="5" width="60" height="0.03"/>',
        (40, 5, 100, 120),
        "a filled line of 0.9 px, lost in a picture of a seventh of the size, is ink",
    ),
    (
        "dot-far-away",
        '<rect x="40" y="60" width="60" height="60"/><circle cx="145" cy="165" r="0.05"/>',
        (40, 60, 145.05, 165.05),
        "a dot of 3 px is ink",
    ),
    ("two-shapes", '<rect x="10" y="20" width="5" height="5"/><circle cx="100" cy="100" r="10"/>', (10, 20, 110, 110), "union"),
    (
        "open-path-is-filled",
        '<path d="M30,30 L90,30 L60,90"/>',
        (30, 30, 90, 90),
        "SVG 2: fill closes an open path",
    ),
]


@pytest.mark.parametrize(("content", "box"), [pytest.param(c[1], c[2], id=c[0]) for c in CASES])
def test_ink_box_of_a_filled_shape(
    assert_box: Callable[..., None], content: str, box: tuple[float, float, float, float] | None
) -> None:
    """The ink box is the box derived by hand, to one pixel at 300 ppi."""
    assert_box(content, box)
