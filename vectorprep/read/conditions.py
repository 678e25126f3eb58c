"""Conditional parts of a drawing: `switch`, required extensions, languages.

Comes in: elements as parsed.
Goes out: whether one is drawn, or which child of a `switch` is.
Never done here: changing the tree.

Source: SVG 2, chapter 'Document Structure', conditional processing.
"""

from __future__ import annotations

from vectorprep.markup.tree import Element, local_name
from vectorprep.read.notebook import Notebook
from vectorprep.read.vocabulary import ANIMATIONS, KEPT_ELEMENTS, SILENT

LANGUAGE = "en"
"""Language in which texts with a choice are drawn, so that the result does not depend on the machine."""

_HARMLESS = SILENT | ANIMATIONS | {"script"}


def condition_holds(element: Element, book: Notebook) -> bool:
    """Whether an element is drawn under its own conditions; outside a `switch` the loss is said."""
    if _holds(element):
        return True
    book.count("condition-not-met", "note", "parts meant for another program or language are not drawn", _wants(element))
    return False


def chosen_child(switch: Element, book: Notebook) -> Element | None:
    """The first child whose conditions hold and that can be drawn; None where there is none."""
    passed_over: list[str] = []
    for child in switch:
        name = local_name(child)
        if not name or name in _HARMLESS or not _holds(child):
            continue
        if name in KEPT_ELEMENTS:
            return child
        passed_over.append(name)
    if "foreignObject" in passed_over:
        book.count("foreign-object-dropped", "warning", "embedded web content is not drawn", "switch")
    return None


def _holds(element: Element) -> bool:
    attributes = element.attrib
    if "requiredExtensions" in attributes:
        return False
    languages = attributes.get("systemLanguage")
    if languages is None:
        return True
    wanted = [part.strip().lower() for part in languages.split(",")]
    return any(tag == LANGUAGE or tag.startswith(LANGUAGE + "-") for tag in wanted)


def _wants(element: Element) -> str:
    return element.get("requiredExtensions") or f"language {element.get('systemLanguage', '')}"
