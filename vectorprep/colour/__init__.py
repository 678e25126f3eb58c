"""Colour science on `#rrggbb` strings, in plain Python.

Comes in: opaque sRGB colours written `#rrggbb`.
Goes out: contrast ratios, lightness, differences, OKLCH coordinates and back, simulated colour-vision deficiencies.
Never done here: arrays of pixels (`colour.arrays`), CSS syntax (`colour.css`), or any verdict.
"""

from vectorprep.colour.cielab import hex_from_lab, lab, lab_from_xyz, lightness
from vectorprep.colour.contrast import contrast_ratio, relative_luminance
from vectorprep.colour.difference import ciede2000, delta_e_2000
from vectorprep.colour.okspace import (
    hex_from_oklab,
    hex_from_oklch,
    oklab,
    oklab_from_linear,
    oklab_from_xyz,
    oklch,
)
from vectorprep.colour.srgb import (
    hex_from_linear,
    hex_from_rgb,
    linear_from_hex,
    multiply,
    over,
    rgb_from_hex,
    xyz_from_hex,
)
from vectorprep.colour.strength import strength
from vectorprep.colour.vision import Deficiency, simulate, worst_delta_e
from vectorprep.colour.words import colour_word

__all__ = [
    "Deficiency",
    "ciede2000",
    "colour_word",
    "contrast_ratio",
    "delta_e_2000",
    "hex_from_lab",
    "hex_from_linear",
    "hex_from_oklab",
    "hex_from_oklch",
    "hex_from_rgb",
    "lab",
    "lab_from_xyz",
    "lightness",
    "linear_from_hex",
    "multiply",
    "oklab",
    "oklab_from_linear",
    "oklab_from_xyz",
    "oklch",
    "over",
    "relative_luminance",
    "rgb_from_hex",
    "simulate",
    "strength",
    "worst_delta_e",
    "xyz_from_hex",
]
