"""A drawn product that is cut out along the artwork's own outline.

Comes in: a `Scene` whose drawing has a path with the id `cut`, the cut of an artwork. Goes out: the scene with that cut in it.
Whatever refers to the path, the material, its rim, its shadow, follows it. Never done here: finding a cut, pixels.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.markup.tree import parse_clean, serialise, svg_elements

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Scene
    from vectorprep.scenes.surface import Surface

    Floats = NDArray[np.floating[Any]]

CUT = "cut"
DECIMALS = 2


def is_cut(scene: Scene) -> bool:
    """Whether the drawing has a place for an artwork's cut."""
    return _has_cut(scene.drawing.markup)


@lru_cache(maxsize=64)
def _has_cut(markup: bytes) -> bool:
    return any(element.get("id") == CUT for element in svg_elements(parse_clean(markup)))


def with_cut(scene: Scene, paths: Sequence[Floats], surface: Surface) -> Scene:
    """The scene cut along closed paths.

    Args:
        scene: with a path for it.
        paths: cubic pieces (n, 4, 2) each, in shares of the print area; one within another is an opening.
        surface: where the print area lies.
    """
    back = scene.drawing.page.uu_to_px.inverse()
    data = "".join(_data(_on_page(path, surface), (back.a, back.b, back.c, back.d, back.e, back.f)) for path in paths)
    root = parse_clean(scene.drawing.markup)
    for element in svg_elements(root):
        if element.get("id") == CUT:
            element.set("d", data)
            element.set("fill-rule", "evenodd")
            element.set("clip-rule", "evenodd")
    drawing = replace(scene.drawing, markup=serialise(root))
    return replace(scene, drawing=drawing, sha256=hashlib.sha256(f"{scene.sha256} {data}".encode()).hexdigest())


def _on_page(path: Floats, surface: Surface) -> Floats:
    """The pieces in px of the page; on a surface that is not flat their control points make them all but exact."""
    x, y = surface.to_page(path[..., 0], path[..., 1])
    return np.stack([x, y], axis=-1)


def _data(pieces: Floats, back: tuple[float, float, float, float, float, float]) -> str:
    """Path data in the drawing's own units."""
    a, b, c, d, e, f = back
    x, y = pieces[..., 0], pieces[..., 1]
    own = np.stack([a * x + c * y + e, b * x + d * y + f], axis=-1)
    text = np.char.mod(f"%.{DECIMALS}f", own.reshape(len(own), 8))
    return f"M{text[0][0]} {text[0][1]}" + "".join("C" + " ".join(row[2:]) for row in text) + "Z"
