"""Normalised syntax is read alike by three rasterisers: silent black is gone.

Before normalising they paint modern syntax black, drop alpha or stop with an error; afterwards all agree within one level.
"""

from __future__ import annotations

import io

import cairosvg
import numpy as np
import pytest
import pyvips
import resvg_py
from PIL import Image

from vectorprep.markup.paint import normalise_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import serialise

Rgba = tuple[int, int, int, int]


def centre(png: bytes) -> Rgba:
    """Straight colour of the middle pixel."""
    red, green, blue, alpha = np.asarray(Image.open(io.BytesIO(png)).convert("RGBA"))[4, 4].tolist()
    return red, green, blue, alpha


def painted(token: str) -> list[Rgba]:
    """The colour that each rasteriser paints for a normalised token."""
    markup = f'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9" fill="{token}"/></svg>'
    root = parse_untrusted(markup.encode())
    normalise_colours(root)
    clean = serialise(root)
    librsvg = pyvips.Image.svgload_buffer(clean).write_to_buffer(".png")
    resvg = bytes(resvg_py.svg_to_bytes(svg_string=clean.decode(), dpi=96, skip_system_fonts=True))
    return [centre(resvg), centre(librsvg), centre(cairosvg.svg2png(bytestring=clean))]


@pytest.mark.parametrize(
    ("token", "expected"),
    [
        ("hsl(120deg 100% 25%)", (0, 128, 0, 255)),
        ("hsl(120, 100%, 25%)", (0, 128, 0, 255)),
        ("rgb(0 128 0)", (0, 128, 0, 255)),
        ("rgb(0 128 0 / 100%)", (0, 128, 0, 255)),
        ("rebeccapurple", (102, 51, 153, 255)),
        ("#f008", (255, 0, 0, 136)),
        ("#ff000080", (255, 0, 0, 128)),
        ("rgba(255, 0, 0, 60%)", (255, 0, 0, 153)),
        ("hwb(120 0% 49.8039%)", (0, 128, 0, 255)),
        ("oklch(40.101% 0.12332 21.555)", (125, 35, 41, 255)),
        ("lab(29.2345% 39.3825 20.0664)", (125, 35, 41, 255)),
        ("color-mix(in srgb, red, blue)", (128, 0, 128, 255)),
        ("red icc-color(press, 0, 1, 1, 0)", (255, 0, 0, 255)),
        ("currentcolor", (0, 0, 0, 255)),
        ("#12", (0, 0, 0, 255)),
    ],
)
def test_rasterisers_agree_on_normalised_colours(token: str, expected: Rgba) -> None:
    """Each paints what CSS Color 4 says, within one 8-bit level."""
    for colour in painted(token):
        assert np.abs(np.subtract(colour, expected)).max() <= 1
