"""Styles of a drawing written into plain text per element: sheets, `style` attributes, variables.

Comes in: the tree as parsed.
Goes out: per element the declarations that win over its presentation attributes; what of the sheets was left out.
Never done here: inheritance (attributes inherit all the same), links, drawing.
"""

from __future__ import annotations

import re

from vectorprep.errors import ArtworkRefused
from vectorprep.markup.cascade import Cascade
from vectorprep.markup.sheets import media_holds
from vectorprep.markup.tree import Element, svg_tag
from vectorprep.read.declarations import winners_of, without_escapes
from vectorprep.read.notebook import Notebook

MAX_SHEET_CHARS = 1_000_000  # house value; the longest in 8,121 clip-art files is far below
MAX_RULES = 5_000  # house value
MAX_PAIRS = 5_000_000  # rules x elements, house value
MAX_SEEKING = 200_000  # the same for selectors that look at all brothers or children of an element, house value

_IMPORT = re.compile(r"@import\s+([^;]{0,200})", re.IGNORECASE)
_FONT_FACE = re.compile(r"@font-face\s*\{([^}]{0,400})", re.IGNORECASE)
_FAMILY = re.compile(r"font-family\s*:\s*[\"']?([^;\"'}]+)", re.IGNORECASE)
_KEYFRAMES = re.compile(r"@(?:-\w+-)?keyframes\b", re.IGNORECASE)
_MEDIA = re.compile(r"@media\s+([^{]{1,200})\{", re.IGNORECASE)
_SEEKING = re.compile(r":(?:nth|has|only|first-of|last-of)[\w-]*|~(?!=)")
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)


class Styles:
    """What wins on each element of one tree, over its presentation attributes."""

    def __init__(self, root: Element, book: Notebook, *, has_variables: bool) -> None:
        sheets = [element for element in root.iter(svg_tag("style")) if (element.text or "").strip() or len(element)]
        text = "\n".join("".join(map(str, element.itertext())) for element in sheets)
        if sheets:
            _check_size(root, text)
            _say_left_out(without_escapes(_COMMENT.sub("", text)), book)
        self._cascade = Cascade(root) if sheets or has_variables else None
        if self._cascade is not None:
            for selector in self._cascade.refused:
                book.count("css-rule-left-out", "warning", "style rules that cannot be understood are left out", selector[:60])

    def of(self, element: Element) -> dict[str, str]:
        """Property -> value that wins over the element's presentation attribute of the same name."""
        if self._cascade is None:
            style = element.get("style")
            return winners_of(style) if style else {}
        found: dict[str, str] = {}
        for name, declared in self._cascade.declared(element).items():
            if name.startswith("--") or (declared.origin == "attribute" and "var(" not in declared.value):
                continue
            value = self._cascade.specified(element, name)
            if value is not None:
                found[name] = without_escapes(value)
        return found


def _check_size(root: Element, text: str) -> None:
    rules = text.count("{")
    elements = sum(1 for _ in root.iter("*"))
    for figure, limit, what in (
        (len(text), MAX_SHEET_CHARS, "characters of style sheets"),
        (rules + text.count(","), MAX_RULES, "style rules"),
        (rules * elements, MAX_PAIRS, "pairs of style rule and element"),
        (len(_SEEKING.findall(text)) * elements, MAX_SEEKING, "pairs of element and selector by place or content"),
    ):
        if figure > limit:
            raise ArtworkRefused(
                f"the drawing has {figure} {what}, more than the limit of {limit}",
                fix="export the drawing with styles as attributes",
                code="style-sheet-too-big",
            )


def _say_left_out(text: str, book: Notebook) -> None:
    for words in _IMPORT.findall(text):
        book.count("css-import-dropped", "warning", "style sheets from elsewhere are never opened; left out", words.strip()[:80])
    if _KEYFRAMES.search(text):
        book.count(
            "animation-dropped", "warning", "animation by style is left out, the drawing is taken as it stands", "@keyframes"
        )
    for body in _FONT_FACE.findall(text):
        family = _FAMILY.search(body)
        name = family.group(1).strip() if family else "a font"
        book.count("font-link-dropped", "warning", "fonts that a style sheet brings along are not used", name)
    for words in _MEDIA.findall(text):
        if not media_holds(words.strip()):
            book.count("media-rule-left-out", "note", "style rules for another medium than the screen are left out", words.strip())
