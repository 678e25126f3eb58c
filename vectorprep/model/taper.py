"""The side of a tapered cup, and the ring sector that it is when it is laid flat.

Comes in: two diameters and a height. Goes out: radii, angle and box of the sector, and where a point of the cup lies on it.
Never done here: pixels, a product's margins.

A cone rolls out without stretching: circles around it become arcs about its tip, straight lines down its side stay straight.
Source: development of a cone frustum (descriptive geometry).
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Taper:
    """A cup whose wrap is wider above than below: diameters at the upper and lower edge of the wrap, and its upright height, mm."""

    top_diameter_mm: float
    bottom_diameter_mm: float
    height_mm: float

    @property
    def slant_mm(self) -> float:
        """Length down the side: the height of the wrap laid flat."""
        return math.hypot(self.height_mm, (self.top_diameter_mm - self.bottom_diameter_mm) / 2)

    @property
    def outer_radius_mm(self) -> float:
        """Radius of the sector's upper arc: slant x top radius / difference of the radii."""
        return self.slant_mm * self.top_diameter_mm / (self.top_diameter_mm - self.bottom_diameter_mm)

    @property
    def inner_radius_mm(self) -> float:
        """Radius of its lower arc."""
        return self.outer_radius_mm - self.slant_mm

    @property
    def angle_rad(self) -> float:
        """Angle of the sector of the whole side: its upper arc is as long as the top is round."""
        return math.pi * self.top_diameter_mm / self.outer_radius_mm

    @property
    def taper_deg(self) -> float:
        """How far the side leans from upright."""
        return math.degrees(math.asin((self.top_diameter_mm - self.bottom_diameter_mm) / 2 / self.slant_mm))

    def corners_mm(self, grown_mm: float = 0.0) -> tuple[tuple[float, float], tuple[float, float]]:
        """Upper and lower right corner of the sector: right of its middle and below the top of its upper arc.

        Args:
            grown_mm: how far all sides of the sector are moved outward, as for a bleed.
        """
        corners = []
        for radius in (self.outer_radius_mm + grown_mm, self.inner_radius_mm - grown_mm):
            turn = self.angle_rad / 2 + math.asin(grown_mm / radius)
            corners.append((radius * math.sin(turn), self.outer_radius_mm - radius * math.cos(turn)))
        return corners[0], corners[1]

    def box_mm(self, grown_mm: float = 0.0) -> tuple[float, float]:
        """Width and height of the sector, its middle upright and its wide arc above; grown on all sides."""
        (x, _), (_, y) = self.corners_mm(grown_mm)
        return 2 * x, y + grown_mm

    def on_sector(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """Where a point of the cup lies on the sector: right of its middle and below the top of its upper arc, mm.

        Args:
            x_mm: way around the cup along its circle from the middle, to the viewer's right.
            y_mm: way down its side from the upper edge of the wrap.

        Widths along every circle and heights down the middle are true, and so are areas: as in Bonne's map of a cone
        (published: Snyder, Map Projections: A Working Manual, USGS Professional Paper 1395).
        """
        radius = self.outer_radius_mm - y_mm
        turn = x_mm / radius
        return radius * math.sin(turn), self.outer_radius_mm - radius * math.cos(turn)

    def on_cup(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """The way around the cup and down its side of a point of the sector; the reverse of `on_sector`."""
        radius = math.hypot(x_mm, self.outer_radius_mm - y_mm)
        return radius * math.atan2(x_mm, self.outer_radius_mm - y_mm), self.outer_radius_mm - radius
