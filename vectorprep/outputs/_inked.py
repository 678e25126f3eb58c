"""How much of each ink a picture holds, pixel by pixel: the drawing taken apart into its inks.

Comes in: a `Picture` with its inks. Goes out: `Inked`: one coverage for each ink, all on one grid.
Never done here: plates, screens, paths.

Painting is linear in the colours of the paint: a drawing whose inks are sent to red, green, blue and black shows in its channels
how much of three inks there is, smoothing, opacity and gradients included, and inks times coverage add up to the picture again.
Where that does not hold (photographs, filters that mix channels) each pixel belongs to the ink nearest to its colour.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import delta_e_2000, rgb_from_hex
from vectorprep.engine import draw_reduced
from vectorprep.engine.coverage import alpha_of
from vectorprep.errors import ArtworkFailed
from vectorprep.markup.paint import rewrite_colours
from vectorprep.markup.tree import parse_clean, serialise

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Artwork, Raster
    from vectorprep.outputs.picture import Picture

    Bytes = NDArray[np.uint8]

SAME_INK_DELTA_E = 3.0
"""CIEDE2000 below which two colours are mixed as one ink (house value)."""
SEEN_SHARE = 0.001
"""Of the ink: smaller colours are rims of others (house value)."""
MOST_INKS = 12
"""Further colours, the smallest, are printed as mixtures of these (house value)."""
LONG_SIDE_PX = 3600
"""Long side at which plates and paths are drawn, unless the print is larger: 0.08 mm a pixel on a shirt, edges to a tenth."""
FILTERED_LONG_SIDE_PX = 1800
"""Long side where the drawing has filters, which are drawn once for every three inks: 0.15 mm a pixel on a shirt."""
FINEST_SCALE = 4.0
MIX_STEPS = 21
"""Tones tried when a colour is mixed from two inks."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Inked:
    """Coverage 0..255 of every ink, largest ink first, on a grid whose corner lies at `corner_mm` of the print file."""

    inks: tuple[str, ...]
    coverage: tuple[Bytes, ...]
    alpha: Bytes
    px_per_mm: float
    corner_mm: tuple[float, float]
    is_exact: bool
    """Whether inks times coverage add up to the picture; not for photographs and filters that mix channels."""
    mixed: int
    """Colours of the drawing that are mixtures of others."""


def spot_inks(picture: Picture) -> tuple[str, ...]:
    """The picture's inks that need a plate each, the largest first; a keyline's is one of them.

    Where the seller has named inks these are those of them that some colour of the picture is, or is mixed from.
    """
    if picture.spot_inks:
        return _named_inks(picture)
    kept: list[str] = []
    own = sorted((ink for ink in picture.inks if ink.kind != "picture"), key=lambda ink: -ink.area_share)
    large = [ink.colour for ink in own if ink.area_share >= SEEN_SHARE] or [ink.colour for ink in own]
    if picture.outlined is not None:
        large.insert(0, picture.treatment.keyline_colour)
    for colour in large:
        if all(delta_e_2000(colour, other) >= SAME_INK_DELTA_E for other in kept):
            kept.append(colour)
    return tuple(kept[:MOST_INKS]) or ("#000000",)


def _named_inks(picture: Picture) -> tuple[str, ...]:
    named = tuple(colour for _, colour in picture.spot_inks)
    if any(ink.kind == "picture" for ink in picture.inks):
        return named
    colours = [ink.colour for ink in picture.inks]
    if picture.outlined is not None:
        colours.append(picture.treatment.keyline_colour)
    shares = [mixture(colour, named) for colour in colours]
    return tuple(ink for at, ink in enumerate(named) if any(share[at] > 0 for share in shares)) or named[:1]


