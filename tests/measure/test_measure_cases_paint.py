"""Ink boxes through clips, masks, patterns, opacity, hidden parts, pictures, filters and text, derived by hand.

The page is 15 x 17 in, 150 x 170 units, measured on 4500 x 5100 px, so that 1 px is 1/30 unit. Boxes are in units.
Ink is alpha >= 8 of 255 (house value of this package).
"""

from __future__ import annotations

import base64
import io
from collections.abc import Callable

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from PIL import Image

from vectorprep.fonts import FontIndex

Box4 = tuple[float, float, float, float]
Case = tuple[str, str, Box4 | None, str]

_ALL = '<rect width="150" height="170" {}/>'


def _picture() -> str:
    """10 x 10 px, opaque in columns 4..7 and rows 2..8."""
    picture = Image.new("RGBA", (10, 10))
    picture.paste((200, 30, 30, 255), (4, 2, 8, 9))
    kept = io.BytesIO()
    picture.save(kept, "PNG")
    return "data:image/png;base64," + base64.b64encode(kept.getvalue()).decode()


_PICTURE = f'href="{_picture()}" image-rendering="optimizeSpeed"'

# Beside a straight edge far longer than the blur, coverage at distance d outside is the Gauss curve's tail beyond d / deviation
# (Filter Effects 1, feGaussianBlur). Alpha 7.5 of 255 rounds to 8: a tail of 0.02941 begins at 1.8896 deviations.
_REACH = 1.8896

