"""The page of a drawing: its size on paper, and the map from its user units.

Comes in: the clean root element with the attributes as written, and the generator named in the file.
Goes out: a `Page`, and the root rewritten with width and height in CSS px, a viewBox and its alignment, drawn the same.
Never done here: looking at content.

Sources: CSS Values and Units 4 (absolute lengths), CSS Images 3 (default object size 300 x 150), SVG 2 ('viewBox',
'preserveAspectRatio').
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from vectorprep.errors import ArtworkRefused
from vectorprep.geometry import Affine
from vectorprep.markup.tree import Element
from vectorprep.model import Page
from vectorprep.read.notebook import Notebook
from vectorprep.read.numbers import length_px, numbers_in, unit_of, written

DEFAULT_SIZE_PX = (300.0, 150.0)  # CSS Images 3, default object size
MAX_PAGE_PX = 1_000_000.0  # about 264 m; house value
MIN_PAGE_PX = 0.01  # house value
OLD_UNITS_PER_INCH = (90, 72)  # what older editors wrote; common practice, no source

_ALIGNMENTS = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of the page: px, whether it was stated, was a percentage, and whether it is a plain number or px."""

    px: float | None
    is_percent: bool
    is_plain: bool


def page_of(root: Element, *, generator: str, units_per_inch: float | None, book: Notebook) -> Page:
    """The page, with the root rewritten in place.

    Args:
        root: the clean root.
        generator: name of the program that wrote the file, as it says.
        units_per_inch: what one inch of plain numbers holds; None = 96 (CSS).
        book: where oddities are noted.

    Raises:
        ArtworkRefused: the page has no size, or an absurd one.
    """
    view = _view_box(root, book)
    width, height = _side(root, "width", view), _side(root, "height", view)
    size, source = _size(width, height, view)
    width_px, height_px = size
    _check(root, width_px, height_px, view)
    _note_source(source, width_px, height_px, book)
    content = view or (0.0, 0.0, width_px, height_px)
    if units_per_inch is not None and units_per_inch != 96:
        (width_px, height_px), content, source = _overridden((width, height), size, view, units_per_inch)
    ratio = root.get("preserveAspectRatio", "").strip() if view else "none"
    page = Page(
        width_px=width_px,
        height_px=height_px,
        uu_to_px=view_box_map(content, (width_px, height_px), ratio),
        size_source=source,
        generator=generator,
    )
    _rewrite(root, page, content, ratio)
    return page


def _view_box(root: Element, book: Notebook) -> tuple[float, float, float, float] | None:
    text = root.get("viewBox")
    if text is None:
        return None
    parts = numbers_in(text)
    if (len(parts) == 4 and parts[2] == 0) or (len(parts) == 4 and parts[3] == 0):
        raise ArtworkRefused(
            f"the viewBox '{text}' has no width or height, so nothing is drawn",
            fix="set the page to the drawing in its editor",
            code="page-size-invalid",
        )
    if len(parts) != 4 or parts[2] < 0 or parts[3] < 0:
        book.add("page-size-guessed", "note", f"the viewBox '{text[:60]}' cannot be used; taken as absent")
        return None
    return parts[0], parts[1], parts[2], parts[3]


def _side(root: Element, name: str, view: tuple[float, float, float, float] | None) -> _Side:
    text = root.get(name)
    index = 2 if name == "width" else 3
    unit = unit_of(text)
    if unit == "%":
        whole = view[index] if view else DEFAULT_SIZE_PX[index - 2]
        return _Side(length_px(text, percent_of=whole), is_percent=True, is_plain=False)
    font_px = length_px(root.get("font-size"), percent_of=16.0) or 16.0
    value = length_px(text, percent_of=0.0, font_px=font_px)
    return _Side(value, is_percent=False, is_plain=unit in {"", "px"})


def _size(width: _Side, height: _Side, view: tuple[float, float, float, float] | None) -> tuple[tuple[float, float], str]:
    if width.px is not None and height.px is not None:
        return (width.px, height.px), "percent" if width.is_percent or height.is_percent else "stated"
    if view is None:
        if width.px is None and height.px is None:
            return DEFAULT_SIZE_PX, "default"
        return (_given(width.px, DEFAULT_SIZE_PX[0]), _given(height.px, DEFAULT_SIZE_PX[1])), "default"
    if width.px is not None:
        return (width.px, width.px * view[3] / view[2]), "ratio"
    if height.px is not None:
        return (height.px * view[2] / view[3], height.px), "ratio"
    return (view[2], view[3]), "viewBox"


def _given(value: float | None, default: float) -> float:
    return default if value is None else value


def _check(root: Element, width: float, height: float, view: tuple[float, float, float, float] | None) -> None:
    stated = f"width '{root.get('width', '')}' and height '{root.get('height', '')}'"
    if not (width > 0 and height > 0):
        raise ArtworkRefused(
            f"the page has no size: {stated}", fix="set a page size above zero in the drawing's editor", code="page-size-invalid"
        )
    if not (min(width, height) >= MIN_PAGE_PX and max(width, height) <= MAX_PAGE_PX):
        raise ArtworkRefused(
            f"the page of {width:g} x {height:g} px ({stated}) is outside {MIN_PAGE_PX:g}..{MAX_PAGE_PX:.0f} px",
            fix="set an ordinary page size in the drawing's editor",
            code="page-size-invalid",
        )
    ratio = max(width / height, height / width, *((view[2] / view[3], view[3] / view[2]) if view else (0.0,)))
    if ratio > 10_000:
        raise ArtworkRefused(
            f"the page's sides stand {ratio:.0f} to 1, more than the limit of 10000",
            fix="set an ordinary page size in the drawing's editor",
            code="page-size-invalid",
        )


