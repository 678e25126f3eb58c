"""Facts about the sample drawings: each shows what it is there to show, and the picture depends on it.

Comes in: the folder `sample_svgs/`.
Goes out: nothing.
Never done here: anything that needs the command line.
"""

from __future__ import annotations

import base64
import io
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import resvg_py
from fontTools.pens.recordingPen import RecordingPen
from fontTools.ttLib import TTFont
from lxml import etree
from numpy.typing import NDArray
from PIL import Image

from vectorprep.colour import lightness
from vectorprep.fonts import load_index

SAMPLES = Path(__file__).parents[2] / "sample_svgs"
SVG = "{http://www.w3.org/2000/svg}"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
FONT_FILES = list(load_index(system=False).files)
Pixels = NDArray[np.uint8]


def source(name: str) -> str:
    """Text of a drawing."""
    return (SAMPLES / f"{name}.svg").read_text(encoding="utf-8")


def tree(name: str) -> Any:
    """Root element of a drawing."""
    return etree.fromstring(source(name).encode())


def every(name: str, tag: str) -> list[Any]:
    """All elements of a tag."""
    return list(tree(name).iter(SVG + tag))


def drawn(svg: str, width_px: int = 300) -> Pixels:
    """Straight RGBA pixels of a drawing."""
    data = resvg_py.svg_to_bytes(svg_string=svg, width=width_px, dpi=96, skip_system_fonts=True, font_files=FONT_FILES)
    return np.asarray(Image.open(io.BytesIO(bytes(data))).convert("RGBA"))


def share_changed(before: Pixels, after: Pixels, *, levels: int = 32) -> float:
    """Share of pixels that differ by more than some levels in some channel."""
    return float((np.abs(before.astype(int) - after.astype(int)).max(axis=2) > levels).mean())


def inks(pixels: Pixels) -> Pixels:
    """Colours of the opaque pixels, shape (n, 3)."""
    opaque: Pixels = pixels[pixels[..., 3] == 255][:, :3]
    return opaque


def share_of_ink(pixels: Pixels, *, at_least: float = 0.0, at_most: float = 100.0) -> float:
    """Share of the opaque pixels whose lightness L* lies between two bounds."""
    colours, counts = np.unique(inks(pixels), axis=0, return_counts=True)
    values = np.array([lightness("#{:02x}{:02x}{:02x}".format(*colour)) for colour in colours])
    return float(counts[(values >= at_least) & (values <= at_most)].sum() / counts.sum())


def paints(name: str) -> set[str]:
    """Every solid colour that a drawing names in a paint attribute."""
    return set(re.findall(r'(?:fill|stroke|stop-color)="(#[0-9a-f]{6})"', source(name)))


def test_samples_line_art_is_one_dark_neutral_ink() -> None:
    """The heron names a single colour, dark enough to vanish on dark cloth."""
    (ink,) = paints("night_heron-line")
    assert lightness(ink) < 25


def test_samples_flat_art_has_many_flat_colours() -> None:
    """The fox is more than a dozen flat colours without gradient, outline or transparency."""
    assert len(paints("fox_camp-fire")) > 12
    assert not re.search(r"Gradient|opacity|filter", source("fox_camp-fire"))


def test_samples_pastel_art_is_pale() -> None:
    """At least nine tenths of the balloons' ink is of L* 72 and more, and none of it below 60."""
    pixels = drawn(source("teapot-balloons_pastel"))
    assert share_of_ink(pixels, at_least=72) > 0.9
    assert share_of_ink(pixels, at_most=60) == 0


def test_samples_owl_is_mostly_white() -> None:
    """More than half of the owl's ink is pure white."""
    assert float((inks(drawn(source("White Owl Moon"))) == 255).all(axis=1).mean()) > 0.5


def test_samples_cat_is_outlined_in_black() -> None:
    """Almost every pixel at the rim of the cat's ink is the dark line, although most of its ink is not dark."""
    pixels = drawn(source("cat-in-cup_sticker"), 600)
    solid = pixels[..., 3] == 255
    inner = solid.copy()
    for axis in (0, 1):
        for step in (-1, 1):
            inner &= np.roll(solid, step, axis)
    rim = pixels[solid & ~inner][:, :3]
    assert float((rim.max(axis=1) < 64).mean()) > 0.95
    assert float((inks(pixels).max(axis=1) < 64).mean()) < 0.35


