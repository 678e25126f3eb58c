"""Filter effects: bounded in cost, and named where no renderer here draws them.

Comes in: the clean tree and the page.
Goes out: the same tree, with filters that cannot be had left out and said, or a refusal of those that cost too much.
Never done here: drawing.

Source: Filter Effects 1.
"""

from __future__ import annotations

from vectorprep.errors import ArtworkRefused
from vectorprep.markup.tree import Element, local_name, svg_elements
from vectorprep.model import Page
from vectorprep.read.notebook import Notebook
from vectorprep.read.numbers import number_or, numbers_in, written
from vectorprep.read.vocabulary import FILTER_PRIMITIVES

MAX_PRIMITIVES = 50  # of one filter, house value
MAX_OCTAVES = 10  # house value; each doubles the detail, beyond eight nothing is seen
MAX_KERNEL = 225  # cells of a convolution (15 x 15), house value
MAX_RADIUS_SHARE = 1.0  # of the page's longer side, for blurs; house value
MAX_MORPHOLOGY_SHARE = 0.01  # of the page's longer side: 45 px of a print, 10 s for a whole canvas; house value

_MODE_WORDS = """
normal multiply screen overlay darken lighten color-dodge color-burn hard-light soft-light difference exclusion
hue saturation color luminosity
"""
_MODES = frozenset(_MODE_WORDS.split())
_INPUTS_NOT_DRAWN = frozenset(("BackgroundImage", "BackgroundAlpha", "FillPaint", "StrokePaint"))
_BLURS = {"feGaussianBlur": "stdDeviation", "feDropShadow": "stdDeviation", "feMorphology": "radius"}


def settle_filters(root: Element, page: Page, book: Notebook) -> None:
    """Bounds every filter and says what of them is not drawn, in place.

    Raises:
        ArtworkRefused: a filter costs more than its limit.
    """
    for element in svg_elements(root):
        name = local_name(element)
        if name == "filter":
            _settle_filter(element, page, book)
        style = element.get("style", "")
        if "mix-blend-mode" in style:
            _settle_blend_mode(element, style, book)
        value = element.get("filter", "none")
        if value not in {"none", "inherit"} and not value.startswith("url("):
            _check_functions(value, page)


def _settle_filter(element: Element, page: Page, book: Notebook) -> None:
    primitives = [child for child in element if local_name(child) in FILTER_PRIMITIVES]
    if len(primitives) > MAX_PRIMITIVES:
        raise _too_costly(f"{len(primitives)} steps", f"{MAX_PRIMITIVES}")
    by_box = element.get("primitiveUnits") == "objectBoundingBox"
    side_uu = 1.0 if by_box else max(page.width_px, page.height_px) / max(abs(page.uu_to_px.a), abs(page.uu_to_px.d))
    for child in primitives:
        _settle_primitive(child, side_uu, book)


def _settle_primitive(child: Element, side_uu: float, book: Notebook) -> None:
    name = local_name(child)
    if name in _BLURS:
        share = MAX_MORPHOLOGY_SHARE if name == "feMorphology" else MAX_RADIUS_SHARE
        reach = max([*numbers_in(child.get(_BLURS[name], "")), 0.0])
        if reach > share * side_uu:
            raise _too_costly(f"{_BLURS[name]} {reach:g}", f"{share * side_uu:g} ({share:g} of the page)")
    if name == "feTurbulence" and number_or(child.get("numOctaves"), 1.0) > MAX_OCTAVES:
        child.set("numOctaves", str(MAX_OCTAVES))
        book.count("filter-reduced", "note", f"noise is drawn with {MAX_OCTAVES} octaves at most", "feTurbulence")
    if name == "feConvolveMatrix":
        order = [*numbers_in(child.get("order", "3")), 3.0][:2]
        cells = order[0] * (order[1] if " " in child.get("order", "3").strip() or "," in child.get("order", "") else order[0])
        if cells > MAX_KERNEL:
            raise _too_costly(f"a convolution of {cells:.0f} cells", f"{MAX_KERNEL}")
    for key in ("in", "in2"):
        if child.get(key) in _INPUTS_NOT_DRAWN:
            book.count("feature-not-drawn", "warning", "a filter input is not supported", child.get(key, ""))


def _check_functions(value: str, page: Page) -> None:
    side = max(page.width_px, page.height_px) / max(abs(page.uu_to_px.a), abs(page.uu_to_px.d))
    if ("blur" in value or "shadow" in value) and max([*numbers_in(value), 0.0]) > MAX_RADIUS_SHARE * side:
        raise _too_costly(f"'{value[:60]}'", f"{written(MAX_RADIUS_SHARE * side)}")
    if value.count("(") > MAX_PRIMITIVES:
        raise _too_costly(f"{value.count('(')} steps", f"{MAX_PRIMITIVES}")


def _settle_blend_mode(element: Element, style: str, book: Notebook) -> None:
    mode = style.split("mix-blend-mode:", 1)[1].split(";", 1)[0].strip()
    if mode not in _MODES:
        kept = ";".join(part for part in style.split(";") if not part.startswith("mix-blend-mode:"))
        element.set("style", kept)
        book.count("feature-not-drawn", "warning", "a blend mode is not supported and is left out", mode)


def _too_costly(what: str, limit: str) -> ArtworkRefused:
    return ArtworkRefused(
        f"a filter effect asks for {what}, more than the limit of {limit}",
        fix="reduce the effect, or turn it into a picture in the drawing's editor",
        code="filter-too-costly",
    )
