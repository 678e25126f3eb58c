"""A new, plain SVG tree out of a parsed one: known elements, known attributes, styles written in.

Comes in: the parsed root and the styles that win on its elements.
Goes out: a new tree in the SVG namespace alone, without scripts, handlers, comments, sheets, foreign content, conditions or
animation; what of the drawing is lost by that goes into the notebook.
Never done here: following links or references, page size, pictures, fonts.
"""

from __future__ import annotations

from lxml import etree

from vectorprep.markup.tree import SVG_PREFIX, XLINK_HREF, XML_SPACE, Element, attributes_of, local_name, svg_root
from vectorprep.read.conditions import chosen_child, condition_holds
from vectorprep.read.declarations import with_plain_urls
from vectorprep.read.lengths import has_maths, plain_dashes, plain_maths
from vectorprep.read.notebook import Notebook
from vectorprep.read.numbers import check_numbers, length_px, numbers_in, plain_length
from vectorprep.read.styles import Styles
from vectorprep.read.transforms import plain_transform
from vectorprep.read.vocabulary import (
    ANIMATIONS,
    GEOMETRY,
    KEPT_ATTRIBUTES,
    KEPT_ELEMENTS,
    NUMERIC_ATTRIBUTES,
    PROPERTIES,
    SILENT,
    STYLE_ONLY,
    TEXT_PARTS,
    UNDRAWN,
)

_TRANSFORM_PROPERTIES = frozenset(("transform", "transform-origin", "transform-box", "translate", "rotate", "scale"))
_LINK = SVG_PREFIX + "a"
_TEXT = TEXT_PARTS | {"text"}


