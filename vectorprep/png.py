"""Pixels become the bytes of a PNG file, and back.

Comes in: a `Raster` region and the canvas it lies on, density, text.
Goes out: PNG bytes with straight alpha and clean colours at soft edges; chunks and pixels of PNG bytes.
Never done here: files, resampling, colour management. Rows outside the region cost next to nothing and a full canvas is never held.

Source: PNG third edition (W3C). Chunk order IHDR sRGB pHYs text IDAT IEND.
"""

from __future__ import annotations

import struct
import zlib
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.deflate import LEVEL, deflate
from vectorprep.model import Raster
from vectorprep.units import px_per_metre

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from numpy.typing import NDArray

    Places = tuple[NDArray[np.intp], NDArray[np.intp]]

SIGNATURE = b"\x89PNG\r\n\x1a\n"
BAND_ROWS = 128
CACHED_ROWS = 32  # of a print file; about as many as a processor's cache holds while they are worked on
CHUNK_PX = 1 << 16
SOFT_ALPHA = 64  # house value: below, one level of a premultiplied colour is more than four of the true one
_ADLER_BASE = 65521  # RFC 1950
_ZERO_BLOCK = 1 << 20
_GREY = 0  # PNG third edition, colour type "greyscale"
_RGBA = 6  # PNG third edition, colour type "truecolour with alpha"


def encode(
    raster: Raster,
    canvas_px: tuple[int, int],
    *,
    ppi: float,
    text: tuple[tuple[str, str], ...] = (),
    background: str | None = None,
    soft: Places | None = None,
) -> bytes:
    """A PNG file of the whole canvas, 8-bit RGBA, with the region at its place and nothing (or the background) around it.

    Args:
        raster: premultiplied region; `origin_px` places it, what lies beyond the canvas is cut off.
        canvas_px: width and height of the picture.
        ppi: density, written as whole pixels per metre.
        text: keyword and text pairs; tEXt where Latin-1 holds them, else iTXt.
        background: `#rrggbb` of an opaque canvas.
        soft: rows and columns of the region's pixels neither empty nor full, in reading order, where they are known.
    """
    width, height = canvas_px
    density = px_per_metre(ppi)
    chunks = [
        chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, _RGBA, 0, 0, 0)),
        chunk(b"sRGB", b"\0"),  # rendering intent: perceptual
        chunk(b"pHYs", struct.pack(">IIB", density, density, 1)),
        *(_text_chunk(key, words) for key, words in text),
        chunk(b"IDAT", _deflated(raster, canvas_px, background, soft)),
        chunk(b"IEND", b""),
    ]
    return SIGNATURE + b"".join(chunks)


def encode_bits(
    bands: Iterable[NDArray[np.bool_]], size_px: tuple[int, int], *, ppi: float, text: tuple[tuple[str, str], ...] = ()
) -> bytes:
    """A PNG file of one bit a pixel, black and white.

    Args:
        bands: rows from top to bottom in any portions, shape (rows, width), True for white.
        size_px: width and height of the picture.
        ppi: density, written as whole pixels per metre.
        text: as for `encode`.
    """
    density = px_per_metre(ppi)
    packer = deflate.compressobj(LEVEL)
    packed = []
    for band in bands:
        rows = np.packbits(band, axis=1)
        packed.append(packer.compress(np.concatenate([np.zeros((len(rows), 1), np.uint8), rows], axis=1).tobytes()))
    chunks = [
        chunk(b"IHDR", struct.pack(">IIBBBBB", *size_px, 1, _GREY, 0, 0, 0)),
        chunk(b"pHYs", struct.pack(">IIB", density, density, 1)),
        *(_text_chunk(key, words) for key, words in text),
        chunk(b"IDAT", b"".join([*packed, packer.flush()])),
        chunk(b"IEND", b""),
    ]
    return SIGNATURE + b"".join(chunks)


def encode_rows(
    bands: Iterable[NDArray[np.uint8]], size_px: tuple[int, int], *, ppi: float, text: tuple[tuple[str, str], ...] = ()
) -> Iterator[bytes]:
    """A PNG file of 8-bit RGBA in portions, for pictures too large to be held.

    Args:
        bands: straight-alpha rows from top to bottom in any portions, shape (rows, width, 4).
        size_px: width and height of the picture.
        ppi: density, written as whole pixels per metre.
        text: as for `encode`.
    """
    density = px_per_metre(ppi)
    yield SIGNATURE
    yield chunk(b"IHDR", struct.pack(">IIBBBBB", *size_px, 8, _RGBA, 0, 0, 0))
    yield chunk(b"sRGB", b"\0")
    yield chunk(b"pHYs", struct.pack(">IIB", density, density, 1))
    yield from (_text_chunk(key, words) for key, words in text)
    packer = deflate.compressobj(LEVEL)
    for band in bands:
        rows = band.reshape(len(band), -1)
        packed = packer.compress(np.concatenate([np.zeros((len(rows), 1), np.uint8), rows], axis=1).tobytes())
        if packed:
            yield chunk(b"IDAT", packed)
    yield chunk(b"IDAT", packer.flush())
    yield chunk(b"IEND", b"")


