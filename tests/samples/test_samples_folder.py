"""Facts about the folder of samples: names, sizes, safety, fonts, answers, and that no two drawings look alike.

Comes in: the folder `sample_svgs/`.
Goes out: nothing.
Never done here: anything that needs the command line.
"""

from __future__ import annotations

import io
import itertools
import re
from pathlib import Path

import numpy as np
import pytest
import resvg_py
from lxml import etree
from numpy.typing import NDArray
from PIL import Image

from vectorprep.fonts import load_index
from vectorprep.read import read_artwork
from vectorprep.settings import load_settings

SAMPLES = Path(__file__).parents[2] / "sample_svgs"
DRAWINGS = sorted(SAMPLES.glob("*.svg"))
VARIANTS = sorted((SAMPLES / "_variants").glob("*.svg"))
FONTS = load_index(system=False)
SVG = "{http://www.w3.org/2000/svg}"
WITH_BITMAP = {"moon-hare_watercolour.svg"}

each_drawing = pytest.mark.parametrize("path", [*DRAWINGS, *VARIANTS], ids=lambda path: path.stem)


def test_samples_are_enough() -> None:
    """There are at least eighteen drawings to sell, and drawn variants beside them."""
    assert len(DRAWINGS) >= 18
    assert len(VARIANTS) >= 2


def test_samples_are_named_as_sellers_name_files() -> None:
    """Among the names are spaces, capitals, underscores with dashes, a version, and the word final."""
    stems = [path.stem for path in DRAWINGS]
    for pattern in (r" ", r"[A-Z]{3}", r"_.*-|-.*_", r"-v\d$", r"_final$"):
        assert any(re.search(pattern, stem) for stem in stems), pattern


def test_samples_folder_holds_nothing_else() -> None:
    """Beside drawings and variants there are the answers and the licence only."""
    others = {path.name for path in SAMPLES.iterdir() if path.suffix != ".svg"}
    assert others == {"_variants", "vectorprep.toml", "LICENCE.txt"}


@each_drawing
def test_samples_are_of_a_readable_size(path: Path) -> None:
    """A drawing takes 4 to 60 kB, with a bitmap less than 400 kB."""
    limit = 400_000 if path.name in WITH_BITMAP else 60_000
    assert 4_000 < path.stat().st_size < limit


@each_drawing
def test_samples_link_to_nothing_and_run_nothing(path: Path) -> None:
    """No doctype, entity, instruction, script, handler or foreign object; references stay inside the file."""
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"<!DOCTYPE|<!ENTITY|<\?|<script|<foreignObject|\son\w+=|@import|javascript:", text, re.IGNORECASE)
    addresses = re.findall(r'href="([^"]{0,40})', text) + re.findall(r"url\(([^)]*)\)", text)
    assert all(address.startswith(("#", "data:image/png;base64,")) for address in addresses)


@each_drawing
def test_samples_ask_only_for_fonts_that_come_along(path: Path) -> None:
    """Each family list of live text starts with a bundled family that has every glyph of the words."""
    root = etree.parse(path).getroot()
    assert not [e for e in root.iter() if "font-family" in (e.get("style") or "")]
    for text in root.iter(SVG + "text"):
        holder = next(e for e in (text, *text.iterancestors()) if e.get("font-family"))
        family = holder.get("font-family").split(",")[0].strip("' ")
        face = FONTS.find((family,), int(text.get("font-weight", "400")), text.get("font-style") == "italic")
        assert face is not None
        assert face.family == family
        assert face.missing("".join(str(part) for part in text.itertext())) == ""


@each_drawing
def test_samples_are_named_inside_for_people(path: Path) -> None:
    """Every drawing has a title and names at least three of its parts."""
    root = etree.parse(path).getroot()
    assert root.findtext(SVG + "title")
    assert len([e for e in root.iter() if e.get("id")]) >= 3


@each_drawing
def test_samples_are_read_without_error(path: Path) -> None:
    """The reader takes each drawing, and finds no error in it."""
    artwork = read_artwork(path.read_bytes(), name=path.stem, fonts=FONTS)
    assert [finding for finding in artwork.findings if finding.severity == "error"] == []


def test_samples_settings_speak_of_drawings_that_exist() -> None:
    """Each table of the answers is about a drawing, each variant it names is a file, and each variant is named."""
    settings = load_settings((SAMPLES / "vectorprep.toml").read_text(encoding="utf-8"), "vectorprep.toml")
    stems = {path.stem for path in DRAWINGS}
    assert {name for name, _ in settings.by_artwork} <= stems
    named = {file for _, table in settings.by_artwork for _, file in table.variants}
    assert named == {f"_variants/{path.name}" for path in VARIANTS}


def test_samples_settings_say_why() -> None:
    """Each table and each swap of the answers has a reason beside it."""
    lines = (SAMPLES / "vectorprep.toml").read_text(encoding="utf-8").splitlines()
    for here, after in itertools.pairwise(lines):
        if here.startswith("["):
            assert "#" in after


def lines_of(path: Path) -> NDArray[np.float64]:
    """Where a drawing changes colour, as a small picture: steps of colour across 48 x 48 cells on grey, about their mean."""
    data = resvg_py.svg_to_bytes(
        svg_string=path.read_text(encoding="utf-8"), width=200, dpi=96, skip_system_fonts=True, font_files=list(FONTS.files)
    )
    picture = Image.open(io.BytesIO(bytes(data))).convert("RGBA").resize((48, 48), Image.Resampling.BOX)
    cloth = Image.new("RGBA", picture.size, "#808080")
    cloth.alpha_composite(picture)
    cells = np.asarray(cloth)[..., :3].astype(float)
    steps = np.concatenate([np.abs(np.diff(cells, axis=axis)).sum(axis=2).ravel() for axis in (0, 1)])
    centred: NDArray[np.float64] = (steps - steps.mean()) / np.linalg.norm(steps - steps.mean())
    return centred


def test_samples_look_different_from_each_other() -> None:
    """The lines of no two drawings agree (correlation under 0.5, house value), while those of a drawing and its variant do."""
    lines = {path.stem: lines_of(path) for path in DRAWINGS}
    alike = {(a, b): float(lines[a] @ lines[b]) for a, b in itertools.combinations(lines, 2)}
    closest = max(alike, key=lambda pair: alike[pair])
    assert alike[closest] < 0.5, (closest, alike[closest])
    bear = lines_of(SAMPLES / "_variants" / "bear_under-stars_on-dark.svg")
    assert float(lines["bear_under-stars"] @ bear) > 0.5
