"""PDFs of drawings of the sample shop for every built-in product that has one, as independent readers see them."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest

pikepdf = pytest.importorskip("pikepdf", reason="the extra pdf is not installed")
pytest.importorskip("svg2pdf_py", reason="the extra pdf is not installed")
pdfium = pytest.importorskip("pypdfium2", reason="the reader pypdfium2 is not installed")

from pypdfium2.raw import FPDF_PAGEOBJ_IMAGE, FPDF_PAGEOBJ_PATH  # noqa: E402

from vectorprep.engine import open_engine  # noqa: E402
from vectorprep.measure import measure  # noqa: E402
from vectorprep.model import Measurement, Raster, Treatment  # noqa: E402
from vectorprep.outputs import make  # noqa: E402
from vectorprep.outputs.picture import Picture  # noqa: E402
from vectorprep.pipeline.catalogue import open_catalogue  # noqa: E402
from vectorprep.plan import place  # noqa: E402
from vectorprep.read import read_artwork  # noqa: E402

PT_PER_MM = 72 / 25.4
SAMPLES = Path(__file__).parents[2] / "sample_svgs"
PRODUCTS = {key: product for key, product in open_catalogue().products.items() if "pdf" in product.outputs}
ENGINE = open_engine()
LETTERED, FADED = "smoked-plum_tin-label", "harbour_sundown"
CASES = [(key, name) for key in sorted(PRODUCTS) for name in (LETTERED, FADED)]
_measured: dict[str, Measurement] = {}


def pdf_of(key: str, name: str) -> bytes:
    """The PDF of a sample; its print file, which the PDF does not show, is left undrawn."""
    if name not in _measured:
        _measured[name] = measure(read_artwork((SAMPLES / f"{name}.svg").read_bytes(), name=name), ENGINE)
    measured = _measured[name]
    picture = Picture(
        artwork=measured.artwork,
        placement=place(measured, PRODUCTS[key]),
        product=PRODUCTS[key],
        treatment=Treatment(kind="as-drawn"),
        stem=name,
        blanks=("white",),
        raster=Raster(pixels=np.zeros((1, 1, 4), np.uint8)),
        engine=ENGINE,
    )
    (made,) = make("pdf", picture)
    return made.data


@pytest.mark.parametrize(("key", "name"), CASES)
def test_a_samples_pdf_is_what_its_product_asks_for(key: str, name: str) -> None:
    """Boxes within 0.01 mm, all of it paths and text, fonts embedded, a sticker's cut by its names."""
    product, data = PRODUCTS[key], pdf_of(key, name)
    (width, height), bleed = (float(side) for side in product.file_size_mm), product.bleed_mm
    pdf = pikepdf.Pdf.open(io.BytesIO(data))
    assert pdf.check_pdf_syntax() == []
    page = pdf.pages[0]
    trim = bleed, bleed, width - bleed, height - bleed
    for box, edges in ((page.MediaBox, (0, 0, width, height)), (page.BleedBox, (0, 0, width, height)), (page.TrimBox, trim)):
        assert [float(edge) / PT_PER_MM for edge in box] == pytest.approx(edges, abs=0.01)
    described = [one for one in pdf.objects if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/FontDescriptor"]
    assert all({"/FontFile", "/FontFile2", "/FontFile3"} & set(one.keys()) for one in described)
    assert bool(described) == (name == LETTERED)
    found = list(pdfium.PdfDocument(data)[0].get_objects(max_depth=15))
    assert sum(one.type == FPDF_PAGEOBJ_PATH for one in found) > 20
    assert not any(one.type == FPDF_PAGEOBJ_IMAGE for one in found)
    has_cut = product.cut is not None and product.cut.offset_outside_ink_mm is not None
    assert ("/OCProperties" in pdf.Root) == has_cut
    if product.cut is not None and has_cut:
        (layer,) = pdf.Root.OCProperties.OCGs
        step = f"/{product.cut.processing_step_type}"
        assert (layer.GTS_Metadata.GTS_ProcStepsGroup, layer.GTS_Metadata.GTS_ProcStepsType) == ("/Structural", step)
        assert [str(part) for part in list(page.Resources.ColorSpace.CutInk)[:2]] == ["/Separation", step]