def chunk(kind: bytes, payload: bytes) -> bytes:
    """One chunk: length, type, payload, CRC."""
    crc = _crc(payload, _crc(kind, 0))
    return b"".join((struct.pack(">I", len(payload)), kind, payload, struct.pack(">I", crc)))


def read_chunks(data: bytes) -> list[tuple[str, bytes]]:
    """All chunks of a PNG in order, each as (type, payload).

    Raises:
        ValueError: no PNG, cut short, a wrong CRC, or bytes after IEND.
    """
    if data[:8] != SIGNATURE:
        raise ValueError("not a PNG: the signature is missing")
    chunks: list[tuple[str, bytes]] = []
    at = 8
    while not chunks or chunks[-1][0] != "IEND":
        if at + 12 > len(data):
            raise ValueError(f"the PNG ends after {len(data)} bytes, inside a chunk")
        (length,) = struct.unpack_from(">I", data, at)
        kind, payload = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        if at + 12 + length > len(data):
            raise ValueError(f"the PNG ends after {len(data)} bytes, inside a chunk")
        if struct.unpack_from(">I", data, at + 8 + length)[0] != _crc(payload, _crc(kind, 0)):
            raise ValueError(f"the CRC of chunk {kind.decode('latin-1')} is wrong")
        chunks.append((kind.decode("latin-1"), payload))
        at += 12 + length
    if at != len(data):
        raise ValueError(f"{len(data) - at} bytes follow the end of the PNG")
    return chunks


def decode(data: bytes) -> Raster:
    """Straight-alpha pixels of an 8-bit RGBA PNG whose rows are unfiltered, as `encode` writes them.

    Raises:
        ValueError: the file is damaged, or of another kind.
    """
    chunks = read_chunks(data)
    width, height, depth, colour, *_, interlace = struct.unpack(">IIBBBBB", chunks[0][1])
    if (depth, colour, interlace) != (8, _RGBA, 0):
        raise ValueError("not an 8-bit RGBA PNG without interlace")
    try:
        rows = zlib.decompress(b"".join(payload for kind, payload in chunks if kind == "IDAT"))
    except zlib.error as fault:
        raise ValueError(f"the pixels cannot be unpacked: {fault}") from fault
    if len(rows) != height * (4 * width + 1):
        raise ValueError(f"{len(rows)} bytes of pixels where {height * (4 * width + 1)} belong")
    lines = np.frombuffer(rows, np.uint8).reshape(height, 4 * width + 1)
    if lines[:, 0].any():
        raise ValueError("the rows carry filters")
    return Raster(pixels=lines[:, 1:].reshape(height, width, 4), straight=True)


def decode_window(data: bytes, box: tuple[int, int, int, int]) -> NDArray[np.uint8]:
    """A part of what `decode` gives, shape (height, width, 4): no more than that part is ever held.

    Args:
        data: a PNG as `encode` writes it.
        box: left, top, right, bottom within the picture.

    Raises:
        ValueError: the file is damaged, or of another kind.
    """
    chunks = read_chunks(data)
    width, height, depth, colour, *_, interlace = struct.unpack(">IIBBBBB", chunks[0][1])
    if (depth, colour, interlace) != (8, _RGBA, 0):
        raise ValueError("not an 8-bit RGBA PNG without interlace")
    left, top, right, bottom = box
    if not (0 <= left < right <= width and 0 <= top < bottom <= height):
        raise ValueError(f"{box} lies outside {width} x {height} px")
    stride = 4 * width + 1
    found = np.empty((bottom - top, right - left, 4), np.uint8)
    packed = b"".join(payload for kind, payload in chunks if kind == "IDAT")
    unpacker = zlib.decompressobj()
    for row in range(0, bottom, BAND_ROWS):
        rows = min(BAND_ROWS, bottom - row)
        try:
            part = unpacker.decompress(packed, rows * stride)
        except zlib.error as fault:
            raise ValueError(f"the pixels cannot be unpacked: {fault}") from fault
        packed = unpacker.unconsumed_tail
        if len(part) != rows * stride:
            raise ValueError("the pixels end too early")
        lines = np.frombuffer(part, np.uint8).reshape(rows, stride)
        if lines[:, 0].any():
            raise ValueError("the rows carry filters")
        first = max(top - row, 0)
        if first < rows:
            found[row + first - top : row + rows - top] = lines[first:, 1 + 4 * left : 1 + 4 * right].reshape(rows - first, -1, 4)
    return found


