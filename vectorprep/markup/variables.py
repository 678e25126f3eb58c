"""Custom properties put in: after this no paint of a drawing depends on `var()`.

Comes in: the root of a drawing that uses `var()`.
Goes out: the same tree with every `var()` replaced by its value: where it stands when a variable has one value for the whole
drawing, else element by element as the cascade has it; and an issue where instances of one shape differ.
Never done here: rewriting colours.

Source: CSS Custom Properties 1 (substitution, fallback, "invalid at computed-value time").
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import cast

from vectorprep.markup.cascade import Cascade, Declared, substituted
from vectorprep.markup.issues import PaintIssue, describe
from vectorprep.markup.tokens import declarations, split_important
from vectorprep.markup.tree import Element, href_of, svg_elements, svg_tag

_NAME = re.compile(r"var\(\s*(--[^\s,)]+)", re.IGNORECASE)
_ANIMATED = frozenset({"from", "to", "by", "values"})


def substitute_variables(root: Element) -> list[PaintIssue]:
    """Replaces every `var()` of the drawing by its value, in place."""
    cascade = Cascade(root)
    defined = _definitions(root)
    everywhere = {name: value for name, value in cascade.custom(root).items() if len(defined.get(name, ())) == 1}
    several = set(defined) - set(everywhere)
    issues = _differing_instances(root, cascade, several)
    # Read before anything is written: the cascade speaks of the tree as it was.
    by_element = [(element, _resolved(element, cascade, several)) for element in svg_elements(root)] if several else []
    for element, winners in by_element:
        _write_winners(element, winners)
    for element in svg_elements(root):
        _substitute_in(element, everywhere, several)
    return issues


def _definitions(root: Element) -> dict[str, set[str]]:
    """Every distinct value that each custom property is given anywhere in the drawing."""
    found: dict[str, set[str]] = {}
    for element in svg_elements(root):
        is_sheet = element.tag == svg_tag("style")
        text = (element.text or "") if is_sheet else (element.get("style") or "")
        if "--" not in text:
            continue
        for start, stop in declarations(text, inside=not is_sheet):
            name, colon, value = text[start:stop].partition(":")
            if colon and name.strip().startswith("--"):
                found.setdefault(name.strip(), set()).add(split_important(value)[0])
    return found


def _resolved(element: Element, cascade: Cascade, several: set[str]) -> dict[str, Declared]:
    return {
        name: Declared(cascade.specified(element, name) or "unset", one.important, one.origin)
        for name, one in cascade.declared(element).items()
        if not name.startswith("--") and not several.isdisjoint(_NAME.findall(one.value))
    }


def _write_winners(element: Element, winners: Mapping[str, Declared]) -> None:
    if not winners:
        return
    added = [f"{name}:{one.value}{'!important' if one.important else ''}" for name, one in winners.items()]
    before = (element.get("style") or "").strip().rstrip(";")
    element.set("style", ";".join([before, *added] if before else added))


def _substitute_in(element: Element, everywhere: Mapping[str, str], several: set[str]) -> None:
    if element.tag == svg_tag("style"):
        text = element.text or ""
        if "var(" in text:
            element.text = _block(text, everywhere, several, inside=False)
    for name, value in cast("list[tuple[str, str]]", element.items()):
        if "var(" not in value:
            continue
        if name == "style":
            element.set(name, _block(value, everywhere, several, inside=True))
        else:
            new = None if not several.isdisjoint(_NAME.findall(value)) else substituted(value, everywhere)
            if new is None:
                element.attrib.pop(name)
            else:
                element.set(name, new)


def _block(text: str, everywhere: Mapping[str, str], several: set[str], *, inside: bool) -> str:
    """A sheet or `style` with variables put in; declarations resolved element by element are taken out."""
    pieces: list[str] = []
    done = 0
    for start, stop in declarations(text, inside=inside):
        name, _, value = text[start:stop].partition(":")
        if "var(" not in value or name.strip().startswith("--"):
            continue
        pieces.append(text[done:start])
        if several.isdisjoint(_NAME.findall(value)):
            body, is_important = split_important(value)
            new = substituted(body, everywhere)
            pieces.append(f"{name}:{'unset' if new is None else new}{'!important' if is_important else ''}")
        done = stop
    return "".join([*pieces, text[done:]])


def _differing_instances(root: Element, cascade: Cascade, several: set[str]) -> list[PaintIssue]:
    """Instances of one shape that give its variables other values than the place where it stands."""
    if not several:
        return []
    by_id = {element.get("id"): element for element in svg_elements(root) if element.get("id")}
    issues = []
    for use in root.iter(svg_tag("use")):
        target = by_id.get(href_of(use)[1:])
        if target is None:
            continue
        text = " ".join(str(value) for element in target.iter() for value in element.attrib.values())
        parent = target.getparent()
        here = cascade.custom(use)
        there = {} if parent is None else cascade.custom(parent)
        names = sorted(name for name in several if name in text and here.get(name) != there.get(name))
        if names:
            message = f"instances give {', '.join(names)} values of their own, which one shape cannot hold"
            issues.append(PaintIssue(slug="colour-not-exact", message=message, element=describe(use), feature="variable"))
    return issues
