"""What a clean drawing holds: pictures and texts with their sizes on the page, a plain plate, costly features.

Comes in: the clean tree and the page.
Goes out: plain values.
Never done here: changing the tree (the plate is taken out by the caller).
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from vectorprep.geometry import Affine, Box
from vectorprep.markup.tree import Element, href_of, local_name, svg_elements
from vectorprep.model import Page
from vectorprep.read.numbers import length_px, numbers_in
from vectorprep.read.outline import straight_outline
from vectorprep.read.page import view_box_map
from vectorprep.read.transforms import affine_of
from vectorprep.read.vocabulary import NEVER_DRAWN_DIRECTLY

MAX_PLACES = 20_000  # places looked at when following `use`, house value
PLATE_SHARE = 0.98  # of the page, house value (finding `page-rectangle-behind-art`)
_LENGTHS = ("x", "y", "width", "height", "cx", "cy", "r", "rx", "ry", "x1", "y1", "x2", "y2", "stroke-width", "font-size", "offset")


def places(root: Element, page: Page) -> Iterator[tuple[Element, Affine]]:
    """Every element that is drawn, in drawing order, with its map to CSS px of the page; `use` is followed."""
    ids = {element.get("id", ""): element for element in svg_elements(root) if "id" in element.attrib}
    size = (float(root.get("width", "0")), float(root.get("height", "0")))
    stack: list[tuple[Element, Affine, tuple[float, float]]] = [(child, page.uu_to_px, size) for child in reversed(root)]
    seen = 0
    while stack and seen < MAX_PLACES:
        element, outer, size = stack.pop()
        name = local_name(element)
        if name in NEVER_DRAWN_DIRECTLY or element.get("display") == "none":
            continue
        seen += 1
        here = outer.after(affine_of(element.get("transform")))
        yield element, here
        if name == "use":
            stack.extend(_used(element, here, size, ids))
        else:
            inner = here.after(_viewport_map(element, size)) if name == "svg" else here
            stack.extend((child, inner, size) for child in reversed(element))


def _used(
    element: Element, here: Affine, size: tuple[float, float], ids: dict[str, Element]
) -> list[tuple[Element, Affine, tuple[float, float]]]:
    target = ids.get(href_of(element)[1:])
    if target is None:
        return []
    x = length_px(element.get("x"), percent_of=size[0]) or 0.0
    y = length_px(element.get("y"), percent_of=size[1]) or 0.0
    moved = here.after(Affine(e=x, f=y))
    if local_name(target) != "symbol":
        return [(target, moved, size)]
    width = length_px(element.get("width"), percent_of=size[0]) or size[0]
    height = length_px(element.get("height"), percent_of=size[1]) or size[1]
    inner = moved.after(_box_map(target, width, height))
    return [(child, inner, size) for child in reversed(target)]


def _viewport_map(element: Element, size: tuple[float, float]) -> Affine:
    x = length_px(element.get("x"), percent_of=size[0]) or 0.0
    y = length_px(element.get("y"), percent_of=size[1]) or 0.0
    width = length_px(element.get("width", "100%"), percent_of=size[0]) or 0.0
    height = length_px(element.get("height", "100%"), percent_of=size[1]) or 0.0
    return Affine(e=x, f=y).after(_box_map(element, width, height))


def _box_map(element: Element, width: float, height: float) -> Affine:
    view = numbers_in(element.get("viewBox", ""))
    if len(view) != 4 or view[2] <= 0 or view[3] <= 0:
        return Affine()
    return view_box_map((view[0], view[1], view[2], view[3]), (width, height), element.get("preserveAspectRatio", ""))


def image_frame(element: Element, here: Affine, size_px: tuple[int, int]) -> tuple[tuple[float, float], Box]:
    """Lengths of a picture's edges on the page (CSS px) and the upright box around them, its own aspect kept as asked."""
    x, y = (length_px(element.get(name), percent_of=0.0) or 0.0 for name in ("x", "y"))
    width = length_px(element.get("width"), percent_of=0.0)
    height = length_px(element.get("height"), percent_of=0.0)
    if width is None and height is None:
        width, height = float(size_px[0]), float(size_px[1])
    elif width is None:
        width = (height or 0.0) * size_px[0] / size_px[1]
    elif height is None:
        height = width * size_px[1] / size_px[0]
    fit = view_box_map(
        (0.0, 0.0, float(size_px[0]), float(size_px[1])), (width, height or 0.0), element.get("preserveAspectRatio", "")
    )
    whole = here.after(Affine(e=x, f=y)).after(fit)
    edges = (math.hypot(whole.a, whole.b) * size_px[0], math.hypot(whole.c, whole.d) * size_px[1])
    return edges, whole.box(Box(0.0, 0.0, float(size_px[0]), float(size_px[1])))


