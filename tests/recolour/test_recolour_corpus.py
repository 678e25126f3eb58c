"""Treatments on real drawings: the colours seen afterwards are exactly the swapped ones."""

from __future__ import annotations

import os
import random
import re
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from vectorprep.engine import Engine, draw_window, open_engine
from vectorprep.errors import VectorprepError
from vectorprep.geometry import Box
from vectorprep.measure.inks import list_inks
from vectorprep.model import Artwork, Blank, Treatment
from vectorprep.read import read_artwork
from vectorprep.recolour import RecolourPolicy, apply, propose

FOLDERS = ("node_modules/openmoji/color/svg", "node_modules/@twemoji/svg", "oca/usr/share/openclipart/svg")
PER_FOLDER = 80
# What mixes colours (clips and viewports have smooth edges too), or keeps its own rendering hint so that `crisp` does not reach it.
MIXING = re.compile(
    rb"Gradient|<pattern|clip|<symbol|.<svg|opacity|<filter|<mask|<image|rgba\(|shape-rendering|<marker|<text|mix-blend",
    re.IGNORECASE,
)
NAVY = Blank(key="navy", name="navy", colour="#1b2340")

pytestmark = pytest.mark.corpus


def _flat_drawings(folder: str) -> list[Artwork]:
    root = Path(os.environ.get("VECTORPREP_CORPUS", "")) / folder
    if not os.environ.get("VECTORPREP_CORPUS") or not root.is_dir():
        pytest.skip(f"set VECTORPREP_CORPUS to a folder that holds {folder}")
    files = sorted(path for path in root.rglob("*.svg") if path.stat().st_size < 60_000)
    random.Random(17).shuffle(files)
    found: list[Artwork] = []
    for path in files:
        try:
            artwork = read_artwork(path.read_bytes(), name=path.stem)
        except VectorprepError:
            continue
        if not MIXING.search(artwork.markup):
            found.append(artwork)
        if len(found) == PER_FOLDER:
            break
    return found


def _drawn(engine: Engine, artwork: Artwork) -> NDArray[np.uint8]:
    page = Box(0, 0, artwork.page.width_mm, artwork.page.height_mm)
    scale = 160 / max(page.width, page.height)
    size = max(1, round(page.width * scale)), max(1, round(page.height * scale))
    return draw_window(engine, artwork, page, *size, crisp=True).pixels


def _colours(pixels: NDArray[np.uint8]) -> set[str]:
    return {"#{:02x}{:02x}{:02x}".format(*map(int, colour)) for colour in np.unique(pixels[pixels[..., 3] == 255][:, :3], axis=0)}


def _treatment(artwork: Artwork, engine: Engine) -> Treatment | None:
    """What the ladder does on navy, else the seller's wish to print the largest ink in gold."""
    inks = list_inks(artwork, engine, Box(0, 0, artwork.page.width_mm, artwork.page.height_mm))
    if not inks:
        return None
    found = [treatment for treatment in propose(inks, NAVY) if treatment.swaps and treatment.kind != "keyline"]
    wish = RecolourPolicy(forced=(("all", inks[0].colour, "#f0b323"),))
    return found[0] if found else propose(inks, NAVY, policy=wish)[0]


@pytest.mark.parametrize("folder", FOLDERS)
def test_colours_after_are_the_swapped_ones(folder: str) -> None:
    """In flat drawings the set of solid colours after a treatment equals the swaps applied to the set before; coverage stays."""
    engine = open_engine("resvg-py")
    checked = 0
    for artwork in _flat_drawings(folder):
        treatment = _treatment(artwork, engine)
        if treatment is None:
            continue
        before, after = _drawn(engine, artwork), _drawn(engine, apply(artwork, treatment))
        swaps = {swap.before: swap.after for swap in treatment.swaps}
        assert _colours(after) == {swaps.get(colour, colour) for colour in _colours(before)}, artwork.name
        assert (before[..., 3] == after[..., 3]).all(), artwork.name
        checked += 1
    assert checked >= PER_FOLDER * 0.8
