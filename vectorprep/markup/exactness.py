"""Features of a drawing whose picture is not the mapping of its inks, however exactly those are rewritten.

Comes in: the root of a drawing.
Goes out: one issue per feature met.
Never done here: pictures (`rasters`), changing anything.

A map of inks commutes with smoothing, opacity, gradients and separable blending only as long as no channel is made from
another one; the features below do that, or bring in colour that no token holds.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import cast

from vectorprep.markup.issues import PaintIssue, describe
from vectorprep.markup.tree import SVG_PREFIX, Element, local_name, svg_tag

_MIXING = re.compile(r"\b(hue-rotate|saturate|grayscale|sepia|invert|brightness|contrast)\(", re.IGNORECASE)
_NON_SEPARABLE = frozenset({"hue", "saturation", "color", "luminosity"})  # Compositing 1, section 10.2
_BLEND = re.compile(r"mix-blend-mode\s*:\s*([a-z-]+)", re.IGNORECASE)
_EMOJI = re.compile("[\U0001f300-\U0001faff\U0001f1e6-\U0001f1ff\u2600-\u27bf\ufe0f]")
_PRIMITIVES = (
    "feTurbulence",
    "feColorMatrix",
    "feComponentTransfer",
    "feImage",
    "feBlend",
    "feDisplacementMap",
)
_CONTENT = ("text", "foreignObject")
_SHOWN = ("{http://www.w3.org/1999/xhtml}", SVG_PREFIX)
_WATCHED = tuple(svg_tag(name) for name in (*_PRIMITIVES, *_CONTENT))
_STYLED = (
    "descendant-or-self::*[@filter or @mix-blend-mode or contains(@style, 'mix-blend-mode') or contains(@style, 'filter')]"
    " | descendant-or-self::*[local-name() = 'style'][contains(., 'mix-blend-mode') or contains(., 'filter')]"
)
_WORDS = {
    "feTurbulence": "makes colour of its own",
    "feColorMatrix": "makes channels from other channels",
    "feComponentTransfer": "bends the colour channels",
    "feImage": "draws a picture inside a filter",
    "feDisplacementMap": "reads shifts from colours",
}


def inexact_features(root: Element) -> list[PaintIssue]:
    """Filters that mix channels or make colour, non-separable blending, colour emoji, foreign content."""
    found: dict[tuple[str, str], PaintIssue] = {}
    for issue in (*_watched(root), *_styles(root)):
        found.setdefault((issue.feature, issue.message), issue)
    return list(found.values())


def _issue(feature: str, message: str, element: Element) -> PaintIssue:
    return PaintIssue(slug="colour-not-exact", message=message, element=describe(element), feature=feature)


def _watched(root: Element) -> Iterator[PaintIssue]:
    for element in root.iter(*_WATCHED):
        name = local_name(element)
        if name == "foreignObject":
            if _shows(element):
                yield _issue("foreign-object", "foreignObject holds content whose colours are not rewritten", element)
        elif name == "text":
            if _EMOJI.search("".join(str(part) for part in element.itertext())):
                yield _issue("colour-font", "text holds signs that colour fonts draw in colours of their own", element)
        elif name == "feBlend":
            mode = element.get("mode", "normal").strip()
            if mode in _NON_SEPARABLE:
                yield _issue("blend-mode", f"feBlend {mode} mixes the colour channels", element)
        elif not _keeps_colour(name, element):
            yield _issue("filter", f"{name} {_WORDS[name]}", element)


def _shows(element: Element) -> bool:
    """Whether foreign content can be seen at all; editors keep data of their own in such elements."""
    return element.get("requiredExtensions") is None and any(str(child.tag).startswith(_SHOWN) for child in element)


def _keeps_colour(name: str, element: Element) -> bool:
    if name == "feComponentTransfer":
        return all(local_name(child) == "feFuncA" for child in element)
    return name == "feColorMatrix" and _matrix_keeps_colour(element)


def _matrix_keeps_colour(element: Element) -> bool:
    kind, written = element.get("type", "matrix").strip(), element.get("values", "")
    try:
        values = [float(part) for part in re.split(r"[\s,]+", written.strip())] if written.strip() else []
    except ValueError:
        return True  # an unreadable list leaves the identity (Filter Effects 1, feColorMatrix)
    if kind == "matrix":
        identity = [1.0 if place % 6 == 0 else 0.0 for place in range(20)]
        return len(values) != 20 or values[:15] == identity[:15]
    return kind in {"saturate", "hueRotate"} and len(values) == 1 and values[0] == float(kind == "saturate")


def _styles(root: Element) -> Iterator[PaintIssue]:
    """Filter functions and blend modes, wherever they are written."""
    for element in cast("list[Element]", root.xpath(_STYLED)):
        text = f"{element.get('style', '')};{element.text or ''}" if local_name(element) == "style" else element.get("style", "")
        functions = _MIXING.findall(f"{element.get('filter', '')} {text}")
        modes = [*_BLEND.findall(text), element.get("mix-blend-mode", "").strip()]
        for name in functions:
            yield _issue("filter", f"the filter function {name.lower()}() changes colours", element)
        for mode in modes:
            if mode.lower() in _NON_SEPARABLE:
                yield _issue("blend-mode", f"mix-blend-mode {mode.lower()} mixes the colour channels", element)
