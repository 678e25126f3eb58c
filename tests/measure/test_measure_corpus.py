"""Ink boxes of real drawings: the quick way against one picture of the whole page.

Needs VECTORPREP_CORPUS; VECTORPREP_CORPUS_FILES says how many drawings of each set are taken (default 40).
"""

from __future__ import annotations

import math
import os
import random
from pathlib import Path

import pytest

from vectorprep.engine import Engine, draw_window
from vectorprep.engine.coverage import alpha_of, box_of
from vectorprep.errors import ArtworkRefused
from vectorprep.fonts import FontIndex
from vectorprep.geometry import Box
from vectorprep.measure import measure
from vectorprep.model import Artwork
from vectorprep.read import read_artwork

SETS = {
    "openmoji": "node_modules/openmoji/color/svg",
    "twemoji": "node_modules/@twemoji/svg",
    "flag-icons": "node_modules/flag-icons/flags",
    "openclipart": "oca/usr/share/openclipart/svg",
}


def _drawings(name: str, fonts: FontIndex) -> list[Artwork]:
    folder = os.environ.get("VECTORPREP_CORPUS")
    if not folder:
        pytest.skip("VECTORPREP_CORPUS names no folder of open drawings")
    paths = sorted(Path(folder, SETS[name]).rglob("*.svg"))
    wanted = int(os.environ.get("VECTORPREP_CORPUS_FILES", "40"))
    found = []
    for path in random.Random(2).sample(paths, min(wanted, len(paths))):
        try:
            found.append(read_artwork(path.read_bytes(), name=path.name, fonts=fonts))
        except ArtworkRefused:
            continue
    return found


@pytest.mark.corpus
@pytest.mark.parametrize("name", SETS)
def test_strips_find_the_box_of_the_whole_page(name: str, engine: Engine, fonts: FontIndex) -> None:
    """On every drawing without filters both boxes are those of one full picture at print resolution, to one pixel."""
    wrong = []
    for artwork in _drawings(name, fonts):
        if artwork.has_filters:
            continue
        measured = measure(artwork, engine, with_inks=False)
        scale = 1 / measured.tolerance_mm
        width, height = (math.ceil(side * scale - 1e-6) for side in measured.page_mm)
        alpha = alpha_of(draw_window(engine, artwork, Box(0, 0, width / scale, height / scale), width, height))
        for least, found in ((8, measured.ink_box_mm), (1, measured.any_ink_box_mm)):
            whole = box_of(alpha, least)
            if whole is None or found is None:
                agrees = whole is None and found is None
            else:
                agrees = max(abs(a - b * scale) for a, b in zip(whole, found.corners, strict=True)) <= 1 + 1e-6
            if not agrees:
                wrong.append((artwork.name, least, whole, found and found.scaled(scale)))
    assert wrong == []
