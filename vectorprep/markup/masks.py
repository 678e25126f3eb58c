"""Luminance masks pinned: there colour is coverage, so it must not follow a mapping of inks.

Comes in: the root of a drawing.
Goes out: the elements whose colours must stay, after the tree was changed so that no such element shares paint with the art:
what style sheets and ancestors gave them is written on them, and what art and masks both use is copied for the masks.
Never done here: rewriting colours.

Source: CSS Masking 1, section 7.10 (`mask-type`, luminance by default).
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from typing import cast

from lxml import etree

from vectorprep.markup.cascade import Cascade, Declared
from vectorprep.markup.tokens import declarations, split_important
from vectorprep.markup.tree import Element, href_of, local_name, svg_elements, svg_tag

_SERVERS: dict[str, tuple[str, ...]] = {
    "mask": ("fill", "stroke", "color"),
    "pattern": ("fill", "stroke", "color"),
    "marker": ("fill", "stroke", "color"),
    "linearGradient": ("color",),
    "radialGradient": ("color",),
    "filter": ("color",),
}
"""Elements that inherit from where they stand, with the properties by which colour gets into them."""
_NEVER_DRAWN = frozenset({"defs", "symbol", "clipPath", *_SERVERS})
_LINKS = frozenset({"fill", "stroke", "filter", "mask", "marker-start", "marker-mid", "marker-end"})
_PINNED = _LINKS | {"color", "stop-color", "flood-color", "lighting-color"}
_LOCAL = re.compile(r"url\(\s*([\"']?)#([^\"')]+)\1\s*\)")
_HREF = re.compile(r"#(.+)", re.DOTALL)


def pin_luminance_masks(root: Element) -> set[Element]:
    """Makes the content of luminance masks stand on its own, in place; gives all elements whose colours must stay."""
    if next(root.iter(svg_tag("mask")), None) is None:
        return set()
    pinning = _Pinning(root)
    if pinning.meets_important():
        settle_important(root, pinning.cascade)
        pinning = _Pinning(root)
    return pinning.run()


def settle_important(root: Element, cascade: Cascade) -> None:
    """Writes what `!important` rules of sheets win on the elements themselves and takes it out of the sheets, in place.

    Some rasterisers let such a rule beat even an `!important` of the element's own `style`, which would unpin it.
    """
    won = [(element, _important(cascade, element)) for element in svg_elements(root)]
    for element, declarations_won in won:
        _write(element, declarations_won)
    for sheet in root.iter(svg_tag("style")):
        text, pieces, done = sheet.text or "", [], 0
        for start, stop in declarations(text, inside=False):
            name, _, value = text[start:stop].partition(":")
            if split_important(value)[1] and name.strip().lower() in _PINNED | {"marker"}:
                pieces.append(text[done:start])
                done = stop
        sheet.text = "".join([*pieces, text[done:]])


def _important(cascade: Cascade, element: Element) -> dict[str, Declared]:
    return {
        name: one for name, one in cascade.declared(element).items() if one.important and one.origin == "sheet" and name in _PINNED
    }


class _Pinning:
    def __init__(self, root: Element) -> None:
        self.root = root
        self.cascade = Cascade(root)
        self.by_id: dict[str, Element] = {}
        for element in svg_elements(root):
            if element.get("id"):
                self.by_id.setdefault(str(element.get("id")), element)
        self.masks = [mask for mask in root.iter(svg_tag("mask")) if self.cascade.value(mask, "mask-type") != "alpha"]
        self.mask_content = {element for mask in self.masks for element in mask.iter()}
        self.tops = self._closure()

    def meets_important(self) -> bool:
        """Whether a style sheet forces a colour on anything that a mask draws with."""
        return any(_important(self.cascade, element) for top in self.tops for element in top.iter())

    def run(self) -> set[Element]:
        art = self._art()
        # All reading comes before any change: the cascade speaks of the tree as it was.
        plans = [(top, self._plan(top), not art.isdisjoint(top.iter())) for top in self.tops]
        pinned: set[Element] = set()
        renamed: dict[str, str] = {}
        copies: list[Element] = []
        for top, plan, is_shared in plans:
            target = top
            if is_shared and top not in self.mask_content:
                target = copy.deepcopy(top)
                target.tail = None
                self._rename(target, renamed)
                copies.append(target)
            for element, (own, all_of_sheet) in zip(target.iter(), plan, strict=True):
                _write(element, all_of_sheet if target is not top else own)
                pinned.add(element)
        for element in pinned:
            _relink(element, renamed)
        if copies:
            etree.SubElement(self.root, svg_tag("defs")).extend(copies)
        return pinned

    def _links(self, element: Element) -> Iterator[str]:
        """Ids of what the element takes its look from."""
        found = _HREF.fullmatch(href_of(element)) if local_name(element) != "a" else None
        if found:
            yield found[1]
        declared = self.cascade.declared(element)
        for name in _LINKS:
            if name in declared:
                value = self.cascade.specified(element, name) or ""
                yield from (link[2] for link in _LOCAL.finditer(value))

    def _closure(self) -> list[Element]:
        """The masks and everything they draw with, outermost elements only."""
        tops: list[Element] = []
        seen: set[Element] = set()
        queue = list(self.masks)
        while queue:
            top = queue.pop(0)
            if top in seen:
                continue
            tops.append(top)
            above = set(top.iterancestors())
            for element in top.iter():
                seen.add(element)
                queue += [t for t in map(self.by_id.get, self._links(element)) if t is not None and t not in above]
            for value in (value for _, value in self._inherited(top)):
                queue += [t for t in (self.by_id.get(link[2]) for link in _LOCAL.finditer(value)) if t is not None]
        chosen = set(tops)
        return [top for top in tops if chosen.isdisjoint(top.iterancestors())]

    def _art(self) -> set[Element]:
        """Everything that the visible drawing uses, masks left out."""
        art: set[Element] = set()
        stack = [self.root]
        while stack:
            element = stack.pop()
            if element in art or element in self.mask_content:
                continue
            art.add(element)
            stack += [target for target in map(self.by_id.get, self._links(element)) if target is not None]
            stack += [child for child in element if local_name(child) not in _NEVER_DRAWN or local_name(element) in _NEVER_DRAWN]
        return art

    def _inherited(self, top: Element) -> list[tuple[str, str]]:
        """Colours that reach a paint server or mask from the elements around it."""
        declared = self.cascade.declared(top)
        return [
            (name, self.cascade.value(top, name))
            for name in _SERVERS.get(local_name(top), ())
            if name not in declared or declared[name].value.lower() in {"inherit", "unset"}
        ]

    def _plan(self, top: Element) -> list[tuple[dict[str, Declared], dict[str, Declared]]]:
        """Per element of the subtree: what to write on it where it stands, and what to write on a copy."""
        plan = []
        for element in top.iter():
            sheet = {name: one for name, one in self.cascade.declared(element).items() if one.origin == "sheet"}
            if element is top:
                inherited = {name: Declared(value, origin="attribute") for name, value in self._inherited(top)}
                sheet = {name: one for name, one in sheet.items() if name not in inherited} | inherited
            plan.append(({name: one for name, one in sheet.items() if name in _PINNED}, sheet))
        return plan

    def _rename(self, top: Element, renamed: dict[str, str]) -> None:
        for element in top.iter():
            name = element.get("id")
            if name:
                new = f"{name}-mask"
                while new in self.by_id:
                    new += "-mask"
                self.by_id[new] = element
                renamed.setdefault(str(name), new)
                element.set("id", new)


def _write(element: Element, declarations: dict[str, Declared]) -> None:
    style = []
    for name, one in declarations.items():
        if one.origin == "attribute" and element.get(name) is None and f"{name}:" not in (element.get("style") or ""):
            element.set(name, one.value)
        else:
            style.append(f"{name}:{one.value}{'!important' if one.important else ''}")
    if style:
        before = (element.get("style") or "").strip().rstrip(";")
        element.set("style", ";".join([before, *style] if before else style))


def _relink(element: Element, renamed: dict[str, str]) -> None:
    for name, value in cast("list[tuple[str, str]]", element.items()):
        new = value
        if name.endswith("href"):
            new = "#" + renamed.get(value.strip()[1:], value.strip()[1:]) if value.strip().startswith("#") else value
        elif "url(" in value:
            new = _LOCAL.sub(lambda link: f"url(#{renamed.get(link[2], link[2])})", value)
        if new != value:
            element.set(name, new)
