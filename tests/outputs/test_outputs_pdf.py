"""The PDF as independent readers see it: boxes, vectors, fonts, pictures, the cut's colour and layer."""

from __future__ import annotations

import io
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

pikepdf = pytest.importorskip("pikepdf", reason="the extra pdf is not installed")
pytest.importorskip("svg2pdf_py", reason="the extra pdf is not installed")
pdfium = pytest.importorskip("pypdfium2", reason="the reader pypdfium2 is not installed")

from pypdfium2.raw import FPDF_PAGEOBJ_IMAGE, FPDF_PAGEOBJ_PATH, FPDF_PAGEOBJ_TEXT  # noqa: E402

sys.path.insert(0, str(Path(__file__).parent))
from test_outputs_cut_svg import _DISC, _STICKER, picture_of  # type: ignore[import-not-found] # noqa: E402

from vectorprep.engine import draw_window  # noqa: E402
from vectorprep.finish import bordered  # noqa: E402
from vectorprep.geometry import Box  # noqa: E402
from vectorprep.outputs import inside, make  # noqa: E402
from vectorprep.outputs.picture import Picture  # noqa: E402
from vectorprep.recolour import outlined  # noqa: E402

PT_PER_MM = 72 / 25.4
_CARD = replace(_STICKER, cut=None, ink_max_mm=None, print_area_kind="fixed", bleed_mm=3.0)
_SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">{}</svg>'
_LETTERS = '<text x="10" y="50" font-family="Fredoka One, sans-serif" font-size="20">Tea 27</text>'
_BLUR = '<filter id="f"><feGaussianBlur stdDeviation="2"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/>'


def pdf_of(picture: Picture) -> bytes:
    """The bytes of a picture's PDF."""
    (made,) = make("pdf", picture)
    return made.data


def kinds_on(data: bytes) -> list[int]:
    """Types of all objects on the page."""
    return [found.type for found in pdfium.PdfDocument(data)[0].get_objects(max_depth=15)]


def test_page_trim_and_bleed_are_exact() -> None:
    """A trim of 60 mm with 3 mm bleed: page and bleed box 66 mm, trim box inset by 3 mm, each within 0.01 mm (arithmetic)."""
    pdf = pikepdf.Pdf.open(io.BytesIO(pdf_of(picture_of(_DISC, _CARD))))
    page = pdf.pages[0]
    for box, edges in ((page.MediaBox, (0, 0, 66, 66)), (page.BleedBox, (0, 0, 66, 66)), (page.TrimBox, (3, 3, 63, 63))):
        assert [float(edge) / PT_PER_MM for edge in box] == pytest.approx(edges, abs=0.01)


def test_the_drawing_stays_vector() -> None:
    """A disc is a path, and no picture is on the page."""
    found = kinds_on(pdf_of(picture_of(_DISC, _CARD)))
    assert FPDF_PAGEOBJ_PATH in found
    assert FPDF_PAGEOBJ_IMAGE not in found


def test_the_page_looks_like_the_print_file() -> None:
    """At the print's resolution the PDF covers the pixels of the print file. TRAP: px taken for pt, a third too large."""
    picture = picture_of(_DISC, _CARD)
    assert picture.raster is not None
    drawn = pdfium.PdfDocument(pdf_of(picture))[0].render(scale=300 / 72).to_numpy()[..., :3]
    inked = np.argwhere(drawn.min(axis=-1) < 128)
    (top, left), (bottom, right) = inked.min(axis=0), inked.max(axis=0) + 1
    assert (left, top, right, bottom) == pytest.approx(picture.placement.placed[0].ink_box_px, abs=1)


def test_ink_beyond_the_page_is_kept_where_it_belongs() -> None:
    """A drawing whose ink reaches over its page keeps it, as the print file does."""
    picture = picture_of(_SVG.format('<rect x="60" y="40" width="60" height="20"/>'), _CARD)
    wide = replace(picture, artwork=replace(picture.artwork, is_unclipped=True))
    x0, y0, x1, y1 = wide.placement.placed[0].ink_box_px
    stretched = replace(wide.placement.placed[0], ink_box_px=(x0, y0, x0 + round((x1 - x0) * 1.2), y1))
    wide = replace(wide, placement=replace(wide.placement, placed=(stretched,)))
    widths = []
    for one in (picture, wide):
        drawn = pdfium.PdfDocument(pdf_of(one))[0].render(scale=2).to_numpy()[..., 0]
        widths.append(np.argwhere(drawn < 128)[:, 1].max())
    assert widths[1] > widths[0]


