"""What a drawing points at: parts of itself stay, pictures inside it are decoded, anything outside is refused.

Comes in: the clean tree.
Goes out: the same tree, in which every `href` is `#id` or a picture written by us; what the pictures were.
Never done here: opening anything. A link that cannot be seen goes with a note, one that can be seen is a refusal.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from vectorprep.errors import ArtworkRefused
from vectorprep.markup.tree import Element, local_name, svg_elements
from vectorprep.read.declarations import urls_in
from vectorprep.read.notebook import Notebook
from vectorprep.read.pictures import MAX_ALL_PIXELS, Picture, data_of, decoded, looks_like_svg
from vectorprep.read.vocabulary import REFERENCE_PROPERTIES

MAX_NESTING = 3  # drawings inside pictures inside drawings, house value
PICTURES = frozenset({"image", "feImage"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Nested:
    """An embedded drawing: the URI of its clean markup, and how many elements are drawn for it."""

    uri: str
    drawn: int


ReadNested = Callable[[bytes], Nested]
"""Bytes of an embedded drawing -> the clean drawing."""


def settle_links(root: Element, read_nested: ReadNested, book: Notebook) -> dict[Element, Picture | Nested]:
    """Makes every link inward, in place; the decoded picture or drawing of each `image` and `feImage` element.

    Raises:
        ArtworkRefused: a link leads out of the file, or a picture cannot be used.
    """
    pictures: dict[Element, Picture | Nested] = {}
    decoded_once: dict[str, Picture | Nested] = {}
    pixels = 0
    for element in list(svg_elements(root)):
        _check_properties(element, book)
        href = element.get("href")
        if href is None or href.startswith("#"):
            _settle_inward(element, href, book)
            continue
        name = local_name(element)
        if name in PICTURES and href[:5].lower() == "data:":
            made = decoded_once.get(href)
            if made is None:
                made = decoded_once[href] = _settled(href, read_nested)
                pixels += made.width_px * made.height_px if isinstance(made, Picture) else 0
            _check_pixels(pixels)
            element.set("href", made.uri)
            pictures[element] = made
            if isinstance(made, Picture):
                _note_animation(made, name, book)
        elif href.startswith("url("):
            book.count("reference-missing", "warning", "references that cannot be read are left out", f"{name} {href[:60]}")
            del element.attrib["href"]
        elif href and not _is_hidden(element):
            raise _link_refused(name, href)
        else:
            _drop(element, href, book)
    return pictures


def _settled(href: str, read_nested: ReadNested) -> Picture | Nested:
    data = data_of(href)
    return read_nested(data) if looks_like_svg(data) else decoded(data)


def _note_animation(made: Picture, name: str, book: Notebook) -> None:
    if made.is_animated:
        book.count("animation-dropped", "warning", "of animated pictures only the first frame is drawn", name)


def _check_pixels(pixels: int) -> None:
    if pixels > MAX_ALL_PIXELS:
        raise ArtworkRefused(
            f"its embedded pictures have {pixels} px together, more than the limit of {MAX_ALL_PIXELS}",
            fix="scale the pictures to the size they are printed at (300 ppi)",
            code="picture-too-big",
        )


def _settle_inward(element: Element, href: str | None, book: Notebook) -> None:
    if local_name(element) == "image":
        _drop(element, href or "", book)


def _drop(element: Element, href: str, book: Notebook) -> None:
    name = local_name(element)
    hidden = _is_hidden(element)
    what = "a link of a hidden part is left out" if hidden and href else "a picture without content is left out"
    book.count("link-dropped" if href else "picture-empty", "note", what, f"{name} {href[:60]}".strip())
    parent = element.getparent()
    if name == "image" and parent is not None:
        parent.remove(element)
    elif "href" in element.attrib:
        del element.attrib["href"]


def _check_properties(element: Element, book: Notebook) -> None:
    for prop in REFERENCE_PROPERTIES:
        value = element.get(prop)
        if value is None or "(" not in value:
            continue
        for url in urls_in(value):
            if not url.startswith("#"):
                if not _is_hidden(element):
                    raise _link_refused(prop, url)
                del element.attrib[prop]
                book.count("link-dropped", "note", "a link of a hidden part is left out", f"{prop} {url[:60]}")
                break


def _is_hidden(element: Element) -> bool:
    at: Element | None = element
    while at is not None:
        if at.get("display") == "none":
            return True
        at = at.getparent()
    return False


def _link_refused(name: str, href: str) -> ArtworkRefused:
    return ArtworkRefused(
        f"the drawing links to '{href[:100]}' ({name}), which is outside the file and is never opened",
        fix="embed the linked picture or part in the drawing, then save again",
        code="link-refused",
        check="image-not-embedded" if name in PICTURES else "",
    )
