"""Clean SVG markup as an element tree, and back to bytes.

Comes in: clean SVG bytes that the reader wrote, or a tree built here.
Goes out: an lxml root, or UTF-8 bytes that begin with the root's start tag and are the same for the same tree.
Never done here: anything with bytes from outside; those go through `safe` first.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import cast

from lxml import etree

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
XML = "http://www.w3.org/XML/1998/namespace"

SVG_PREFIX = "{" + SVG + "}"
XLINK_HREF = "{" + XLINK + "}href"
XML_SPACE = "{" + XML + "}space"
XML_LANG = "{" + XML + "}lang"

Element = etree._Element


def parse_clean(markup: bytes) -> Element:
    """Root element of clean markup; a fresh tree that the caller may change."""
    parser = etree.XMLParser(
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        huge_tree=True,  # embedded pictures are longer than libxml2's 10 MB of text; the bytes are our own
        remove_comments=True,
        remove_pis=True,
    )
    return etree.fromstring(markup, parser)


def svg_root(attributes: dict[str, str], prefixes: dict[str, str] | None = None) -> Element:
    """A new root element with SVG as the namespace of names without a prefix."""
    namespaces = cast("dict[str, str]", {None: SVG, **(prefixes or {})})
    return etree.Element(SVG_PREFIX + "svg", attributes, nsmap=namespaces)


def attributes_of(element: Element) -> list[tuple[str, str]]:
    """Names and values of an element's attributes, in order."""
    return cast("list[tuple[str, str]]", element.items())


def serialise(root: Element) -> bytes:
    """UTF-8 bytes of a tree: no XML declaration, no white space after the root, the root's start tag first."""
    return etree.tostring(root, encoding="UTF-8", xml_declaration=False, with_tail=False)


def local_name(element: Element) -> str:
    """Name of an SVG element without its namespace; empty for anything that is not SVG."""
    tag = element.tag
    return _local(tag) if isinstance(tag, str) else ""


@lru_cache(maxsize=1000)
def _local(tag: str) -> str:
    return tag[len(SVG_PREFIX) :] if tag.startswith(SVG_PREFIX) else ""


def svg_tag(name: str) -> str:
    """Tag of an SVG element as lxml writes it."""
    return SVG_PREFIX + name


def svg_elements(root: Element) -> Iterator[Element]:
    """Every SVG element of a tree in document order, the root first."""
    return root.iter(SVG_PREFIX + "*")


def href_of(element: Element) -> str:
    """Value of `href`, else of `xlink:href`, without white space around it; empty where there is none (SVG 2, 'href')."""
    value = element.get("href")
    if value is None:
        value = element.get(XLINK_HREF, "")
    return value.strip()
