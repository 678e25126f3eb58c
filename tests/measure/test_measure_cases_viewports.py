"""Ink boxes through viewports, units, symbols and the page's own edges, derived by hand.

The page is 15 x 17 in, 150 x 170 units (unless the case says otherwise), measured on 4500 x 5100 px: 1 px is 1/30 unit. Boxes are
in units. Viewports: SVG 2, "Coordinate systems"; lengths: CSS Values 4 (1 in = 96 px = 25.4 mm).
"""

from __future__ import annotations

import base64
import io
from collections.abc import Callable

import pytest
from PIL import Image

Case = tuple[str, str, tuple[float, float, float, float] | None, str]
RootCase = tuple[str, str, str, tuple[float, float, float, float], str]


def picture(side: int, box: tuple[int, int, int, int]) -> str:
    """A square picture, clear but for a box."""
    image = Image.new("RGBA", (side, side))
    image.paste((200, 0, 0, 255), box)
    data = io.BytesIO()
    image.save(data, "PNG")
    return "data:image/png;base64," + base64.b64encode(data.getvalue()).decode()


_BIG = '<rect x="-100" y="-100" width="300" height="300"/>'
_SQUARE = '<rect width="100" height="100"/>'
_MM = 96 / 25.4  # CSS px; a page without viewBox is 1440 x 1632 px, so a unit of these cases is 9.6 px