@lru_cache(maxsize=1)  # every plate and path of one picture asks for it
def inked(picture: Picture) -> Inked:
    """The picture taken apart into its inks.

    Raises:
        ArtworkFailed: there is no engine to draw with, or it gives no picture.
    """
    if picture.engine is None:
        raise ArtworkFailed(f"{picture.stem}: no engine to draw its inks with", code="engine-failed")
    inks = spot_inks(picture)
    weights: dict[str, tuple[float, ...]] = {}
    found: list[Bytes] = []
    raster: Raster | None = None
    is_exact = True
    for first in range(0, len(inks), 3):
        markup, exact = _channelled(picture.whole[0], inks, first, weights)
        is_exact = is_exact and exact
        raster, scale = _drawn(picture, replace(picture.whole[0], markup=markup))
        found += [np.ascontiguousarray(raster.pixels[..., channel]) for channel in range(min(3, len(inks) - first))]
    if raster is None:
        raise ArtworkFailed(f"{picture.stem}: it has no ink", code="engine-failed")
    if not is_exact:
        raster, scale = _drawn(picture, picture.whole[0])
        found = _nearest(raster, inks)
    px_per_mm = picture.placement.ppi / 25.4 * scale
    return Inked(
        inks=inks,
        coverage=tuple(found),
        alpha=np.ascontiguousarray(alpha_of(raster)),
        px_per_mm=px_per_mm,
        corner_mm=(raster.origin_px[0] / px_per_mm, raster.origin_px[1] / px_per_mm),
        is_exact=is_exact,
        mixed=sum(1 for colour, parts in weights.items() if colour not in inks and max(parts) < 1),
    )


def _channelled(artwork: Artwork, inks: tuple[str, ...], first: int, weights: dict[str, tuple[float, ...]]) -> tuple[bytes, bool]:
    """Markup whose red, green and blue say how much of three inks is there, and whether that is exact."""

    def mapping(colour: str) -> str:
        if colour not in weights:
            weights[colour] = mixture(colour, inks)
        channels = (*weights[colour][first : first + 3], 0.0, 0.0)[:3]
        return "#" + "".join(f"{round(255 * share):02x}" for share in channels)

    root = parse_clean(artwork.markup)
    issues = rewrite_colours(root, mapping)
    return serialise(root), not [issue for issue in issues if issue.slug in {"colour-not-exact", "picture-kept"}]


@lru_cache(maxsize=4096)
def mixture(colour: str, inks: tuple[str, ...]) -> tuple[float, ...]:
    """Shares of the inks, together 1, that come nearest to a colour: one ink, else two."""
    distances = [delta_e_2000(colour, ink) for ink in inks]
    nearest = min(range(len(inks)), key=distances.__getitem__)
    parts = [0.0] * len(inks)
    if distances[nearest] < SAME_INK_DELTA_E or len(inks) == 1:
        parts[nearest] = 1.0
        return tuple(parts)
    paints = np.array([rgb_from_hex(ink) for ink in inks], float)
    target = np.array(rgb_from_hex(colour), float)
    tones = np.linspace(0, 1, MIX_STEPS)[:, None]
    best = (float("inf"), nearest, nearest, 1.0)
    for one in range(len(inks)):
        for other in range(one):
            away = np.abs(tones * paints[one] + (1 - tones) * paints[other] - target).sum(axis=1)
            at = int(np.argmin(away))
            if away[at] < best[0]:
                best = (float(away[at]), one, other, float(tones[at, 0]))
    _, one, other, tone = best
    parts[one] += tone
    parts[other] += 1 - tone
    return tuple(parts)


def _drawn(picture: Picture, artwork: Artwork) -> tuple[Raster, float]:
    assert picture.engine is not None
    placement = picture.whole[1]
    boxes = [one.ink_box_px for one in placement.placed]
    longest = max(max(box[2] - box[0], box[3] - box[1]) for box in boxes)
    if artwork.has_filters:  # a blur costs by the square of its size, and is soft at any
        scale = min(1.0, FILTERED_LONG_SIDE_PX / longest)
    else:
        scale = max(1.0, min(FINEST_SCALE, LONG_SIDE_PX / longest))
    canvas = round(placement.canvas_px[0] * scale), round(placement.canvas_px[1] * scale)
    return draw_reduced(picture.engine, artwork, placement, scale, canvas), scale


def _nearest(raster: Raster, inks: tuple[str, ...]) -> list[Bytes]:
    """Each pixel's alpha on the ink nearest to its colour."""
    alpha = alpha_of(raster).astype(np.int32)
    best = np.full(alpha.shape, np.iinfo(np.int32).max, np.int32)
    chosen = np.zeros(alpha.shape, np.uint8)
    for at, ink in enumerate(inks):
        away = np.zeros(alpha.shape, np.int32)
        for channel, level in enumerate(rgb_from_hex(ink)):
            # Premultiplied: a pixel of half coverage is held against half of the ink.
            away += np.abs(raster.pixels[..., channel].astype(np.int32) - alpha * level // 255)
        nearer = away < best
        best[nearer] = away[nearer]
        chosen[nearer] = at
    covered = alpha.astype(np.uint8)
    return [np.where(chosen == at, covered, 0).astype(np.uint8) for at in range(len(inks))]