class Cleaner:
    """Builds the new tree; one use per drawing."""

    def __init__(self, styles: Styles, book: Notebook) -> None:
        self._styles = styles
        self._book = book
        self._ids: set[str] = set()
        self._viewport = (0.0, 0.0)

    def root(self, source: Element) -> Element:
        """The clean copy of a whole drawing."""
        self._viewport = _viewport_of(source, (300.0, 150.0))  # CSS Images 3, default object size
        made = svg_root(self._attributes(source, "svg"))
        self._children(source, made, in_text=False)
        return made

    def _children(self, source: Element, made: Element, *, in_text: bool) -> None:
        for child in source:
            if isinstance(child.tag, str):
                self._child(child, made, in_text=in_text)
                if in_text and child.tail:
                    _append_text(made, child.tail)

    def _child(self, child: Element, parent: Element, *, in_text: bool) -> None:
        name = local_name(child)
        if name in KEPT_ELEMENTS and condition_holds(child, self._book):
            if name == "switch":
                self._switch(child, parent)
            else:
                self._copy(child, parent, name, in_text=in_text)
        elif name not in KEPT_ELEMENTS:
            self._leave_out(child, name)

    def _copy(self, child: Element, parent: Element, name: str, *, in_text: bool) -> None:
        if name == "a":
            name = "tspan" if in_text else "g"
        if in_text and name not in TEXT_PARTS:
            return
        if not in_text and name in TEXT_PARTS:
            self._book.count("element-not-drawn", "warning", "text outside a text element is not drawn", name)
            return
        attributes = self._attributes(child, name)
        if child.tag == _LINK:
            attributes.pop("href", None)
        if name == "svg":  # SVG 2: auto is 100 %; resvg clips an inner viewport only where its size is stated
            attributes = {"width": "100%", "height": "100%"} | attributes
        made = etree.SubElement(parent, SVG_PREFIX + name, attributes)
        inside_text = name in _TEXT
        if inside_text and child.text:
            made.text = child.text
        if len(child):
            outer = self._viewport
            self._viewport = _viewport_of(child, outer) if name in {"svg", "symbol"} else outer
            self._children(child, made, in_text=inside_text)
            self._viewport = outer

    def _switch(self, source: Element, parent: Element) -> None:
        chosen = chosen_child(source, self._book)
        made = etree.SubElement(parent, SVG_PREFIX + "g", self._attributes(source, "g"))
        if chosen is not None:
            self._child(chosen, made, in_text=False)

    def _leave_out(self, child: Element, name: str) -> None:
        """Says what goes, where something that could be seen goes with it."""
        if name == "script":
            self._book.count("script-dropped", "note", "scripts are never run; left out", "script")
        elif name in ANIMATIONS:
            self._book.count("animation-dropped", "warning", "animation is left out, the drawing is taken as it stands", name)
        elif not name:
            self._leave_out_foreign(child)
        elif name not in SILENT and self._could_be_seen(child):
            slug = "foreign-object-dropped" if name == "foreignObject" else "element-not-drawn"
            what = UNDRAWN.get(name, f"the unknown element '{name}'")
            self._book.count(slug, "warning", f"{what} is not drawn", name)

    def _leave_out_foreign(self, child: Element) -> None:
        name = etree.QName(child)
        if name.namespace == "http://www.w3.org/2001/XInclude":
            self._book.count("link-dropped", "warning", "content to be included from elsewhere is left out", name.localname)
        elif not name.namespace and name.localname in KEPT_ELEMENTS:
            self._book.count("element-not-drawn", "warning", "elements outside the SVG namespace are not drawn", name.localname)

    def _could_be_seen(self, child: Element) -> bool:
        shown = self._styles.of(child).get("display", child.get("display")) != "none"
        return shown and (len(child) > 0 or bool((child.text or "").strip()) or len(child.attrib) > 0)

    def _attributes(self, source: Element, name: str) -> dict[str, str]:
        found: dict[str, str] = {}
        for key, value in attributes_of(source):
            if key in KEPT_ATTRIBUTES:
                found[key] = value
            elif key == "href" or (key == XLINK_HREF and "href" not in source.attrib):
                found["href"] = value.strip()
            elif key == XML_SPACE:
                found[key] = value
            elif key.startswith("on"):
                self._book.count("script-dropped", "note", "scripts are never run; left out", key)
        self._write_styles(self._styles.of(source), name, found)
        self._tidy(found, name)
        return found

    def _write_styles(self, winners: dict[str, str], name: str, found: dict[str, str]) -> None:
        geometry = GEOMETRY.get(name, frozenset())
        for prop, value in winners.items():
            if prop in PROPERTIES:
                found[prop] = value
            elif prop in geometry:
                plain = value if has_maths(value) else plain_length(prop, value)
                if plain:
                    found[prop] = plain

    def _tidy(self, found: dict[str, str], name: str) -> None:
        """Values in the plainest syntax, numbers within bounds, ids once only, what is CSS only back in `style`."""
        if not _TRANSFORM_PROPERTIES.isdisjoint(found):
            plain_transform(found, name, self._viewport, self._book)
        for key, value in list(found.items()):
            if key in NUMERIC_ATTRIBUTES:
                self._tidy_number(found, name, key, value)
            elif "url" in value or "URL" in value:
                found[key] = with_plain_urls(value)
        if "id" in found:
            if found["id"] in self._ids:
                del found["id"]
            else:
                self._ids.add(found["id"])
        style = ";".join(f"{prop}:{found.pop(prop)}" for prop in sorted(STYLE_ONLY & found.keys()))
        if style:
            found["style"] = style

    def _tidy_number(self, found: dict[str, str], name: str, key: str, value: str) -> None:
        if "(" in value and "transform" not in key.lower() and has_maths(value):
            plain = plain_maths(key, value, self._viewport)
            if plain is None:
                self._book.count("feature-not-drawn", "warning", "a sum of lengths is not understood and is left out", value[:60])
                del found[key]
                return
            found[key] = value = plain
        elif "%" in value and key.startswith("stroke-dash"):
            found[key] = value = plain_dashes(value, self._viewport)
        check_numbers(name, key, value)


def _viewport_of(element: Element, outer: tuple[float, float]) -> tuple[float, float]:
    """Size of the viewport an element opens, in its own user units."""
    view = numbers_in(element.get("viewBox", ""))
    if len(view) == 4:
        return view[2], view[3]
    width = length_px(element.get("width"), percent_of=outer[0])
    height = length_px(element.get("height"), percent_of=outer[1])
    return (outer[0] if width is None else width), (outer[1] if height is None else height)


def _append_text(made: Element, text: str) -> None:
    if len(made):
        last = made[-1]
        last.tail = (last.tail or "") + text
    else:
        made.text = (made.text or "") + text


def title_of(root: Element) -> str:
    """The drawing's title: the root's own `title`, else `dc:title` of its metadata; white space folded, at most 200 characters."""
    own = next((child for child in root if local_name(child) == "title"), None)
    found = own if own is not None else root.find(".//{http://purl.org/dc/elements/1.1/}title")
    return " ".join("".join(map(str, found.itertext())).split())[:200] if found is not None else ""
