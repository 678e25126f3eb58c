"""The print laid on a stage.

Comes in: a `Stage`, a blank, the ink of an artwork as it is printed. Goes out: pixels of the finished picture.
Never done here: drawing artworks, files.

Ink is laid on in linear light, which is what the eye gets from a pixel that is partly ink; shade and what lies before the print are
laid over it in sRGB, as every program shows the drawing.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.colour import rgb_from_hex
from vectorprep.colour.arrays import linear_from_srgb8, srgb8_from_linear

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.model import Blank
    from vectorprep.model.result import PxBox
    from vectorprep.scenes.gather import Ink
    from vectorprep.scenes.light import Light
    from vectorprep.scenes.sampling import Sampler
    from vectorprep.scenes.stage import Stage

    Bytes = NDArray[np.uint8]
    Floats = NDArray[np.floating[Any]]

LEVELS = 1 << 14
"""Steps of linear light that are told apart: at black, where sRGB is steepest, one step is a fifth of an 8-bit code."""
ROWS_PX = 100_000
"""Pixels that are laid over at once: what belongs to them stays in the processor's cache."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """What is printed: its ink at the pixels of a sampler; whether it covers the cloth or colours it."""

    ink: tuple[Ink, ...]
    has_white_ink: bool


def bare(stage: Stage, blank: Blank) -> Bytes:
    """The picture without any print, height x width x 3."""
    made = stage.below(blank)
    height, width = made.shape[:2]
    _cover(made, stage, blank, (0, 0, width, height))
    return made


def with_print(stage: Stage, blank: Blank, sampler: Sampler, printed: Print, *, empty: Bytes | None = None) -> Bytes:
    """The finished picture, height x width x 3.

    Args:
        stage: the picture made ready.
        blank: the cloth.
        sampler: of the area that is printed on.
        printed: the ink at its pixels.
        empty: the result of `bare` for this blank, where it is at hand.
    """
    made = (bare(stage, blank) if empty is None else empty).copy()
    rows = _rows(printed.ink, sampler)
    if rows is None:
        return made
    x0, y0, x1, _ = sampler.box_px
    box = x0, y0 + rows[0], x1, y0 + rows[1]
    below = stage.below(blank, box)
    # Four bytes a pixel, so that a colour is laid down as one number.
    region = np.empty((*below.shape[:2], 4), np.uint8)
    region[..., :3] = below
    light = stage.light(sampler, blank) if stage.is_photograph and printed.has_white_ink else None
    single = _single(stage.scene.record.ink)
    for ink in printed.ink:
        lay = _Lay(ink, region, rows[0] * (x1 - x0), light, single)
        lay.covering() if printed.has_white_ink else lay.colouring()
    shown = region[..., :3]
    if stage.unprinted is not None:
        _uncover(shown, below, stage.unprinted.box(box))
    _cover(shown, stage, blank, box)
    made[box[1] : box[3], x0:x1] = shown
    return made


