"""Real drawings of four open sets through the reader, and their boxes against another renderer's.

Needs VECTORPREP_CORPUS; VECTORPREP_CORPUS_FILES says how many drawings of each set are taken (default 60).
"""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from vectorprep.engine import Engine, draw_window, open_engine
from vectorprep.engine.coverage import alpha_of, box_of
from vectorprep.errors import ArtworkFailed, ArtworkRefused, PartMissing
from vectorprep.fonts import FontIndex, load_index
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
PROOF_PX = 1000


def _paths(name: str) -> list[Path]:
    folder = os.environ.get("VECTORPREP_CORPUS")
    if not folder:
        pytest.skip("VECTORPREP_CORPUS names no folder of open drawings")
    paths = sorted(Path(folder, SETS[name]).rglob("*.svg"))
    wanted = int(os.environ.get("VECTORPREP_CORPUS_FILES", "60"))
    return random.Random(7).sample(paths, min(wanted, len(paths)))


def _librsvg() -> Engine:
    try:
        return open_engine("librsvg")
    except PartMissing as error:
        pytest.skip(f"no second renderer: {error.message}")


@pytest.mark.corpus
@pytest.mark.parametrize("name", SETS)
def test_the_reader_accepts_real_drawings_and_each_refusal_names_a_link(name: str) -> None:
    """At least 99.5 % are accepted; a linked file is a true refusal and does not count."""
    fonts = FontIndex(system=False)
    refused = {}
    paths = _paths(name)
    for path in paths:
        try:
            read_artwork(path.read_bytes(), name=path.name, fonts=fonts)
        except ArtworkRefused as error:
            refused[path.name] = error
    untrue = {name: str(error) for name, error in refused.items() if error.code != "link-refused"}
    assert len(untrue) <= 0.005 * len(paths), untrue


@pytest.mark.corpus
@pytest.mark.parametrize("name", SETS)
def test_ink_boxes_agree_with_librsvg(name: str) -> None:
    """On 99 % of the drawings without live text the box is that of librsvg's picture within 1 % of the page."""
    fonts, second = load_index(system=False), _librsvg()
    first = open_engine("resvg-py", font_files=fonts.files)
    compared, apart = 0, []
    for path in _paths(name):
        try:
            artwork = read_artwork(path.read_bytes(), name=path.name, fonts=fonts)
            if artwork.text or artwork.has_filters:
                continue
            worst = _worst(artwork, first, second)
        except (ArtworkRefused, ArtworkFailed):
            continue
        compared += 1
        if worst > 0.01:
            apart.append((path.name, round(worst, 4)))
    assert compared
    assert len(apart) <= 0.01 * compared, apart


def _worst(artwork: Artwork, first: Engine, second: Engine) -> float:
    """Greatest distance of an edge between the two boxes, as a share of the page's long side."""
    measured = measure(artwork, first, with_inks=False)
    width, height = measured.page_mm
    scale = PROOF_PX / max(width, height)
    size = max(1, round(width * scale)), max(1, round(height * scale))
    box = box_of(alpha_of(draw_window(second, artwork, Box(0, 0, width, height), *size)))
    found = measured.ink_box_mm
    if box is None or found is None:
        return 0.0 if box is None and found is None else 1.0
    return max(abs(a - b * scale) for a, b in zip(box, found.corners, strict=True)) / PROOF_PX
