"""A PDF of gang sheets, one page each at its exact size, written in portions: pictures as they are, pixel for pixel.

Comes in: size of each page in mm, and its pictures one after the other. Goes out: bytes.
Never done here: drawing; holding more than one picture.

Pages longer than 14,400 units are given in larger units (`UserUnit`), as ISO 32000-1, annex C, has them. Colours are sRGB without a
profile; coverage is a soft mask.
"""

from __future__ import annotations

import math
import zlib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.deflate import LEVEL, deflate

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from numpy.typing import NDArray

    Pixels = NDArray[np.uint8]
    Box = tuple[float, float, float, float]

LONGEST_UNITS = 14400
"""ISO 32000-1, annex C."""
PT_PER_MM = 72 / 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page: its size in mm, and its pictures when their turn comes: left, top, width, height in mm, and straight pixels."""

    size_mm: tuple[float, float]
    pictures: Iterable[tuple[Box, Pixels]]


@dataclass(slots=True)
class _Writer:
    """Numbers objects and remembers where each begins."""

    at: int = 0
    starts: dict[int, int] = field(default_factory=dict)
    last: int = 2

    def put(self, data: bytes) -> bytes:
        self.at += len(data)
        return data

    def reserve(self) -> int:
        self.last += 1
        return self.last

    def whole(self, number: int, body: str) -> bytes:
        self.starts[number] = self.at
        return self.put(f"{number} 0 obj\n{body}\nendobj\n".encode("latin-1"))

    def stream(self, number: int, entries: str, data: bytes) -> bytes:
        self.starts[number] = self.at
        packer = deflate.compressobj(LEVEL)
        packed = packer.compress(data) + packer.flush()
        head = f"{number} 0 obj\n<< {entries} /Filter /FlateDecode /Length {len(packed)} >>\nstream\n"
        return self.put(head.encode("latin-1") + packed + b"\nendstream\nendobj\n")


def pdf_parts(pages: Iterable[Page], *, title: str, creator: str) -> Iterator[bytes]:
    """The file in portions.

    Args:
        pages: in order; each is asked for its pictures once.
        title: ASCII.
        creator: ASCII.
    """
    writer = _Writer()
    yield writer.put(b"%PDF-1.6\n%\xe2\xe3\xcf\xd3\n")
    numbers = []
    for page in pages:
        number = writer.reserve()
        numbers.append(number)
        yield from _page(writer, page, number)
    kids = " ".join(f"{number} 0 R" for number in numbers)
    yield writer.whole(1, "<< /Type /Catalog /Pages 2 0 R >>")
    yield writer.whole(2, f"<< /Type /Pages /Count {len(numbers)} /Kids [{kids}] >>")
    info = writer.reserve()
    yield writer.whole(info, f"<< /Title ({_escaped(title)}) /Creator ({_escaped(creator)}) >>")
    table = "".join(f"{writer.starts[number]:010d} 00000 n \n" for number in range(1, writer.last + 1))
    ident = f"{zlib.crc32(title.encode()):08x}{writer.at:024x}"
    yield (
        f"xref\n0 {writer.last + 1}\n0000000000 65535 f \n{table}trailer\n"
        f"<< /Size {writer.last + 1} /Root 1 0 R /Info {info} 0 R /ID [<{ident}> <{ident}>] >>\nstartxref\n{writer.at}\n%%EOF\n"
    ).encode("latin-1")


def _page(writer: _Writer, page: Page, number: int) -> Iterator[bytes]:
    width, height = (side * PT_PER_MM for side in page.size_mm)
    unit = max(1, math.ceil(max(width, height) / LONGEST_UNITS))
    content, names = [], []
    for (left, top, across, down), pixels in page.pictures:
        picture, mask = writer.reserve(), writer.reserve()
        names.append(f"/P{picture} {picture} 0 R")
        sides = f"/Width {pixels.shape[1]} /Height {pixels.shape[0]} /BitsPerComponent 8"
        entries = "/Type /XObject /Subtype /Image " + sides
        yield writer.stream(mask, f"{entries} /ColorSpace /DeviceGray", np.ascontiguousarray(pixels[..., 3]).tobytes())
        colours = np.ascontiguousarray(pixels[..., :3]).tobytes()
        yield writer.stream(picture, f"{entries} /ColorSpace /DeviceRGB /SMask {mask} 0 R", colours)
        x, y = left * PT_PER_MM / unit, (height - (top + down) * PT_PER_MM) / unit
        size = f"{across * PT_PER_MM / unit:.5f} 0 0 {down * PT_PER_MM / unit:.5f}"
        content.append(f"q {size} {x:.5f} {y:.5f} cm /P{picture} Do Q")
    drawn = writer.reserve()
    yield writer.stream(drawn, "", "\n".join(content).encode())
    box = f"[0 0 {width / unit:.5f} {height / unit:.5f}]"
    larger = f" /UserUnit {unit}" if unit > 1 else ""
    yield writer.whole(
        number,
        f"<< /Type /Page /Parent 2 0 R /MediaBox {box} /TrimBox {box}{larger} /Contents {drawn} 0 R"
        f" /Resources << /XObject << {' '.join(names)} >> >> >>",
    )


def _escaped(words: str) -> str:
    return "".join("\\" + character if character in "()\\" else character for character in words)
