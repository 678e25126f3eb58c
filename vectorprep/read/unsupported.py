"""What renderers pass over without a word: made drawable where that is exact, named where it is not.

Comes in: the clean tree and the page.
Goes out: the same tree, changed in place.
Never done here: filters (`filters`, `filter_functions`), text (`text`), colours.

Sources: SVG 2 ('vector-effect', 'pathLength', 'use' of a symbol), CSS Masking 1 (basic shapes, mask images), CSS Images 3
('image-rendering'), CSS Text 3.
"""

from __future__ import annotations

from lxml import etree

from vectorprep.geometry import Affine, Box
from vectorprep.markup.tree import SVG_PREFIX, XML_SPACE, Element, attributes_of, href_of, local_name, svg_elements
from vectorprep.model import Page
from vectorprep.read.boxes import outline_length, shape_box
from vectorprep.read.clip_shapes import box_word, clip_path
from vectorprep.read.notebook import Notebook
from vectorprep.read.numbers import length_px, number_or, numbers_in, written
from vectorprep.read.survey import inherited, scale_of
from vectorprep.read.transforms import affine_of
from vectorprep.read.vocabulary import NEVER_DRAWN_DIRECTLY

_SPACED = frozenset(("pre", "pre-wrap", "break-spaces"))
# The words of CSS Images 3 in those of SVG 1.1, which every renderer knows.
_RENDERING = {"pixelated": "optimizeSpeed", "crisp-edges": "optimizeSpeed", "optimizeSpeed": "optimizeSpeed"}
_UNEVEN = 0.01  # relative difference of the two scales that a stroke would show; house value


def settle_unsupported(root: Element, page: Page, book: Notebook) -> None:
    """Makes plain what renderers would pass over, in place, and says what cannot be."""
    ids = {element.get("id", ""): element for element in svg_elements(root) if "id" in element.attrib}
    for element in list(svg_elements(root)):
        _settle_clips(element, ids, book)
        if "pathLength" in element.attrib:
            _settle_path_length(element, book)
        if "vector-effect" in element.attrib:
            _settle_stroke(element, page, book)
        if "white-space" in element.attrib:
            if element.get("white-space") in _SPACED and XML_SPACE not in element.attrib:
                element.set(XML_SPACE, "preserve")
            del element.attrib["white-space"]
        if "image-rendering" in element.attrib:
            element.set("image-rendering", _RENDERING.get(element.get("image-rendering", ""), "optimizeQuality"))
        if local_name(element) == "use":
            _settle_use(element, ids)
        elif local_name(element) == "svg" and element is not root and "transform" in element.attrib:
            _settle_moved_viewport(element)


def _settle_clips(element: Element, ids: dict[str, Element], book: Notebook) -> None:
    for prop in ("clip-path", "mask"):
        value = element.get(prop, "")
        if "(" not in value or value.startswith("url("):
            continue
        del element.attrib[prop]
        box = _reference_box(element, box_word(value)) if prop == "clip-path" else None
        made = clip_path(value, box) if box is not None else None
        if made is None or box is None:
            book.count("feature-not-drawn", "warning", f"{prop} by a shape or picture is not supported here", value[:60])
            continue
        name = f"clip-shape-{len(ids)}"
        while name in ids:
            name += "-"
        clip = etree.Element(SVG_PREFIX + "clipPath", {"id": name})
        shape = etree.SubElement(clip, SVG_PREFIX + "path", {"d": made[0], "clip-rule": made[1]})
        if value.lower().startswith("path"):
            shape.set("transform", f"translate({written(box.x0)} {written(box.y0)})")
        ids[name] = clip
        element.getroottree().getroot().insert(0, clip)
        element.set("clip-path", f"url(#{name})")


def _reference_box(element: Element, word: str) -> Box | None:
    """What a basic shape's percentages and origin are of; None for groups and text, whose boxes only a renderer knows."""
    if word == "view-box":
        view = numbers_in(element.getroottree().getroot().get("viewBox", ""))
        return Box(0.0, 0.0, view[2], view[3]) if len(view) == 4 else None
    box = shape_box(local_name(element), dict(attributes_of(element)))
    if box is None or word in {"fill-box", "content-box", "padding-box"} or inherited(element, "stroke", "none") == "none":
        return box
    reach = (length_px(inherited(element, "stroke-width", "1"), percent_of=0.0) or 0.0) / 2
    return Box(box.x0 - reach, box.y0 - reach, box.x1 + reach, box.y1 + reach)


def _settle_path_length(element: Element, book: Notebook) -> None:
    """Dashes measured in an author's own length of the path, written in user units."""
    stated = number_or(element.get("pathLength"), 0.0)
    del element.attrib["pathLength"]
    dashes = inherited(element, "stroke-dasharray", "none")
    if dashes == "none" or stated <= 0:
        return
    length = outline_length(local_name(element), dict(attributes_of(element)))
    if length is None:
        book.count("feature-not-drawn", "warning", "dashes by a stated path length are not supported here", local_name(element))
        return
    for prop, value in (("stroke-dasharray", dashes), ("stroke-dashoffset", inherited(element, "stroke-dashoffset", "0"))):
        element.set(prop, _divided(value, stated / length))


def _settle_use(element: Element, ids: dict[str, Element]) -> None:
    """A symbol's own size counts where its use states none."""
    target = ids.get(href_of(element)[1:])
    if target is None or local_name(target) != "symbol":
        return
    for side in ("width", "height"):
        if target.get(side, "auto") != "auto" and element.get(side, "auto") == "auto":
            element.set(side, target.get(side, ""))


def _settle_moved_viewport(element: Element) -> None:
    """Renderers move a nested viewport twice, so that a group around it does the moving."""
    parent = element.getparent()
    if parent is None:
        return
    group = etree.Element(SVG_PREFIX + "g", {"transform": element.get("transform", "")})
    del element.attrib["transform"]
    parent.replace(element, group)
    group.append(element)


def _settle_stroke(element: Element, page: Page, book: Notebook) -> None:
    """A stroke that keeps its width whatever the scale, written as the width it has at the page's own size."""
    effect = element.get("vector-effect", "none")
    del element.attrib["vector-effect"]
    if effect == "none":
        return
    here = map_to_page(element, page)
    scales = sorted(((here.a**2 + here.b**2) ** 0.5, (here.c**2 + here.d**2) ** 0.5)) if here else [0.0, 0.0]
    if effect != "non-scaling-stroke" or here is None or scales[1] > scales[0] * (1 + _UNEVEN):
        book.count("feature-not-drawn", "warning", "a stroke that does not scale is not supported here", effect)
        return
    for prop, initial in (("stroke-width", "1"), ("stroke-dasharray", "none"), ("stroke-dashoffset", "0")):
        value = inherited(element, prop, initial)
        if value != "none":
            element.set(prop, _divided(value, scale_of(here)))


def _divided(value: str, scale: float) -> str:
    single = length_px(value, percent_of=0.0)
    lengths = [single] if single is not None else numbers_in(value)
    return " ".join(written(length / scale) for length in lengths)


def map_to_page(element: Element, page: Page) -> Affine | None:
    """Map from an element to CSS px of the page; None inside what is drawn by reference or in a viewport of its own."""
    made = Affine()
    at: Element | None = element
    while at is not None and at.getparent() is not None:
        if local_name(at) in NEVER_DRAWN_DIRECTLY or local_name(at) == "svg":
            return None
        made = affine_of(at.get("transform")).after(made)
        at = at.getparent()
    made = page.uu_to_px.after(made)
    return made if abs(made.determinant) > 0 else None
