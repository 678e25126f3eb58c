"""Which ink each pixel of a crisp picture is painted with, and what the inks touch.

Comes in: a premultiplied raster drawn without antialiasing, and the colours that the drawing declares.
Goes out: a label map and, from it, one record an ink.
Never done here: drawing, reading markup.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.colour import delta_e_2000, hex_from_rgb
from vectorprep.colour.arrays import lab, linear_from_srgb8
from vectorprep.model import Ink

if TYPE_CHECKING:
    from collections.abc import Collection

    from numpy.typing import NDArray

    Mask = NDArray[np.bool_]
    Labels = NDArray[np.intp]

INK_ALPHA = 128
"""Coverage (of 255) from which a pixel is ink (house value)."""
WASH_ALPHA = 26
"""The same for pale washes, whose greater part never reaches `INK_ALPHA` (house value)."""
TINY_PX = 4
"""An ink of fewer pixels may join its neighbour in colour (house value)."""
TINY_SHARE = 0.0005
"""An ink with less of the ink area may join its neighbour in colour (house value)."""
JOIN_DELTA_E = 12.0
"""CIEDE2000 below which a tiny ink joins (house value)."""
MOST_INKS = 256
"""Colours told apart in one drawing, the most seen ones; a traced photograph may declare ten thousand (house value)."""
OWN_CLOTH_SHARE = 0.03
"""Share of its own perimeter from which an ink is in contact with the cloth (house value)."""
OUTLINE_SHARE = 0.01
"""Share of the whole outline from which an ink is in contact with the cloth (house value)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LabelMap:
    """`labels`: 0 is cloth, i + 1 is `colours[i]`; `exact`: the pixel has precisely that colour; `alpha` as drawn.

    With `has_picture` the last colour is the middle of all embedded bitmaps and stands for them.
    """

    labels: Labels
    colours: tuple[str, ...]
    exact: Mask
    alpha: NDArray[np.uint8]
    has_picture: bool = False


def label_pixels(pixels: NDArray[np.uint8], declared: Collection[str], picture: Mask | None = None) -> LabelMap:
    """Labels by exact colour, else by the nearest declared colour in CIELAB; pixels below the ink's alpha are cloth.

    Args:
        pixels: premultiplied, (height, width, 4), drawn without antialiasing.
        declared: `#rrggbb` of every colour that the drawing may paint with.
        picture: pixels of embedded bitmaps; together they become one last label, its colour their middle.
    """
    alpha = pixels[..., 3]
    ink = _ink(alpha)
    photo = ink & picture if picture is not None else np.zeros_like(ink)
    names = sorted(set(declared) | ({"#000000"} if not declared else set()))
    codes = np.array([int(name[1:], 16) for name in names])
    flat = ink & ~photo
    painted = _straight_codes(pixels[flat])
    if len(codes) > MOST_INKS:
        names = _most_seen(names, codes, painted)
        codes = np.array([int(name[1:], 16) for name in names])
    spot = np.minimum(np.searchsorted(codes, painted), len(codes) - 1)
    hit = codes[spot] == painted
    spot[~hit] = _nearest(painted[~hit], codes)
    labels = np.zeros(alpha.shape, np.intp)
    labels[flat] = spot + 1
    exact = np.zeros_like(ink)
    exact[flat] = hit
    has_picture = bool(photo.any())
    if has_picture:
        names.append(_middle(pixels[photo]))
        labels[photo] = len(names)
    return LabelMap(labels=labels, colours=tuple(names), exact=exact, alpha=alpha, has_picture=has_picture)


def _most_seen(names: list[str], codes: NDArray[np.intp], painted: NDArray[np.intp]) -> list[str]:
    """The names, in order, of the colours that most pixels have precisely; a pixel of another goes to the nearest of them."""
    spot = np.minimum(np.searchsorted(codes, painted), len(codes) - 1)
    seen = np.bincount(spot[codes[spot] == painted], minlength=len(codes))
    kept = np.sort(np.argsort(-seen, kind="stable")[:MOST_INKS])
    return [names[index] for index in kept.tolist()]


def _ink(alpha: NDArray[np.uint8]) -> Mask:
    solid = alpha >= INK_ALPHA
    wash = alpha >= WASH_ALPHA
    return wash if 2 * np.count_nonzero(solid) < np.count_nonzero(wash) else solid


