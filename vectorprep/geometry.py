"""Boxes and affine maps: plain values for points, rectangles and transforms.

Comes in and goes out: floats in whatever unit the caller's names say; y grows downward.
Never done here: anything with pixels or drawings.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, top-left (x0, y0) to bottom-right (x1, y1)."""

    x0: float
    y0: float
    x1: float
    y1: float

    def __iter__(self) -> Iterator[float]:
        """x0, y0, x1, y1, so that a box unpacks."""
        return iter(self.corners)

    def __len__(self) -> int:
        """Four."""
        return 4

    def __getitem__(self, index: int) -> float:
        """The corner of that index in (x0, y0, x1, y1)."""
        return self.corners[index]

    @property
    def width(self) -> float:
        """Extent along x."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Extent along y."""
        return self.y1 - self.y0

    @property
    def centre(self) -> tuple[float, float]:
        """Middle point (x, y)."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    @property
    def area(self) -> float:
        """Width times height; 0 for an empty box."""
        return max(self.width, 0.0) * max(self.height, 0.0)

    @property
    def corners(self) -> tuple[float, float, float, float]:
        """(x0, y0, x1, y1)."""
        return self.x0, self.y0, self.x1, self.y1

    def scaled(self, factor: float) -> Box:
        """The box with every coordinate multiplied."""
        return Box(self.x0 * factor, self.y0 * factor, self.x1 * factor, self.y1 * factor)

    def shifted(self, dx: float, dy: float) -> Box:
        """The box moved by (dx, dy)."""
        return Box(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)

    def grown(self, by: float) -> Box:
        """The box with every side moved outward; a negative number moves inward."""
        return Box(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def union(self, other: Box) -> Box:
        """The smallest box that holds both."""
        return Box(min(self.x0, other.x0), min(self.y0, other.y0), max(self.x1, other.x1), max(self.y1, other.y1))

    def intersection(self, other: Box) -> Box | None:
        """The common part, or None where the boxes share no area."""
        box = Box(max(self.x0, other.x0), max(self.y0, other.y0), min(self.x1, other.x1), min(self.y1, other.y1))
        return box if box.width > 0 and box.height > 0 else None

    def contains(self, other: Box, *, slack: float = 0.0) -> bool:
        """Whether `other` lies inside, within `slack` on each side."""
        return (
            other.x0 >= self.x0 - slack
            and other.y0 >= self.y0 - slack
            and other.x1 <= self.x1 + slack
            and other.y1 <= self.y1 + slack
        )


@dataclass(frozen=True, slots=True)
class Affine:
    """The map x' = a x + c y + e, y' = b x + d y + f (the order of SVG's `matrix`)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def point(self, x: float, y: float) -> tuple[float, float]:
        """The image of a point."""
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def after(self, inner: Affine) -> Affine:
        """The map that applies `inner` first and this one second."""
        return Affine(
            self.a * inner.a + self.c * inner.b,
            self.b * inner.a + self.d * inner.b,
            self.a * inner.c + self.c * inner.d,
            self.b * inner.c + self.d * inner.d,
            self.a * inner.e + self.c * inner.f + self.e,
            self.b * inner.e + self.d * inner.f + self.f,
        )

    @property
    def determinant(self) -> float:
        """Signed area factor; 0 where the map cannot be undone."""
        return self.a * self.d - self.b * self.c

    def inverse(self) -> Affine:
        """The map that undoes this one.

        Raises:
            ZeroDivisionError: the map flattens the plane.
        """
        det = self.determinant
        a, b, c, d = self.d / det, -self.b / det, -self.c / det, self.a / det
        return Affine(a, b, c, d, -(a * self.e + c * self.f), -(b * self.e + d * self.f))

    def box(self, box: Box) -> Box:
        """The upright box around the image of a box."""
        points = [self.point(x, y) for x in (box.x0, box.x1) for y in (box.y0, box.y1)]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return Box(min(xs), min(ys), max(xs), max(ys))
