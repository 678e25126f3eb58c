"""Photographs in other colour spaces and depths, against colour-science and libvips."""

from __future__ import annotations

import io
import warnings

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from vectorprep.scenes.photograph import srgb_pixels

pyvips = pytest.importorskip("pyvips")
with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    colour = pytest.importorskip("colour")
CODES = ((200, 120, 80), (30, 90, 200), (128, 128, 128), (250, 240, 235), (40, 160, 90))


def stripes(codes: tuple[tuple[int, int, int], ...]) -> np.ndarray:
    """A picture of 40 px a colour."""
    return np.repeat(np.repeat(np.array([codes], np.uint8), 40, axis=0), 40, axis=1)


def seen(data: bytes, place: int) -> NDArray[np.int64]:
    """The sRGB code in the middle of a stripe."""
    code: NDArray[np.int64] = srgb_pixels(data).rgb[20, 40 * place + 20].astype(np.int64)
    return code


def test_a_wide_gamut_profile_is_honoured() -> None:
    """Display P3 (SMPTE EG 432-1; the profile is libvips' own) to sRGB as colour-science converts it, within 2 codes, and told."""
    profile = bytes(pyvips.Operation.call("profile_load", "p3"))
    out = io.BytesIO()
    Image.fromarray(stripes(CODES)).save(out, "PNG", icc_profile=profile)
    for place, code in enumerate(CODES):
        wide = np.array(code) / 255
        found = colour.RGB_to_RGB(
            wide,
            colour.RGB_COLOURSPACES["Display P3"],
            colour.RGB_COLOURSPACES["sRGB"],
            apply_cctf_decoding=True,
            apply_cctf_encoding=True,
        )
        assert np.abs(seen(out.getvalue(), place) - np.clip(found, 0, 1) * 255).max() <= 2
    assert "to sRGB" in srgb_pixels(out.getvalue()).words
    bare = io.BytesIO()
    Image.fromarray(stripes(CODES)).save(bare, "PNG")
    assert np.abs(seen(bare.getvalue(), 0) - seen(out.getvalue(), 0)).max() > 5, "the profile made no difference"


def test_sixteen_bits_a_channel_keep_their_colours() -> None:
    """A PNG of three times 16 bits, written by libvips, comes out as its top bytes, within a code."""
    deep = stripes(CODES).astype(np.uint16) * 257
    image = pyvips.Image.new_from_memory(deep.tobytes(), deep.shape[1], deep.shape[0], 3, "ushort").copy(interpretation="rgb16")
    data = bytes(image.pngsave_buffer(bitdepth=16))
    assert data[24] == 16, "IHDR states 16 bits (published: W3C PNG)"
    for place, code in enumerate(CODES):
        assert np.abs(seen(data, place) - code).max() <= 1


def test_a_profile_that_cannot_be_read_is_told() -> None:
    """The picture is taken as sRGB, in words."""
    out = io.BytesIO()
    Image.fromarray(stripes(CODES)).save(out, "PNG", icc_profile=b"no profile at all")
    pixels = srgb_pixels(out.getvalue())
    assert "cannot be read" in pixels.words
    assert tuple(pixels.rgb[20, 20]) == CODES[0]
