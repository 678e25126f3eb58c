"""Outputs: files named, sized and described as their records say."""

from __future__ import annotations

import hashlib
import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from vectorprep import png
from vectorprep.engine import draw_placed, open_engine
from vectorprep.engine.coverage import box_of
from vectorprep.fonts import load_index
from vectorprep.measure import measure
from vectorprep.model import Encoded, FileRule, InkPolicy, Limits, Placed, PlacementRule, Product, Raster, Treatment
from vectorprep.outputs import Picture, kinds, make
from vectorprep.outputs.reduce import reduced
from vectorprep.plan import place
from vectorprep.read import read_artwork

_INDEX = load_index(system=False)
_ENGINE = open_engine(font_files=_INDEX.files)
_SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">'
    '<circle cx="40" cy="40" r="25" fill="#c03030"/><path d="M20,60 L80,20" stroke="#204080" stroke-width="4"/></svg>'
)


@pytest.fixture(scope="module")
def product() -> Product:
    """A small product of 40 x 50 mm at 300 ppi."""
    return Product(
        key="bench-small",
        name="Bench",
        product_noun="card",
        process="dtg",
        audience="general",
        substrate="card",
        print_area_mm=(40, 50),
        print_area_kind="fixed",
        resolution_ppi=300,
        fit="contain",
        background="transparent",
        mirror="none",
        mirror_done_by="not_applicable",
        placement=PlacementRule(datum="sheet_centre", horizontal="centre", vertical="centre"),
        limits=Limits(key="bench"),
        ink_policy=InkPolicy(key="bench", white_ink="none", recolour="never"),
        file=FileRule(formats=("png",)),
    )


@pytest.fixture(scope="module")
def picture(product: Product) -> Picture:
    """The drawing, measured, placed and drawn as a run does it."""
    artwork = read_artwork(_SVG.encode(), name="badge", fonts=_INDEX)
    measured = measure(artwork, _ENGINE, with_inks=False)
    raster, placement = draw_placed(_ENGINE, measured.artwork, place(measured, product))
    return Picture(
        artwork=measured.artwork,
        placement=placement,
        product=product,
        treatment=Treatment(kind="as-drawn"),
        stem="badge--bench-small--as-drawn",
        blanks=("white", "ash"),
        raster=raster,
        engine=_ENGINE,
        preview_long_side_px=300,
        version="9.9",
    )


def _opened(made: Encoded) -> np.ndarray:
    with Image.open(io.BytesIO(made.data)) as picture:
        return np.asarray(picture.convert("RGBA"))


def _ink(made: Encoded) -> tuple[int, int, int, int] | None:
    return box_of(_opened(made)[..., 3])


def test_the_shelf_knows_its_kinds() -> None:
    """Kinds are found by looking at the folder."""
    assert {"print-png", "preview-png", "recoloured-svg"} <= set(kinds())


def test_the_print_file_has_the_products_exact_size(picture: Picture) -> None:
    """40 x 50 mm at 300 ppi: floor(472.44 + 1/2) x floor(590.55 + 1/2)."""
    (made,) = make("print-png", picture)
    assert _opened(made).shape == (591, 472, 4)
    assert (made.output.width_px, made.output.height_px, made.output.path) == (472, 591, "badge--bench-small--as-drawn.png")


def test_the_ink_box_of_the_file_is_the_planned_one(picture: Picture) -> None:
    """What another reader finds in the file is what record and placement state."""
    (made,) = make("print-png", picture)
    assert _ink(made) == made.output.ink_box_px == picture.placement.placed[0].ink_box_px


def test_records_carry_hash_and_length_of_the_bytes(picture: Picture) -> None:
    """sha256 and bytes are those of the data."""
    for kind in ("print-png", "preview-png", "recoloured-svg"):
        for made in make(kind, picture):
            assert (made.output.sha256, made.output.bytes) == (hashlib.sha256(made.data).hexdigest(), len(made.data))
            assert (made.output.kind, made.output.state, made.output.blanks) == (kind, "made", ("white", "ash"))


def test_the_file_tells_its_source_and_no_time(picture: Picture) -> None:
    """Program, source hash, product and treatment stand in the text chunks, and nothing else."""
    (made,) = make("print-png", picture)
    text = [payload.split(b"\0")[0].decode() for kind, payload in png.read_chunks(made.data) if kind == "tEXt"]
    assert text == ["Software", "vectorprep-source-sha256", "vectorprep-product", "vectorprep-treatment"]
    assert picture.artwork.sha256.encode() in made.data


def test_the_preview_shows_the_same_placement(picture: Picture) -> None:
    """Long side 300 px, the ink at the same fractions of the canvas to a pixel."""
    (made,) = make("preview-png", picture)
    assert (made.output.width_px, made.output.height_px) == (240, 300)
    scale = 300 / 591
    wanted = [edge * scale for edge in picture.placement.placed[0].ink_box_px]
    ink = _ink(made)
    assert ink is not None
    assert max(abs(a - b) for a, b in zip(ink, wanted, strict=True)) <= 1.5
    assert _opened(made)[0, 0].tolist() == [0, 0, 0, 0]


def test_a_trimmed_preview_ends_at_its_ink(picture: Picture) -> None:
    """On request a second preview whose canvas is the ink box."""
    full, trimmed = make("preview-png", replace(picture, preview_trimmed=True))
    box = full.output.ink_box_px
    assert box is not None
    size = box[2] - box[0], box[3] - box[1]
    assert (trimmed.output.path, trimmed.output.ink_box_px) == ("badge--bench-small--as-drawn--preview-trimmed.png", (0, 0, *size))
    assert np.array_equal(_opened(trimmed), _opened(full)[box[1] : box[3], box[0] : box[2]])


