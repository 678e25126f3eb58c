"""Live text of a drawing: which face each run gets, and what is missing.

Comes in: the clean tree with its styles in attributes, the font index, the page.
Goes out: the same tree, in which every text names one face that is there; the runs, the font files they need, findings.
Never done here: drawing, or reading a font file (the index does).

Sources: CSS Fonts 4 (family lists, weights, generic families, sizes), SVG 2 ('text-anchor').
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from vectorprep.fonts import FontFace, FontIndex
from vectorprep.markup.tree import Element, attributes_of, local_name
from vectorprep.model import TextRun
from vectorprep.read.notebook import Notebook
from vectorprep.read.numbers import length_px, written
from vectorprep.read.vocabulary import TEXT_PARTS

_FAMILY = re.compile(r"\s*(?:\"([^\"]*)\"|'([^']*)'|([^,\"']+))\s*(?:,|$)")
_SIZES = {
    "xx-small": 9.6,
    "x-small": 12.0,
    "small": 16 * 8 / 9,
    "medium": 16.0,
    "large": 19.2,
    "x-large": 24.0,
    "xx-large": 32.0,
    "xxx-large": 48.0,
}  # CSS Fonts 4, absolute-size keywords at 16 px
_TURNED = {"start": "end", "end": "start"}
# Unicode Standard Annex 9, explicit directional formatting characters.
_DIRECTION_MARKS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_LAST_RESORT = "serif"  # what a text without any family is set in; CSS leaves it open
_WORDS_SHOWN = 40
_CHARACTERS_SHOWN = 8
_NOTABLE_WEIGHT_GAP = 200


def _capitalised(words: str) -> str:
    return re.sub(r"(?<!\w)\w", lambda match: match.group().upper(), words)


_CASES: dict[str, Callable[[str], str]] = {"uppercase": str.upper, "lowercase": str.lower, "capitalize": _capitalised}


@dataclass(frozen=True, slots=True)
class Font:
    """Font properties in force at one place of the tree, and the change of case asked for."""

    families: tuple[str, ...] = ()
    weight: int = 400
    italic: bool = False
    size_uu: float = 16.0
    case: str = "none"
    is_rtl: bool = False
    anchor: str = "start"


@dataclass(slots=True)
class TextReport:
    """Runs in document order with the element each belongs to, and the files of the faces used."""

    runs: list[tuple[Element, TextRun]] = field(default_factory=list)
    files: list[str] = field(default_factory=list)


def families_of(text: str) -> tuple[str, ...]:
    """Family names of a `font-family` list, without quotes, in order."""
    found = (a or b or c for a, b, c in _FAMILY.findall(text))
    return tuple(" ".join(name.split()) for name in found if name.strip())


def settle_text(root: Element, index: FontIndex, book: Notebook) -> TextReport:
    """Gives every run of text one face of the index, in place."""
    report = TextReport()
    if "font-size" not in root.attrib:
        root.set("font-size", "medium")  # the initial value of CSS; renderers begin with others
    stack: list[tuple[Element, Font]] = [(root, Font())]
    while stack:
        element, inherited = stack.pop()
        font = _font_at(element, inherited)
        name = local_name(element)
        if name == "text" or name in TEXT_PARTS:
            _anchor(element, font)
            _settle(element, font, index, book, report)
        stack.extend((child, font) for child in reversed(element))
    return report


def _font_at(element: Element, inherited: Font) -> Font:
    attributes = dict(attributes_of(element))
    font = inherited
    if "font-family" in attributes and attributes["font-family"] != "inherit":
        font = replace(font, families=families_of(attributes["font-family"]))
    if "font-weight" in attributes:
        font = replace(font, weight=_weight(attributes["font-weight"], inherited.weight))
    if "font-style" in attributes and attributes["font-style"] != "inherit":
        font = replace(font, italic=attributes["font-style"].startswith(("italic", "oblique")))
    if "font-size" in attributes:
        font = replace(font, size_uu=_size(attributes["font-size"], inherited.size_uu))
        element.set("font-size", written(font.size_uu))
    if "direction" in attributes and attributes["direction"] != "inherit":
        font = replace(font, is_rtl=attributes["direction"].strip().lower() == "rtl")
    if "text-anchor" in attributes and attributes["text-anchor"] != "inherit":
        font = replace(font, anchor=attributes["text-anchor"].strip())
    if "text-transform" in attributes:
        font = replace(font, case=attributes["text-transform"].strip().lower())
        del element.attrib["text-transform"]
    return font


def _anchor(element: Element, font: Font) -> None:
    """Writes where a line begins as for text from left to right; renderers do not turn it around by themselves."""
    if font.is_rtl and (local_name(element) == "text" or "text-anchor" in element.attrib):
        element.set("text-anchor", _TURNED.get(font.anchor, font.anchor))


def _change_case(element: Element, case: str) -> None:
    """Writes the letters as `text-transform` asks, which renderers pass over (CSS Text 3)."""
    change = _CASES.get(case)
    if change is not None:
        element.text = change(element.text) if element.text else element.text
        for child in element:
            child.tail = change(child.tail) if child.tail else child.tail


def _weight(text: str, inherited: int) -> int:
    words = text.strip().lower()
    if words == "bolder":
        return 400 if inherited < 350 else 700 if inherited < 550 else 900  # CSS Fonts 4, relative weights
    if words == "lighter":
        return 100 if inherited < 550 else 400 if inherited < 750 else 700
    if words.isdigit() and 1 <= int(words) <= 1000:
        return int(words)
    return {"bold": 700, "normal": 400}.get(words, inherited)


def _size(text: str, inherited: float) -> float:
    words = text.strip().lower()
    if words in _SIZES:
        return _SIZES[words]
    if words in {"larger", "smaller"}:
        return inherited * (1.2 if words == "larger" else 1 / 1.2)
    size = length_px(words, percent_of=inherited, font_px=inherited)
    return inherited if size is None or size < 0 else size


def _own_text(element: Element) -> str:
    parts = [element.text or "", *((child.tail or "") for child in element)]
    return "".join(parts)


def _settle(element: Element, font: Font, index: FontIndex, book: Notebook, report: TextReport) -> None:
    _change_case(element, font.case)
    words = _own_text(element)
    if not words.strip():
        return
    marks = sorted({f"U+{ord(char):04X}" for char in words if char in _DIRECTION_MARKS})
    if marks:
        book.count("text-direction-marks", "warning", "text holds invisible marks that turn its direction", ", ".join(marks))
    asked = font.families or (_LAST_RESORT,)
    face, family = _chosen(asked, font, index, words)
    shown = " ".join(words.split())
    drawn = face or index.find((_LAST_RESORT,), font.weight, font.italic)
    missing = drawn.missing(words) if drawn else ""
    run = TextRun(
        text=shown,
        families=font.families,
        weight=font.weight,
        italic=font.italic,
        size_mm=font.size_uu,
        resolved=face.family if face else "",
        missing=missing,
    )
    report.runs.append((element, run))
    if drawn is not None:
        _write_face(element, drawn)
        report.files.append(drawn.path)
    _say(run, found_as=family, drawn=drawn, index=index, book=book)


def _chosen(asked: tuple[str, ...], font: Font, index: FontIndex, words: str) -> tuple[FontFace | None, str]:
    """The face, and the name in the list by which it was found."""
    for family in asked:
        face = index.find((family,), font.weight, font.italic)
        if face is not None:
            if index.is_generic(family) and face.missing(words):
                return _covering(face, font, index, words), family
            return face, family
    return None, ""


def _covering(face: FontFace, font: Font, index: FontIndex, words: str) -> FontFace:
    """For a generic family any bundled face will do: the one that holds all characters."""
    for generic in ("serif", "sans-serif"):
        other = index.find((generic,), font.weight, font.italic)
        if other is not None and not other.missing(words):
            return other
    return face


def _write_face(element: Element, face: FontFace) -> None:
    """Names the face so that every renderer finds it and no other."""
    element.set("font-family", f"'{face.family}'")
    element.set("font-weight", str(face.weight))
    element.set("font-style", "italic" if face.italic else "normal")
    element.set("font-stretch", face.stretch)


def _say(run: TextRun, *, found_as: str, drawn: FontFace | None, index: FontIndex, book: Notebook) -> None:
    shown = f"'{run.text[:_WORDS_SHOWN]}{'...' if len(run.text) > _WORDS_SHOWN else ''}'"
    asked = ", ".join(run.families) or "no font"
    if not run.resolved:
        stand_in = f", drawn in {drawn.family} in its place" if drawn else ""
        what = f"text asks for {asked}, which is not to be had{stand_in}"
        book.count("font-missing-or-substituted", "error", what, shown)
    elif run.families and found_as != run.families[0] and index.is_generic(found_as):
        what = f"text asks for {asked}; {run.families[0]} is not to be had, drawn in {run.resolved}"
        book.count("font-missing-or-substituted", "warning", what, shown)
    elif index.is_generic(found_as) or found_as != run.families[0]:
        book.count("font-resolved", "note", f"text asks for {asked}, drawn in {run.resolved}", shown)
    if run.missing:
        held = " ".join(f"'{char}' (U+{ord(char):04X})" for char in run.missing[:_CHARACTERS_SHOWN])
        what = f"{drawn.family if drawn else 'no font'} has no glyph for {held}, needed by text"
        book.count("font-missing-or-substituted", "error", what, shown)
    elif drawn is not None and run.resolved and abs(drawn.weight - run.weight) >= _NOTABLE_WEIGHT_GAP:
        what = f"text asks for weight {run.weight}; {drawn.family} is drawn in {drawn.weight}"
        book.count("font-weight-missing", "note", what, shown)
