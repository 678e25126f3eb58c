"""What the outline is painted with: colours and inks at marked spots of a proof.

Comes in: a proof, a mask on its grid, the artwork's inks. Goes out: straight colours, the ink that prevails.
Never done here: deciding.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import contrast_ratio, hex_from_rgb, rgb_from_hex

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Light, Mask
    from vectorprep.judge.proof import Proof
    from vectorprep.model import Ink


def densest(proof: Proof, where: Mask) -> Light:
    """Premultiplied pixels (0..255, red, green, blue, alpha) of the densest quarter of each marked grid pixel."""
    rows, columns = np.nonzero(where)
    quarters = np.stack([proof.pixels[2 * rows + dy, 2 * columns + dx] for dy in (0, 1) for dx in (0, 1)])
    found: Light = quarters[quarters[..., 3].argmax(axis=0), np.arange(rows.size)].astype(np.float32)
    return found


def straight(pixels: Light) -> Light:
    """Colours 0..255 without their alpha."""
    colours: Light = pixels[:, :3] * 255 / np.maximum(pixels[:, 3:], 1)
    return colours


def prevailing_ink(proof: Proof, where: Mask, inks: tuple[Ink, ...]) -> str:
    """The ink that most of the marked grid pixels are painted with; without inks their middle colour."""
    colours = straight(densest(proof, where))
    if not inks:
        red, green, blue = (int(channel) for channel in np.median(colours, axis=0))
        return hex_from_rgb(red, green, blue)
    known = np.array([rgb_from_hex(ink.colour) for ink in inks], np.float32)
    nearest = np.argmin(((colours[:, None, :] - known[None]) ** 2).sum(axis=2), axis=1)
    return inks[int(np.bincount(nearest, minlength=len(inks)).argmax())].colour


def weakest_ink(proof: Proof, cloth: str, inks: tuple[Ink, ...]) -> str:
    """The ink in contact with the cloth that differs least from it; without inks the middle colour of the outline."""
    touching = [ink.colour for ink in inks if ink.in_contact] or [ink.colour for ink in inks]
    if touching:
        return min(touching, key=lambda ink: contrast_ratio(ink, cloth))
    return prevailing_ink(proof, proof.edge, ())
