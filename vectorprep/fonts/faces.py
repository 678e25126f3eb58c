"""One face of a font file: its names, its traits, the characters it holds.

Comes in: the path of a font file.
Goes out: `FontFace` values.
Never done here: choosing a face.

Source: OpenType 1.9, tables `name` (IDs 1, 2, 4, 16, 17), `OS/2` (usWeightClass, usWidthClass, fsSelection), `cmap`, `head`.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from fontTools.ttLib import TTCollection, TTFont, TTLibError

_MAX_FACES = 64  # of one collection, house value
_ITALIC_BIT = 0x01  # OS/2 fsSelection bit 0
_OBLIQUE_BIT = 0x200  # OS/2 fsSelection bit 9
_STRETCHES = (
    "ultra-condensed",
    "extra-condensed",
    "condensed",
    "semi-condensed",
    "normal",
    "semi-expanded",
    "expanded",
    "extra-expanded",
    "ultra-expanded",
)  # OS/2 usWidthClass 1..9


@dataclass(frozen=True, slots=True)
class FontFace:
    """One face: `family` as renderers know it, and every other family name it goes by in `aliases` (lower case)."""

    family: str
    path: str
    index: int
    weight: int
    italic: bool
    stretch: str = "normal"
    aliases: tuple[str, ...] = ()

    def read(self) -> bytes:
        """The bytes of the face's file."""
        return Path(self.path).read_bytes()

    def missing(self, text: str) -> str:
        """The characters of a text that the face has no glyph for, each once, in order; spaces and controls never count."""
        held = _characters(self.path, self.index)
        return "".join(dict.fromkeys(char for char in text if ord(char) not in held and not _is_blank(char)))


def _is_blank(char: str) -> bool:
    return char.isspace() or unicodedata.category(char) in {"Cc", "Cf", "Zs", "Zl", "Zp"} or 0xFE00 <= ord(char) <= 0xFE0F


@lru_cache(maxsize=64)
def _characters(path: str, index: int) -> frozenset[int]:
    with TTFont(path, lazy=True, fontNumber=index) as font:
        return frozenset(font.getBestCmap() or ())


def faces_of(path: str) -> tuple[FontFace, ...]:
    """All faces of a file; none where the file is no font that can be read."""
    try:
        # The file is ours to close: fontTools leaves it open where it turns out to be no font.
        with Path(path).open("rb") as file:
            if path.lower().endswith((".ttc", ".otc")):
                fonts = TTCollection(file, lazy=True).fonts[:_MAX_FACES]
                return tuple(_face(font, path, at) for at, font in enumerate(fonts))
            return (_face(TTFont(file, lazy=True), path, 0),)
    except (TTLibError, OSError, ValueError, KeyError, AttributeError, TypeError, IndexError, AssertionError):
        return ()


def _face(font: Any, path: str, index: int) -> FontFace:
    names = {number: _name(font, number) for number in (1, 2, 4, 16, 17)}
    family = names[16] or names[1]
    if not family:
        raise ValueError("a font without a family name")
    weight, italic, stretch = _traits(font)
    aliases = {name.lower() for name in (names[16], names[1], names[4]) if name}
    return FontFace(family, path, index, weight, italic, stretch, tuple(sorted(aliases)))


def _name(font: Any, number: int) -> str:
    text = font["name"].getDebugName(number)
    return str(text).strip() if text else ""


def _traits(font: Any) -> tuple[int, bool, str]:
    style = font["head"].macStyle
    if "OS/2" not in font:
        return (700 if style & 1 else 400), bool(style & 2), "normal"
    table = font["OS/2"]
    italic = bool(table.fsSelection & (_ITALIC_BIT | _OBLIQUE_BIT))
    width = min(max(int(table.usWidthClass), 1), 9)
    return int(table.usWeightClass) or 400, italic, _STRETCHES[width - 1]