def scale_of(affine: Affine) -> float:
    """Mean length factor of a map: the root of its area factor."""
    return math.sqrt(abs(affine.determinant))


def find_plate(root: Element, page: Page) -> tuple[Element, str] | None:
    """The plain rectangle below everything that covers the page, with its colour; None where there is none."""
    for element, here in places(root, page):
        name = local_name(element)
        if name in {"g", "svg", "use"} and not _is_plain_group(element):
            return None
        if name in {"g", "svg", "use"}:
            continue
        return _as_plate(element, here, page)
    return None


def _is_plain_group(element: Element) -> bool:
    return (
        not any(name in element.attrib for name in ("opacity", "filter", "mask", "clip-path", "style"))
        and local_name(element) != "use"
    )


def _as_plate(element: Element, here: Affine, page: Page) -> tuple[Element, str] | None:
    box = _rectangle(element)
    colour = _plain_paint(element)
    if box is None or colour is None or not ((_is_zero(here.b) and _is_zero(here.c)) or (_is_zero(here.a) and _is_zero(here.d))):
        return None
    whole = Box(0.0, 0.0, page.width_px, page.height_px)
    shared = here.box(box).intersection(whole)
    return (element, colour) if shared is not None and shared.area >= PLATE_SHARE * whole.area else None


def _is_zero(value: float) -> bool:
    return abs(value) < 1e-9


def _rectangle(element: Element) -> Box | None:
    name = local_name(element)
    if name == "rect":
        if any((length_px(element.get(corner), percent_of=0.0) or 0.0) > 0 for corner in ("rx", "ry")):
            return None
        return _rect_box(element)
    if name == "path":
        return _path_box(element.get("d", ""))
    if name == "polygon":
        numbers = numbers_in(element.get("points", ""))
        return _corner_box(list(zip(numbers[::2], numbers[1::2], strict=False)))
    return None


def _rect_box(element: Element) -> Box | None:
    svg = element.getroottree().getroot()
    view = numbers_in(svg.get("viewBox", "0 0 0 0"))
    sizes = {"x": view[2], "width": view[2], "y": view[3], "height": view[3]}
    x, y, width, height = (length_px(element.get(n), percent_of=sizes[n]) or 0.0 for n in ("x", "y", "width", "height"))
    return Box(x, y, x + width, y + height) if width > 0 and height > 0 else None


def _corner_box(points: list[tuple[float, float]]) -> Box | None:
    """The box whose four corners a closed outline visits and nothing else."""
    corners = list(dict.fromkeys(points))
    if len(corners) != 4:
        return None
    xs, ys = sorted({p[0] for p in corners}), sorted({p[1] for p in corners})
    if len(xs) != 2 or len(ys) != 2:
        return None
    straight = all((a[0] == b[0]) != (a[1] == b[1]) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    return Box(xs[0], ys[0], xs[1], ys[1]) if straight else None


def _path_box(path: str) -> Box | None:
    """Box of a path of straight lines only that is one rectangle."""
    points = straight_outline(path)
    return _corner_box(points) if points else None


def _plain_paint(element: Element) -> str | None:
    """Colour of a fill that is plain and opaque, inheritance followed; None for anything else."""
    for name in ("opacity", "fill-opacity"):
        if inherited(element, name, "1") not in {"1", "1.0", "100%"}:
            return None
    if any(name in element.attrib for name in ("filter", "mask", "clip-path", "style")):
        return None
    if inherited(element, "stroke", "none") != "none" and inherited(element, "stroke-opacity", "1") != "0":
        return None
    if inherited(element, "visibility", "visible") != "visible":
        return None
    fill = inherited(element, "fill", "#000000")
    return fill if fill.startswith("#") and len(fill) == 7 else None


def inherited(element: Element, name: str, initial: str) -> str:
    """Value of a property on an element, taken from those around it where it has none; opacity is not inherited."""
    at: Element | None = element
    while at is not None:
        value = at.get(name)
        if value is not None and value != "inherit":
            return value
        at = at.getparent() if name != "opacity" else None
    return initial


def has_filters(root: Element) -> bool:
    """Whether anything is filtered."""
    return any(element.get("filter", "none") != "none" for element in svg_elements(root))


def has_blending(root: Element) -> bool:
    """Whether a blend mode other than normal is used."""
    return any(
        "mix-blend-mode:" in style and "mix-blend-mode:normal" not in style
        for style in (element.get("style", "") for element in svg_elements(root))
    )


def has_percentages(root: Element) -> bool:
    """Whether a length is a percentage of a viewport (gradients and filters by the object's box do not count)."""
    for element in svg_elements(root):
        attributes = element.attrib
        if local_name(element) in {"stop", "linearGradient", "radialGradient", "filter"}:
            continue
        if any("%" in attributes[name] for name in _LENGTHS if name in attributes):
            return True
    return False