def test_a_preview_reduced_from_the_print_looks_like_one_drawn_afresh(picture: Picture) -> None:
    """Both ways agree but for the smoothing of edges."""
    (fresh,), (shrunk,) = make("preview-png", picture), make("preview-png", replace(picture, engine=None))
    one, other = _opened(fresh).astype(int), _opened(shrunk).astype(int)
    assert (np.abs(one[..., 3] - other[..., 3]) > 64).mean() < 0.01
    solid = (one[..., 3] == 255) & (other[..., 3] == 255)
    assert (np.abs(one - other)[solid].max(axis=1) > 64).mean() < 0.01


def test_what_the_engine_did_not_draw_is_reduced_from_the_print(picture: Picture) -> None:
    """A keyline was put into the pixels: the preview has to show it."""
    assert picture.raster is not None
    pixels = np.zeros_like(picture.raster.pixels)
    pixels[...] = (0, 255, 0, 255)
    outlined = replace(picture, treatment=Treatment(kind="keyline"), raster=replace(picture.raster, pixels=pixels))
    (made,) = make("preview-png", outlined)
    assert _opened(made)[150, 120].tolist() == [0, 255, 0, 255]


def test_a_preview_drawn_afresh_is_finished_like_the_print(picture: Picture) -> None:
    """What is done to the print's pixels is done to the preview's at its own scale."""
    seen: list[float] = []

    def finish(raster: Raster, scale: float) -> Raster:
        seen.append(scale)
        return replace(raster, pixels=np.full_like(raster.pixels, 255))

    (made,) = make("preview-png", replace(picture, treatment=Treatment(kind="keyline"), finish=finish))
    assert seen == [300 / 591]
    assert _opened(made)[150, 120].tolist() == [255, 255, 255, 255]


def test_planned_files_have_records_and_no_bytes(picture: Picture) -> None:
    """Without pixels the records say what would be made."""
    for kind in ("print-png", "preview-png"):
        (made,) = make(kind, replace(picture, raster=None))
        assert (made.output.state, made.data, made.output.sha256) == ("planned", b"", "")


def test_an_opaque_product_has_an_opaque_print_and_a_transparent_preview(picture: Picture) -> None:
    """The background belongs to the print file alone."""
    poster = replace(picture, placement=replace(picture.placement, background="#ffffff"))
    assert (_opened(make("print-png", poster)[0])[..., 3] == 255).all()
    assert (_opened(make("preview-png", poster)[0])[..., 3] == 0).any()


def test_outputs_repeat_to_the_byte(picture: Picture) -> None:
    """The same picture gives the same bytes."""
    for kind in kinds():
        assert [made.data for made in make(kind, picture)] == [made.data for made in make(kind, picture)]


def test_a_reduced_raster_keeps_its_mean_and_place() -> None:
    """Area averages keep the sum of coverage and its middle, whatever the fraction of a pixel the region begins at."""
    pixels = np.zeros((310, 470, 4), np.uint8)
    pixels[30:280, 50:400] = (90, 60, 30, 200)
    small = reduced(Raster(pixels=pixels, origin_px=(13, 7)), 0.4, (400, 400))
    whole = np.zeros((400, 400))
    x, y = small.origin_px
    whole[y : y + small.pixels.shape[0], x : x + small.pixels.shape[1]] = small.pixels[..., 3]
    assert whole.sum() == pytest.approx(250 * 350 * 200 * 0.16, rel=0.002)
    rows, columns = np.indices(whole.shape)
    assert (whole * (columns + 0.5)).sum() / whole.sum() == pytest.approx(0.4 * (13 + 225), abs=0.05)
    assert (whole * (rows + 0.5)).sum() / whole.sum() == pytest.approx(0.4 * (7 + 155), abs=0.05)
    assert (small.pixels[..., :3] <= small.pixels[..., 3:]).all()


def test_two_copies_lie_in_their_places_in_print_and_preview(picture: Picture) -> None:
    """The record lists both copies; the preview shows both."""
    first = picture.placement.placed[0]
    size = first.ink_box_px[2] - first.ink_box_px[0]
    second = Placed(
        px_per_mm=first.px_per_mm,
        offset_px=(first.offset_px[0] + size + 100, first.offset_px[1]),
        ink_box_px=(first.ink_box_px[0] + size + 100, first.ink_box_px[1], first.ink_box_px[2] + size + 100, first.ink_box_px[3]),
        printed_mm=first.printed_mm,
    )
    plan = replace(picture.placement, canvas_px=(1100, 591), placed=(first, second))
    raster, drawn = draw_placed(_ENGINE, picture.artwork, plan)
    both = replace(picture, placement=drawn, raster=raster)
    (made,) = make("print-png", both)
    assert [box for box, _ in made.output.placements] == [first.ink_box_px, second.ink_box_px]
    assert _ink(made) == (first.ink_box_px[0], first.ink_box_px[1], second.ink_box_px[2], first.ink_box_px[3])
    (small,) = make("preview-png", both)
    scale = 300 / 1100
    ends = [round(edge * scale) for box in (first.ink_box_px, second.ink_box_px) for edge in (box[0], box[2])]
    alpha = _opened(small)[..., 3]
    assert alpha[:, ends[1] + 2 : ends[2] - 2].max() == 0
    assert alpha[:, ends[0] : ends[1]].max() == alpha[:, ends[2] : ends[3]].max() == 255
