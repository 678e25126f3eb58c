"""References inside a drawing: missing ones and loops dropped, and what they expand to counted before anyone draws.

Comes in: the clean tree, hrefs and `url()` in plain syntax.
Goes out: the same tree, in which every reference leads to an element that is there and none leads back to itself.
Never done here: following anything out of the drawing.

Elements are counted by dynamic programming: each subtree once, however often it is used.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from vectorprep.errors import ArtworkRefused
from vectorprep.markup.tree import Element, local_name, svg_elements
from vectorprep.read.declarations import urls_in
from vectorprep.read.notebook import Notebook
from vectorprep.read.survey import inherited
from vectorprep.read.vocabulary import MARKERS, NEVER_DRAWN_DIRECTLY, PAINT_SERVERS, REFERENCE_PROPERTIES

MAX_EXPANDED = 100_000  # elements drawn after all references, house value
MAX_PICTURE_BYTES = 300_000_000  # data of all pictures once for each place where they are drawn, house value
MAX_CHAIN = 50  # references one behind another, house value
MAX_DEPTH = 200  # nesting with references followed, house value; renderers' stacks end at about 250
MAX_LAYERS = 20  # layers open at once, each a picture in memory; house value, most seen in 1,487 clip-art files is 2

_INHERITED = ("fill", "stroke", *MARKERS)
_TARGETS: dict[str, frozenset[str]] = {
    "fill": PAINT_SERVERS,
    "stroke": PAINT_SERVERS,
    "clip-path": frozenset(("clipPath",)),
    "mask": frozenset(("mask",)),
    "filter": frozenset(("filter",)),
    "marker-start": frozenset(("marker",)),
    "marker-mid": frozenset(("marker",)),
    "marker-end": frozenset(("marker",)),
}
_TEMPLATES = PAINT_SERVERS | {"filter"}
_PAINTED = frozenset(("pattern", "marker", "mask", "clipPath"))
PICTURES = frozenset(("image", "feImage"))
_LAYERED = ("mask", "clip-path", "filter")


class _Walk:
    """Counts drawn elements from the root on; references found to lead back to where they came from are cut."""

    def __init__(self, ids: dict[str, Element], book: Notebook, weigh: Callable[[Element], int]) -> None:
        self._ids = ids
        self._book = book
        self._weigh = weigh
        self._counts: dict[Element, int] = {}
        self._layers: dict[Element, int] = {}
        self._deepest = [0]
        self._open: set[Element] = set()
        self._chain = 0

    def count(self, element: Element) -> int:
        """What is drawn when this element is, by weight."""
        known = self._counts.get(element)
        if known is not None:
            self._deepest[-1] = max(self._deepest[-1], self._layers[element])
            return known
        self._open.add(element)
        self._deepest.append(0)
        if len(self._open) > MAX_DEPTH:
            raise _too_deep()
        total, shared = self._weigh(element), 0
        for child in element:
            if local_name(child) not in NEVER_DRAWN_DIRECTLY:
                total += self.count(child)
        for prop in REFERENCE_PROPERTIES:
            if prop in element.attrib:
                count = self._through(element, prop)
                if prop in _INHERITED:
                    shared += count * _times(element, prop)
                else:
                    total += count
        total += self._through_href(element)
        total += shared * total
        self._open.discard(element)
        self._counts[element] = min(total, 10**15)
        self._close_layer(element)
        return total

    def _close_layer(self, element: Element) -> None:
        """Takes note of how many layers are open at once below and with this element."""
        layers = self._deepest.pop() + _opens_layer(element)
        if layers > MAX_LAYERS:
            raise ArtworkRefused(
                f"groups with opacity, masks, clips, filters or blending nest more than {MAX_LAYERS} deep",
                fix="flatten or ungroup them in the drawing's editor",
                code="nesting-too-deep",
            )
        self._layers[element] = layers
        self._deepest[-1] = max(self._deepest[-1], layers)

    def _through(self, element: Element, prop: str) -> int:
        urls = urls_in(element.get(prop, ""))
        return self._to(element, prop, urls[0]) if urls else 0

    def _through_href(self, element: Element) -> int:
        value = element.get("href", "")
        return self._to(element, "href", value) if value.startswith("#") else 0

    def _to(self, element: Element, attribute: str, value: str) -> int:
        target = self._ids.get(value[1:])
        if target is None:
            return 0
        if target in self._open:
            self._cut(element, attribute, value)
            return 0
        return self._follow(target)

    def _follow(self, target: Element) -> int:
        self._chain += 1
        if self._chain > MAX_CHAIN:
            raise ArtworkRefused(
                f"references lead on from one to the next more than {MAX_CHAIN} times",
                fix="unlink clones in the drawing's editor",
                code="reference-chain-too-long",
            )
        count = self.count(target)
        self._chain -= 1
        return count

    def _cut(self, element: Element, attribute: str, value: str) -> None:
        if attribute in {"fill", "stroke"}:
            element.set(attribute, "none")
        else:
            del element.attrib[attribute]
        self._book.count("reference-loop", "warning", "references that lead back to themselves are left out", value[:60])


def _opens_layer(element: Element) -> bool:
    """Whether a renderer draws the element into a picture of its own first."""
    if (
        "style" in element.attrib
        or local_name(element) == "pattern"
        or any(element.get(prop, "none") != "none" for prop in _LAYERED)
    ):
        return True
    return len(element) > 0 and element.get("opacity", "1") not in {"1", "1.0", "100%"}


def _too_deep() -> ArtworkRefused:
    return ArtworkRefused(
        f"groups and references together nest more than {MAX_DEPTH} deep",
        fix="ungroup the drawing and unlink clones in its editor",
        code="nesting-too-deep",
    )


def _times(element: Element, prop: str) -> int:
    """How often a marker is drawn: once per vertex, of which a path has at most as many as numbers."""
    if prop != "marker-mid":
        return 1
    shape = element.get("d") or element.get("points") or ""
    return max(1, len(shape) // 4)


def resolve_references(root: Element, book: Notebook, nested: Mapping[Element, int] = MappingProxyType({})) -> int:
    """Drops missing and looping references in place; how many elements are drawn after all references are followed.

    Args:
        root: of the clean tree.
        book: takes what is dropped.
        nested: elements drawn for a picture that is a drawing itself.

    Raises:
        ArtworkRefused: more than `MAX_EXPANDED` elements, a chain longer than `MAX_CHAIN`, or pictures drawn too often.
    """
    ids = {element.get("id", ""): element for element in svg_elements(root) if "id" in element.attrib}
    for element in list(svg_elements(root)):
        _drop_missing(element, ids, book)
        if local_name(element) in _PAINTED:
            _state_inherited(element)
    walk = _Walk(ids, book, lambda element: 1 + nested.get(element, 0))
    total = walk.count(root)
    for element in svg_elements(root):
        if local_name(element) in NEVER_DRAWN_DIRECTLY:
            walk.count(element)
    if total > MAX_EXPANDED:
        raise ArtworkRefused(
            f"its references expand to {total} drawn elements, more than the limit of {MAX_EXPANDED}",
            fix="unlink or thin out clones and patterns in the drawing's editor",
            code="reference-bomb",
        )
    _check_pictures(root, ids, book)
    return total


def _check_pictures(root: Element, ids: dict[str, Element], book: Notebook) -> None:
    """Renderers keep the data of a picture once for each place where it is drawn."""
    pictures = [element for element in svg_elements(root) if element.get("href", "").startswith("data:")]
    if not pictures:
        return
    walk = _Walk(ids, book, lambda element: len(element.get("href", "")) if local_name(element) in PICTURES else 0)
    total = walk.count(root)
    if total > MAX_PICTURE_BYTES:
        raise ArtworkRefused(
            f"its {len(pictures)} embedded pictures are drawn so often that they take {total / 1e6:.0f} MB,"
            f" more than the limit of {MAX_PICTURE_BYTES / 1e6:.0f} MB",
            fix="make the pictures smaller, draw them fewer times, or put them together into one",
            code="picture-too-often",
        )


def _state_inherited(element: Element) -> None:
    """Writes on a pattern or marker what it inherits of references, so that one to itself is seen."""
    for prop in _INHERITED:
        value = inherited(element, prop, "")
        if "url(" in value:
            element.set(prop, value)


def _drop_missing(element: Element, ids: dict[str, Element], book: Notebook) -> None:
    for prop in REFERENCE_PROPERTIES:
        value = element.get(prop)
        if value is not None and "url(" in value:
            _mend_property(element, prop, value, ids, book)
    href = element.get("href")
    if href is not None and href.startswith("#") and href[1:] not in ids:
        _drop_href(element, href, book)


def _mend_property(element: Element, prop: str, value: str, ids: dict[str, Element], book: Notebook) -> None:
    url = urls_in(value)
    target = ids.get(url[0][1:]) if url and url[0].startswith("#") else None
    if target is not None and local_name(target) in _TARGETS[prop]:
        return
    fallback = value[value.find(")") + 1 :].strip()
    if prop in {"fill", "stroke"}:
        element.set(prop, fallback if fallback and "url(" not in fallback else "none")
    else:
        del element.attrib[prop]
    what = "references to parts that are not in the drawing are left out"
    book.count("reference-missing", "warning", what, f"{prop} {value[:60]}")


def _drop_href(element: Element, href: str, book: Notebook) -> None:
    name = local_name(element)
    del element.attrib["href"]
    severity = "note" if name in _TEMPLATES else "warning"
    what = "references to parts that are not in the drawing are left out"
    book.count("reference-missing", severity, what, f"{name} {href[:60]}")  # type: ignore[arg-type]
    if name == "use":
        parent = element.getparent()
        if parent is not None:
            parent.remove(element)
