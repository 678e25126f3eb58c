"""What renderers pass over without a word: made drawable where that is exact, named where it is not.

Comes in: the clean tree and the page.
Goes out: the same tree, changed in place.
Never done here: filters (`filters`), text (`text`), colours.

Sources: SVG 2 ('vector-effect'), CSS Masking 1 (basic shapes, mask images), CSS Text 3 ('text-transform').
"""

from __future__ import annotations

from vectorprep.geometry import Affine
from vectorprep.markup.tree import XML_SPACE, Element, local_name, svg_elements
from vectorprep.model import Page
from vectorprep.read.notebook import Notebook
from vectorprep.read.numbers import length_px, numbers_in, written
from vectorprep.read.survey import inherited, scale_of
from vectorprep.read.transforms import affine_of
from vectorprep.read.vocabulary import NEVER_DRAWN_DIRECTLY

_SPACED = frozenset(("pre", "pre-wrap", "break-spaces"))
_UNEVEN = 0.01  # relative difference of the two scales that a stroke would show; house value


def settle_unsupported(root: Element, page: Page, book: Notebook) -> None:
    """Makes plain what renderers would pass over, in place, and says what cannot be."""
    for element in svg_elements(root):
        for prop in ("clip-path", "mask"):
            value = element.get(prop, "")
            if "(" in value and not value.startswith("url("):
                book.count("feature-not-drawn", "warning", f"{prop} by a shape or picture is not supported", value[:60])
                del element.attrib[prop]
        if "vector-effect" in element.attrib:
            _settle_stroke(element, page, book)
        if "white-space" in element.attrib:
            if element.get("white-space") in _SPACED and XML_SPACE not in element.attrib:
                element.set(XML_SPACE, "preserve")
            del element.attrib["white-space"]


def _settle_stroke(element: Element, page: Page, book: Notebook) -> None:
    """A stroke that keeps its width whatever the scale, written as the width it has at the page's own size."""
    effect = element.get("vector-effect", "none")
    del element.attrib["vector-effect"]
    if effect == "none":
        return
    here = _map_to_page(element, page)
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


def _map_to_page(element: Element, page: Page) -> Affine | None:
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
