"""Ink boxes of strokes and markers, derived by hand.

The page is 15 x 17 in, 150 x 170 units, measured on 4500 x 5100 px, so that 1 px is 1/30 unit. Boxes are in units.
Joins and caps: SVG 2, section "Stroke properties"; miter length = width / sin(angle / 2).
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, radians, sin, sqrt

import pytest

Case = tuple[str, str, tuple[float, float, float, float] | None, str]

_LINE = 'fill="none" stroke="#123456" stroke-width="10"'
_S10, _C10 = sin(radians(10)), cos(radians(10))
_LEGS = f"M{75 - 80 * _S10},{40 + 80 * _C10} L75,40 L{75 + 80 * _S10},{40 + 80 * _C10}"
_LEG_SIDE = 80 * _S10 + 5 * _C10
_LEG_END = 40 + 80 * _C10 + 5 * _S10
_MARKER = (
    '<marker id="m" markerUnits="userSpaceOnUse" markerWidth="20" markerHeight="20" viewBox="0 0 10 10" '
    'refX="0" refY="5" orient="{}">{}</marker>'
)
_ARROW = '<path d="M0,0 L10,5 L0,10 Z"/>'

CASES: list[Case] = [
    (
        "dashes-in-tenths-of-the-path",
        '<path d="M20 20H120" pathLength="10" stroke-dasharray="1 100" stroke="#000" stroke-width="4"/>',
        (20, 18, 30, 22),
        "one of ten parts of 100",
    ),
    (
        "dashes-in-parts-of-a-circle",
        '<circle cx="60" cy="60" r="30" pathLength="4" stroke-dasharray="1 9" stroke="#000" stroke-width="6" fill="none"/>',
        (60, 60, 93, 93),
        "the first quarter, from the right end clockwise, butt ends on the axes; radius 33 outside",
    ),
    (
        "dashes-in-percent",
        '<path d="M10 20H40" stroke="#000" stroke-width="4" stroke-dasharray="5% 20%"/>',
        (10, 18, 18.016, 22),
        "5 % of the root of (150² + 170²) / 2 (SVG 2, 'units')",
    ),
    ("butt-caps", f'<path d="M20,60 H120" {_LINE}/>', (20, 55, 120, 65), "half the width above and below, nothing beyond the ends"),
    ("round-caps", f'<path d="M20,60 H120" {_LINE} stroke-linecap="round"/>', (15, 55, 125, 65), "half the width beyond the ends"),
    (
        "square-caps",
        f'<path d="M20,60 H120" {_LINE} stroke-linecap="square"/>',
        (15, 55, 125, 65),
        "half the width beyond the ends",
    ),
    (
        "diagonal-butt",
        f'<path d="M50,50 L100,100" {_LINE}/>',
        (50 - 5 / sqrt(2), 50 - 5 / sqrt(2), 100 + 5 / sqrt(2), 100 + 5 / sqrt(2)),
        "end corners lie 5 along the normal (1,-1)/sqrt 2",
    ),
    (
        "diagonal-square",
        f'<path d="M50,50 L100,100" {_LINE} stroke-linecap="square"/>',
        (50 - 5 * sqrt(2), 50 - 5 * sqrt(2), 100 + 5 * sqrt(2), 100 + 5 * sqrt(2)),
        "end corners lie 5 along the direction and 5 along the normal: 10 / sqrt 2 along one axis",
    ),
    (
        "diagonal-round",
        f'<path d="M50,50 L100,100" {_LINE} stroke-linecap="round"/>',
        (45, 45, 105, 105),
        "a disc of radius 5 about each end",
    ),
    (
        "right-angle-miter",
        f'<path d="M30,100 L75,55 L120,100" {_LINE}/>',
        (30 - 5 / sqrt(2), 55 - 5 * sqrt(2), 120 + 5 / sqrt(2), 100 + 5 / sqrt(2)),
        "the tip lies 5 / sin 45 above the corner; butt ends 5 along their normals",
    ),
    (
        "sharp-miter-within-limit",
        f'<path d="{_LEGS}" {_LINE} stroke-miterlimit="10"/>',
        (75 - _LEG_SIDE, 40 - 5 / _S10, 75 + _LEG_SIDE, _LEG_END),
        "angle 20 degrees: ratio 1 / sin 10 = 5.76 is below 10, so the tip lies 5 / sin 10 = 28.8 above the corner",
    ),
    (
        "miter-beyond-limit-is-bevel",
        f'<path d="{_LEGS}" {_LINE} stroke-miterlimit="4"/>',
        (75 - _LEG_SIDE, 40 - 5 * _S10, 75 + _LEG_SIDE, _LEG_END),
        "5.76 is above 4: the bevel runs between the normals' ends, 5 sin 10 above the corner",
    ),
    (
        "bevel-join",
        f'<path d="{_LEGS}" {_LINE} stroke-linejoin="bevel"/>',
        (75 - _LEG_SIDE, 40 - 5 * _S10, 75 + _LEG_SIDE, _LEG_END),
        "as above",
    ),
    (
        "round-join",
        f'<path d="{_LEGS}" {_LINE} stroke-linejoin="round"/>',
        (75 - _LEG_SIDE, 35, 75 + _LEG_SIDE, _LEG_END),
        "a disc of radius 5 about the corner",
    ),
    (
        "stroked-rectangle",
        '<rect x="20" y="30" width="50" height="40" fill="none" stroke="black" stroke-width="4"/>',
        (18, 28, 72, 72),
        "half the width outside; right angles are mitered",
    ),
    ("stroked-circle", '<circle cx="75" cy="85" r="30" stroke="red" stroke-width="6"/>', (42, 52, 108, 118), "radius plus 3"),
    (
        "turned-square-miters",
        '<g transform="translate(75,85) rotate(45)" fill="none" stroke="black" stroke-width="4">'
        '<rect x="-20" y="-20" width="40" height="40"/></g>',
        (75 - 22 * sqrt(2), 85 - 22 * sqrt(2), 75 + 22 * sqrt(2), 85 + 22 * sqrt(2)),
        "outer corners of a square of half side 22, turned",
    ),
    (
        "scaled-stroke",
        '<path d="M10,20 H40" transform="scale(2)" stroke="black" stroke-width="4"/>',
        (20, 36, 80, 44),
        "the transform scales the width too",
    ),
    (
        "unevenly-scaled-stroke",
        '<path d="M10,20 V40" transform="scale(4,1)" stroke="black" stroke-width="4"/>',
        (32, 20, 48, 40),
        "across, the width is 4 x 4",
    ),
    ("dashes", f'<path d="M20,60 H120" {_LINE} stroke-dasharray="30 30"/>', (20, 55, 110, 65), "dashes 20..50 and 80..110"),
    (
        "dash-offset",
        f'<path d="M20,60 H120" {_LINE} stroke-dasharray="30 30" stroke-dashoffset="30"/>',
        (50, 55, 120, 65),
        "starts with the gap: dashes 50..80 and 110..120",
    ),
    (
        "odd-dash-list",
        f'<path d="M20,60 H120" {_LINE} stroke-dasharray="20 10 5"/>',
        (20, 55, 110, 65),
        "repeated to even: 20 on 10 off 5 on 20 off 10 on 5 off, period 70: dashes at 20..40, 50..55, 75..85 and 90..110, "
        "then the gap of 10 up to the end",
    ),
    (
        "dashes-with-round-caps",
        f'<path d="M20,60 H120" {_LINE} stroke-dasharray="30 30" stroke-linecap="round"/>',
        (15, 55, 115, 65),
        "each dash has caps",
    ),
    (
        "dot-of-no-length",
        '<path d="M50,60 H50" stroke="black" stroke-width="20" stroke-linecap="round"/>',
        (40, 50, 60, 70),
        "SVG 2: a subpath without length shows its round caps",
    ),
    ("no-length-butt", '<path d="M50,60 H50" stroke="black" stroke-width="20"/>', None, "SVG 2: nothing is drawn with butt caps"),
    ("stroke-of-no-width", '<path d="M20,60 H120" stroke="black" stroke-width="0"/>', None, "a width of 0 paints nothing"),
    (
        "thin-stroke",
        '<path d="M20,60 H120" stroke="black" stroke-width="0.02"/>',
        (20, 59.99, 120, 60.01),
        "0.6 px wide: both pixel rows that it touches have coverage of 3 tenths",
    ),
    (
        "line-element",
        '<line x1="20" y1="60" x2="20" y2="90" stroke="black" stroke-width="6"/>',
        (17, 60, 23, 90),
        "a vertical stroke",
    ),
    (
        "polyline-stroke-only",
        '<polyline points="30,30 90,30 90,100" fill="none" stroke="black" stroke-width="8"/>',
        (30, 26, 94, 100),
        "the mitered corner reaches (94, 26); ends are flat",
    ),
    (
        "marker-at-end",
        _MARKER.format("auto", _ARROW) + '<path d="M30,85 H90" stroke="black" stroke-width="2" marker-end="url(#m)"/>',
        (30, 75, 110, 95),
        "20 units long from x = 90, 20 high about y = 85",
    ),
    (
        "marker-turned-with-path",
        _MARKER.format("auto", _ARROW) + '<path d="M85,30 V90" stroke="black" stroke-width="2" marker-end="url(#m)"/>',
        (75, 30, 95, 110),
        "the same turned by 90 degrees",
    ),
    (
        "marker-at-start-reversed",
        _MARKER.format("auto-start-reverse", _ARROW)
        + '<path d="M50,85 H110" stroke="black" stroke-width="2" marker-start="url(#m)"/>',
        (30, 75, 110, 95),
        "turned by 180 degrees it points left from x = 50",
    ),
    (
        "marker-clips-its-content",
        _MARKER.format("auto", '<rect x="-50" y="-50" width="100" height="100"/>')
        + '<path d="M30,85 H90" stroke="black" stroke-width="2" marker-end="url(#m)"/>',
        (30, 75, 110, 95),
        "a marker's viewport clips: content from 0 to 10 of its viewBox, 2 units each",
    ),
    (
        "marker-in-stroke-widths",
        '<marker id="m" markerWidth="3" markerHeight="3" refX="0" refY="1.5"><rect width="3" height="3"/></marker>'
        '<path d="M30,85 H90" stroke="black" stroke-width="4" marker-end="url(#m)"/>',
        (30, 79, 102, 91),
        "3 stroke widths of 4 are 12",
    ),
    (
        "paint-order-does-not-move-edges",
        '<circle cx="75" cy="85" r="30" fill="red" stroke="black" stroke-width="6" paint-order="stroke"/>',
        (42, 52, 108, 118),
        "radius plus 3",
    ),
]


@pytest.mark.parametrize(("content", "box"), [pytest.param(c[1], c[2], id=c[0]) for c in CASES])
def test_ink_box_of_a_stroke(assert_box: Callable[..., None], content: str, box: tuple[float, float, float, float] | None) -> None:
    """The ink box is the box derived by hand, to one pixel at 300 ppi."""
    assert_box(content, box)