CASES: list[Case] = [
    (
        "nested-viewport-moved",
        '<svg width="50" height="50" viewBox="0 0 10 10" transform="translate(50 50)"><rect width="5" height="5"/></svg>',
        (50, 50, 75, 75),
        "5 of 10 in 50, moved once",
    ),
    (
        "nested-viewport-moved-by-style",
        '<svg x="10" width="50" height="50" viewBox="0 0 10 10" style="transform:translate(50px,50px)">'
        '<rect width="5" height="5"/></svg>',
        (60, 50, 85, 75),
        "x 10 + 50",
    ),
    (
        "symbol-with-its-own-size",
        '<symbol id="s" viewBox="0 0 10 10" width="20" height="20"><circle cx="5" cy="5" r="5"/></symbol>'
        '<use href="#s" x="30" y="40"/>',
        (30, 40, 50, 60),
        "the symbol's 20 x 20 where the use states none (SVG 2, 'use')",
    ),
    (
        "use-beats-the-symbol",
        '<symbol id="s" viewBox="0 0 10 10" width="20" height="20"><circle cx="5" cy="5" r="5"/></symbol>'
        '<use href="#s" x="30" y="40" width="40" height="40"/>',
        (30, 40, 70, 80),
        "the use's own size",
    ),
    (
        "sum-of-lengths",
        "<style>rect{x:calc(10px + 10%);y:calc(2 * (3px + 2px));width:max(5px, 15px);height:clamp(1px, 99px, 9px)}</style><rect/>",
        (25, 10, 40, 19),
        "x 10 + 15, y 10, 15 wide, 9 high (CSS Values 4)",
    ),
    (
        "picture-in-hard-pixels",
        f'<image x="10" y="10" width="50" height="50" image-rendering="pixelated" href="{picture(10, (2, 2, 5, 5))}"/>',
        (20, 20, 35, 35),
        "pixels of 5, from the third to the fifth",
    ),
    (
        "nested-clips",
        f'<svg x="20" y="30" width="50" height="40">{_BIG}</svg>',
        (20, 30, 70, 70),
        "an inner svg clips at its viewport",
    ),
    (
        "nested-overflow-visible",
        '<svg x="20" y="30" width="50" height="40" overflow="visible"><rect x="-5" y="-5" width="70" height="70"/></svg>',
        (15, 25, 85, 95),
        "no clip",
    ),
    (
        "nested-meet-centred",
        '<svg x="20" y="20" width="100" height="50" viewBox="0 0 10 10"><rect width="10" height="10"/></svg>',
        (45, 20, 95, 70),
        "scale 5 fits the height; 50 wide in the middle of 100",
    ),
    (
        "nested-meet-left",
        '<svg x="20" y="20" width="100" height="50" viewBox="0 0 10 10" preserveAspectRatio="xMinYMid">'
        '<rect width="10" height="10"/></svg>',
        (20, 20, 70, 70),
        "the same at the left",
    ),
    (
        "nested-slice",
        f'<svg x="20" y="20" width="100" height="50" viewBox="0 0 100 100" preserveAspectRatio="xMidYMid slice">{_SQUARE}</svg>',
        (20, 20, 120, 70),
        "scale 1 covers the width, the height is cut to the viewport",
    ),
    (
        "nested-slice-shows-the-middle",
        '<svg x="20" y="20" width="100" height="50" viewBox="0 0 100 100" preserveAspectRatio="xMidYMid slice">'
        '<rect x="10" y="40" width="20" height="20"/></svg>',
        (30, 35, 50, 55),
        "y: 20 + 40 - 25",
    ),
    (
        "nested-none",
        f'<svg x="20" y="20" width="100" height="50" viewBox="0 0 200 25" preserveAspectRatio="none">{_SQUARE}</svg>',
        (20, 20, 70, 70),
        "x scaled by 1/2: 100 units are 50; y scaled by 2: 100 units are 200, cut at 50",
    ),
    (
        "nested-percentages",
        '<svg x="10%" y="10%" width="50%" height="50%"><rect x="10%" y="20%" width="50%" height="50%"/></svg>',
        (15 + 7.5, 17 + 17, 15 + 7.5 + 37.5, 17 + 17 + 42.5),
        "the inner viewport is 75 x 85 at (15, 17); per cent of it",
    ),
    ("percentages", '<rect x="10%" y="20%" width="50%" height="30%"/>', (15, 34, 90, 85), "per cent of 150 and of 170"),
    (
        "percentage-of-the-diagonal",
        '<circle cx="75" cy="85" r="10%"/>',
        (75 - 16.031, 85 - 16.031, 75 + 16.031, 85 + 16.031),
        "SVG 2: other lengths are per cent of sqrt((w^2 + h^2) / 2) = 160.31",
    ),
    (
        "symbol-sized-by-use",
        '<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol>'
        '<use xlink:href="#s" x="30" y="40" width="60" height="20"/>',
        (50, 40, 70, 60),
        "scale 2 fits the height; 20 wide in the middle of 60",
    ),
    (
        "symbol-clips",
        f'<symbol id="s" viewBox="0 0 10 10">{_BIG}</symbol><use href="#s" x="30" y="40" width="20" height="20"/>',
        (30, 40, 50, 60),
        "a symbol clips at its viewport",
    ),
    (
        "use-with-transform",
        '<defs><rect id="r" width="10" height="10"/></defs><use href="#r" x="10" y="20" transform="translate(30,30) scale(2)"/>',
        (50, 70, 70, 90),
        "x: 30 + 2 * 10; y: 30 + 2 * 20",
    ),
    (
        "use-of-use",
        '<defs><rect id="r" width="10" height="10"/><use id="u" href="#r" x="5"/></defs>'
        '<use href="#u" y="40" transform="scale(3)"/>',
        (15, 120, 45, 150),
        "3 * (5..15), 3 * (40..50)",
    ),
    ("page-clips", _BIG, (0, 0, 150, 170), "the page cuts what lies outside"),
    ("page-clips-one-side", '<rect x="-50" y="40" width="100" height="20"/>', (0, 40, 50, 60), "cut at x = 0"),
    (
        "clipped-ink-is-not-the-clipped-box",
        '<path d="M-40,20 L40,100 L-40,100 Z"/>',
        (0, 60, 40, 100),
        "the slanting side meets x = 0 at y = 60, not at 20",
    ),
    ("all-ink-outside", '<rect x="-50" y="40" width="40" height="20"/>', None, "nothing on the page"),
    (
        "lengths-in-mm",
        '<rect x="10mm" y="1in" width="2cm" height="36pt"/>',
        (10 * _MM, 96, 10 * _MM + 20 * _MM, 96 + 48),
        "1 unit = 1 px",
    ),
    (
        "transform-property",
        '<rect width="10" height="20" style="transform: translate(30px, 40px) rotate(90deg)"/>',
        (10, 40, 30, 50),
        "turned by 90 degrees: x from -20 to 0, y from 0 to 10; then moved",
    ),
    (
        "rotate-about-a-point",
        '<rect x="20" y="30" width="40" height="10" transform="rotate(90 75 85)"/>',
        (75 + 85 - 40, 85 + 20 - 75, 75 + 85 - 30, 85 + 60 - 75),
        "x' = 75 - (y - 85), y' = 85 + (x - 75)",
    ),
    (
        "switch-takes-the-first",
        '<switch><rect x="10" y="10" width="10" height="10"/><rect x="50" y="50" width="10" height="10"/></switch>',
        (10, 10, 20, 20),
        "the first child that applies",
    ),
]