def straighten(pixels: NDArray[np.uint8], start: int, into: NDArray[np.uint8]) -> None:
    """Writes premultiplied rows as straight alpha, rounded to nearest.

    Where alpha is below 64, eight bits of a premultiplied colour no longer tell it: the colour is the mean of the pixel and its
    eight neighbours, weighted by alpha. Pixels without alpha are zero.

    Args:
        pixels: the whole premultiplied picture (height, width, 4).
        start: first row wanted.
        into: room for straight rows, (rows, 4 x width) bytes.
    """
    rows = pixels[start : start + into.shape[0]]
    words = rows.view("<u4")[..., 0]
    found = []
    for at in range(0, len(words), CACHED_ROWS):
        part = words[at : at + CACHED_ROWS]
        into[at : at + CACHED_ROWS] = part.view(np.uint8)
        # 0 < alpha < 255 in one comparison: unsigned numbers wrap round.
        found.append(np.flatnonzero((part - np.uint32(1 << 24)) < np.uint32(0xFE000000)) + at * words.shape[1])
    y, x = np.divmod(np.concatenate(found), words.shape[1])
    into.reshape(*words.shape, 4)[y, x, :3] = _straight_colours(pixels, y + start, x)


def _straight_colours(pixels: NDArray[np.uint8], y: NDArray[np.intp], x: NDArray[np.intp]) -> NDArray[np.uint8]:
    """Colours (n, 3) of some soft pixels, alpha taken out as `straighten` states."""
    made = np.empty((len(y), 3), np.uint8)
    for at in range(0, len(y), CHUNK_PX):
        rows, columns = y[at : at + CHUNK_PX], x[at : at + CHUNK_PX]
        picked = pixels[rows, columns].astype(np.uint32)
        soft = np.flatnonzero(picked[:, 3] < SOFT_ALPHA)
        picked[soft] = _neighbour_sums(pixels, rows[soft], columns[soft])
        weights = np.maximum(picked[:, 3:], 1)
        made[at : at + CHUNK_PX] = np.minimum((picked[:, :3] * 255 + weights // 2) // weights, 255)
    return made


def _neighbour_sums(pixels: NDArray[np.uint8], y: NDArray[np.intp], x: NDArray[np.intp]) -> NDArray[np.uint32]:
    """Sums of colour and alpha over the 3 x 3 pixels around each place; a place on the border counts its own line twice."""
    height, width = pixels.shape[:2]
    words = pixels.view("<u4")[..., 0]
    sums = np.zeros((2, len(y)), np.uint32)
    for row in (np.maximum(y - 1, 0), y, np.minimum(y + 1, height - 1)):
        for column in (np.maximum(x - 1, 0), x, np.minimum(x + 1, width - 1)):
            picked = words[row, column]
            # Two channels at a time: nine bytes add up to less than sixteen bits.
            sums[0] += picked & np.uint32(0x00FF00FF)
            sums[1] += (picked >> np.uint32(8)) & np.uint32(0x00FF00FF)
    low, high = sums & np.uint32(0xFFFF), sums >> np.uint32(16)
    return np.stack((low[0], low[1], high[0], high[1]), axis=1)


def _text_chunk(key: str, words: str) -> bytes:
    try:
        return chunk(b"tEXt", key.encode("latin-1") + b"\0" + words.encode("latin-1"))
    except UnicodeEncodeError:
        return chunk(b"iTXt", key.encode("latin-1", "replace") + b"\0\0\0\0\0" + words.encode())


def _crc(data: bytes, start: int) -> int:
    value: int = deflate.crc32(data, start)
    return value


def _adler_joined(first: int, second: int, second_length: int) -> int:
    """Adler-32 of two pieces in a row, from the sums of each (RFC 1950)."""
    a1, b1, a2, b2 = first & 0xFFFF, first >> 16, second & 0xFFFF, second >> 16
    low = (a1 + a2 - 1) % _ADLER_BASE
    high = (b1 + b2 + (a1 - 1) * second_length) % _ADLER_BASE
    return high << 16 | low


def _piece(lines: NDArray[np.uint8]) -> tuple[bytes, int, int]:
    """Packed bytes, Adler-32 and length of rows; they end on a whole byte and need nothing before them, so that pieces join."""
    data = lines.data.cast("B")
    deflater = deflate.compressobj(LEVEL, deflate.DEFLATED, -15)
    packed: bytes = deflater.compress(data) + deflater.flush(deflate.Z_FULL_FLUSH)
    return packed, deflate.adler32(data), len(data)


@lru_cache(maxsize=32)
def _zeros_piece(count: int) -> bytes:
    deflater = zlib.compressobj(9, zlib.DEFLATED, -15)
    return deflater.compress(bytes(count)) + deflater.flush(zlib.Z_FULL_FLUSH)


def _zeros(count: int) -> Iterator[tuple[bytes, int, int]]:
    """Pieces for that many zero bytes: packed bytes, Adler-32, length."""
    for size in [_ZERO_BLOCK] * (count // _ZERO_BLOCK) + [count % _ZERO_BLOCK]:
        if size:
            yield _zeros_piece(size), (size % _ADLER_BASE) << 16 | 1, size


def _deflated(raster: Raster, canvas_px: tuple[int, int], background: str | None, soft: Places | None) -> bytes:
    """The zlib stream of all rows, each with filter byte 0."""
    packed, adler = [b"\x78\x01"], 1
    for piece, own, length in _pieces(raster, canvas_px, background, soft):
        packed.append(piece)
        adler = _adler_joined(adler, own, length)
    return b"".join((*packed, b"\x03\x00", struct.pack(">I", adler)))  # an empty last block, RFC 1951


def _pieces(
    raster: Raster, canvas_px: tuple[int, int], background: str | None, soft: Places | None
) -> Iterator[tuple[bytes, int, int]]:
    width, height = canvas_px
    pixels, x, y = _on_canvas(raster, canvas_px)
    rows = pixels.shape[0]
    is_known = soft is not None and not raster.straight and pixels.shape == raster.pixels.shape
    colours = _straight_colours(pixels, *soft) if soft is not None and is_known else None
    yield from _plain_rows(y, width, background)
    lines = _blank_rows(min(rows, BAND_ROWS), width, background)
    for start in range(0, rows, BAND_ROWS):
        lines = lines[: rows - start]
        part = lines[:, 1 + 4 * x : 1 + 4 * (x + pixels.shape[1])]
        if raster.straight or colours is not None:
            part[...] = pixels[start : start + len(lines)].reshape(part.shape)
        else:
            straighten(pixels, start, part)
        if soft is not None and colours is not None:
            own = slice(*np.searchsorted(soft[0], (start, start + len(lines))))
            part.reshape(len(lines), -1, 4)[soft[0][own] - start, soft[1][own], :3] = colours[own]
        if background is not None:
            _lay_over(part.reshape(len(lines), -1, 4), background)
        yield _piece(lines)
    yield from _plain_rows(height - y - rows, width, background)


def _on_canvas(raster: Raster, canvas_px: tuple[int, int]) -> tuple[NDArray[np.uint8], int, int]:
    """The pixels that lie on the canvas, and where their corner is."""
    x, y = raster.origin_px
    part = raster.pixels[max(-y, 0) : max(canvas_px[1] - y, 0), max(-x, 0) : max(canvas_px[0] - x, 0)]
    return part, max(x, 0), min(max(y, 0), canvas_px[1])


def _blank_rows(rows: int, width: int, background: str | None) -> NDArray[np.uint8]:
    lines = np.zeros((rows, 4 * width + 1), np.uint8)
    if background is not None:
        lines[:, 1:].reshape(rows, width, 4)[...] = (*bytes.fromhex(background.lstrip("#")), 255)
    return lines


def _lay_over(straight: NDArray[np.uint8], background: str) -> None:
    """Straight-alpha pixels become opaque over a colour, in place."""
    alpha = straight[..., 3:].astype(np.uint32)
    under = np.frombuffer(bytes.fromhex(background.lstrip("#")), np.uint8).astype(np.uint32)
    straight[..., :3] = (straight[..., :3] * alpha + under * (255 - alpha) + 127) // 255
    straight[..., 3] = 255


def _plain_rows(rows: int, width: int, background: str | None) -> Iterator[tuple[bytes, int, int]]:
    """Pieces for rows without any of the region."""
    if background is None:
        yield from _zeros(rows * (4 * width + 1))
        return
    whole, rest = divmod(rows, BAND_ROWS)
    for count, times in ((BAND_ROWS, whole), (rest, 1)):
        if count and times:
            yield from [_piece(_blank_rows(count, width, background))] * times
