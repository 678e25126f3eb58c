"""The proof: its rule is true, its values are those of the record, its bytes repeat."""

from __future__ import annotations

import io

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest
from PIL import Image

from tests.report.invented_run import BLANKS, run
from vectorprep.fonts import load_index
from vectorprep.report.proof import PAPERS, proof_pdf
from vectorprep.report.proof_values import proof_sheets

PT_PER_MM = 72 / 25.4


def proof(paper: str = "a4", client: str = "") -> bytes:
    """A proof of one print file of 300 x 400 mm, its ink from (50, 20) to (250, 220) mm."""
    face = load_index(system=False).face("Caladea")
    assert face is not None
    picture = Image.new("RGBA", (300, 400))
    picture.paste((200, 30, 40, 255), (50, 20, 250, 220))
    data = io.BytesIO()
    picture.save(data, "PNG")
    sheets = proof_sheets(run(1), {}, BLANKS, {"a0": "Fox by the Fire"})
    return proof_pdf(sheets, {"a0--tee--preview.png": data.getvalue()}, font=face.read(), paper=paper, client=client, version="0")


def words_of(data: bytes) -> str:
    """Text of the first page, as an independent reader finds it."""
    return str(pdfium.PdfDocument(data)[0].get_textpage().get_text_range())


def widths_mm(data: bytes) -> list[float]:
    """Widths of all paths of the first page in mm; that reader counts the line width once on either side."""
    found = []
    for item in pdfium.PdfDocument(data)[0].get_objects(filter=[pdfium_c.FPDF_PAGEOBJ_PATH]):
        left, _, right, _ = item.get_bounds()
        found.append((right - left) / PT_PER_MM)
    return found


@pytest.mark.parametrize("paper", list(PAPERS))
def test_the_rule_is_true_within_a_tenth_of_a_millimetre(paper: str) -> None:
    """Paths of 100 mm and of 4 in stand on the page as another reader measures them."""
    line_mm = 2 * 0.6 / PT_PER_MM
    widths = widths_mm(proof(paper))
    assert min(abs(width - line_mm - 100) for width in widths) < 0.1
    assert min(abs(width - line_mm - 4 * 25.4) for width in widths) < 0.1


@pytest.mark.parametrize("paper", list(PAPERS))
def test_the_rule_is_true_in_pixels(paper: str) -> None:
    """Drawn at 600 ppi, the longest dark run in the rows of the rule is 4 in, and half a mark at either end."""
    page = pdfium.PdfDocument(proof(paper))[0]
    picture = page.render(scale=600 / 72, grayscale=True).to_pil()
    longest = 0
    for row in range(int(picture.height * 0.75), int(picture.height * 0.85)):
        dark = (
            picture.crop((0, row, picture.width, row + 1))
            .tobytes()
            .translate(bytes(49 if value < 128 else 48 for value in range(256)))
        )
        longest = max(longest, *(len(part) for part in dark.split(b"0")))
    assert longest * 25.4 / 600 == pytest.approx(101.6 + 0.4 / PT_PER_MM, abs=0.1)


def test_the_ink_box_stands_to_scale_under_the_rulers() -> None:
    """A box of the ink's width, in the scale of the plan, is drawn: 200 of 300 mm of the canvas."""
    line_mm = 2 * 0.4 / PT_PER_MM
    canvas = 112 / 400 * 300
    assert min(abs(width - line_mm - canvas * 200 / 300) for width in widths_mm(proof())) < 0.05


def test_the_proof_says_size_place_inks_and_findings() -> None:
    """Both units, the distance from the datum (60 + 20 mm), ink values, the finding, the caution."""
    words = " ".join(words_of(proof()).split())
    for said in ("Fox by the Fire", "7.87 x 7.87 in (200 x 200 mm)", "ink begins 3.15 in (80 mm) below it", "collar seam"):
        assert said in words
    for said in ("#22262f sRGB 34 38 47", "a gap is 0.2 mm wide", "Colours on a screen", "Signature", "Date", "Navy"):
        assert said in words


def test_the_client_stands_on_the_line() -> None:
    """A name that is given is written where it is signed."""
    assert "Lumbry Quay" in words_of(proof(client="Lumbry Quay"))


def test_the_same_proof_has_the_same_bytes() -> None:
    """No clock and no random number is in the file."""
    assert proof() == proof()
