"""Files of gang sheets, read by others."""

from __future__ import annotations

import io

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from vectorprep import png
from vectorprep.sheets.pdf import Page, pdf_parts

pikepdf = pytest.importorskip("pikepdf", reason="the extra pdf is not installed")


def picture(seed: int, size: tuple[int, int] = (37, 23)) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    """Straight-alpha pixels without any pattern."""
    return np.random.default_rng(seed).integers(0, 256, (size[1], size[0], 4), dtype=np.uint8)


def test_rows_in_portions_make_the_same_picture() -> None:
    """Pillow reads back every pixel, the size and the density of a PNG that was written in bands."""
    pixels = picture(1, (300, 700))
    data = b"".join(png.encode_rows((pixels[at : at + 128] for at in range(0, 700, 128)), (300, 700), ppi=300))
    png.read_chunks(data)
    with Image.open(io.BytesIO(data)) as read:
        assert np.array_equal(np.asarray(read), pixels)
        assert read.info["dpi"] == pytest.approx((300, 300), abs=0.01)


@pytest.mark.parametrize("box", [(0, 0, 300, 700), (7, 9, 250, 400), (299, 699, 300, 700), (10, 127, 20, 129)])
def test_a_window_is_that_part_of_the_whole(box: tuple[int, int, int, int]) -> None:
    """Part and whole agree wherever the part lies."""
    pixels = picture(2, (300, 700))
    data = b"".join(png.encode_rows([pixels], (300, 700), ppi=300))
    left, top, right, bottom = box
    assert np.array_equal(png.decode_window(data, box), pixels[top:bottom, left:right])


def test_a_window_of_a_damaged_file_is_refused() -> None:
    """A wrong byte, a cut, and a window outside are said, never drawn."""
    pixels = picture(3, (300, 700))
    data = b"".join(png.encode_rows([pixels], (300, 700), ppi=300))
    with pytest.raises(ValueError, match="CRC"):
        png.decode_window(data[:5000] + bytes([data[5000] ^ 1]) + data[5001:], (0, 0, 300, 700))
    with pytest.raises(ValueError, match="ends"):
        png.decode_window(data[:-20], (0, 0, 300, 700))
    with pytest.raises(ValueError, match="outside"):
        png.decode_window(data, (0, 0, 301, 700))


def test_a_pdf_page_has_its_size_and_its_pictures_pixel_for_pixel() -> None:
    """Two pages: boxes within 0.01 mm, colours and coverage of each picture as they were, each at its place."""
    first, second = picture(4), picture(5, (11, 50))
    pages = [
        Page(size_mm=(558.8, 321.5), pictures=[((10.0, 20.0, 37.0, 23.0), first), ((100.0, 200.0, 11.0, 50.0), second)]),
        Page(size_mm=(558.8, 100.0), pictures=[((0.0, 0.0, 37.0, 23.0), first)]),
    ]
    data = b"".join(pdf_parts(pages, title="gang (1)", creator="vectorprep"))
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert len(pdf.pages) == 2
        assert not pdf.check_pdf_syntax()
        assert str(pdf.docinfo.Title) == "gang (1)"
        for page, made in zip(pdf.pages, pages, strict=True):
            for box in (page.mediabox, page.trimbox):
                assert [float(edge) * 25.4 / 72 for edge in box] == pytest.approx([0, 0, *made.size_mm], abs=0.01)
        images = list(pdf.pages[0].get_images().values())
        for image, pixels in zip(images, (first, second), strict=True):
            colours, mask = (np.frombuffer(part.read_bytes(), np.uint8) for part in (image, image.SMask))
            assert np.array_equal(colours.reshape(*pixels.shape[:2], 3), pixels[..., :3])
            assert np.array_equal(mask.reshape(pixels.shape[:2]), pixels[..., 3])
            assert (int(image.Width), int(image.Height)) == pixels.shape[1::-1]


def test_a_pdf_page_shows_its_pictures_where_they_lie() -> None:
    """Drawn by another program, ink stands in the box in mm from the page's top-left corner that was asked for."""
    solid = np.full((20, 40, 4), (200, 30, 30, 255), np.uint8)
    data = b"".join(pdf_parts([Page(size_mm=(100, 80), pictures=[((10, 30, 40, 20), solid)])], title="t", creator="c"))
    document = pypdfium2.PdfDocument(data)
    drawn = np.asarray(document[0].render(scale=10 * 25.4 / 72, rotation=0).to_pil())
    document.close()
    rows, columns = np.nonzero(drawn[..., 1] < 128)
    assert (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1) == pytest.approx((100, 300, 500, 500), abs=1)


def test_a_sheet_of_many_metres_is_given_in_larger_units() -> None:
    """A page of 12 m stays below 14,400 units (ISO 32000-1, annex C) and is 12 m long to readers that know `UserUnit`."""
    data = b"".join(pdf_parts([Page(size_mm=(558.8, 12000), pictures=[])], title="t", creator="c"))
    with pikepdf.open(io.BytesIO(data)) as pdf:
        height, unit = float(pdf.pages[0].mediabox[3]), float(pdf.pages[0].obj.UserUnit)
    assert height <= 14400
    assert height * unit * 25.4 / 72 == pytest.approx(12000, abs=0.01)