ROOT_CASES: list[RootCase] = [
    ("min-min", 'viewBox="0 0 100 100" preserveAspectRatio="xMinYMin"', _SQUARE, (0, 0, 150, 150), "scale 1.5, at the top"),
    ("mid-mid", 'viewBox="0 0 100 100"', _SQUARE, (0, 10, 150, 160), "scale 1.5, 20 units left over, half above"),
    ("max-max", 'viewBox="0 0 100 100" preserveAspectRatio="xMaxYMax"', _SQUARE, (0, 20, 150, 170), "scale 1.5, at the bottom"),
    (
        "ink-in-the-bars",
        'viewBox="0 0 100 100"',
        '<rect x="40" y="-5" width="20" height="110"/>',
        (60, 2.5, 90, 167.5),
        "the page clips, not the viewBox: y = 10 - 7.5 to 160 + 7.5",
    ),
    (
        "slice",
        'viewBox="0 0 100 100" preserveAspectRatio="xMidYMid slice"',
        '<rect x="40" y="40" width="20" height="20"/>',
        (58, 68, 92, 102),
        "scale 1.7, 10 units cut off on each side: 1.7 * 40 - 10",
    ),
    (
        "slice-left",
        'viewBox="0 0 100 100" preserveAspectRatio="xMinYMin slice"',
        '<rect x="40" y="40" width="20" height="20"/>',
        (68, 68, 102, 102),
        "1.7 * 40",
    ),
    (
        "slice-right",
        'viewBox="0 0 100 100" preserveAspectRatio="xMaxYMin slice"',
        '<rect x="40" y="40" width="20" height="20"/>',
        (48, 68, 82, 102),
        "1.7 * 40 - 20",
    ),
    (
        "none",
        'viewBox="0 0 100 100" preserveAspectRatio="none"',
        '<rect x="10" y="10" width="80" height="80"/>',
        (15, 17, 135, 153),
        "1.5, 1.7",
    ),
    (
        "view-box-begins-elsewhere",
        'viewBox="-75 -85 150 170"',
        '<circle r="30"/>',
        (45, 55, 105, 115),
        "user origin in the middle of the page",
    ),
    (
        "no-view-box",
        "",
        '<rect x="96" y="96" width="192" height="96"/>',
        (10, 10, 30, 20),
        "a unit is 1/96 in, a tenth of an inch is a case unit",
    ),
    (
        "percentages-in-the-bars",
        'viewBox="0 0 100 100"',
        '<rect width="100%" height="100%"/>',
        (0, 10, 150, 160),
        "per cent of the viewBox",
    ),
]


@pytest.mark.parametrize(("content", "box"), [pytest.param(c[1], c[2], id=c[0]) for c in CASES if c[0] != "lengths-in-mm"])
def test_ink_box_through_a_viewport(
    assert_box: Callable[..., None], content: str, box: tuple[float, float, float, float] | None
) -> None:
    """The ink box is the box derived by hand, to one pixel at 300 ppi."""
    assert_box(content, box)


@pytest.mark.parametrize(("content", "box"), [pytest.param(c[1], c[2], id=c[0]) for c in CASES if c[0] == "lengths-in-mm"])
def test_ink_box_of_absolute_lengths(assert_box: Callable[..., None], content: str, box: tuple[float, float, float, float]) -> None:
    """Millimetres, inches, centimetres and points are CSS lengths of 96 px to the inch."""
    assert_box(content, tuple(edge / 9.6 for edge in box), "")


@pytest.mark.parametrize(("root", "content", "box"), [pytest.param(c[1], c[2], c[3], id=c[0]) for c in ROOT_CASES])
def test_ink_box_under_a_root(
    assert_box: Callable[..., None], root: str, content: str, box: tuple[float, float, float, float]
) -> None:
    """ViewBox and preserveAspectRatio of the root map ink to the page as SVG 2 says, to one pixel at 300 ppi."""
    assert_box(content, box, root)


def test_ink_box_of_an_inner_svg_without_size(assert_box: Callable[..., None]) -> None:
    """An inner svg without a size is 100 % of the viewBox and clips there: 0..100 at scale 1.5, 10 units from the top."""
    assert_box(f"<svg>{_BIG}</svg>", (0, 10, 150, 160), 'viewBox="0 0 100 100"')