def test_samples_sundown_is_painted_with_gradients() -> None:
    """The sundown uses linear and radial gradients, one of them fading to nothing, and every one is used."""
    text = source("harbour_sundown")
    names = re.findall(r'<(?:linear|radial)Gradient id="(\w+)"', text)
    assert {f"url(#{name})" for name in names} <= set(re.findall(r"url\(#\w+\)", text))
    assert "<radialGradient" in text
    assert 'stop-opacity="0"' in text


@pytest.mark.parametrize(("name", "family"), [("LUMBRY-quay-badge", "Fredoka One"), ("smoked-plum_tin-label", "Caladea")])
def test_samples_live_text_is_drawn_with_a_font_that_comes_along(name: str, family: str) -> None:
    """Live text names the family, and the picture changes when the words are taken out."""
    text = source(name)
    assert family in text
    assert share_changed(drawn(text), drawn(re.sub(r"<text.*?</text>", "", text))) > 0.01


def test_samples_badge_sets_words_on_a_path() -> None:
    """The badge's words follow circles."""
    assert len(every("LUMBRY-quay-badge", "textPath")) == 2


def test_samples_lettering_is_outlines_of_the_font() -> None:
    """The lettering holds no live text; its G has the segments of Fredoka One's G."""
    assert not every("slow-tea_type_final", "text")
    (words,) = [group for group in every("slow-tea_type_final", "g") if group.get("id") == "words"]
    letters = [path.get("d") for path in words]
    assert len(letters) == len("slowtea") + len("LONG") + len("nights")
    pen = RecordingPen()
    with TTFont(_fredoka()) as font:
        font.getGlyphSet()["G"].draw(pen)
    contours = sum(1 for command, _ in pen.value if command == "closePath")
    assert letters["slowteaLONG".index("G")].count("Z") == contours


def _fredoka() -> Path:
    return next(Path(file) for file in FONT_FILES if "Fredoka" in file)


def test_samples_moth_is_coloured_by_its_style_sheet_alone() -> None:
    """No element of the moth carries a paint of its own; without the sheet the picture changes."""
    text = source("lamp-moth_folk")
    assert not re.search(r'\s(?:fill|stroke|style)="', text)
    assert len(re.findall(r'class="', text)) > 20
    assert share_changed(drawn(text), drawn(re.sub(r"<style>.*?</style>", "", text, flags=re.DOTALL))) > 0.2


def test_samples_lanterns_are_three_symbols_used_nine_times() -> None:
    """Nine lanterns are uses of three symbols, coloured from outside through currentColor."""
    used = [use.get("href") for use in every("nine_lanterns", "use")]
    assert sorted(used.count(f"#lantern-{kind}") for kind in ("round", "tall", "box")) == [3, 3, 3]
    assert {symbol.get("id") for symbol in every("nine_lanterns", "symbol")} >= {"lantern-round", "lantern-tall", "lantern-box"}
    assert source("nine_lanterns").count("currentColor") > 10


@pytest.mark.parametrize("feature", ["clip-path", "mask"])
def test_samples_octopus_needs_its_clips_and_masks(feature: str) -> None:
    """Without its clips, or without its masks, the octopus is another picture."""
    text = source("porthole_octopus-v2")
    without = re.sub(rf'\s{feature}="url\([^"]*"', "", text)
    assert without != text
    assert share_changed(drawn(text), drawn(without)) > 0.01


def test_samples_sprig_is_thin_strokes_only() -> None:
    """The sprig fills nothing; its one line is thinner than a 200th of the page's width."""
    fills = {value for element in tree("tea-sprig_fine-line").iter() for key, value in element.items() if key == "fill"}
    assert fills == {"none"}
    widths = [float(value) for value in re.findall(r'stroke-width="([\d.]+)"', source("tea-sprig_fine-line"))]
    assert max(widths) < 1000 / 200