def _straight_codes(pixels: NDArray[np.uint8]) -> NDArray[np.intp]:
    """Colours of premultiplied pixels (n, 4) as numbers 0xrrggbb."""
    channels = pixels[:, :3].astype(np.intp)
    alpha = pixels[:, 3].astype(np.intp)
    thin = np.flatnonzero(alpha < 255)
    if thin.size:
        below = alpha[thin, None]
        channels[thin] = np.minimum((channels[thin] * 255 + below // 2) // below, 255)
    codes: NDArray[np.intp] = (channels[:, 0] << 16) | (channels[:, 1] << 8) | channels[:, 2]
    return codes


def _nearest(painted: NDArray[np.intp], codes: NDArray[np.intp]) -> NDArray[np.intp]:
    """Index of the declared colour nearest in CIELAB; colours are told apart to 4 levels, which costs under one step of L*."""
    coarse = painted >> 2 & 0x3F3F3F
    key = (coarse >> 16) << 12 | (coarse >> 8 & 63) << 6 | coarse & 63
    present = np.zeros(1 << 18, bool)
    present[key] = True
    kinds = np.flatnonzero(present)
    mids = (((kinds >> 12) * 4 + 2) << 16) | (((kinds >> 6 & 63) * 4 + 2) << 8) | ((kinds & 63) * 4 + 2)
    one, other = _lab(mids), _lab(codes)
    apart = (one**2).sum(axis=1)[:, None] - 2 * one @ other.T + (other**2).sum(axis=1)[None]
    table = np.zeros(1 << 18, np.intp)
    table[kinds] = apart.argmin(axis=1)
    found: NDArray[np.intp] = table[key]
    return found


def _lab(codes: NDArray[np.intp]) -> NDArray[np.floating[Any]]:
    channels = np.stack([codes >> 16, codes >> 8 & 255, codes & 255], axis=-1).astype(np.uint8)
    return lab(linear_from_srgb8(channels, single=True))


def _middle(pixels: NDArray[np.uint8]) -> str:
    """The colour in the middle of many, channel by channel."""
    codes = _straight_codes(pixels)
    red, green, blue = (int(np.median(codes >> shift & 255)) for shift in (16, 8, 0))
    return hex_from_rgb(red, green, blue)


def joined_tiny(found: LabelMap) -> LabelMap:
    """The map with specks handed to the nearest ink that is kept, where one is near in colour."""
    counts = np.bincount(found.labels.ravel(), minlength=len(found.colours) + 1)[1:]
    least = max(TINY_PX, TINY_SHARE * counts.sum())
    flat = len(counts) - found.has_picture
    kept = [index for index in range(flat) if counts[index] >= least]
    target = np.arange(len(counts) + 1)
    for index in range(flat):
        if 0 < counts[index] < least and kept:
            home = min(kept, key=lambda other: delta_e_2000(found.colours[index], found.colours[other]))
            if delta_e_2000(found.colours[index], found.colours[home]) < JOIN_DELTA_E:
                target[index + 1] = home + 1
    return replace(found, labels=target[found.labels])


def border_lengths(labels: Labels, count: int) -> NDArray[np.intp]:
    """Length of the border between each two labels 0..count-1, in unlike 4-neighbour pixel sides; beyond the rim lies cloth."""
    padded = np.pad(labels, 1)
    pairs = np.zeros((count, count), np.intp)
    for one, other in ((padded[:, 1:], padded[:, :-1]), (padded[1:], padded[:-1])):
        unlike = one != other
        pairs += np.bincount(one[unlike] * count + other[unlike], minlength=count * count).reshape(count, count)
    return pairs + pairs.T


def ink_records(found: LabelMap, *, ramps: Collection[str] = ()) -> tuple[Ink, ...]:
    """One record for each ink that is seen, the largest first; `ramps` are the colours of gradient stops."""
    count = len(found.colours) + 1
    borders = border_lengths(found.labels, count)
    areas = np.bincount(found.labels.ravel(), minlength=count)
    exact = np.bincount(found.labels[found.exact], minlength=count)
    ink_area, outline = max(1, int(areas[1:].sum())), max(1, int(borders[0].sum()))
    long_px = _long_side(found.labels > 0)
    records = []
    for label in range(1, count):
        if not areas[label]:
            continue
        colour, own = found.colours[label - 1], max(1, int(borders[label].sum()))
        cloth = int(borders[label, 0])
        is_picture = found.has_picture and label == count - 1
        is_ramp = colour in ramps and 2 * int(exact[label]) < int(areas[label])
        records.append(
            Ink(
                colour=colour,
                area_share=int(areas[label]) / ink_area,
                edge_share=cloth / outline,
                own_edge_share=cloth / own,
                in_contact=cloth > OWN_CLOTH_SHARE * own and cloth > OUTLINE_SHARE * outline,
                touches=_touches(found.colours, borders[label], own),
                kind="picture" if is_picture else "ramp" if is_ramp else "flat",
                alpha=_alpha(found, label),
                mark_width_share=min(1.0, 2 * int(areas[label]) / own / long_px),
            )
        )
    return tuple(sorted(records, key=lambda ink: (-ink.area_share, ink.colour)))


def _long_side(ink: Mask) -> int:
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    return max(1, int(np.ptp(rows)) + 1, int(np.ptp(columns)) + 1) if rows.size else 1


def _touches(colours: tuple[str, ...], borders: NDArray[np.intp], own: int) -> tuple[tuple[str, float], ...]:
    shares = [(colour, int(length) / own) for colour, length in zip(colours, borders[1:], strict=True) if length]
    return tuple(sorted(shares, key=lambda pair: (-pair[1], pair[0])))


def _alpha(found: LabelMap, label: int) -> float:
    """Least coverage over an area of this ink: of spots that it surrounds, all but the faintest twentieth."""
    own = found.labels == label
    inner = own.copy()
    inner[1:] &= own[:-1]
    inner[:-1] &= own[1:]
    inner[:, 1:] &= own[:, :-1]
    inner[:, :-1] &= own[:, 1:]
    values = found.alpha[inner] if inner.any() else found.alpha[own]
    return float(np.percentile(values, 5, method="lower")) / 255
