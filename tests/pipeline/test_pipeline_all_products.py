"""Every built-in product gets the files that its process needs, each of its exact size and readable by others."""

from __future__ import annotations

import io
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from lxml import etree
from PIL import Image

from vectorprep import RunOptions, convert_artworks
from vectorprep.pipeline.catalogue import open_catalogue

ART = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="110mm" viewBox="0 0 100 110">'
    '<defs><linearGradient id="g"><stop stop-color="#f0b323"/><stop offset="1" stop-color="#b3202c"/></linearGradient></defs>'
    '<circle cx="50" cy="45" r="40" fill="#1f6f78"/><path d="M30 30h40v30H30z" fill="url(#g)"/>'
    '<path d="M20 92h60v12H20z" fill="#f7e7ce" stroke="#22262f" stroke-width="3"/></svg>'
)
MM_PER_PT = 25.4 / 72


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, list[dict[str, object]]], list[dict[str, object]]]:
    """One drawing on all built-in products: the out folder, outputs by product, findings."""
    folder = tmp_path_factory.mktemp("all")
    (folder / "badge.svg").write_text(ART)
    products = tuple(open_catalogue(()).products)
    report = convert_artworks([folder / "badge.svg"], folder / "out", options=RunOptions(products=products, jobs=2, review=False))
    assert [artwork["status"] for artwork in report.record["artworks"]] == ["ok"]
    outputs: dict[str, list[dict[str, object]]] = {key: [] for key in products}
    for output in report.record["outputs"]:
        outputs[output["product"]].append(output)
    return folder / "out", outputs, report.record["findings"]


def test_no_product_lacks_a_file(made: tuple[Path, dict[str, list[dict[str, object]]], list[dict[str, object]]]) -> None:
    """Each kind of file that a product's record asks for is there, and no finding says that one could not be made."""
    _, outputs, findings = made
    assert "output-kind-not-made" not in {finding["check"] for finding in findings}
    for key, product in open_catalogue(()).products.items():
        # A plate alone is for art that is printed in one ink; art in several has a plate each.
        assert set(product.outputs) - {"plate-png"} <= {output["kind"] for output in outputs[key]}, key
        assert all(output["state"] == "made" for output in outputs[key]), key


@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")  # plates of 900 ppi are large
def test_every_file_is_of_its_size(made: tuple[Path, dict[str, list[dict[str, object]]], list[dict[str, object]]]) -> None:
    """Pictures have the pixels that the manifest states (Pillow); pages the product's millimetres within 0.01 mm (PDFium, lxml)."""
    folder, outputs, _ = made
    for key, product in open_catalogue(()).products.items():
        for output in outputs[key]:
            path = folder / str(output["path"])
            if path.suffix == ".png":
                with Image.open(path) as picture:
                    assert picture.size == (output["width_px"], output["height_px"]), path.name
            elif path.suffix == ".pdf":
                page = pdfium.PdfDocument(io.BytesIO(path.read_bytes()))[0]
                size = tuple(side * MM_PER_PT for side in page.get_size())
                assert size == pytest.approx(product.file_size_mm, abs=0.01), path.name
            else:
                root = etree.fromstring(path.read_bytes())
                size = tuple(float(root.get(side, "").removesuffix("mm")) for side in ("width", "height"))
                assert size == pytest.approx(product.file_size_mm, abs=0.01), path.name
