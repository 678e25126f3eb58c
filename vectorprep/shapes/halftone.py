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
TONES = 2040
"""Steps of tone told apart: eight to a level of coverage."""


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
    x = np.arange(width) + corner_px[0] + 0.5
    y = np.arange(height) + corner_px[1] + 0.5
    turn = 2 * np.pi * screen.ruling_lpi / ppi
    cosine, sine = turn * np.cos(np.deg2rad(screen.angle_deg)), turn * np.sin(np.deg2rad(screen.angle_deg))
    across, down = _cosine_of_sum(x * cosine, y * sine), _cosine_of_sum(-x * sine, y * cosine)
    bits = _hill(across, down, screen.shape) > _heights(screen.shape)[_steps(tone)]
    bits &= tone >= screen.tone_min
    return np.asarray(bits | (tone > screen.tone_max))


def _cosine_of_sum(x: NDArray[np.float64], y: NDArray[np.float64]) -> Tones:
    """cos(x + y) for every column and row, by the addition theorem: a cosine for each column and row, not for each pixel."""
    columns, rows = np.stack([np.cos(x), np.sin(x)]).astype(np.float32), np.stack([np.cos(y), np.sin(y)]).astype(np.float32)
    found = rows[0][:, None] * columns[0][None, :]
    found -= rows[1][:, None] * columns[1][None, :]
    return np.asarray(found)


def _hill(across: Tones, down: Tones, shape: str) -> Tones:
    """Height of the dot's hill at a place of the cell, from its two cosines; the highest places are inked first."""
    weight = np.float32(STRETCH if shape == "ellipse" else 1.0)
    return np.asarray((across + weight * down) / (1 + weight))


def _steps(tone: Tones) -> NDArray[np.uint16]:
    return np.asarray((tone * np.float32(TONES)).astype(np.uint16))


@cache
def _heights(shape: str) -> Tones:
    """Height above which the hill is inked, for each step of tone."""
    ranks = _ranks(shape)
    tones = np.arange(TONES + 1) / TONES
    found = np.interp(1 - tones, np.linspace(0, 1, len(ranks)), ranks)
    found[0] = 2.0  # no ink, no dot
    return found.astype(np.float32)


@cache
def _ranks(shape: str) -> NDArray[np.float64]:
    """Heights of the hill in rising order, at equal steps of area."""
    place = ((np.arange(LEVELS) + 0.5) / LEVELS).astype(np.float32)
    wave = np.cos(2 * np.pi * place)
    heights = np.sort(_hill(wave[None, :], wave[:, None], shape).reshape(-1).astype(np.float64))
    return np.asarray(np.quantile(heights, np.linspace(0, 1, LEVELS)))
