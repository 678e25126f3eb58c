"""The pixels of a picture's drawing, layer by layer.

Comes in: a `Scene`, an engine, a `View`. Goes out: `Layers`, drawn one by one.
Never done here: the print, light of a photograph.

What the cloth's colour does to a pixel is found by drawing it once black and once white: all between is linear, however the shapes
overlap. So a picture is drawn once for all blanks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from vectorprep.engine import draw_window
from vectorprep.markup.tree import Element, parse_clean, serialise, svg_elements
from vectorprep.scenes.source import FRAME
from vectorprep.units import CSS_PX_PER_INCH

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from vectorprep.engine import Engine
    from vectorprep.model import Scene
    from vectorprep.scenes.view import View

    Bytes = NDArray[np.uint8]

AREA, FRONT, CLOTH, SHADE, BACKDROP = "area", "front", "cloth", "shade", "backdrop"
PAINTED = ("fill", "fill-opacity", "stroke", "stroke-opacity", "opacity", "filter", "style")


@dataclass(frozen=True, slots=True, kw_only=True)
class Layers:
    """Premultiplied pixels, height x width x 4, of the layers of one drawing; each is drawn when it is asked for.

    `has_cloth` says whether the blank's colour tells in what lies below the print, `has_dyed_front` in what lies before all.
    """

    drawer: Drawer
    left_out: tuple[str, ...]
    has_cloth: bool
    has_dyed_front: bool
    has_shade: bool
    has_front: bool

    def below(self, colour: str) -> Bytes:
        """Everything below the print, with cloth of a colour."""
        return self.drawer(lambda root: _without(_dyed(root, colour), *self.left_out))

    def outline(self) -> Bytes:
        """Coverage 0..255, height x width, of the shapes of cloth, whatever lies on them."""
        return self.drawer(lambda root: _silhouette(_only(root, CLOTH)))[..., 3]

    def shade(self) -> Bytes:
        """What lies over cloth and print."""
        return self.drawer(lambda root: _only(root, SHADE))

    def front(self, colour: str) -> Bytes:
        """What lies before all, with cloth of a colour."""
        return self.drawer(lambda root: _only(_dyed(root, colour), FRONT))


def layers_of(scene: Scene, engine: Engine, view: View, *, has_backdrop: bool = True) -> Layers:
    """The layers of a scene's drawing, as the view shows them; without its backdrop where another background is wanted.

    Drawing one raises `ArtworkFailed` where the engine gives no picture.
    """
    names = _names(scene)
    has_front = any(_is(name, FRONT) for name in names)
    has_cloth = any(_is(name, CLOTH) for name in names)
    return Layers(
        drawer=Drawer(scene, engine, view),
        left_out=(AREA, FRAME, SHADE, FRONT) if has_backdrop else (AREA, FRAME, SHADE, FRONT, BACKDROP),
        has_cloth=has_cloth,
        has_dyed_front=has_front and has_cloth,
        has_shade=any(_is(name, SHADE) for name in names),
        has_front=has_front,
    )


def has_front(scene: Scene) -> bool:
    """Whether anything lies before the print."""
    return any(_is(name, FRONT) for name in _names(scene))


def front_mask(scene: Scene, engine: Engine, view: View) -> Bytes | None:
    """Coverage 0..255 of what lies before the print on a photograph, whatever the shapes are painted with; None for nothing."""
    if not has_front(scene):
        return None
    return Drawer(scene, engine, view)(lambda root: _silhouette(_only(root, FRONT)))[..., 3]


@dataclass(frozen=True, slots=True)
class Drawer:
    """Draws a scene's markup, changed, as the view shows it."""

    scene: Scene
    engine: Engine
    view: View

    def __call__(self, change: Callable[[Element], Element]) -> Bytes:
        """Premultiplied pixels of the markup that the change makes."""
        drawing = self.scene.drawing
        markup = serialise(change(parse_clean(drawing.markup)))
        window = self.view.window.scaled(25.4 / CSS_PX_PER_INCH)
        return draw_window(self.engine, replace(drawing, markup=markup), window, *self.view.size_px).pixels


def _names(scene: Scene) -> list[str]:
    return [element.get("id", "") for element in svg_elements(parse_clean(scene.drawing.markup))]


def _is(name: str, role: str) -> bool:
    return name == role or name.startswith(f"{role}-")


def _role(element: Element, *roles: str) -> bool:
    name = element.get("id", "")
    return any(_is(name, role) for role in roles)


def _without(root: Element, *roles: str) -> Element:
    for element in list(svg_elements(root)):
        parent = element.getparent()
        if parent is not None and _role(element, *roles) and not _is_referred_to(element):
            parent.remove(element)
    return root


def _only(root: Element, role: str) -> Element:
    """The drawing with nothing shown but the shapes of one role; what others refer to stays."""
    kept: set[Element] = set()
    for element in svg_elements(root):
        if _role(element, role):
            kept.update(element.iter())
            kept.update(element.iterancestors())
    for element in list(svg_elements(root)):
        parent = element.getparent()
        if parent is not None and element not in kept and not _is_referred_to(element):
            parent.remove(element)
    return root


def _is_referred_to(element: Element) -> bool:
    """Whether an element is a definition, or stands in one."""
    return any(_tag(one) in _DEFINITIONS for one in (element, *element.iterancestors()))


def _tag(element: Element) -> str:
    return str(element.tag).rpartition("}")[2]


_DEFINITIONS = frozenset(
    {"defs", "linearGradient", "radialGradient", "clipPath", "mask", "filter", "pattern", "symbol", "marker", "style"}
)


def _dyed(root: Element, colour: str) -> Element:
    """Shapes of cloth filled with a colour; a group of cloth fills the shapes in it."""
    for element in svg_elements(root):
        if _role(element, CLOTH):
            for shape in svg_elements(element):
                if "fill" in shape.attrib and shape.get("fill") != "none":
                    shape.set("fill", colour)
            if element.get("fill") != "none":
                element.set("fill", colour)
    return root


def _silhouette(root: Element) -> Element:
    """Every shape in plain black."""
    for element in svg_elements(root):
        if not _is_referred_to(element):
            for key in PAINTED:
                if key in element.attrib:
                    del element.attrib[key]
            element.set("fill", "#000000")
    return root
