"""The elements of a clean drawing with the style they inherit and their map to the print picture.

Comes in: evidence. Goes out: elements in drawing order with their paint and affine map to pixels of the canvas.
Never done here: changing the drawing; geometry of paths.

Copies by `use` are followed for plain targets. What has clip paths, masks or patterns is passed through as it stands: who asks
looks at the picture before believing.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from vectorprep.geometry import Affine
from vectorprep.markup.tree import attributes_of, href_of, local_name, parse_clean, svg_elements
from vectorprep.units import INCHES_PER_UNIT

if TYPE_CHECKING:
    from vectorprep.checks._evidence import Evidence
    from vectorprep.markup.tree import Element

INHERITED = frozenset(
    {
        "fill", "stroke", "stroke-width", "stroke-dasharray", "color", "visibility", "vector-effect", "text-anchor",
        "font-family", "font-size", "font-weight", "font-style", "letter-spacing", "word-spacing",
    }
)  # fmt: skip
NOT_DRAWN = frozenset(
    {"defs", "symbol", "clipPath", "mask", "pattern", "marker", "linearGradient", "radialGradient", "filter", "style", "title"}
)
MOST_ELEMENTS = 20_000  # house value
_FUNCTION = re.compile(r"([a-zA-Z]+)\s*\(([^)]*)\)")
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-z%]*)\s*", re.IGNORECASE)
_CSS_PX_PER_INCH = 96
_NO_STYLE: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawn:
    """One element: its own attributes, its style with what it inherits, its map to pixels of the canvas."""

    element: Element
    name: str
    style: Mapping[str, str]
    to_px: Affine

    def number(self, name: str, default: float = 0.0) -> float:
        """A length among its attributes, in user units."""
        return length_uu(self.element.get(name), default)

    def colour(self, name: str) -> str:
        """`#rrggbb` of a plain paint, else an empty text."""
        value = self.style.get(name, "#000000" if name == "fill" else "none")
        if value.lower() == "currentcolor":
            value = self.style.get("color", "#000000")
        return value.lower() if re.fullmatch(r"#[0-9a-fA-F]{6}", value) else ""

    @property
    def is_shown(self) -> bool:
        """Whether nothing hides it by visibility."""
        return self.style.get("visibility", "visible") == "visible"


def drawn(evidence: Evidence) -> Iterator[Drawn]:
    """The elements of the drawing of an evidence, first copy."""
    artwork, placed = evidence.artwork, evidence.placement.placed[0]
    mm_per_css_px = 25.4 / _CSS_PX_PER_INCH
    scale = placed.px_per_mm * mm_per_css_px
    outer = Affine(scale, 0.0, 0.0, scale, *placed.offset_px).after(artwork.page.uu_to_px)
    root = parse_clean(artwork.markup)
    ids = {element.get("id", ""): element for element in svg_elements(root) if "id" in element.attrib}
    top = {key: value for key, value in attributes_of(root) if key in INHERITED}
    stack: list[tuple[Element, Mapping[str, str], Affine]] = [(child, top, outer) for child in reversed(root)]
    for _ in range(MOST_ELEMENTS):
        if not stack:
            return
        element, inherited, here = stack.pop()
        name = local_name(element)
        if not name or name in NOT_DRAWN or element.get("display") == "none":
            continue
        own = {key: value for key, value in attributes_of(element) if key in INHERITED and value != "inherit"}
        item = Drawn(element=element, name=name, style={**inherited, **own}, to_px=here.after(affine_of(element.get("transform"))))
        yield item
        stack.extend(_inside(item, ids))


def _inside(item: Drawn, ids: Mapping[str, Element]) -> Iterator[tuple[Element, Mapping[str, str], Affine]]:
    """What is drawn within an element, the last first."""
    if item.name == "use":
        target = ids.get(href_of(item.element)[1:])
        if target is not None:
            moved = item.to_px.after(Affine(e=item.number("x"), f=item.number("y")))
            yield from _used(item, target, moved) if local_name(target) in {"symbol", "svg"} else ((target, item.style, moved),)
    elif item.name == "svg":
        inner = _viewport(item)
        if inner is not None:
            for child in reversed(item.element):
                yield child, item.style, item.to_px.after(inner)
    else:
        for child in reversed(item.element):
            yield child, item.style, item.to_px


def _used(use: Drawn, target: Element, moved: Affine) -> Iterator[tuple[Element, Mapping[str, str], Affine]]:
    """What a symbol holds, in the room that its use gives it."""
    own = {key: value for key, value in attributes_of(target) if key in INHERITED and value != "inherit"}
    room = Drawn(element=target, name="svg", style={**use.style, **own}, to_px=moved)
    width, height = use.number("width", room.number("width")), use.number("height", room.number("height"))
    inner = _fitted(target, (0.0, 0.0), width, height)
    if inner is not None:
        for child in reversed(target):
            yield child, room.style, moved.after(inner)


def _viewport(item: Drawn) -> Affine | None:
    """Map of an inner drawing whose box and view box are stated in plain numbers and have the same proportions."""
    return _fitted(item.element, (item.number("x"), item.number("y")), item.number("width"), item.number("height"))


def _fitted(element: Element, corner: tuple[float, float], width: float, height: float) -> Affine | None:
    view = [float(number) for number in _NUMBER.findall(element.get("viewBox", ""))]
    if not view:
        return Affine(e=corner[0], f=corner[1])
    if len(view) != 4 or min(width, height, view[2], view[3]) <= 0:
        return None
    scale = min(width / view[2], height / view[3])
    x, y = corner[0] + (width - scale * view[2]) / 2, corner[1] + (height - scale * view[3]) / 2
    return Affine(scale, 0.0, 0.0, scale, x - scale * view[0], y - scale * view[1])


def length_uu(text: str | None, default: float = 0.0) -> float:
    """User units of a length with or without an absolute unit; the default for anything else."""
    match = _LENGTH.fullmatch(text or "")
    if match is None:
        return default
    unit = match.group(2).lower()
    if unit == "":
        return float(match.group(1))
    inches = INCHES_PER_UNIT.get(unit)
    return default if inches is None else float(match.group(1)) * float(inches) * _CSS_PX_PER_INCH


def affine_of(transform: str | None) -> Affine:
    """Matrix of a transform list."""
    made = Affine()
    for name, inside in _FUNCTION.findall(transform or ""):
        numbers = [float(number) for number in _NUMBER.findall(inside)]
        made = made.after(_step(name, numbers) if numbers else Affine())
    return made


def _step(name: str, numbers: list[float]) -> Affine:
    first, second = numbers[0], numbers[1] if len(numbers) > 1 else None
    if name == "matrix" and len(numbers) == 6:
        return Affine(*numbers)
    if name == "translate":
        return Affine(e=first, f=second or 0.0)
    if name == "scale":
        return Affine(a=first, d=first if second is None else second)
    if name == "rotate":
        sine, cosine = math.sin(math.radians(first)), math.cos(math.radians(first))
        x, y = (numbers[1], numbers[2]) if len(numbers) == 3 else (0.0, 0.0)
        return Affine(e=x, f=y).after(Affine(cosine, sine, -sine, cosine)).after(Affine(e=-x, f=-y))
    tangent = math.tan(math.radians(first))
    return Affine(c=tangent) if name == "skewX" else Affine(b=tangent) if name == "skewY" else Affine()