_SOURCES = {
    "viewBox": "the drawing states no width and height; the size of its viewBox is taken as CSS px",
    "ratio": "the drawing states one side only; the other follows from its viewBox",
    "percent": "the page's size is a percentage; taken of the viewBox, or of 300 x 150 px without one",
    "default": "the drawing states no full page size and no viewBox; CSS's default of 300 x 150 px fills in",
}


def _note_source(source: str, width: float, height: float, book: Notebook) -> None:
    if source in _SOURCES:
        book.add("page-size-guessed", "note", f"{_SOURCES[source]}: {width:g} x {height:g} px", measured=f"{width:g} x {height:g}")


def _overridden(
    sides: tuple[_Side, _Side],
    size: tuple[float, float],
    view: tuple[float, float, float, float] | None,
    units_per_inch: float,
) -> tuple[tuple[float, float], tuple[float, float, float, float], str]:
    """Size and content box where plain numbers count `units_per_inch` to the inch; lengths with a real unit keep their size."""
    factor = 96 / units_per_inch
    scaled = [
        px * factor if side.is_plain or side.px is None or side.is_percent else px for side, px in zip(sides, size, strict=True)
    ]
    content = view or (0.0, 0.0, scaled[0] / factor, scaled[1] / factor)
    return (scaled[0], scaled[1]), content, "override"


def view_box_map(view: tuple[float, float, float, float], size: tuple[float, float], preserve_aspect_ratio: str) -> Affine:
    """Map from a viewBox to a viewport of the given size at (0, 0) (SVG 2, 'preserveAspectRatio')."""
    x, y, width, height = view
    sx, sy = size[0] / width, size[1] / height
    words = [word for word in preserve_aspect_ratio.split() if word != "defer"]
    align = words[0] if words else "xMidYMid"
    if align == "none":
        return Affine(sx, 0.0, 0.0, sy, -x * sx, -y * sy)
    if not _is_alignment(align):
        align, words = "xMidYMid", []
    scale = max(sx, sy) if "slice" in words[1:] else min(sx, sy)
    free_x, free_y = size[0] - width * scale, size[1] - height * scale
    at_x, at_y = free_x * _ALIGNMENTS[align[1:4]], free_y * _ALIGNMENTS[align[5:8]]
    return Affine(scale, 0.0, 0.0, scale, at_x - x * scale, at_y - y * scale)


def _is_alignment(word: str) -> bool:
    return len(word) == 8 and word[0] == "x" and word[4] == "Y" and word[1:4] in _ALIGNMENTS and word[5:8] in _ALIGNMENTS


def _rewrite(root: Element, page: Page, content: tuple[float, float, float, float], ratio: str) -> None:
    for name in ("x", "y") if ratio else ("x", "y", "preserveAspectRatio"):
        if name in root.attrib:
            del root.attrib[name]
    root.set("width", written(page.width_px))
    root.set("height", written(page.height_px))
    root.set("viewBox", " ".join(written(part) for part in content))
    if ratio:
        root.set("preserveAspectRatio", ratio)


def note_old_units(page: Page, sides: tuple[str, str], book: Notebook) -> None:
    """Says the size at 96, 90 and 72 units an inch where the file gives reason to doubt; never guesses."""
    if not all(unit_of(side) in {"", "px"} for side in sides) or page.size_source in {"override", "default"}:
        return
    reason = _generator_reason(page.generator) or _number_reason(page)
    if reason:
        sizes = ", ".join(
            f"{page.width_px / units:.2f} x {page.height_px / units:.2f} in at {units}" for units in (96, *OLD_UNITS_PER_INCH)
        )
        book.add(
            "source-unit-suspect",
            "warning",
            f"{reason}: the page is {sizes} units an inch; 96 is taken",
            measured=f"{page.width_px:g} x {page.height_px:g} px",
        )


def _generator_reason(generator: str) -> str:
    words = generator.lower()
    if "sodipodi" in words or ("inkscape 0." in words and _version(words) < 0.92):
        return f"'{generator}' wrote 90 units an inch"
    if "illustrator" in words:
        return f"'{generator}' writes 72 units an inch"
    return ""


def _version(words: str) -> float:
    found = numbers_in(words.split("inkscape", 1)[1])
    return found[0] if found else math.inf


def _number_reason(page: Page) -> str:
    """A size that is round at 90 or 72 units an inch and not at 96."""
    inches = [(page.width_px / units, page.height_px / units) for units in (96, *OLD_UNITS_PER_INCH)]
    if _is_round(inches[0]):
        return ""
    for units, (width, height) in zip(OLD_UNITS_PER_INCH, inches[1:], strict=True):
        if _is_sheet(width, height):
            return f"the page is a common sheet at {units} units an inch"
    return ""


def _is_round(size: tuple[float, float]) -> bool:
    return all(abs(side * 2 - round(side * 2)) < 0.01 for side in size)


# ISO 216 A3, A4, A5 and North American letter, legal, tabloid, in inches.
_SHEETS = ((11.69, 16.54), (8.27, 11.69), (5.83, 8.27), (8.5, 11.0), (8.5, 14.0), (11.0, 17.0))


def _is_sheet(width: float, height: float) -> bool:
    short, long = sorted((width, height))
    return any(abs(short - a) < 0.02 and abs(long - b) < 0.02 for a, b in _SHEETS)
