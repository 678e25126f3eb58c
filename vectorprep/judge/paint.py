"""What the outline is painted with: colours and inks at marked spots of a proof.

Comes in: a proof, a mask on its grid, the artwork's inks. Goes out: straight colours, the ink that prevails.
Never done here: deciding.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import contrast_ratio, hex_from_rgb, over, rgb_from_hex
from vectorprep.judge.proof import quarters_of

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Bytes, Light, Mask, Spots
    from vectorprep.judge.proof import Proof
    from vectorprep.model import Ink


def densest(proof: Proof, where: Mask) -> Bytes:
    """Premultiplied pixels (n, 4) of the densest quarter of each marked grid pixel."""
    return densest_at(proof, *np.nonzero(where))


def densest_at(proof: Proof, rows: Spots, columns: Spots) -> Bytes:
    """Premultiplied pixels (n, 4) of the densest quarter of the grid pixels at these rows and columns."""
    quarters = np.stack(quarters_of(proof.pixels, rows, columns))
    found: Bytes = quarters[quarters[..., 3].argmax(axis=0), np.arange(rows.size)]
    return found


def straight(pixels: Bytes) -> Light:
    """Colours 0..255 without their alpha."""
    colours: Light = pixels[:, :3] * np.float32(255) / np.maximum(pixels[:, 3:], 1)
    return colours


def prevailing_ink(proof: Proof, where: Mask, inks: tuple[Ink, ...]) -> str:
    """The ink that most of the marked grid pixels are painted with; without inks their middle colour."""
    colours = straight(densest(proof, where))
    if not inks:
        red, green, blue = (int(channel) for channel in np.median(colours, axis=0))
        return hex_from_rgb(red, green, blue)
    known = np.array([rgb_from_hex(ink.colour) for ink in inks], np.float32)
    nearest = np.argmin((known**2).sum(axis=1) - 2 * colours @ known.T, axis=1)  # squared distance, less what all share
    return inks[int(np.bincount(nearest, minlength=len(inks)).argmax())].colour


def weakest_ink(proof: Proof, cloth: str, inks: tuple[Ink, ...]) -> str:
    """The ink in contact with the cloth that differs least from it; without inks the middle colour of the outline."""
    touching = [ink.colour for ink in inks if ink.in_contact] or [ink.colour for ink in inks]
    if touching:
        return min(touching, key=lambda ink: contrast_ratio(ink, cloth))
    return prevailing_ink(proof, proof.edge, ())


def as_printed(ink: str, cloth: str, inks: tuple[Ink, ...], *, white_ink: bool) -> str:
    """What an ink looks like on cloth `#rrggbb`: see-through ink mixed with it, without white ink multiplied by it."""
    alpha = next((known.alpha for known in inks if known.colour == ink), 1.0)
    if white_ink:
        return over(ink, alpha, cloth)
    red, green, blue = (round(one * other / 255) for one, other in zip(rgb_from_hex(ink), rgb_from_hex(cloth), strict=True))
    return over(hex_from_rgb(red, green, blue), alpha, cloth)
