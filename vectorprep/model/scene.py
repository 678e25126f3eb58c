"""Values of a product picture: what it is taken from, where the print lies on it, what is known of it.

Lengths are px of the finished picture as its drawing states them (the page of the SVG), y down from the top-left corner.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from vectorprep.geometry import Affine
from vectorprep.model.artwork import Artwork

Point = tuple[float, float]
Cubic = tuple[Point, Point, Point, Point]
Side = tuple[Cubic, ...]
AreaKind = Literal["flat", "quad", "cylinder"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """Where a product's print area lies on the picture: four sides of cubic pieces, as the viewer of the artwork names them.

    `top` and `bottom` run from the artwork's left to its right, `left` and `right` from its top to its bottom.
    """

    top: Side
    right: Side
    bottom: Side
    left: Side

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Top left, top right, bottom right, bottom left of the artwork."""
        return self.top[0][0], self.top[-1][3], self.bottom[-1][3], self.bottom[0][0]


@dataclass(frozen=True, slots=True, kw_only=True)
class SceneRecord:
    """What the seller states of a picture, in its metadata or in a TOML file of the same name.

    `products` are keys; `blanks` those that the picture may be made for (empty: any for a drawing, the nearest for a photograph).
    `angles_deg` are the directions that the left and right side of a cylinder's path look, 0 towards the viewer and positive to
    the viewer's right; `wrap_deg` is the angle that the whole print area takes (None: by the product's outer diameter),
    `turn_deg` where its middle looks.
    """

    products: tuple[str, ...]
    kind: Literal["drawing", "photograph"]
    view: str = "front"
    title: str = ""
    source: str = ""
    licence: str = ""
    area: AreaKind = "flat"
    angles_deg: tuple[float, float] = (-60.0, 60.0)
    wrap_deg: float | None = None
    turn_deg: float = 0.0
    garment_size: str = ""
    px_per_mm: float | None = None
    """Scale in the middle of the area, where it is known; the size of the area is held to it."""
    blanks: tuple[str, ...] = ()
    ink: str = ""
    """`#rrggbb` that every ink is printed in on this picture; empty = as printed."""
    folds: float = 1.0
    """How far the print follows folds; 0 = not at all."""
    shading: float = 1.0
    """How much of a photograph's light falls on the print; 0 = none."""
    crop_px: tuple[float, float, float, float] | None = None
    """Part of the page that is shown: left, top, right, bottom."""
    order: int = 0
    """Pictures of one product are listed by this number, then by name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Photograph:
    """A photograph's bytes as they stand in a file, and where its frame (0..1 in both directions) lies on the page."""

    name: str
    data: bytes
    sha256: str
    frame: Affine
    keeps_aspect: bool = True
    """Whether it lies inside its frame undistorted and centred (SVG's default), rather than stretched to it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A picture that artworks can be put on. `drawing` is clean and holds everything but the photograph.

    `areas` holds pairs of a product key and its area; the key is empty for the area of all products without one of their own.
    """

    key: str
    file: str
    record: SceneRecord
    drawing: Artwork
    areas: tuple[tuple[str, Area], ...]
    sha256: str
    """Of all that the picture depends on."""
    photograph: Photograph | None = None

    @property
    def size_px(self) -> tuple[float, float]:
        """The page."""
        return self.drawing.page.width_px, self.drawing.page.height_px

    def area_for(self, product: str) -> Area | None:
        """The area of a product: its own, else the common one."""
        areas = dict(self.areas)
        return areas.get(product) or areas.get("")
