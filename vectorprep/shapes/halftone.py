"""Tones turned into dots of one ink: a screen of given ruling and angle.

Comes in: coverage 0..1 and where its pixels lie. Goes out: bits.
Never done here: choosing ruling or angle; flat ink, which needs no dots.

The spot function is the sum of two cosines (spot functions of the PostScript language, Adobe), one weaker for an elliptical dot.
Its levels are put in order once, so that a tone of 30 % sets 30 % of the pixels of a fine cell.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Tones = NDArray[np.float32]
    Bits = NDArray[np.bool_]

STRETCH = 0.8
"""Short axis of the ellipse over the long one (common practice, no source)."""
LEVELS = 512


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """A halftone: lines to the inch, degrees from the horizontal, shape of the dot, and the tones that a stencil can hold."""

    ruling_lpi: float
    angle_deg: float
    shape: str = "ellipse"
    tone_min: float = 0.0
    tone_max: float = 1.0


def dots(tone: Tones, screen: Screen, ppi: float, corner_px: tuple[int, int]) -> Bits:
    """The dots of a band of tones.

    Tones below the least the stencil holds are left open, those above the greatest are solid.

    Args:
        tone: coverage 0..1, (height, width).
        screen: ruling and angle.
        ppi: of the pixels.
        corner_px: column and row of the band's first pixel on the whole picture, so that bands join.
    """
    height, width = tone.shape
    x = (np.arange(width, dtype=np.float32) + corner_px[0] + 0.5)[None, :]
    y = (np.arange(height, dtype=np.float32) + corner_px[1] + 0.5)[:, None]
    angle = np.deg2rad(screen.angle_deg)
    per_px = screen.ruling_lpi / ppi
    across = (x * np.float32(np.cos(angle)) + y * np.float32(np.sin(angle))) * np.float32(per_px)
    down = (y * np.float32(np.cos(angle)) - x * np.float32(np.sin(angle))) * np.float32(per_px)
    level = _spot(across, down, screen.shape)
    ranks = _ranks(screen.shape)
    threshold = np.interp(level, ranks, np.linspace(0, 1, len(ranks)))
    bits = tone > 1 - threshold
    bits &= tone >= screen.tone_min
    return np.asarray(bits | (tone > screen.tone_max))


def _spot(across: Tones, down: Tones, shape: str) -> Tones:
    """Height of the dot's hill at a place of the cell; the highest places are inked first."""
    u, v = 2 * np.pi * across, 2 * np.pi * down
    if shape == "ellipse":
        return np.asarray((np.cos(u) + STRETCH * np.cos(v)) / (1 + STRETCH), np.float32)
    return np.asarray((np.cos(u) + np.cos(v)) / 2, np.float32)


@cache
def _ranks(shape: str) -> NDArray[np.float64]:
    """Heights of the hill in rising order, at equal steps of area."""
    place = ((np.arange(LEVELS) + 0.5) / LEVELS).astype(np.float32)
    heights = np.sort(_spot(place[None, :], place[:, None], shape).reshape(-1).astype(np.float64))
    return np.asarray(np.quantile(heights, np.linspace(0, 1, LEVELS)))
