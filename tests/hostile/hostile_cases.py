"""Hostile and awkward drawings, made by code: by class, each with what must become of it.

Each is small and holds one mark that must stay visible where it is drawn. `KEEP` stays, `LEAK` must never appear.
"""

from __future__ import annotations

import base64
import io
import struct
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PIL import Image

NS = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
KEEP = '<rect x="30" y="30" width="40" height="40" fill="#00a651"/>'
LEAK = "leaked-content"
PAGE = 'width="100" height="100"'


@dataclass(frozen=True)
class Case:
    """`become` is `refused`, `drawn`, or `any` where both are right; `slug` the code of the refusal or the finding, if one is due."""

    name: str
    become: str
    slug: str
    make: Callable[[], bytes]
    suffix: str = ".svg"

    @property
    def file(self) -> str:
        """Its file name."""
        return self.name.replace(" ", "-").replace("/", "-") + self.suffix


def svg(body: str = "", *, head: str = "", page: str = PAGE, keep: str = KEEP) -> bytes:
    """A drawing with the green mark and the body."""
    return f"{head}<svg {NS} {page}>{keep}{body}</svg>".encode()


def chunk(kind: bytes, data: bytes) -> bytes:
    """One chunk of a PNG file."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width: int, height: int, *, idat: bytes | None = None, extra: bytes = b"", depth: int = 8, colour: int = 0) -> bytes:
    """A black PNG; with `idat` given, one whose data need not fit its header."""
    samples = {0: 1, 2: 3, 6: 4}[colour]
    body = zlib.compress(b"\0" * (width * samples * depth // 8 + 1) * height) if idat is None else idat
    header = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + extra + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def uri(data: bytes, kind: str = "image/png") -> str:
    """A `data:` address."""
    return f"data:{kind};base64,{base64.b64encode(data).decode()}"


def picture(data: bytes, kind: str = "image/png", more: str = "") -> bytes:
    """A drawing with the bytes as an embedded picture."""
    return svg(f'<image width="50" height="50" {more} href="{uri(data, kind)}"/>')


def encoded(mode: str, form: str, size: int = 8, **options: object) -> bytes:
    """A picture of the given mode and format."""
    out = io.BytesIO()
    Image.new(mode, (size, size)).save(out, form, **options)
    return out.getvalue()


def frames(form: str) -> bytes:
    """An animated picture: red, then blue."""
    out = io.BytesIO()
    first, second = Image.new("RGB", (8, 8), "red"), Image.new("RGB", (8, 8), "blue")
    first.save(out, form, save_all=True, append_images=[second], duration=100)
    return out.getvalue()


def doubled(levels: int, times: int, start: str = '<rect width="1" height="1"/>') -> str:
    """`levels` groups, each of which uses the one before `times` times."""
    groups = [f'<g id="u0">{start}</g>']
    groups += [f'<g id="u{n}">' + f'<use xlink:href="#u{n - 1}"/>' * times + "</g>" for n in range(1, levels)]
    return f'<defs>{"".join(groups)}</defs><use xlink:href="#u{levels - 1}"/>'


def stacked(element: str, prop: str, levels: int, times: int, more: str = 'width="9" height="9"') -> str:
    """`levels` definitions, in each of which `times` rectangles name the one before by a property."""
    parts = [f'<{element} id="p0" {more}><rect width="5" height="5"/></{element}>']
    parts += [
        f'<{element} id="p{n}" {more}>' + f'<rect width="9" height="9" {prop}="url(#p{n - 1})"/>' * times + f"</{element}>"
        for n in range(1, levels)
    ]
    return "".join(parts) + f'<rect width="90" height="90" {prop}="url(#p{levels - 1})"/>'


def chained(element: str, inner: str, levels: int, last: str) -> str:
    """`levels` definitions, each of which leads to the next."""
    return "".join(f'<{element} id="c{n}">{inner.format(next=n + 1)}</{element}>' for n in range(levels)) + last


def wrapped(opening: str, levels: int, inner: str = KEEP) -> bytes:
    """The mark inside so many groups."""
    return svg(opening * levels + inner + "</g>" * levels, keep="")


def filtered(primitives: str, region: str = "", more: str = "") -> bytes:
    """A filter over a rectangle of the page's size."""
    return svg(f'<filter id="f" {region}>{primitives}</filter><rect width="90" height="90" fill="#246" filter="url(#f)" {more}/>')


def css(rules: str, body: str = "<rect width='20' height='20'/>") -> bytes:
    """A style sheet and a body."""
    return svg(f"<style>{rules}</style>{body}")


def nested(levels: int, inner: bytes | None = None) -> bytes:
    """Drawings in drawings, as many levels deep."""
    data = svg() if inner is None else inner
    for _ in range(levels):
        data = picture(data, "image/svg+xml")
    return data


def doctype(subset: str) -> str:
    """A document type with an internal part."""
    return f"<!DOCTYPE svg [{subset}]>"


def several(become: str, slug: str, drawings: dict[str, Callable[[], bytes]], suffix: str = ".svg") -> tuple[Case, ...]:
    """Cases that must end alike."""
    return tuple(Case(name, become, slug, make, suffix) for name, make in drawings.items())


def links(template: str, addresses: dict[str, str]) -> dict[str, Callable[[], bytes]]:
    """One drawing per address."""
    return {name: partial(svg, template.replace("@", address, 1)) for name, address in addresses.items()}
