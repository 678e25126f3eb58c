"""PNG bytes: chunks, pixels and densities as an independent reader sees them."""

from __future__ import annotations

import io
import struct
import zlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from vectorprep import png
from vectorprep.model import Raster


def _raster(width: int, height: int, origin: tuple[int, int] = (0, 0), seed: int = 1) -> Raster:
    """Random premultiplied pixels: a third empty, a third opaque."""
    random = np.random.default_rng(seed)
    alpha = np.clip(random.integers(-255, 510, (height, width, 1)), 0, 255)
    colour = random.integers(0, 256, (height, width, 3))
    pixels = np.concatenate(((colour * alpha + 127) // 255, alpha), axis=2).astype(np.uint8)
    return Raster(pixels=pixels, origin_px=origin)


def _opened(data: bytes) -> np.ndarray:
    with Image.open(io.BytesIO(data)) as picture:
        assert picture.mode == "RGBA"
        return np.asarray(picture)


def _walk(data: bytes) -> list[tuple[bytes, bytes]]:
    """Chunks by a walk that shares no code with the package (PNG third edition, 5.3)."""
    assert data.startswith(bytes([137, 80, 78, 71, 13, 10, 26, 10]))
    found, at = [], 8
    while at < len(data):
        length = int.from_bytes(data[at : at + 4], "big")
        kind, payload = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        assert int.from_bytes(data[at + 8 + length : at + 12 + length], "big") == zlib.crc32(kind + payload)
        found.append((kind, payload))
        at += 12 + length
    return found


def test_chunks_stand_in_order_with_right_checksums() -> None:
    """IHDR, sRGB, pHYs, text, IDAT, IEND, each with the CRC of its bytes."""
    data = png.encode(_raster(5, 4), (9, 8), ppi=300, text=(("Title", "Grüße"), ("Note", "日本")))
    chunks = _walk(data)
    assert [kind for kind, _ in chunks] == [b"IHDR", b"sRGB", b"pHYs", b"tEXt", b"iTXt", b"IDAT", b"IEND"]
    assert chunks[0][1] == struct.pack(">IIBBBBB", 9, 8, 8, 6, 0, 0, 0)
    assert chunks[1][1] == b"\0"
    assert chunks[3][1] == b"Title\0Gr\xfc\xdfe"


def test_300_ppi_is_11811_pixels_a_metre() -> None:
    """PNG third edition, pHYs: unit metre; 300 / 0.0254 = 11811.02."""
    chunks = dict(_walk(png.encode(_raster(2, 2), (2, 2), ppi=300)))
    assert struct.unpack(">IIB", chunks[b"pHYs"]) == (11811, 11811, 1)


def test_another_reader_sees_density_space_and_text() -> None:
    """Pillow reads what was written."""
    data = png.encode(_raster(2, 2), (2, 2), ppi=300, text=(("Title", "fox"), ("Note", "日本")))
    with Image.open(io.BytesIO(data)) as picture:
        picture.load()
        assert picture.info["dpi"] == pytest.approx((300, 300), abs=0.001)
        assert picture.info["srgb"] == 0
        assert (picture.info["Title"], picture.info["Note"]) == ("fox", "日本")


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    st.integers(1, 40),
    st.integers(1, 300),
    st.integers(-20, 30),
    st.integers(-20, 300),
    st.integers(1, 50),
    st.integers(1, 400),
    st.integers(0, 99),
)
def test_the_region_lies_at_its_place_on_an_empty_canvas(
    width: int, height: int, x: int, y: int, canvas_width: int, canvas_height: int, seed: int
) -> None:
    """The canvas is zero but for the region, which is cut off at its edges; alpha is untouched."""
    raster = _raster(width, height, (x, y), seed)
    seen = _opened(png.encode(raster, (canvas_width, canvas_height), ppi=300))
    wanted = np.zeros((canvas_height + 700, canvas_width + 700), np.uint8)
    wanted[y + 100 : y + 100 + height, x + 100 : x + 100 + width] = raster.pixels[..., 3]
    assert np.array_equal(seen[..., 3], wanted[100 : 100 + canvas_height, 100 : 100 + canvas_width])
    assert not seen[seen[..., 3] == 0].any()


def test_straight_colours_are_premultiplied_ones_divided_by_alpha() -> None:
    """Opaque pixels are untouched; from alpha 64 on, colour is round(255 c / alpha)."""
    raster = _raster(60, 50)
    seen = _opened(png.encode(raster, (60, 50), ppi=300)).astype(int)
    alpha = raster.pixels[..., 3:].astype(int)
    exact = np.minimum((raster.pixels[..., :3].astype(int) * 255 + alpha // 2) // np.maximum(alpha, 1), 255)
    strong = alpha[..., 0] >= png.SOFT_ALPHA
    assert np.array_equal(seen[strong][:, :3], exact[strong])


def test_colours_at_soft_edges_are_those_of_the_ink() -> None:
    """A pixel of alpha 3 beside solid ink has the ink's colour, not what three levels of 255 leave of it."""
    ink = (201, 97, 44)
    pixels = np.zeros((3, 4, 4), np.uint8)
    pixels[:, 0] = (*ink, 255)
    pixels[:, 1] = (*(round(level * 3 / 255) for level in ink), 3)
    seen = _opened(png.encode(Raster(pixels=pixels), (4, 3), ppi=300))
    assert np.abs(seen[1, 1, :3].astype(int) - ink).max() <= 2
    assert seen[1, 1, 3] == 3


def test_a_faint_wash_keeps_its_mean_colour() -> None:
    """Where no strong ink is near, eight-bit steps are evened out over the neighbours."""
    rows = np.zeros((20, 20, 4), np.uint8)
    rows[..., 3] = 5
    rows[::2, :, 0] = 3  # true red 3.5 levels of 5
    rows[1::2, :, 0] = 4
    seen = _opened(png.encode(Raster(pixels=rows), (20, 20), ppi=300))[5:15, 5:15, 0].astype(int)
    assert abs(seen.mean() - 255 * 3.5 / 5) < 3
    assert seen.max() - seen.min() <= 20


def test_an_opaque_canvas_has_the_background_under_the_ink() -> None:
    """With a background every pixel is opaque, soft ink mixed into it."""
    pixels = np.zeros((300, 3, 4), np.uint8)
    pixels[150] = (128, 0, 0, 128)
    seen = _opened(png.encode(Raster(pixels=pixels, origin_px=(2, 10)), (8, 700), ppi=300, background="#4080c0"))
    assert (seen[..., 3] == 255).all()
    assert seen[160, 3].tolist() == [160, 64, 96, 255]
    assert seen[160, 6].tolist() == seen[699, 0].tolist() == seen[0, 0].tolist() == [64, 128, 192, 255]


def test_straight_pixels_pass_through() -> None:
    """A raster that is straight already is written as it is."""
    pixels = np.arange(5 * 7 * 4, dtype=np.uint8).reshape(5, 7, 4)
    assert np.array_equal(_opened(png.encode(Raster(pixels=pixels, straight=True), (7, 5), ppi=72)), pixels)


def test_a_cropped_raster_is_written_like_its_copy() -> None:
    """Pixels that are a part of a larger array give the same bytes as a copy of that part."""
    whole = _raster(60, 300).pixels
    part = whole[20:280, 10:50]
    one, other = (png.encode(Raster(pixels=p, origin_px=(3, 4)), (80, 320), ppi=300) for p in (part, np.ascontiguousarray(part)))
    assert one == other


def test_encoding_repeats_to_the_byte() -> None:
    """The same pixels give the same file."""
    assert png.encode(_raster(90, 500), (100, 600), ppi=300) == png.encode(_raster(90, 500), (100, 600), ppi=300)


def test_empty_rows_cost_next_to_nothing() -> None:
    """A canvas of 4500 x 5100 px with one dot is under 100 kB."""
    dot = Raster(pixels=np.full((1, 1, 4), 255, np.uint8), origin_px=(2000, 2000))
    assert len(png.encode(dot, (4500, 5100), ppi=300)) < 100_000


def test_own_reading_matches_the_other_reader() -> None:
    """`decode` and Pillow see the same pixels; chunks come back as written."""
    data = png.encode(_raster(70, 200, (5, 6)), (90, 400), ppi=300)
    assert np.array_equal(png.decode(data).pixels, _opened(data))
    assert [kind for kind, _ in png.read_chunks(data)] == ["IHDR", "sRGB", "pHYs", "IDAT", "IEND"]


@pytest.mark.parametrize(
    ("harm", "words"),
    [
        pytest.param(lambda data: data[:-1], "ends after", id="cut short"),
        pytest.param(lambda data: data[:20], "ends after", id="cut in IHDR"),
        pytest.param(lambda data: data + b"x", "follow the end", id="longer"),
        pytest.param(lambda data: b"x" + data[1:], "signature", id="not a PNG"),
        pytest.param(lambda data: data[:20] + b"\xff" + data[21:], "CRC of chunk IHDR", id="a changed byte"),
        pytest.param(lambda data: data[:-30] + bytes([data[-30] ^ 1]) + data[-29:], "CRC of chunk IDAT", id="a changed pixel"),
    ],
)
def test_damage_is_named(harm: object, words: str) -> None:
    """A file that was cut or changed is not read, and the words say what is wrong."""
    data = png.encode(_raster(9, 9), (9, 9), ppi=300)
    with pytest.raises(ValueError, match=words):
        png.read_chunks(harm(data))  # type: ignore[operator]


def test_other_kinds_of_png_are_not_decoded() -> None:
    """Only what this module writes is decoded; a grey picture is refused in words."""
    kept = io.BytesIO()
    Image.new("L", (4, 4)).save(kept, "PNG")
    with pytest.raises(ValueError, match="RGBA"):
        png.decode(kept.getvalue())


def test_fallback_encoder_gives_the_same_pixels(monkeypatch: pytest.MonkeyPatch) -> None:
    """Packed with the standard library instead, the pixels are the same."""
    raster = _raster(70, 200, (5, 6))
    fast = _opened(png.encode(raster, (90, 400), ppi=300))
    monkeypatch.setattr(png, "deflate", zlib)
    assert np.array_equal(_opened(png.encode(raster, (90, 400), ppi=300)), fast)
