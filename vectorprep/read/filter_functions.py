"""Filters written as CSS functions, as the filter element that says the same.

Comes in: the clean tree and the page.
Goes out: the same tree; shadows and what stands with them in one value have an element of their own.
Never done here: limits of cost (`filters`).

Renderers cut a shadow function at a region of their own choice; a filter element states its region: all of the page.

Source: Filter Effects 1, 'filter functions' with their shorthand equivalents.
"""

from __future__ import annotations

import re

from lxml import etree

from vectorprep.geometry import Box
from vectorprep.markup.tree import SVG_PREFIX, Element, svg_elements
from vectorprep.model import Page
from vectorprep.read.numbers import length_px, number_or, written
from vectorprep.read.survey import inherited
from vectorprep.read.unsupported import map_to_page

_FUNCTION = re.compile(r"([a-z-]+)\(((?:[^()]|\([^()]*\))*)\)", re.IGNORECASE)
_WORD = re.compile(r"(?:[^\s()]|\((?:[^()])*\))+")


def settle_filter_functions(root: Element, page: Page) -> None:
    """Gives every value with a shadow function a filter element, in place."""
    at = 0
    for element in list(svg_elements(root)):
        value = element.get("filter", "")
        if "drop-shadow(" not in value.lower() or "url(" in value:
            continue
        ink = inherited(element, "color", "#000000")
        steps = [_primitive(name.lower(), inside, ink) for name, inside in _FUNCTION.findall(value)]
        here = map_to_page(element, page)
        if here is None or any(step is None for step in steps):
            continue
        at += 1
        region = here.inverse().box(Box(0.0, 0.0, page.width_px, page.height_px))
        made = etree.Element(
            SVG_PREFIX + "filter",
            {
                "id": _free_id(root, at),
                "filterUnits": "userSpaceOnUse",
                "x": written(region.x0),
                "y": written(region.y0),
                "width": written(region.width),
                "height": written(region.height),
                "color-interpolation-filters": "sRGB",
            },
        )
        made.extend(step for step in steps if step is not None)
        root.insert(0, made)
        element.set("filter", f"url(#{made.get('id')})")


def _free_id(root: Element, at: int) -> str:
    taken = {element.get("id") for element in svg_elements(root)}
    name = f"filter-functions-{at}"
    while name in taken:
        name += "-"
    return name


def _primitive(name: str, inside: str, ink: str) -> Element | None:
    if name == "drop-shadow":
        return _shadow(inside, ink)
    if name == "blur":
        length = length_px(inside.strip() or "0", percent_of=0.0)
        return None if length is None else _made("feGaussianBlur", stdDeviation=written(length))
    if name == "opacity":
        return _opacity(inside)
    return None


def _shadow(inside: str, ink: str) -> Element | None:
    words = _WORD.findall(inside)
    lengths = [length_px(word, percent_of=0.0) for word in words]
    found = [length for length in lengths if length is not None]
    colours = [word for word, length in zip(words, lengths, strict=True) if length is None]
    if not 2 <= len(found) <= 3 or len(colours) > 1:
        return None
    dx, dy, blur = [*found, 0.0][:3]
    colour = colours[0] if colours and colours[0].lower() != "currentcolor" else ink
    made = _made("feDropShadow", dx=written(dx), dy=written(dy), stdDeviation=written(blur))
    made.set("flood-color", colour)
    return made


def _opacity(inside: str) -> Element:
    share = number_or(inside, 1.0) / (100 if "%" in inside else 1)
    made = _made("feComponentTransfer")
    made.append(_made("feFuncA", type="linear", slope=written(min(max(share, 0.0), 1.0))))
    return made


def _made(name: str, **attributes: str) -> Element:
    return etree.Element(SVG_PREFIX + name, attributes)