def test_samples_moon_is_a_bitmap_with_a_transparent_margin_and_enough_pixels() -> None:
    """The painted moon has an empty margin and keeps 300 ppi on a shirt: a print 279.4 mm wide, x 0.9 as it is about square.

    Sources: width and factor common practice, no source; 1 in = 25.4 mm.
    """
    (image,) = every("moon-hare_watercolour", "image")
    payload = re.sub(r"\s", "", image.get(XLINK_HREF).split("base64,")[1])
    painted = Image.open(io.BytesIO(base64.b64decode(payload)))
    alpha = np.asarray(painted.convert("RGBA"))[..., 3]
    margin = np.concatenate([alpha[:40].ravel(), alpha[-40:].ravel(), alpha[:, :40].ravel(), alpha[:, -40:].ravel()])
    assert margin.max() == 0
    columns = np.flatnonzero(drawn(source("moon-hare_watercolour"), 1000)[..., 3].max(axis=0) >= 8)
    ink_width_uu = columns[-1] - columns[0] + 1
    printed_in = 0.9 * 279.4 / 25.4 * float(image.get("width")) / ink_width_uu
    assert painted.width / printed_in >= 300


def test_samples_whale_leaves_its_page() -> None:
    """A page widened to the right shows a fifth more ink columns than the drawing's own page."""
    text = source("whale-ferry_riso")
    page = 'width="1160" height="860" viewBox="0 0 1160 860"'
    assert page in text
    wider = text.replace(page, 'width="1450" height="860" viewBox="0 0 1450 860"')
    beyond = drawn(wider, 1450)[:, 1160:, 3]
    assert np.flatnonzero(beyond.max(axis=0)).max() > 120


def test_samples_otter_has_a_forgotten_plate() -> None:
    """The first shape of the otter covers the whole page in one colour."""
    first = every("otter-letter", "rect")[0]
    root = tree("otter-letter")
    assert (first.get("width"), first.get("height")) == (root.get("width"), root.get("height"))
    assert drawn(source("otter-letter"))[..., 3].min() == 255


def test_samples_crab_is_sized_in_millimetres() -> None:
    """The crab's page is stated in mm."""
    root = tree("crab_lino_120mm")
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("120mm", "120mm", "0 0 120 120")


def test_samples_compass_states_a_view_box_only() -> None:
    """The compass has a viewBox around the origin and neither width nor height."""
    root = tree("tea-rose_compass")
    assert root.get("viewBox") == "-500 -500 1000 1000"
    assert root.get("width") is None
    assert root.get("height") is None


def test_samples_paper_sea_has_soft_shadows() -> None:
    """Shadows use a filter with a blur; without it they end hard, yet no soft ink reaches the outside."""
    text = source("paper-sea_soft-shadow")
    blurs = every("paper-sea_soft-shadow", "feGaussianBlur")
    used = {f"url(#{blur.getparent().get('id')})" for blur in blurs}
    assert used <= {element.get("filter") for element in tree("paper-sea_soft-shadow").iter()}
    pixels = drawn(text)
    assert share_changed(pixels, drawn(re.sub(r'\sfilter="[^"]*"', "", text)), levels=8) > 0.05
    alpha = pixels[..., 3]
    inside = alpha > 0
    for _ in range(2):
        inside &= np.roll(inside, 1, 0) & np.roll(inside, -1, 0) & np.roll(inside, 1, 1) & np.roll(inside, -1, 1)
    assert alpha[inside].min() == 255


def test_samples_bear_hides_a_sketch_layer() -> None:
    """The bear's sketch layer is not drawn; shown, it would reach the corners of the page."""
    text = source("bear_under-stars")
    shown = text.replace(' display="none"', "")
    assert shown != text
    assert drawn(text)[0, 0, 3] == 0
    assert drawn(shown)[0, 0, 3] == 255


def test_samples_snail_is_pixels() -> None:
    """The snail is drawn on whole units without smoothing: every pixel of a render is bare or opaque."""
    assert set(np.unique(drawn(source("teapot-snail_8-bit"), 920)[..., 3])) == {0, 255}