def _uncover(shown: Bytes, below: Bytes, unprinted: Bytes) -> None:
    """Takes the print away, in place, where nothing is printed; that is nowhere on most of it, or everywhere."""
    bare = unprinted == 255
    np.copyto(shown, below, where=bare[..., None])
    rows, columns = np.nonzero((unprinted > 0) & ~bare)
    share = unprinted[rows, columns][:, None].astype(np.uint16)
    mixed = below[rows, columns] * share + shown[rows, columns] * (255 - share)
    shown[rows, columns] = ((mixed + 127) // 255).astype(np.uint8)


def _rows(inks: tuple[Ink, ...], sampler: Sampler) -> tuple[int, int] | None:
    """The first row of the sampler's box that any ink reaches, and the one after the last."""
    places = [(int(part.min()), int(part.max())) for ink in inks for part in (ink.flat, ink.mixed) if len(part)]
    if not places:
        return None
    width = sampler.box_px[2] - sampler.box_px[0]
    return min(first for first, _ in places) // width, max(last for _, last in places) // width + 1


def _single(ink: str) -> Bytes | None:
    return np.array(rgb_from_hex(ink), np.uint8) if ink else None


@dataclass(frozen=True, slots=True)
class _Lay:
    """Ink to be laid on a region of 4 bytes a pixel that begins at `start` of the sampler's box."""

    ink: Ink
    region: Bytes
    start: int
    light: Light | None
    single: Bytes | None

    def covering(self) -> None:
        """Ink that hides the cloth, in the light that falls on it."""
        if self.light is None and self.single is None:
            self.region.view(np.uint32).reshape(-1)[self.ink.flat - self.start] = self.ink.packs
        elif len(self.ink.flat):
            lit = linear_from_srgb8(self._flat_rgb(), single=True)
            if self.light is not None:
                lit *= self._gain(self.ink.flat)
                lit += self.light.sheen.reshape(-1, 1)[self.ink.flat]
            self._pixels[self.ink.flat - self.start, :3] = encoded(lit)
        if len(self.ink.mixed):
            rgb, alpha = self._mixed()
            if self.light is not None:
                rgb = rgb * self._gain(self.ink.mixed) + self.light.sheen.reshape(-1, 1)[self.ink.mixed] * alpha
            self._put(rgb + self._below() * (1 - alpha))

    def colouring(self) -> None:
        """Ink that colours the cloth as a filter does, in the cloth's own light."""
        if len(self.ink.flat):
            at = self.ink.flat - self.start
            pair = self._flat_rgb().astype(np.uint16) * np.uint16(256) + self._pixels[at, :3]
            self._pixels[at, :3] = _products()[pair]
        if len(self.ink.mixed):
            rgb, alpha = self._mixed()
            self._put(self._below() * (1 - alpha + rgb))

    @property
    def _pixels(self) -> Bytes:
        return self.region.reshape(-1, 4)

    def _flat_rgb(self) -> Bytes:
        rgb = self.ink.packs.view(np.uint8).reshape(-1, 4)[:, :3]
        return rgb if self.single is None else np.broadcast_to(self.single, rgb.shape)

    def _mixed(self) -> tuple[Floats, Floats]:
        """Premultiplied colour and coverage of the mixed pixels."""
        rgb, alpha = self.ink.rgba[:, :3], self.ink.rgba[:, 3:]
        return (rgb if self.single is None else linear_from_srgb8(self.single, single=True) * alpha), alpha

    def _gain(self, places: NDArray[np.int32]) -> Floats:
        assert self.light is not None
        return self.light.gain.reshape(-1, 1)[places] * self.light.exposure

    def _below(self) -> Floats:
        return linear_from_srgb8(self._pixels[self.ink.mixed - self.start, :3], single=True)

    def _put(self, linear: Floats) -> None:
        self._pixels[self.ink.mixed - self.start, :3] = encoded(linear)


def encoded(linear: Floats) -> Bytes:
    """8-bit sRGB of linear light by a table."""
    codes = np.clip(linear * np.float32(LEVELS - 1) + np.float32(0.5), 0, LEVELS - 1).astype(np.uint16)
    found: Bytes = _codes()[codes]
    return found


@lru_cache(maxsize=1)
def _codes() -> Bytes:
    return srgb8_from_linear(np.arange(LEVELS) / (LEVELS - 1))


@lru_cache(maxsize=1)
def _products() -> Bytes:
    """8-bit sRGB of the product of two colours in linear light; the place of the pair (a, b) is 256 a + b."""
    linear = linear_from_srgb8(np.arange(256, dtype=np.uint8))
    return srgb8_from_linear(np.outer(linear, linear).ravel())


def _cover(made: Bytes, stage: Stage, blank: Blank, box: PxBox) -> None:
    """Lays shade and what lies before the print over a part of the picture, in place."""
    for colours, alpha in stage.over(blank, box):
        rows = max(1, ROWS_PX // max(1, made.shape[1]))
        for top in range(0, made.shape[0], rows):
            part = np.s_[top : top + rows]
            _over(made[part], colours[part], alpha[part])


def _over(made: Bytes, colours: Bytes, alpha: Bytes) -> None:
    """Premultiplied colours laid over opaque ones, in place, each rounded to the nearest."""
    clear = np.bitwise_not(alpha).astype(np.uint16)
    for channel in range(3):
        value = made[..., channel] * clear
        value += 127
        value += (value >> 8) + np.uint16(1)  # with the shift by 8: division by 255
        value >>= 8
        value += colours[..., channel if colours.shape[-1] > 1 else 0]
        # Rasterisers round colour and coverage apart: colour may exceed coverage by one, and white would wrap to black.
        np.minimum(value, 255, out=value)
        made[..., channel] = value
