"""Ink boxes of live text, derived from the outlines and advances in the font file (read with fontTools, not drawn).

The page is 150 x 170 units on 4500 x 5100 px. A glyph's box is its outline's, scaled by the font size over the units per em and
moved to its pen position; pen positions follow SVG 2 ('text layout'), sizes CSS Fonts 4, spacing CSS Text 3.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from vectorprep.fonts import FontIndex

Corners = tuple[float, float, float, float]
T = 'font-family="Fredoka One" font-size="30"'


@dataclass(frozen=True)
class Line:
    """Characters set one behind another from a pen position."""

    word: str
    x: float = 10
    y: float = 60
    size: float = 30
    between: float = 0
    at_spaces: float = 0
    anchor: float = 0
    """Share of the advance that lies before `x`."""
    family: str = "Fredoka One"


@dataclass(frozen=True)
class Case:
    """Content, the lines it sets, and what is added all round."""

    content: str
    lines: tuple[Line, ...]
    reach: float = 0
    turned: bool = False
    others: tuple[Corners, ...] = field(default=())


CASES: dict[str, Case] = {
    "plain": Case(f'<text x="10" y="60" {T}>HOI</text>', (Line("HOI"),)),
    "descender": Case('<text x="10" y="60" font-family="Caladea" font-size="40">g</text>', (Line("g", size=40, family="Caladea"),)),
    "letter-spacing": Case(f'<text x="10" y="60" letter-spacing="5" {T}>HOI</text>', (Line("HOI", between=5),)),
    "word-spacing": Case(f'<text x="10" y="60" word-spacing="12" {T}>H I</text>', (Line("H I", at_spaces=12),)),
    "middle": Case(f'<text x="75" y="60" text-anchor="middle" {T}>HOI</text>', (Line("HOI", x=75, anchor=0.5),)),
    "end": Case(f'<text x="140" y="60" text-anchor="end" {T}>HOI</text>', (Line("HOI", x=140, anchor=1),)),
    "right-to-left": Case(f'<text x="140" y="60" direction="rtl" {T}>HOI</text>', (Line("HOI", x=140, anchor=1),)),
    "right-to-left-end": Case(f'<text x="10" y="60" direction="rtl" text-anchor="end" {T}>HOI</text>', (Line("HOI"),)),
    "places": Case(f'<text x="10 60 100" y="60 80" {T}>HOI</text>', (Line("H"), Line("O", x=60, y=80), Line("I", x=100, y=80))),
    "part-with-place": Case(
        f'<text x="10" y="60" {T}><tspan y="40">H</tspan><tspan x="90" y="140">I</tspan></text>',
        (Line("H", y=40), Line("I", x=90, y=140)),
    ),
    "lines": Case(
        f'<text x="10" y="60" {T}>\n  <tspan x="10" dy="0">H</tspan>\n  <tspan x="10" dy="40">I</tspan>\n</text>',
        (Line("H"), Line("I", y=100)),
    ),
    "font-shorthand": Case('<text x="10" y="60" style="font:30px \'Fredoka One\'">HOI</text>', (Line("HOI"),)),
    "initial-size": Case('<text x="10" y="60" font-family="Fredoka One">O</text>', (Line("O", size=16),)),
    "size-word": Case('<text x="10" y="60" font-family="Fredoka One" font-size="x-large">O</text>', (Line("O", size=24),)),
    "size-in-em": Case(
        '<g font-size="15"><text x="10" y="60" font-family="Fredoka One" font-size="2em">O</text></g>', (Line("O"),)
    ),
    "size-in-percent": Case(
        '<g font-size="15"><text x="10" y="60" font-family="Fredoka One" font-size="200%">O</text></g>', (Line("O"),)
    ),
    "size-in-pt": Case('<text x="10" y="60" font-family="Fredoka One" font-size="30pt">O</text>', (Line("O", size=40),)),
    "size-by-sum": Case(
        '<style>text{font-size:calc(10px * 3);font-family:"Fredoka One"}</style><text x="10" y="60">O</text>', (Line("O"),)
    ),
    "stroked": Case(
        f'<text x="10" y="60" {T} stroke="#000" stroke-width="4" stroke-linejoin="round">O</text>', (Line("O"),), reach=2
    ),
    "turned": Case(f'<text x="60" y="60" {T} transform="rotate(90 60 60)">H</text>', (Line("H", x=60),), turned=True),
    "letter-turned": Case(f'<text x="60" y="60" rotate="90" {T}>H</text>', (Line("H", x=60),), turned=True),
    "raised": Case(f'<text x="10" y="60" {T}><tspan baseline-shift="10">H</tspan></text>', (Line("H", y=50),)),
    "on-a-path": Case(
        f'<defs><path id="p" d="M20 80H140"/></defs><text {T}><textPath href="#p" startOffset="50">H</textPath></text>',
        (Line("H", x=70, y=80),),
    ),
    "on-a-path-middle": Case(
        f'<defs><path id="p" d="M20 80H120"/></defs>'
        f'<text {T}><textPath href="#p" startOffset="50%" text-anchor="middle">H</textPath></text>',
        (Line("H", x=70, y=80, anchor=0.5),),
    ),
    "capitals-by-style": Case(f'<text x="10" y="60" style="text-transform:uppercase" {T}>hoi</text>', (Line("HOI"),)),
    "spaces-collapse": Case(f'<text x="10" y="60" {T}>  H   I  </text>', (Line("H I"),)),
    "spaces-kept": Case(f'<text x="10" y="60" xml:space="preserve" {T}>  H</text>', (Line("  H"),)),
    "part-not-there": Case(f'<text x="10" y="60" {T}>H<tspan display="none">OOO</tspan></text>', (Line("H"),)),
    "unpainted": Case(
        f'<text x="10" y="60" fill="none" {T}>H</text><rect x="60" y="60" width="9" height="9"/>', (), others=((60, 60, 69, 69),)
    ),
}


@pytest.fixture(scope="module")
def boxes_of(fonts: FontIndex) -> Callable[[Line], list[Corners]]:
    """Boxes of a line's glyphs, from the font file alone."""
    opened: dict[str, TTFont] = {}

    def measured(line: Line) -> list[Corners]:
        face = fonts.find((line.family,), 400, False)
        assert face is not None
        font = opened.setdefault(face.path, TTFont(face.path))
        glyphs, names, scale = font.getGlyphSet(), font.getBestCmap(), line.size / font["head"].unitsPerEm
        steps = [
            font["hmtx"][names[ord(character)]][0] * scale + line.between + (line.at_spaces if character == " " else 0)
            for character in line.word
        ]
        pen, found = line.x - line.anchor * (sum(steps) - line.between * bool(line.anchor)), []
        for character, step in zip(line.word, steps, strict=True):
            bounds = BoundsPen(glyphs)
            glyphs[names[ord(character)]].draw(bounds)
            if bounds.bounds is not None:
                x0, y0, x1, y1 = (value * scale for value in bounds.bounds)
                found.append((pen + x0, line.y - y1, pen + x1, line.y - y0))
            pen += step
        return found

    return measured


@pytest.mark.parametrize("name", CASES)
def test_ink_box_of_text(
    name: str, boxes_of: Callable[[Line], list[Corners]], assert_box: Callable[[str, Corners | None], None]
) -> None:
    """Text covers what its glyphs' outlines cover, to one pixel of 4500 x 5100."""
    case = CASES[name]
    found = [box for line in case.lines for box in boxes_of(line)] + list(case.others)
    x0, y0 = (min(box[at] for box in found) - case.reach for at in (0, 1))
    x1, y1 = (max(box[at] for box in found) + case.reach for at in (2, 3))
    if case.turned:  # a quarter clockwise about (60, 60)
        x0, y0, x1, y1 = 120 - y1, x0, 120 - y0, x1
    assert_box(case.content, (x0, y0, x1, y1))