CASES: list[Case] = [
    (
        "shadow-function-down",
        '<rect x="20" y="20" width="20" height="20" style="filter:drop-shadow(0 12px 0 #000)"/>',
        (20, 20, 40, 52),
        "the square again, 12 lower",
    ),
    (
        "shadow-function-left",
        '<rect x="60" y="20" width="20" height="20" style="filter:drop-shadow(-40px -5px rgba(0, 0, 0, .5))"/>',
        (20, 15, 80, 40),
        "the square again, 40 to the left and 5 up",
    ),
    (
        "shape-inset",
        '<rect width="100" height="100" style="clip-path:inset(10px 20px 30px 40px)"/>',
        (40, 10, 80, 70),
        "edges moved in from top, right, bottom, left (CSS Shapes 1)",
    ),
    (
        "shape-inset-in-percent",
        '<rect x="10" y="20" width="100" height="50" style="clip-path:inset(10% 20%)"/>',
        (30, 25, 90, 65),
        "a fifth of 100 at each side, a tenth of 50 above and below",
    ),
    (
        "shape-circle",
        '<rect width="100" height="100" style="clip-path:circle(20px at 50px 40px)"/>',
        (30, 20, 70, 60),
        "radius 20 about (50, 40)",
    ),
    (
        "shape-circle-closest-side",
        '<rect x="10" y="10" width="100" height="60" style="clip-path:circle()"/>',
        (30, 10, 90, 70),
        "radius 30 about the middle (60, 40)",
    ),
    (
        "shape-ellipse",
        '<rect width="100" height="80" style="clip-path:ellipse(25% 10px at left 40px)"/>',
        (0, 30, 25, 50),
        "half of it lies left of the square",
    ),
    (
        "shape-polygon",
        '<circle cx="60" cy="60" r="50" style="clip-path:polygon(20px 20px, 70px 20px, 70px 70px)"/>',
        (30, 30, 80, 80),
        "corners from the circle's box at (10, 10); all of them lie inside the circle",
    ),
    (
        "shape-path-in-box",
        '<rect x="30" y="40" width="100" height="80" style="clip-path:path(\'M5 5h20v30h-20z\')"/>',
        (35, 45, 55, 75),
        "path data from the box's corner",
    ),
    (
        "shape-counts-the-stroke",
        '<rect x="20" y="20" width="60" height="60" stroke="#000" stroke-width="10" style="clip-path:inset(5px)"/>',
        (20, 20, 80, 80),
        "5 in from the stroke's edge at 15 (CSS Masking 1: border-box is stroke-box)",
    ),
    (
        "clip-circle",
        '<clipPath id="c"><circle cx="75" cy="85" r="30"/></clipPath>' + _ALL.format('clip-path="url(#c)"'),
        (45, 55, 105, 115),
        "the clip",
    ),
    (
        "clip-and-clip",
        '<clipPath id="a"><rect x="20" y="20" width="60" height="60"/></clipPath>'
        '<clipPath id="b" clip-path="url(#a)"><rect x="50" y="40" width="80" height="80"/></clipPath>'
        + _ALL.format('clip-path="url(#b)"'),
        (50, 40, 80, 80),
        "what both hold",
    ),
    (
        "clip-in-clipped-group",
        '<clipPath id="a"><rect x="20" y="20" width="60" height="60"/></clipPath><clipPath id="b">'
        '<rect x="50" y="40" width="80" height="80"/></clipPath>'
        f'<g clip-path="url(#a)"><g clip-path="url(#b)">{_ALL.format("")}</g></g>',
        (50, 40, 80, 80),
        "what both hold",
    ),
    (
        "clip-of-two-shapes",
        '<clipPath id="a"><rect x="20" y="20" width="10" height="10"/><rect x="90" y="100" width="10" height="10"/></clipPath>'
        + _ALL.format('clip-path="url(#a)"'),
        (20, 20, 100, 110),
        "union of the clip's shapes",
    ),
    (
        "clip-in-box-units",
        '<clipPath id="a" clipPathUnits="objectBoundingBox"><rect x="0.25" y="0.5" width="0.5" height="0.25"/></clipPath>'
        '<rect x="20" y="40" width="80" height="40" clip-path="url(#a)"/>',
        (40, 60, 80, 70),
        "20 + 0.25 * 80, 40 + 0.5 * 40",
    ),
    ("empty-clip", '<clipPath id="a"/>' + _ALL.format('clip-path="url(#a)"'), None, "a clip without shapes hides all"),
    (
        "mask",
        '<mask id="m"><rect x="30" y="40" width="50" height="60" fill="white"/></mask>' + _ALL.format('mask="url(#m)"'),
        (30, 40, 80, 100),
        "white of the mask",
    ),
    ("black-mask", '<mask id="m"><rect width="150" height="170"/></mask>' + _ALL.format('mask="url(#m)"'), None, "black hides"),
    (
        "mask-region",
        '<mask id="m" maskUnits="userSpaceOnUse" x="30" y="30" width="40" height="50">'
        '<rect width="150" height="170" fill="white"/></mask>' + _ALL.format('mask="url(#m)"'),
        (30, 30, 70, 80),
        "a mask counts inside its region only",
    ),
    (
        "default-mask-region-cuts-strokes",
        '<mask id="m"><rect width="150" height="170" fill="white"/></mask>'
        '<rect x="50" y="50" width="50" height="50" fill="none" stroke="black" stroke-width="20" mask="url(#m)"/>',
        (45, 45, 105, 105),
        "10 % of the box (without stroke) on each side; the stroke would reach 40",
    ),
    (
        "pattern-with-holes",
        '<pattern id="p" width="20" height="20" patternUnits="userSpaceOnUse"><rect x="5" y="5" width="10" height="10"/></pattern>'
        '<rect width="100" height="100" fill="url(#p)"/>',
        (5, 5, 95, 95),
        "first tile 5..15, last 85..95",
    ),
    (
        "display-none",
        '<rect width="5" height="5" display="none"/><rect x="30" y="30" width="9" height="9"/>',
        (30, 30, 39, 39),
        "not painted",
    ),
    (
        "visibility-hidden",
        '<g visibility="hidden"><rect width="5" height="5"/></g><rect x="30" y="30" width="9" height="9"/>',
        (30, 30, 39, 39),
        "not painted",
    ),
    (
        "opacity-zero",
        '<rect width="5" height="5" opacity="0"/><rect x="30" y="30" width="9" height="9"/>',
        (30, 30, 39, 39),
        "not painted",
    ),
    (
        "no-paint",
        '<rect width="5" height="5" fill="none"/><rect x="30" y="30" width="9" height="9"/>',
        (30, 30, 39, 39),
        "not painted",
    ),
    (
        "too-faint",
        '<rect width="5" height="5" fill-opacity="0.02"/><rect x="30" y="30" width="9" height="9"/>',
        (30, 30, 39, 39),
        "alpha 5 is below 8",
    ),
    (
        "faint-but-ink",
        '<rect width="5" height="5" fill-opacity="0.05"/><rect x="30" y="30" width="9" height="9"/>',
        (0, 0, 39, 39),
        "alpha 13",
    ),
    ("white-is-ink", '<rect x="20" y="20" width="30" height="30" fill="#ffffff"/>', (20, 20, 50, 50), "colour never decides"),
    ("nothing", '<g id="empty"/>', None, "no ink is no box"),
    (
        "style-sheet-hides",
        '<style>.k{display:none}</style><rect class="k" width="5" height="5"/><rect x="30" y="30" width="9" height="9"/>',
        (30, 30, 39, 39),
        "a class hides it",
    ),
    (
        "defs-are-not-painted",
        '<defs><rect width="5" height="5"/></defs><rect x="30" y="30" width="9" height="9"/>',
        (30, 30, 39, 39),
        "stored only",
    ),
    (
        "gradient-of-no-alpha",
        '<linearGradient id="g"><stop offset="0.5" stop-opacity="0"/><stop offset="0.5" stop-opacity="1"/></linearGradient>'
        '<rect x="20" y="20" width="100" height="30" fill="url(#g)"/>',
        (70, 20, 120, 50),
        "the left half is empty",
    ),
    (
        "picture-with-margins",
        f'<image x="20" y="30" width="100" height="100" {_PICTURE}/>',
        (60, 50, 100, 120),
        "10 units a pixel: columns 4..7, rows 2..8",
    ),
    (
        "picture-fitted",
        f'<image x="20" y="30" width="100" height="50" {_PICTURE}/>',
        (45 + 20, 30 + 10, 45 + 40, 30 + 45),
        "scale 5, in the middle of the width",
    ),
    (
        "turned-picture",
        f'<image width="100" height="100" transform="translate(120,30) rotate(90)" {_PICTURE}/>',
        (120 - 90, 30 + 40, 120 - 20, 30 + 80),
        "x' = 120 - y, y' = 30 + x",
    ),
    (
        "offset-filter",
        '<filter id="f" filterUnits="userSpaceOnUse" x="0" y="0" width="150" height="170"><feOffset dx="30" dy="-10"/></filter>'
        '<rect x="20" y="40" width="30" height="30" filter="url(#f)"/>',
        (50, 30, 80, 60),
        "moved",
    ),
    (
        "flood-fills-the-filter-region",
        '<filter id="f" x="-0.5" y="-0.25" width="2" height="1.5"><feFlood flood-color="red"/></filter>'
        '<rect x="50" y="60" width="40" height="40" filter="url(#f)"/>',
        (30, 50, 110, 110),
        "region: 50 - 0.5 * 40 wide 80, 60 - 0.25 * 40 high 60",
    ),
    (
        "dilated",
        '<filter id="f"><feMorphology operator="dilate" radius="0.2"/></filter>'
        '<rect x="50" y="60" width="10" height="10" filter="url(#f)"/>',
        (49.8, 59.8, 60.2, 70.2),
        "radius 0.2 on each side, inside the default region of 10 %",
    ),
    (
        "blur-reach",
        '<filter id="f" x="-0.5" y="-0.5" width="2" height="2"><feGaussianBlur stdDeviation="1"/></filter>'
        '<rect x="50" y="60" width="40" height="40" filter="url(#f)"/>',
        (50 - _REACH, 60 - _REACH, 90 + _REACH, 100 + _REACH),
        "see the reach above",
    ),
    (
        "blur-cut-by-its-region",
        '<filter id="f" x="-0.01" y="-0.01" width="1.02" height="1.02"><feGaussianBlur stdDeviation="3"/></filter>'
        '<rect x="50" y="60" width="40" height="40" filter="url(#f)"/>',
        (49.6, 59.6, 90.4, 100.4),
        "a region 1 % wider on each side",
    ),
]


