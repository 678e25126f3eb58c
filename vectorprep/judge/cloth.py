"""The colours that one blank may show.

Comes in: a blank. Goes out: `#rrggbb` strings, the named colour first; for heather also a darker and a lighter thread.
Never done here: judging.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import hex_from_linear, lab
from vectorprep.colour.cielab import EPSILON, KAPPA, WHITE_D65
from vectorprep.colour.srgb import XYZ_FROM_LINEAR

if TYPE_CHECKING:
    from vectorprep.model import Blank

HEATHER_L_STAR = 8.0
"""How much darker and lighter the threads of heather are, in L* at the same a*, b* (common practice, no source)."""

_LINEAR_FROM_XYZ = np.linalg.inv(np.array(XYZ_FROM_LINEAR))


def cloths(blank: Blank) -> tuple[str, ...]:
    """The colours on which a picture must be seen; the worst of them decides."""
    if blank.texture == "smooth":
        return (blank.colour,)
    return blank.colour, lightened(blank.colour, -HEATHER_L_STAR), lightened(blank.colour, HEATHER_L_STAR)


@lru_cache(maxsize=256)
def lightened(colour: str, by: float) -> str:
    """The colour with L* moved by `by` (held to 0..100) at the same a* and b*, cut to sRGB channel by channel."""
    light, a, b = lab(colour)
    fy = (min(100.0, max(0.0, light + by)) + 16) / 116
    xyz = [_uncurved(part) * white for part, white in zip((fy + a / 500, fy, fy - b / 200), WHITE_D65, strict=True)]
    red, green, blue = (float(channel) for channel in _LINEAR_FROM_XYZ @ np.array(xyz))
    return hex_from_linear((red, green, blue))


def _uncurved(part: float) -> float:
    """The share of white that CIELAB's curve sends to `part`."""
    return part**3 if part**3 > EPSILON else (116 * part - 16) / KAPPA
