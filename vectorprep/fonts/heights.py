"""How tall the letters of a face are, read from its outlines.

Comes in: font files; family, weight and slant of a text. Goes out: heights and widths in parts of the font size.
Never done here: choosing a face.

Source: OpenType 1.9, tables `glyf`/`CFF `, `hmtx`, `OS/2` (sFamilyClass, panose), `head` (unitsPerEm).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont, TTLibError

from vectorprep.fonts.faces import faces_of

_SERIF_CLASSES = range(1, 8)  # OS/2 sFamilyClass: old style to slab serifs
_SCRIPT_CLASS = 10
_PANOSE_TEXT, _PANOSE_SCRIPT = 2, 3  # panose bFamilyType
_PANOSE_SERIFS = range(2, 11)  # panose bSerifStyle of Latin text: cove to flared; 11..15 are sans
_DEFAULT_CAP, _DEFAULT_X, _DEFAULT_ADVANCE = 0.70, 0.50, 0.55  # typical of sans faces, from memory


@dataclass(frozen=True, slots=True)
class LetterHeights:
    """Heights of H and x and the advance of each character, all in parts of the font size.

    `is_delicate`: a face with serifs or a script, whose thin strokes give out before its letters do.
    """

    cap: float = _DEFAULT_CAP
    x: float = _DEFAULT_X
    is_delicate: bool = False
    advances: tuple[tuple[str, float], ...] = ()

    def width(self, text: str) -> float:
        """Length of a line of text without kerning, in parts of the font size."""
        known = dict(self.advances)
        return sum(known.get(character, _DEFAULT_ADVANCE) for character in text)


@lru_cache(maxsize=64)
def letter_heights(files: tuple[str, ...], family: str, weight: int, italic: bool) -> LetterHeights:
    """Heights of the face that fits best among some files; typical ones of a sans face where none has the family."""
    fitting = [face for path in files for face in faces_of(path) if family.lower() in {face.family.lower(), *face.aliases}]
    if not fitting:
        return LetterHeights()
    face = min(fitting, key=lambda face: (face.italic != italic, abs(face.weight - weight)))
    try:
        with TTFont(face.path, lazy=True, fontNumber=face.index) as font:
            return _measured(font)
    except (TTLibError, OSError, ValueError, KeyError, AttributeError, TypeError, IndexError, AssertionError):
        return LetterHeights()


def _measured(font: Any) -> LetterHeights:
    em, glyphs, names = font["head"].unitsPerEm, font.getGlyphSet(), font.getBestCmap() or {}
    advances = tuple((chr(code), glyphs[name].width / em) for code, name in names.items() if 0x20 <= code < 0x250)
    return LetterHeights(
        cap=_height(glyphs, names.get(ord("H")), em) or _DEFAULT_CAP,
        x=_height(glyphs, names.get(ord("x")), em) or _DEFAULT_X,
        is_delicate=_is_delicate(font),
        advances=advances,
    )


def _height(glyphs: Any, name: str | None, em: int) -> float | None:
    if name is None:
        return None
    pen = BoundsPen(glyphs)
    glyphs[name].draw(pen)
    return None if pen.bounds is None else float(pen.bounds[3]) / em


def _is_delicate(font: Any) -> bool:
    if "OS/2" not in font:
        return False
    table = font["OS/2"]
    kind = table.sFamilyClass >> 8
    if kind in _SERIF_CLASSES or kind == _SCRIPT_CLASS or table.panose.bFamilyType == _PANOSE_SCRIPT:
        return True
    return table.panose.bFamilyType == _PANOSE_TEXT and table.panose.bSerifStyle in _PANOSE_SERIFS