@pytest.mark.parametrize(("content", "box"), [pytest.param(c[1], c[2], id=c[0]) for c in CASES])
def test_ink_box_through_paint(assert_box: Callable[..., None], content: str, box: Box4 | None) -> None:
    """The ink box is the box derived by hand, to one pixel at 300 ppi."""
    assert_box(content, box)


@pytest.mark.parametrize("letter", ["H", "O", "g", "y"])
@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_ink_box_of_a_letter_is_its_outline(assert_box: Callable[..., None], fonts: FontIndex, letter: str, anchor: str) -> None:
    """A letter's ink box is the box of its outline in the font file, scaled by size / unitsPerEm."""
    face = fonts.find(("Fredoka One",), 400, False)
    assert face is not None
    font = TTFont(face.path)
    name = font.getBestCmap()[ord(letter)]
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[name].draw(pen)
    scale = 60 / font["head"].unitsPerEm
    x = 75 - {"start": 0, "middle": 0.5, "end": 1}[anchor] * font["hmtx"][name][0] * scale
    x0, y0, x1, y1 = (value * scale for value in pen.bounds)
    content = f'<text x="75" y="90" font-family="Fredoka One" font-size="60" text-anchor="{anchor}">{letter}</text>'
    assert_box(content, (x + x0, 90 - y1, x + x1, 90 - y0))
