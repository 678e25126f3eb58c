"""What each plate of a spot print holds: flat areas as regions, tones as coverage.

Comes in: a picture taken apart into its inks. Goes out: a `Plate` for each ink in the order of printing, the white base first.
Never done here: dots, bits, margins, files.

Spot inks are opaque and all screens have one angle, so that the dots of one ink lie inside those of another of greater tone. Where
inks mix, each is therefore laid under all that print after it: on top just its own share of the area stays in sight, and nothing
of the cloth shows between two inks that together cover it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.shapes.fill import filled
from vectorprep.shapes.plates import FULL, base_below, flat_region, order_of_printing, tonal, trapped

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

    from vectorprep.outputs._inked import Inked
    from vectorprep.outputs.picture import Picture

    Bytes = NDArray[np.uint8]
    Bits = NDArray[np.bool_]

BASE = "white base"
BASE_PART = 0.8
"""Dots of the base cover that part of the dots above them, so that none shows beside them (house value)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plate:
    """What prints in one ink: a region in mm from the corner of the grid, and tones on the grid."""

    ink: str
    region: BaseGeometry
    tones: Bytes | None = None


def plates_of(picture: Picture, parts: Inked) -> list[Plate]:
    """The plates in the order of printing."""
    policy = picture.product.ink_policy
    coverage = dict(zip(parts.inks, parts.coverage, strict=True))
    toned = {ink: tonal(amount) for ink, amount in coverage.items()}
    flats = {ink: flat_region(_outside(toned[ink], amount), parts.px_per_mm) for ink, amount in coverage.items()}
    spread = trapped(flats, policy.trap_mm)
    order = order_of_printing(parts.inks)
    tones = _laid_under(coverage, toned, order)
    plates = [Plate(ink=ink, region=spread[ink], tones=tones[ink]) for ink in order]
    if picture.base_blanks:
        plates.insert(0, _base(parts, np.any([*toned.values()], axis=0), policy.choke_mm))
    return plates


def _outside(mask: Bits, amount: Bytes) -> Bytes:
    return np.where(mask, 0, amount).astype(np.uint8)


def _laid_under(coverage: dict[str, Bytes], toned: dict[str, Bits], order: tuple[str, ...]) -> dict[str, Bytes | None]:
    """The tones of each ink with the shares of all inks that print after it; None where an ink has no tones."""
    found: dict[str, Bytes | None] = {}
    later = np.zeros_like(coverage[order[0]], np.uint16)
    for ink in reversed(order):
        later += coverage[ink]
        tones = np.where(toned[ink], np.minimum(later, 255), 0).astype(np.uint8)
        found[ink] = tones if toned[ink].any() else None
    return found


def _base(parts: Inked, in_dots: Bits, choke_mm: float) -> Plate:
    """Solid white under all that covers the cloth, drawn in by the choke; smaller dots under what lets it through."""
    soft = in_dots & (parts.alpha < FULL)
    body = flat_region(np.where(soft, 255, parts.alpha).astype(np.uint8), parts.px_per_mm)
    inner = base_below(body, choke_mm)
    if not soft.any():
        return Plate(ink=BASE, region=inner)
    height, width = parts.alpha.shape
    within = filled(inner, (width, height), parts.px_per_mm)
    tones = np.where(soft & within, parts.alpha * BASE_PART, 0).astype(np.uint8)
    solid = inner.difference(flat_region(np.where(soft, 255, 0).astype(np.uint8), parts.px_per_mm))
    return Plate(ink=BASE, region=solid, tones=tones)