def test_fonts_are_embedded() -> None:
    """Lettering stays text, and every font of the file carries its program."""
    data = pdf_of(picture_of(_SVG.format(_LETTERS), _CARD))
    assert FPDF_PAGEOBJ_TEXT in kinds_on(data)
    pdf = pikepdf.Pdf.open(io.BytesIO(data))
    described = [one for one in pdf.objects if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/FontDescriptor"]
    assert described
    assert all({"/FontFile", "/FontFile2", "/FontFile3"} & set(one.keys()) for one in described)


def test_filters_become_pictures_at_the_resolution_of_the_print() -> None:
    """A blur is an image whose pixels are those of 300 ppi within 2 per cent, not of 72."""
    page = pdfium.PdfDocument(pdf_of(picture_of(_SVG.format(_BLUR), _CARD)))[0]
    (image,) = [one for one in page.get_objects(max_depth=15) if one.type == FPDF_PAGEOBJ_IMAGE]
    found = image.get_metadata()
    assert (found.horizontal_dpi, found.vertical_dpi) == pytest.approx((300, 300), rel=0.02)


def test_the_cut_is_a_spot_colour_and_a_processing_step() -> None:
    """The cut line has a Separation colour and a layer with the names of ISO 19593-1 (names second-hand), and overprints."""
    pdf = pikepdf.Pdf.open(io.BytesIO(pdf_of(picture_of(_DISC))))
    (layer,) = pdf.Root.OCProperties.OCGs
    assert (layer.GTS_Metadata.GTS_ProcStepsGroup, layer.GTS_Metadata.GTS_ProcStepsType) == ("/Structural", "/PartialCutting")
    resources = pdf.pages[0].Resources
    assert list(resources.ColorSpace.CutInk)[:2] == ["/Separation", "/PartialCutting"]
    assert bool(resources.ExtGState.Over.OP)
    content = pdf.pages[0].Contents.read_bytes()
    assert b"/OC /CutStep BDC" in content
    assert content.count(b"\ns") == 1


def test_a_keyline_with_a_path_stays_vector_at_its_place() -> None:
    """A keyline of 1 mm given as a path reaches 1 mm beyond the ink on the page, within 0.1 mm, and nothing becomes a picture."""
    picture = picture_of(_DISC, _CARD)
    placed = picture.placement.placed[0]
    per_mm = placed.px_per_mm / (300 / 25.4)
    window = Box(10.0, 30.0, 70.0, 90.0)
    raster = draw_window(picture.engine, picture.artwork, window, 1500, 1500) if picture.engine else None
    assert raster is not None
    vector = outlined(picture.artwork, raster, window, 1 / per_mm, "#2040c0")
    keyed = replace(picture, outlined=vector, treatment=replace(picture.treatment, kind="keyline"))
    data = pdf_of(keyed)
    assert FPDF_PAGEOBJ_IMAGE not in kinds_on(data)
    drawn = pdfium.PdfDocument(data)[0].render(scale=300 / 72).to_numpy()[..., :3]
    inked = np.argwhere(drawn.min(axis=-1) < 128)
    (top, left), (bottom, right) = inked.min(axis=0), inked.max(axis=0) + 1
    x0, y0, x1, y1 = placed.ink_box_px
    grown = 300 / 25.4
    assert (left, top, right, bottom) == pytest.approx((x0 - grown, y0 - grown, x1 + grown, y1 + grown), abs=1.2)


def test_a_keyline_without_a_path_gets_no_pdf() -> None:
    """An outline of pixels is not passed off as vector."""
    picture = picture_of(_DISC, _CARD)
    assert make("pdf", replace(picture, treatment=replace(picture.treatment, kind="keyline"))) == ()


def test_the_same_picture_gives_the_same_pdf() -> None:
    """No time and no chance is in the bytes."""
    picture = picture_of(_DISC)
    assert pdf_of(picture) == pdf_of(replace(picture, version=""))


def test_a_border_of_the_arts_colours_runs_past_the_cut() -> None:
    """Where the settings carry edge colours outward, PDF and PNG show them between ink and cut and up to the bleed (PDFium)."""
    picture = picture_of(_DISC)
    reach_mm = 4.0
    bordered_picture = replace(
        picture, into_file=lambda raster, placement: inside(bordered(raster, reach_mm * placement.ppi / 25.4), placement.canvas_px)
    )
    (plain,), (made,) = make("pdf", picture), make("pdf", bordered_picture)
    per_mm = 4.0
    x0, y0, x1, y1 = (edge / 300 * 25.4 for edge in picture.placement.placed[0].ink_box_px)
    seen = [
        np.asarray(pdfium.PdfDocument(data)[0].render(scale=per_mm * 25.4 / 72).to_pil().convert("RGB"))
        for data in (plain.data, made.data)
    ]
    for away, is_red in ((1.0, True), (3.5, True), (5.5, False)):
        place = round((y0 + y1) / 2 * per_mm), round((x1 + away) * per_mm)
        assert tuple(seen[0][place]) == (255, 255, 255)
        wanted = (0xC0, 0x30, 0x30) if is_red else (255, 255, 255)
        assert tuple(int(value) for value in seen[1][place]) == pytest.approx(wanted, abs=2)
    (png_file,) = make("print-png", bordered_picture)
    box = png_file.output.ink_box_px
    assert box is not None
    assert (x0 * 300 / 25.4 - box[0]) / 300 * 25.4 == pytest.approx(reach_mm, rel=0.12)
