"""How the light of a photograph falls on the print, and where folds lead it.

Comes in: the photograph's pixels in and around the area, the colour of the cloth if it is known. Goes out: `Light`; shifts in px.
Never done here: the print itself.

What cloth does to light is taken from the cloth beside: its luminance over that of the middle of the area. On pale cloth that is
shade; on dark cloth most of it is sheen, light that the surface throws back whatever its colour. So a floor is laid under the
ratio, which leaves pale cloth as it is and calms dark cloth, and what is far brighter than the rest is added, not multiplied.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.colour import rgb_from_hex
from vectorprep.colour.arrays import linear_from_srgb8, luminance
from vectorprep.scenes.blur import blurred

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.floating[Any]]
    Bytes = NDArray[np.uint8]

FLOOR = 0.02
"""Luminance added to cloth and reference (house value): black cloth has about 0.01."""
DARKEST, BRIGHTEST = math.log(0.22), math.log(1.22)
"""Bounds that shade and light approach (house values)."""
WEAVE_PX, WEAVE_SHARE = 2.5, 0.6
"""Detail finer than this spread is weave, of which ink lets so much through (house values)."""
SHEEN_FROM, SHEEN_SHARE = 1.3, 0.35
"""Cloth brighter than this many times its reference shines, and so much of it is added to the print (house values)."""
PALE_FROM, PALE_TO = 0.04, 0.30
"""Luminances of a blank between which its colour begins to tell how the photograph is exposed (house values)."""
ALIKE, UNLIKE = 0.7, 1.3
"""Spans of a cast, as logarithms, between which the cloth ceases to be the blank in coloured light: it is another cloth.

House values: white cloth by the light of a bulb has about 0.7, a green leaf taken for a mint shirt 1.3.
"""
WHITE_SHARE, WHITEST_SPAN = 0.01, 0.8
"""Share of a photograph's pixels that are taken for its white, unless they are as colourful as that span (house values)."""
WHITE_CAST = 0.6
"""How much of the white's own colour is taken for the light's (power; house value)."""
FOLD_SPREAD, FOLD_MAX, FOLD_REACH = 0.006, 0.0035, 1.1
"""Spread of what counts as a fold, greatest shift, and shift for a unit of slope over the spread; shares of the long side."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Light:
    """What falls on ink in linear light: it is multiplied by `gain` (rows x columns) and `exposure` (3), `sheen` is added."""

    gain: NDArray[np.float32]
    exposure: NDArray[np.float32]
    sheen: NDArray[np.float32]

    @property
    def nbytes(self) -> int:
        """Bytes that it takes."""
        return int(self.gain.nbytes + self.sheen.nbytes)


def light_of(pixels: Bytes, weight: NDArray[np.bool_], *, blank_colour: str, share: float, white: Floats) -> Light:
    """The light on an area.

    Args:
        pixels: rows x columns x 3, sRGB, of the upright box around the area.
        weight: which of them show the printable cloth.
        blank_colour: `#rrggbb` of the cloth.
        share: how much of the light is used, 0..2.
        white: linear colour of the whitest parts of the whole photograph, see `photographed_white`.
    """
    linear = linear_from_srgb8(pixels, single=True)
    seen = luminance(linear)
    cloth, reference = _middle(linear, weight)
    ratio = np.log((seen + FLOOR) / (reference + FLOOR))
    broad = blurred(ratio, across=WEAVE_PX, down=WEAVE_PX)
    ratio = (broad + WEAVE_SHARE * (ratio - broad)) * share
    bounded = np.where(ratio < 0, DARKEST * np.tanh(ratio / DARKEST), BRIGHTEST * np.tanh(ratio / BRIGHTEST))
    sheen = np.maximum(seen - SHEEN_FROM * reference - FLOOR, 0.0) * (SHEEN_SHARE * min(share, 1.0))
    exposure = _exposure(cloth, reference, blank_colour, white)
    gain = np.exp(bounded).astype(np.float32)
    return Light(gain=gain, exposure=exposure.astype(np.float32), sheen=sheen.astype(np.float32))


def cloth_colour(pixels: Bytes, weight: NDArray[np.bool_]) -> tuple[float, float, float]:
    """Linear colour of the cloth in the middle of its light and shade."""
    linear = linear_from_srgb8(pixels, single=True)
    return _middle(linear, weight)[0]


def _middle(linear: Floats, weight: NDArray[np.bool_]) -> tuple[tuple[float, float, float], float]:
    """The cloth's colour in the middle of its light and shade, and its luminance.

    The median of each channel: a hard shadow over a third of it, or a rim of something else that was left in, does not tell.
    """
    values = linear[weight] if weight.any() else linear.reshape(-1, 3)
    red, green, blue = (float(value) for value in np.median(values, axis=0))
    return (red, green, blue), 0.2126 * red + 0.7152 * green + 0.0722 * blue


def photographed_white(pixels: Bytes) -> Floats:
    """Linear colour of a photograph's whitest parts (3): as bright as they are, grey where they are too colourful to be white."""
    linear = linear_from_srgb8(pixels.reshape(-1, 3), single=True)
    seen = luminance(linear)
    level = float(np.percentile(seen, 100 * (1 - WHITE_SHARE)))
    mean = linear[seen >= level].mean(axis=0, dtype=np.float64)
    cast = mean / max(float(luminance(mean)), 1e-4)
    grey: Floats = np.full(3, level)
    return grey if _span(cast) > WHITEST_SPAN else level * cast


