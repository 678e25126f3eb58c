"""Colours of a drawing rewritten where they stand, in one normal syntax, exactly ink for ink.

Comes in: the root element of a drawing, and a mapping from `#rrggbb` to `#rrggbb`.
Goes out: the same tree, changed in place: attributes, `style`, style sheets, animation values, initial values that nobody
wrote, embedded flat pictures; and everything that could not be done exactly, as issues.
Never done here: choosing the mapping, reading or writing markup.

A map of inks is a function of the colour alone, so no cascade is needed: whatever wins in the original wins again. The
exceptions have rooms of their own: luminance masks (`masks`), variables (`variables`), pictures (`rasters`).
"""

from __future__ import annotations

from collections.abc import Collection
from typing import cast

from vectorprep.markup.exactness import inexact_features
from vectorprep.markup.fades import shade_stops
from vectorprep.markup.issues import PaintIssue, describe
from vectorprep.markup.masks import pin_luminance_masks
from vectorprep.markup.rasters import Tones, rewrite_pictures
from vectorprep.markup.tokens import COLOURS, INITIAL, LISTS, PAINT_PROPERTIES, PAINTS, Mapping, TokenWriter
from vectorprep.markup.tree import Element, svg_elements, svg_tag
from vectorprep.markup.variables import substitute_variables

_SHEET_TYPES = {"", "text/css"}
_BORN_WITH: dict[str, str] = {
    "stop": "stop-color",
    "feFlood": "flood-color",
    "feDropShadow": "flood-color",
    "feDiffuseLighting": "lighting-color",
    "feSpecularLighting": "lighting-color",
}
"""Elements that paint with an initial value of their own when nobody wrote a colour."""


_BORN = {svg_tag(name): prop for name, prop in _BORN_WITH.items()}
_ANIMATIONS = frozenset(svg_tag(name) for name in ("animate", "animateColor", "set"))
_STYLE = svg_tag("style")
_SPECIAL = frozenset({*_BORN, *_ANIMATIONS, _STYLE})
_ATTRIBUTES = frozenset((PAINTS | COLOURS | LISTS | {"style"}) - {"initial-value"})

Edit = tuple[Element, str, str | None]
"""Element, attribute name (or `#text`), new value; None drops the attribute."""


def normalise_colours(root: Element) -> list[PaintIssue]:
    """Writes every colour token as `#rrggbb` or `rgba(r,g,b,a)`, in place; the picture stays what CSS says it is.

    Initial values are written out, `var()` is substituted, `icc-color()` dropped, invalid declarations removed.
    Embedded pictures are left alone.
    """
    return _rewrite_tokens(root, None)[1]


def rewrite_colours(root: Element, mapping: Mapping, *, tones: Tones | None = None, keeps_shades: bool = False) -> list[PaintIssue]:
    """Sends every ink of the drawing through `mapping` (`#rrggbb` to `#rrggbb`, alpha is kept), in place.

    Luminance masks keep their colours: there colour is coverage. Embedded flat pictures go through the same mapping, pixel
    by pixel; photographs and JPEG data stay as they are. With `tones` these, and grey blurs such as a soft shadow, are drawn by it;
    with `keeps_shades` gradients in one grey that fade away stay as they are.

    Returns:
        what could not be mapped exactly.

    Raises:
        ValueError: the mapping gave something other than an opaque colour.
    """
    return _rewrite_all(root, mapping, 0, tones, keeps_shades)


def _rewrite_all(root: Element, mapping: Mapping, depth: int, tones: Tones | None, keeps_shades: bool) -> list[PaintIssue]:
    def nested(inner: Element, mapping: Mapping, depth: int) -> list[PaintIssue]:
        return _rewrite_all(inner, mapping, depth, tones, keeps_shades)

    inexact = inexact_features(root)
    pinned, issues = _rewrite_tokens(root, mapping, shade_stops(root) if keeps_shades else set())
    pictures = rewrite_pictures(root, mapping, pinned=pinned, nested=nested, depth=depth, tones=tones)
    return [*issues, *pictures, *inexact]


def _rewrite_tokens(
    root: Element, mapping: Mapping | None, kept: Collection[Element] = ()
) -> tuple[set[Element], list[PaintIssue]]:
    pinned = pin_luminance_masks(root) | set(kept)
    issues: list[PaintIssue] = []
    writer, keeper = TokenWriter(mapping), TokenWriter()
    edits = _collect(root, writer, keeper, pinned)
    if writer.found.has_variables or keeper.found.has_variables:
        issues = substitute_variables(root)
        writer, keeper = TokenWriter(mapping), TokenWriter()
        edits = _collect(root, writer, keeper, pinned)
    for element, name, value in edits:
        _apply(element, name, value)
    _write_root_paint(root, writer)
    return pinned, [*issues, *_oddities(writer), *_oddities(keeper)]


def _collect(root: Element, writer: TokenWriter, keeper: TokenWriter, pinned: set[Element]) -> list[Edit]:
    edits: list[Edit] = []
    for element in svg_elements(root):
        pen = keeper if pinned and element in pinned else writer
        tag = element.tag
        for name, value in cast("list[tuple[str, str]]", element.items()):
            if name in _ATTRIBUTES:
                new = pen.style(value) if name == "style" else pen.value(name, value)
                if new != value:
                    edits.append((element, name, new or None))
        if tag in _SPECIAL:
            _collect_special(element, tag, pen, edits)
        if pen.found.fresh:
            pen.found.locate(describe(element))
    return edits


def _collect_special(element: Element, tag: str, pen: TokenWriter, edits: list[Edit]) -> None:
    if tag == _STYLE:
        text = element.text
        if text and element.get("type", "").strip().lower() in _SHEET_TYPES:
            new = pen.sheet(text)
            if new != text:
                edits.append((element, "#text", new))
    elif tag in _ANIMATIONS:
        _collect_animation(element, pen, edits)
    else:
        name = _BORN[tag]
        written = element.get(name)
        if written is None or pen.value(name, written) is None:
            edits.append((element, name, pen.ink(INITIAL[name])))


def _collect_animation(element: Element, pen: TokenWriter, edits: list[Edit]) -> None:
    name = element.get("attributeName", "").strip()
    if name not in PAINT_PROPERTIES:
        return
    for key in ("from", "to", "by", "values"):
        value = element.get(key)
        if value is not None:
            steps = [pen.value(name, step) for step in value.split(";")] if key == "values" else [pen.value(name, value)]
            new = ";".join(step for step in steps if step is not None)
            if new != value:
                edits.append((element, key, new or None))


def _apply(element: Element, name: str, value: str | None) -> None:
    if name == "#text":
        for child in list(element):
            element.remove(child)
        element.text = value
    elif value is None:
        element.attrib.pop(name)
    else:
        element.set(name, value)


def _write_root_paint(root: Element, writer: TokenWriter) -> None:
    """Black that nobody wrote is an ink too: presentation attributes on the root have the lowest priority."""
    for name in ("fill", "color"):
        if root.get(name) is None:
            root.set(name, writer.ink(INITIAL[name]))


def _oddities(writer: TokenWriter) -> list[PaintIssue]:
    return [
        PaintIssue(
            slug="colour-invalid" if feature == "invalid" else "colour-not-exact",
            message=f"{token}: {reason}",
            element=element,
            feature=feature,
        )
        for (feature, token, reason), element in writer.found.oddities.items()
    ]
