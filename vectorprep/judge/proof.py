"""The picture to be judged: prepared once per artwork, then printed on one cloth after another.

Comes in: a premultiplied raster of the artwork, cropped to its ink, long side 512 px, and the colour of a cloth.
Goes out: a `Proof` (where the ink lies, where it ends), and the light that the eye gets from print and cloth together.
Never done here: deciding what is seen.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image

from vectorprep.colour import linear_from_hex, rgb_from_hex
from vectorprep.colour.arrays import linear_from_srgb8, oklab
from vectorprep.judge.discs import grow, inner_edge
from vectorprep.judge.limits import (
    CROP_ALPHA,
    GRID_PX,
    INK_ALPHA,
    PAD_PX,
    PENUMBRA,
    SHADOW_CHROMA,
    SHADOW_L,
    SHADOW_SHARE,
    WASH_ALPHA,
)
from vectorprep.judge.strength import flared

if TYPE_CHECKING:
    from vectorprep.geometry import Box
    from vectorprep.judge.kinds import Bytes, Light, Mask, Spots
    from vectorprep.model import Measurement, Raster


GROUND_CODES = 2
"""By how many codes of 255 a pixel may differ from a plain ground that it is part of (house value: rounding)."""
_LIGHT_OF_CODE = linear_from_srgb8(np.arange(256, dtype=np.uint8), single=True)
_WEIGHTS = tuple(np.float32(down * across / 16) for down in (1, 2, 1) for across in (1, 2, 1))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Proof:
    """A picture made ready for judging on any cloth.

    `pixels` is premultiplied at twice the grid, bare cloth around it; `ink` and `edge` are masks on the grid; `rim` counts the
    edge on the grid's blocks of 2 x 2; `box_px` is the ink box on the grid (x0, y0, x1, y1); `long_px` its long side.
    The rest splits the ink by what a cloth can change (`Depths`).
    """

    pixels: Bytes
    ink: Mask
    edge: Mask
    rim: Light
    box_px: tuple[int, int, int, int]
    long_px: int
    depths: Depths
    blocks: Blocks


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Depths:
    """Where cloth shines into the blurred picture and where not; spots are flat indices on the grid.

    `deep` ink is out of its reach and keeps its flared OKLab, `deep_seen` (3, n). `shallow` ink mixes nine neighbours: `around`
    (9, n) holds their places among the near spots. A near spot holds `opaque` light, a `bare` share of cloth, and the see-through
    pixels `soft`; `soft_in` is the place of each.
    """

    deep: Spots
    deep_seen: Light
    shallow: Spots
    around: Spots
    opaque: Light
    bare: Light
    soft: Bytes
    soft_in: Spots


def proof_window(measured: Measurement) -> Box | None:
    """The part of the page, mm, that a proof is drawn of; None where there is no ink."""
    return measured.ink_box_mm


def prepare(raster: Raster | Proof) -> Proof | None:
    """The picture ready for judging on any number of cloths; None where nothing reaches `CROP_ALPHA`."""
    if isinstance(raster, Proof):
        return raster
    pixels = _cropped(_premultiplied(raster))
    if pixels is None:
        return None
    height, width = pixels.shape[:2]
    # Whole blocks of 4 pixels, so that the grid and its halving have no remainder.
    padded = np.zeros((-(-height // 4) * 4 + 4 * PAD_PX, -(-width // 4) * 4 + 4 * PAD_PX, 4), np.uint8)
    padded[2 * PAD_PX : 2 * PAD_PX + height, 2 * PAD_PX : 2 * PAD_PX + width] = pixels
    box_px = (PAD_PX, PAD_PX, PAD_PX + (width + 1) // 2, PAD_PX + (height + 1) // 2)
    return _assembled(padded, _ink(padded[..., 3]), box_px)


def without_white(proof: Proof, cloth: str) -> Proof:
    """The picture as a process without white ink prints it: colours multiply with the cloth, white paint is bare cloth."""
    if rgb_from_hex(cloth) == (255, 255, 255):
        return proof
    pixels = proof.pixels.copy()
    factor = np.array(rgb_from_hex(cloth), np.float32) / 255
    pixels[..., :3] = (pixels[..., :3] * factor + 0.5).astype(np.uint8)
    return _assembled(pixels, proof.ink, proof.box_px)


def off_ground(proof: Proof, ground: str) -> Proof | None:
    """The picture without its own plain ground, `#rrggbb`, as if that were the cloth; None where nothing else is in it.

    Pixels at the ground's edge that hold some of it are split by how far they lie from it, as un-blending from a known colour does.
    """
    colour = np.array(rgb_from_hex(ground), np.int16)
    away = np.abs(proof.pixels[..., :3].astype(np.int16) - colour).max(axis=-1)
    bare = (away <= GROUND_CODES) & (proof.pixels[..., 3] == 255)
    farthest, beside = away.copy(), bare.copy()
    for axis in (0, 1):  # nothing lies at the padded rim, so that what comes round is empty
        farthest = np.maximum(farthest, np.maximum(np.roll(farthest, 1, axis), np.roll(farthest, -1, axis)))
        beside = beside | np.roll(beside, 1, axis) | np.roll(beside, -1, axis)
    beside &= ~bare & (proof.pixels[..., 3] == 255)
    share = np.where(beside, away / np.maximum(farthest, 1), 1.0)[..., None]
    pixels = proof.pixels.copy()
    pixels[..., :3] = np.clip(pixels[..., :3] - (1 - share) * colour + 0.5, 0, 255 * share)
    pixels[..., 3] = np.where(beside, np.round(255 * share[..., 0]), pixels[..., 3])
    pixels[bare] = 0
    ink = _ink(pixels[..., 3])
    return _assembled(pixels, ink, proof.box_px) if ink.any() else None


def reduced_to(proof: Proof, ink: Mask) -> Proof:
    """The picture with only some of its ink counted as ink; the rest is looked at as ground."""
    return _assembled(proof.pixels, ink, proof.box_px, proof.blocks)


def _assembled(pixels: Bytes, ink: Mask, box_px: tuple[int, int, int, int], blocks: Blocks | None = None) -> Proof:
    blocks = blocks or _blocks(pixels)
    edge = inner_edge(ink)
    shadow = _shadow_rim(pixels, edge)
    if np.count_nonzero(shadow) < SHADOW_SHARE * np.count_nonzero(edge):
        edge = edge & ~shadow
    return Proof(
        pixels=pixels,
        ink=ink,
        edge=edge,
        rim=quartered(edge.view(np.uint8)).astype(np.float32),
        box_px=box_px,
        long_px=max(box_px[2] - box_px[0], box_px[3] - box_px[1]),
        depths=_depths(pixels, ink, blocks),
        blocks=blocks,
    )


def _shadow_rim(pixels: Bytes, edge: Mask) -> Mask:
    """The edge of dark ink that fades out, as shadows do: no bare cloth near it, and black, dark grey or very dark of any hue."""
    painted = pixels[..., 3] >= CROP_ALPHA
    halved = painted[::2] | painted[1::2]
    soft = edge & ~grow(~(halved[:, ::2] | halved[:, 1::2]), PENUMBRA * GRID_PX)
    if not soft.any():
        return soft
    rows, columns = np.nonzero(soft)
    found = pixels[2 * rows, 2 * columns].astype(np.float32)
    straight = np.minimum(found[:, :3] * 255 / np.maximum(found[:, 3:], 1), 255).astype(np.uint8)
    light, a, b = oklab(linear_from_srgb8(straight, single=True)).T
    dark = (light < SHADOW_L[0]) | (light < SHADOW_L[1]) & (np.hypot(a, b) < SHADOW_CHROMA)
    soft[rows[~dark], columns[~dark]] = False
    return soft


def _depths(pixels: Bytes, ink: Mask, blocks: Blocks) -> Depths:
    deep = ink & shrunk_square(blocks.full == 4)
    shallow_ink = ink & ~deep
    shallow = np.flatnonzero(shallow_ink)
    near_ink = ~shrunk_square(~shallow_ink)
    near = np.flatnonzero(near_ink)
    place = np.zeros(ink.size, np.intp)
    place[near] = np.arange(near.size)
    width = ink.shape[1]
    steps = np.array([width * down + across for down in (-1, 0, 1) for across in (-1, 0, 1)])
    # Blocks near the rim that are neither all opaque nor all bare hold see-through pixels.
    mixed = np.flatnonzero((near_ink & (blocks.full + blocks.bare < 4)).ravel())
    quarters = np.stack(quarters_of(pixels, *np.divmod(mixed, width)))
    held = (quarters[..., 3] > 0) & (quarters[..., 3] < 255)
    return Depths(
        deep=np.flatnonzero(deep),
        deep_seen=_deep_seen(blocks, deep),
        shallow=shallow,
        around=place[shallow + steps[:, None]],
        opaque=blocks.opaque.take(near, axis=0),
        bare=blocks.bare.ravel()[near, None] / np.float32(4),
        soft=quarters[held],
        soft_in=np.broadcast_to(place[mixed], held.shape)[held],
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Blocks:
    """Of each block of 2 x 2: how many of its pixels are bare, how many opaque; `plain` where it and all around have one colour.

    `opaque` holds the mean light of the opaque pixels, the others dark, block after block (n, 3).
    """

    opaque: Light
    bare: Bytes
    full: Bytes
    plain: Mask


def _blocks(pixels: Bytes) -> Blocks:
    """Blocks of one colour, nearly all of a drawing, are looked up once."""
    codes = pixels.view(np.uint32)[..., 0]
    first = codes[::2, ::2].copy()
    mixed = first != codes[::2, 1::2]
    mixed |= first != codes[1::2, ::2]
    mixed |= first != codes[1::2, 1::2]
    starts, lengths = _runs(first.ravel())
    opaque = np.repeat(_light_of_opaque(first.reshape(-1, 1)[starts].view(np.uint8)), lengths, axis=0)
    alpha = first.view(np.uint8)[:, 3::4]
    bare, full = (alpha == 0) * np.uint8(4), (alpha == 255) * np.uint8(4)
    at = np.flatnonzero(mixed)
    quarters = quarters_of(pixels, *np.divmod(at, first.shape[1]))
    light = [_light_of_opaque(part) for part in quarters]
    opaque[at] = ((light[0] + light[2]) + (light[1] + light[3])) / 4
    bare.reshape(-1)[at] = sum((part[:, 3] == 0).view(np.uint8) for part in quarters)
    full.reshape(-1)[at] = sum((part[:, 3] == 255).view(np.uint8) for part in quarters)
    return Blocks(opaque=opaque, bare=bare, full=full, plain=_plain(first, ~mixed))


def _runs(values: Any) -> tuple[Spots, Spots]:
    """Where runs of equal rows begin, and how long they are."""
    differs = values[1:] != values[:-1]
    starts = np.concatenate(([0], np.flatnonzero(differs if differs.ndim == 1 else differs.any(axis=1)) + 1))
    return starts, np.diff(starts, append=len(values))


def quarters_of(pixels: Bytes, rows: Spots, columns: Spots) -> list[Bytes]:
    """The four pixels (n, 4) of some blocks, in reading order."""
    codes, width = pixels.view(np.uint32).reshape(-1), pixels.shape[1]
    first = 2 * rows * width + 2 * columns
    return [codes.take(first + step).view(np.uint8).reshape(-1, 4) for step in (0, 1, width, width + 1)]


def _light_of_opaque(pixels: Bytes) -> Light:
    # Code 0 has no light, so that what is not opaque drops out; `wrap` spares the check of each index.
    light: Light = _LIGHT_OF_CODE.take(pixels[..., :3] * (pixels[..., 3:] == 255), mode="wrap")
    return light


def _plain(codes: Any, of_one: Mask) -> Mask:
    """Blocks of one colour whose eight neighbours have the same; none at the rim of the picture."""
    across = (codes[:, 1:] == codes[:, :-1]) & of_one[:, 1:] & of_one[:, :-1]
    rows = np.zeros(codes.shape, bool)
    rows[:, 1:-1] = across[:, 1:] & across[:, :-1]
    down = (codes[1:] == codes[:-1]) & rows[1:] & rows[:-1]
    plain = np.zeros(codes.shape, bool)
    plain[1:-1] = down[1:] & down[:-1]
    return plain


def _deep_seen(blocks: Blocks, deep: Mask) -> Light:
    """Flared OKLab (3, n) of the blurred light of the deep ink; the middle of a plain area is what it was."""
    is_plain = blocks.plain[deep]
    seen = np.empty((is_plain.size, 3), np.float32)
    colours = blocks.opaque.take(np.flatnonzero(deep & blocks.plain), axis=0)
    if len(colours):
        starts, lengths = _runs(colours)
        seen[is_plain] = np.repeat(flared(colours[starts]), lengths, axis=0)
    seen[~is_plain] = flared(_smoothed(blocks.opaque, np.flatnonzero(deep & ~blocks.plain), deep.shape[1]))
    return np.ascontiguousarray(seen.T)


def _smoothed(light: Light, spots: Spots, width: int) -> Light:
    """Some spots of the picture as a slightly blurred eye gets them: binomial 1-2-1 both ways (sigma .7 px)."""

    def column(step: int) -> Light:
        above, here, below = (light.take(spots + (step + down * width), axis=0) for down in (-1, 0, 1))
        return np.asarray((here + (above + below) / 2) / 2)

    blurred: Light = (column(0) + (column(-1) + column(1)) / 2) / 2
    return blurred


def quartered(values: Any) -> Any:
    """Sums of the blocks of 2 x 2."""
    halved = values[::2] + values[1::2]
    return halved[:, ::2] + halved[:, 1::2]


def shrunk_square(mask: Mask) -> Mask:
    """The mask without what lies in the 3 x 3 around a pixel off it."""
    down = mask.copy()
    down[1:] &= mask[:-1]
    down[:-1] &= mask[1:]
    across = down.copy()
    across[:, 1:] &= down[:, :-1]
    across[:, :-1] &= down[:, 1:]
    return across


def _premultiplied(raster: Raster) -> Bytes:
    if not raster.straight:
        return raster.pixels
    pixels = raster.pixels.astype(np.uint16)
    pixels[..., :3] = (pixels[..., :3] * pixels[..., 3:] + 127) // 255
    return pixels.astype(np.uint8)


def _cropped(pixels: Bytes) -> Bytes | None:
    """The part that reaches `CROP_ALPHA`, brought to twice the grid's size where it is far from it."""
    painted = pixels[..., 3] >= CROP_ALPHA
    rows, columns = np.flatnonzero(painted.any(axis=1)), np.flatnonzero(painted.any(axis=0))
    if not rows.size:
        return None
    part = pixels[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    height, width = part.shape[:2]
    wanted = 2 * GRID_PX / max(height, width)
    if 0.8 <= wanted <= 1.25:
        return part
    size = (max(1, round(width * wanted)), max(1, round(height * wanted)))
    resized = Image.frombuffer("RGBa", (width, height), part.tobytes(), "raw", "RGBa", 0, 1)
    return np.asarray(resized.resize(size, Image.Resampling.BOX if wanted < 1 else Image.Resampling.BILINEAR))


def _ink(alpha: Bytes) -> Mask:
    """Grid pixels of which any quarter is ink: keeps hairlines, drops soft shadows."""
    fine = alpha >= INK_ALPHA
    wash = alpha >= WASH_ALPHA
    if 2 * np.count_nonzero(fine) < np.count_nonzero(wash):
        fine = wash
    if not fine.any():
        fine = alpha >= CROP_ALPHA
    halved: Mask = fine[::2] | fine[1::2]
    return halved[:, ::2] | halved[:, 1::2]


def composited(pixels: Bytes, cloth: str) -> Light:
    """Linear light of premultiplied pixels (n, 4) on cloth `#rrggbb`, mixed in encoded sRGB as rasterisers do."""
    bare = 1 - pixels[:, 3] / np.float32(255)
    light = np.empty((len(pixels), 3), np.float32)
    for channel, level in enumerate(rgb_from_hex(cloth)):  # runs of three are slow to work on
        codes = pixels[:, channel] + bare * np.float32(level)
        light[:, channel] = _LIGHT_OF_CODE[np.minimum(codes + np.float32(0.5), 255).astype(np.uint8)]
    return light


def shallow_light(proof: Proof, cloth: str) -> Light:
    """Linear light (n, 3) of the shallow ink on cloth `#rrggbb`, as a slightly blurred eye gets it (binomial 1-2-1 both ways)."""
    depths = proof.depths
    light = depths.opaque + depths.bare * np.array(linear_from_hex(cloth), np.float32)
    if depths.soft_in.size:
        soft = composited(depths.soft, cloth)
        for channel in range(3):
            light[:, channel] += np.bincount(depths.soft_in, soft[:, channel], minlength=len(light)) / 4
    mixed = np.zeros((depths.shallow.size, 3), np.float32)
    for weight, neighbour in zip(_WEIGHTS, depths.around, strict=True):
        mixed += weight * light.take(neighbour, axis=0)
    return mixed