def _exposure(cloth: tuple[float, float, float], reference: float, blank_colour: str, white: Floats) -> Floats:
    """How bright, and of what cast, a white surface would be photographed: by the cloth where it is pale, else by the whole."""
    blank = linear_from_srgb8(np.array(rgb_from_hex(blank_colour), np.uint8))
    own, whitest = float(luminance(blank)), float(luminance(white))
    cast = (np.array(cloth) / max(reference, 1e-4)) / np.maximum(blank / max(own, 1e-4), 1e-4)
    trust = _share(own, PALE_FROM, PALE_TO) * (1 - _share(_span(cast), ALIKE, UNLIKE))
    by_whole = min(max(whitest, 0.55), 1.0)
    by_cloth = min(max(reference / max(own, 1e-4), 0.15), 1.1)
    level = math.exp(trust * math.log(by_cloth) + (1 - trust) * math.log(by_whole))
    of_white = (white / max(whitest, 1e-4)) ** WHITE_CAST
    result: Floats = level * np.clip(cast, 0.8, 1.25) ** trust * np.clip(of_white, 0.8, 1.25) ** (1 - trust)
    return result


def _span(cast: Floats) -> float:
    """How far apart the channels of a cast are, as a logarithm."""
    held = np.maximum(cast, 1e-3)
    return float(np.log(held.max() / held.min()))


def _share(value: float, low: float, high: float) -> float:
    """Where a value lies between two others, 0..1."""
    return min(max((value - low) / (high - low), 0.0), 1.0)


def fold_shift(depth: Floats, *, strength: float, long_side_px: float) -> tuple[Floats, Floats] | None:
    """Px by which each pixel takes its ink from elsewhere, after the slope of light and shade; bounded, None for nothing.

    Args:
        depth: logarithm of light at each pixel: 0 = as in the middle, negative in shade.
        strength: 1 = usual.
        long_side_px: of the picture, in px of `depth`.
    """
    if strength <= 0:
        return None
    spread = FOLD_SPREAD * long_side_px
    soft = blurred(np.clip(depth, -1.5, 1.0).astype(np.float32), across=spread, down=spread)
    down, across = np.gradient(soft)
    reach, most = FOLD_REACH * strength * spread * spread, FOLD_MAX * strength * long_side_px
    size = np.hypot(across, down) * reach
    factor = np.where(size > 1e-6, most * np.tanh(size / most) / np.maximum(size, 1e-6), 0.0) * reach
    return (across * factor).astype(np.float32), (down * factor).astype(np.float32)
