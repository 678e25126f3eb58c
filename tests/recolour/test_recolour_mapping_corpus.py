"""The laws of exact rewriting on real files of four open sets; a seeded sample, drawn 160 px wide.

Sets: openmoji, twemoji, flag-icons, and the clip art of Debian's openclipart-svg. VECTORPREP_CORPUS_FILES says how many drawings
of each set are taken (default 120).
"""

from __future__ import annotations

import io
import os
import random
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
import resvg_py
from numpy.typing import NDArray
from PIL import Image

from vectorprep.markup.inkset import list_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.recolour import map_colours, map_colours_reported

pytestmark = pytest.mark.corpus
Pixels = NDArray[np.int16]
Mapping = Callable[[str], str]

FOLDERS = {
    "openmoji": "node_modules/openmoji/color/svg",
    "twemoji": "node_modules/@twemoji/svg",
    "flag-icons": "node_modules/flag-icons/flags/4x3",
    "clip art": "oca/usr/share/openclipart/svg",
}
FILES_OF_EACH = int(os.environ.get("VECTORPREP_CORPUS_FILES", "120"))
UNEXPLAINED = 0  # files outside the reported features that may differ


def sample(name: str) -> Iterator[bytes]:
    """A seeded sample of a set; files that the rasteriser itself cannot draw are left out."""
    folder = Path(os.environ.get("VECTORPREP_CORPUS", "")) / FOLDERS[name]
    if "VECTORPREP_CORPUS" not in os.environ or not folder.is_dir():
        pytest.skip(f"set VECTORPREP_CORPUS to a folder that holds {FOLDERS[name]}")
    paths = sorted(folder.rglob("*.svg"))
    for path in random.Random(20).sample(paths, min(FILES_OF_EACH, len(paths))):
        yield path.read_bytes()


def as_text(data: bytes) -> str:
    """A file in the encoding it declares."""
    declared = re.search(rb"<\?xml[^>]*encoding=[\"']([\w-]+)", data[:300])
    return data.decode(declared[1].decode() if declared else "utf-8")


def draw(markup: str) -> Pixels:
    """Straight RGBA, colour of clear pixels set to 0."""
    png = bytes(resvg_py.svg_to_bytes(svg_string=markup, width=160, dpi=96))
    pixels = np.asarray(Image.open(io.BytesIO(png)).convert("RGBA")).astype(np.int16)
    pixels[pixels[..., 3] == 0] = 0
    return pixels


def same(ink: str) -> str:
    """The identity."""
    return ink


def turned(ink: str) -> str:
    """(r, g, b) to (b, r, g)."""
    return "#" + ink[5:7] + ink[1:3] + ink[3:5]


def flipped(ink: str) -> str:
    """An injective map without fixed points, its own inverse."""
    return f"#{int(ink[1:], 16) ^ 0x5A3C96:06x}"


def lightened(ink: str) -> str:
    """A recolouring as for dark cloth: dark inks become one light ink, the others stay."""
    return "#fafaf8" if int(ink[1:3], 16) + int(ink[3:5], 16) + int(ink[5:7], 16) < 200 else ink


@pytest.mark.parametrize("name", FOLDERS)
def test_identity_draws_the_same_pixels(name: str) -> None:
    """Law 1: every pixel of every file stays under the identity mapping."""
    differing = [n for n, data in enumerate(sample(name)) if not np.array_equal(draw(as_text(data)), draw_mapped(data, same))]
    assert len(differing) <= UNEXPLAINED


@pytest.mark.parametrize("name", FOLDERS)
def test_turning_channels_commutes_with_drawing(name: str) -> None:
    """Law 2: bit for bit, for every file that reports nothing inexact."""
    differing = 0
    for data in sample(name):
        markup, issues = map_colours_reported(data, turned)
        exact = all(issue.slug == "colour-invalid" for issue in issues)
        differing += exact and not np.array_equal(draw(markup.decode()), draw_mapped(data, same)[..., [2, 0, 1, 3]])
    assert differing <= UNEXPLAINED


@pytest.mark.parametrize("name", FOLDERS)
def test_alpha_does_not_move(name: str) -> None:
    """Law 6: the alpha plane stays under a map without fixed points."""
    differing = 0
    for data in sample(name):
        markup, issues = map_colours_reported(data, flipped)
        exact = all(issue.slug == "colour-invalid" for issue in issues)
        differing += exact and not np.array_equal(draw(markup.decode())[..., 3], draw_mapped(data, same)[..., 3])
    assert differing <= UNEXPLAINED


@pytest.mark.parametrize("name", FOLDERS)
def test_mappings_compose_in_bytes(name: str) -> None:
    """Laws 4 and 5: identity twice is once, f then g is one map, f then its inverse is the identity."""
    for data in sample(name):
        plain, once = map_colours(data, same), map_colours(data, flipped)
        assert map_colours(plain, same) == plain
        assert map_colours(once, flipped) == plain
        assert map_colours(once, turned) == map_colours(data, lambda ink: turned(flipped(ink)))


def draw_mapped(data: bytes, mapping: Mapping) -> Pixels:
    """The picture of a mapped file."""
    return draw(map_colours(data, mapping).decode())


def crisp(markup: bytes) -> str:
    """The drawing without smoothing, so that every opaque pixel is one ink."""
    return markup.decode().replace("<svg ", '<svg shape-rendering="crispEdges" ', 1)


def is_plain(data: bytes) -> bool:
    """Whether every pixel of the drawing is one solid ink: nothing blends, filters, masks or embeds."""
    return re.search(rb"radient|opacity|filter|<mask|<image|shape-rendering|marker|<text|rgba|blend", data) is None


def solid_inks(pixels: Pixels) -> set[str]:
    """The colours of fully opaque pixels."""
    opaque = pixels[pixels[..., 3] == 255][:, :3]
    return {f"#{r:02x}{g:02x}{b:02x}" for r, g, b in np.unique(opaque, axis=0).tolist()}


@pytest.mark.parametrize("mapping", [flipped, lightened], ids=["injective", "recolouring"])
@pytest.mark.parametrize("name", FOLDERS)
def test_solid_inks_after_a_recolouring_are_the_mapped_inks(name: str, mapping: Mapping) -> None:
    """Law 3: pixel by pixel, hence as sets; and the colours the drawing lists are the mapped ones."""
    checked = 0
    for data in filter(is_plain, sample(name)):
        plain, mapped = map_colours(data, same), map_colours(data, mapping)
        before, after = draw(crisp(plain)), draw(crisp(mapped))
        assert {mapping(ink) for ink in solid_inks(before)} == solid_inks(after)
        assert {mapping(ink) for ink in list_colours(parse_untrusted(plain))} == set(list_colours(parse_untrusted(mapped)))
        checked += 1
    assert checked > 0
