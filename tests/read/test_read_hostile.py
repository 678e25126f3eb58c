"""Hostile and broken drawings by class: each is refused with its cause, or made harmless, within a second.

Every drawing carries one mark that must stay (`#00a651`, the innocent artwork) unless it is refused as a whole, and where
something could leak, a word that must never appear in what goes on to a renderer.
"""

from __future__ import annotations

import base64
import gzip
import io
import struct
import time
import zlib
from dataclasses import dataclass
from typing import Literal

import pytest
from PIL import Image

from vectorprep.errors import ArtworkRefused
from vectorprep.fonts import FontIndex
from vectorprep.read import read_artwork

KEEP = '<rect id="keep" width="10" height="10" fill="#00a651"/>'
LEAK = "leaked-content"
NS = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
FONTS = FontIndex(system=False)


@dataclass(frozen=True)
class Case:
    """One file: what it is called, its bytes, what must happen, and the error code or finding that says so."""

    name: str
    data: bytes
    outcome: Literal["refused", "kept"]
    slug: str = ""


def svg(body: str, *, doctype: str = "", attributes: str = 'width="100" height="100"') -> bytes:
    """A drawing that holds the mark and the given body."""
    return f"{doctype}<svg {NS} {attributes}>{KEEP}{body}</svg>".encode()


def refused(name: str, code: str, data: bytes) -> Case:
    """A file that must be refused with the code."""
    return Case(name, data, "refused", code)


def kept(name: str, slug: str, data: bytes) -> Case:
    """A file that must be drawn, with the finding."""
    return Case(name, data, "kept", slug)


def chunk(kind: bytes, data: bytes) -> bytes:
    """One chunk of a PNG file."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width: int, height: int, *, idat: bytes | None = None, extra: bytes = b"") -> bytes:
    """A grey PNG; with `idat` given, one whose data need not fit its header."""
    body = zlib.compress(b"\0" * (width + 1) * height) if idat is None else idat
    header = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + extra + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def picture(data: bytes, kind: str = "image/png") -> bytes:
    """A drawing with the bytes as an embedded picture."""
    return svg(f'<image width="50" height="50" href="data:{kind};base64,{base64.b64encode(data).decode()}"/>')


def encoded(mode: str, form: str) -> bytes:
    """A 4 x 4 px picture of the given mode and format."""
    out = io.BytesIO()
    Image.new(mode, (4, 4)).save(out, form)
    return out.getvalue()


def doubled(prefix: str, levels: int, times: int) -> str:
    """`levels` groups, each of which uses the one before `times` times."""
    first = f'<g id="{prefix}0"><rect width="1" height="1"/></g>'
    more = [
        f'<g id="{prefix}{level}">' + f'<use xlink:href="#{prefix}{level - 1}"/>' * times + "</g>" for level in range(1, levels)
    ]
    return "<defs>" + first + "".join(more) + f'</defs><use xlink:href="#{prefix}{levels - 1}"/>'


def stacked(element: str, prop: str, levels: int, times: int) -> str:
    """`levels` definitions, in each of which `times` rectangles name the one before by a property."""
    first = f'<{element} id="p0" width="9" height="9"><rect width="1" height="1"/></{element}>'
    more = [
        f'<{element} id="p{level}" width="9" height="9">'
        + f'<rect width="9" height="9" {prop}="url(#p{level - 1})"/>' * times
        + f"</{element}>"
        for level in range(1, levels)
    ]
    return first + "".join(more) + f'<rect width="90" height="90" {prop}="url(#p{levels - 1})"/>'


def nested_data(levels: int) -> bytes:
    """Drawings in drawings, as many levels deep."""
    data = svg("")
    for _ in range(levels):
        data = picture(data, "image/svg+xml")
    return data


LOL = '<!ENTITY a0 "lol">' + "".join(f'<!ENTITY a{i} "{f"&a{i - 1};" * 10}">' for i in range(1, 10))
EXTERNAL = '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>'

ENTITIES = (
    refused("external entity in text", "entity-external", svg("<text>&x;</text>", doctype=EXTERNAL)),
    refused("external entity in attribute", "entity-external", svg('<g id="&x;"/>', doctype=EXTERNAL)),
    kept("external entity nobody uses", "", svg("", doctype=EXTERNAL)),
    kept("external DTD by file", "", svg("", doctype='<!DOCTYPE svg SYSTEM "file:///etc/hostname">')),
    kept("external DTD by network", "", svg("", doctype='<!DOCTYPE svg SYSTEM "http://127.0.0.1:9/x.dtd">')),
    refused(
        "parameter entity",
        "entity-parameter",
        svg("", doctype='<!DOCTYPE svg [<!ENTITY % p SYSTEM "file:///etc/hostname"> %p;]>'),
    ),
    refused("entity bomb", "entity-bomb", svg("<text>&a9;</text>", doctype=f"<!DOCTYPE svg [{LOL}]>")),
    refused(
        "one-level entity bomb",
        "entity-bomb",
        svg("<desc>&a;</desc>" * 500, doctype=f'<!DOCTYPE svg [<!ENTITY a "{"x" * 50000}">]>'),
    ),
    refused("entity loop", "entity-loop", svg("<text>&a;</text>", doctype='<!DOCTYPE svg [<!ENTITY a "&b;"><!ENTITY b "&a;">]>')),
    refused("undefined entity", "entity-undefined", svg("<text>&nbsp;</text>")),
    kept(
        "script by entity",
        "script-dropped",
        svg("&s;", doctype=f"<!DOCTYPE svg [<!ENTITY s \"<script>alert('{LEAK}')</script>\">]>"),
    ),
    kept(
        "inclusion",
        "link-dropped",
        svg('<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="/etc/hostname" parse="text"/>'),
    ),
    kept(
        "linked style sheet",
        "stylesheet-link-dropped",
        b'<?xml version="1.0"?><?xml-stylesheet href="leaked-content.css" type="text/css"?>' + svg(""),
    ),
)

REFERENCES = (
    refused("use bomb", "reference-bomb", svg(doubled("u", 12, 10))),
    refused("pattern bomb", "reference-bomb", svg(stacked("pattern", "fill", 9, 10))),
    refused("mask bomb", "reference-bomb", svg(stacked("mask", "mask", 9, 10))),
    refused("clip bomb", "reference-bomb", svg(stacked("clipPath", "clip-path", 9, 10))),
    refused(
        "marker bomb",
        "reference-bomb",
        svg('<marker id="m">' + "<rect/>" * 500 + '</marker><path marker-mid="url(#m)" d="M0 0' + "L1 1" * 3000 + '"/>'),
    ),
    refused(
        "chain of gradients",
        "reference-chain-too-long",
        svg(
            "".join(f'<linearGradient id="g{i}" href="#g{i + 1}"/>' for i in range(300))
            + '<rect width="9" height="9" fill="url(#g0)"/>'
        ),
    ),
    refused("drawings in drawings", "picture-nested-too-deep", nested_data(5)),
    kept("drawing in a drawing", "", nested_data(2)),
    kept("use of itself", "reference-loop", svg('<use id="a" href="#a"/>')),
    kept("use of its own group", "reference-loop", svg('<g id="a"><use href="#a"/></g>')),
    kept("two uses in a circle", "reference-loop", svg('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>')),
    kept(
        "pattern in itself",
        "reference-loop",
        svg('<pattern id="p" width="9" height="9"><rect width="9" height="9" fill="url(#p)"/></pattern>'),
    ),
    kept("mask in itself", "reference-loop", svg('<mask id="m"><rect width="9" height="9" mask="url(#m)"/></mask>')),
    kept("clip of itself", "reference-loop", svg('<clipPath id="c" clip-path="url(#c)"><rect width="9" height="9"/></clipPath>')),
    kept("marker in itself", "reference-loop", svg('<marker id="m"><path d="M0 0H9" marker-start="url(#m)"/></marker>')),
    kept("gradient of itself", "reference-loop", svg('<linearGradient id="g" href="#g"/>')),
    kept("filter on itself", "reference-loop", svg('<filter id="f"><feImage href="#r"/></filter><g id="r" filter="url(#f)"/>')),
    kept("missing use", "reference-missing", svg('<use href="#nowhere"/>')),
    kept("missing paint", "reference-missing", svg('<rect width="9" height="9" fill="url(#nowhere)"/>')),
)

SIZES = (
    refused("nested too deep", "nesting-too-deep", svg("<g>" * 201 + "</g>" * 201)),
    refused("nested far too deep", "nesting-too-deep", svg("<g>" * 20000 + "</g>" * 20000)),
    refused("too many elements", "too-many-elements", svg("<g/>" * 200_001)),
    refused("too many attributes", "too-many-attributes", svg("<g " + " ".join(f'a{i}=""' for i in range(1001)) + "/>")),
    refused("path too long", "path-too-long", svg(f'<path d="M0 0{"L1 1" * 600_000}"/>')),
    refused("dash flood", "number-out-of-range", svg(f'<path d="M0 0H9" stroke-dasharray="{"1 " * 5000}"/>')),
    refused("style flood", "style-sheet-too-big", svg("<style>" + "rect{fill:red}" * 6000 + "</style>")),
    refused("file too big", "file-too-big", svg("<desc>" + "x" * 20_000_001 + "</desc>")),
)

NUMBERS = (
    refused("NaN in a path", "number-out-of-range", svg('<path d="M0 0L NaN 5"/>')),
    refused("infinity in a circle", "number-out-of-range", svg('<circle r="inf"/>')),
    refused("1e30 in a transform", "number-out-of-range", svg('<g transform="translate(1e30 0)"/>')),
    refused("1e30 by style", "number-out-of-range", svg('<rect style="width:1e30px" height="1"/>')),
    refused("1e38 in a viewBox", "number-out-of-range", svg("", attributes='viewBox="0 0 1e38 1e38"')),
    refused("page without width", "page-size-invalid", svg("", attributes='width="0" height="5"')),
    refused("page of negative height", "page-size-invalid", svg("", attributes='width="5" height="-5"')),
    refused("viewBox without width", "page-size-invalid", svg("", attributes='viewBox="0 0 0 5"')),
    refused("page of many miles", "page-size-invalid", svg("", attributes='width="9000000mm" height="9000000mm"')),
    refused("page like a thread", "page-size-invalid", svg("", attributes='width="1000000" height="1"')),
)

FILTERS = (
    refused(
        "blur wider than the page",
        "filter-too-costly",
        svg('<filter id="f"><feGaussianBlur stdDeviation="5000"/></filter>'),
    ),
    refused("huge morphology", "filter-too-costly", svg('<filter id="f"><feMorphology radius="90"/></filter>')),
    refused("long filter", "filter-too-costly", svg(f'<filter id="f">{"<feOffset/>" * 60}</filter>')),
    refused("big kernel", "filter-too-costly", svg('<filter id="f"><feConvolveMatrix order="99"/></filter>')),
    kept("many octaves", "filter-reduced", svg('<filter id="f"><feTurbulence numOctaves="99999"/></filter>')),
    kept("blur function of a hidden mode", "feature-not-drawn", svg('<g style="mix-blend-mode:plus-lighter"/>')),
)

ACTIVE = (
    kept("script", "script-dropped", svg(f"<script>{LEAK}()</script>")),
    kept("handler", "script-dropped", svg(f'<rect onclick="{LEAK}()"/>')),
    kept("script link", "", svg(f'<a xlink:href="javascript:{LEAK}()"><rect/></a>')),
    kept("animation", "animation-dropped", svg('<rect><animate attributeName="x" to="9" dur="1s"/></rect>')),
    kept(
        "web content",
        "foreign-object-dropped",
        svg(f'<foreignObject width="9" height="9"><p xmlns="http://www.w3.org/1999/xhtml">{LEAK}</p></foreignObject>'),
    ),
    kept("handler by style sheet", "", svg(f"<style>rect{{behavior:url({LEAK}.htc)}}</style>")),
)

LINKS = (
    *(
        refused(f"linked picture {link}", "link-refused", svg(f'<image width="9" height="9" xlink:href="{link}"/>'))
        for link in (
            "http://127.0.0.1:9/a.png",
            "file:///etc/hostname",
            "/etc/hostname",
            "a.png",
            "../a.png",
            "//host/share/a.png",
            "\\\\host\\share\\a.png",
            "&#104;ttp://127.0.0.1:9/a.png",
            "other.svg#part",
        )
    ),
    refused("picture that is a web page", "picture-broken", svg('<image width="9" height="9" href="data:text/html,hello"/>')),
    refused("part of another drawing", "link-refused", svg('<use href="other.svg#part"/>')),
    refused("drawing used as data", "link-refused", svg('<use href="data:image/svg+xml,%3Csvg/%3E#a"/>')),
    refused("paint from elsewhere", "link-refused", svg('<rect width="9" height="9" fill="url(other.svg#g)"/>')),
    refused("paint from elsewhere, escaped", "link-refused", svg(r'<rect width="9" height="9" style="fill:\75rl(other.svg#g)"/>')),
    refused("paint from elsewhere, by sheet", "link-refused", svg("<style>rect{fill:url(//host/x.svg#g)}</style>")),
    refused("filter from elsewhere", "link-refused", svg('<rect width="9" height="9" filter="url(http://127.0.0.1:9/f#g)"/>')),
    refused("picture in a filter", "link-refused", svg('<filter id="f"><feImage xlink:href="a.png"/></filter>')),
    refused("base elsewhere", "link-refused", svg('<g xml:base="http://127.0.0.1:9/"><image width="9" height="9" href="a"/></g>')),
    kept("imported style sheet", "css-import-dropped", svg(f"<style>@import url({LEAK}.css);</style>")),
    kept("font from elsewhere", "font-link-dropped", svg(f"<style>@font-face{{font-family:x;src:url({LEAK}.ttf)}}</style>")),
    kept("linked picture in a hidden layer", "link-dropped", svg(f'<g display="none"><image href="{LEAK}.png"/></g>')),
    kept("background by style", "", svg(f'<rect style="background:url({LEAK}.png)"/>')),
)

PICTURES = (
    refused("picture that claims 50,000 x 50,000 px", "picture-too-big", picture(png(50_000, 50_000, idat=zlib.compress(b"")))),
    refused("picture bomb", "picture-too-big", picture(png(8_000, 8_000))),
    refused("truncated picture", "picture-broken", picture(png(90, 90)[:60])),
    refused("picture with too little data", "picture-broken", picture(png(90, 90, idat=zlib.compress(b"\0" * 9)))),
    refused("no picture at all", "picture-broken", picture(b"hello")),
    refused("broken base64", "picture-broken", svg('<image width="9" height="9" href="data:image/png;base64,@@@"/>')),
    refused("bitmap of another kind", "picture-broken", picture(encoded("RGB", "BMP"))),
    refused("drawing with a link inside", "link-refused", picture(svg('<image width="9" height="9" href="a.png"/>'))),
    kept("wrong media type", "", picture(encoded("RGB", "PNG"), "image/jpeg")),
    kept("no media type", "", picture(encoded("RGB", "JPEG"), "")),
    kept("four-colour JPEG", "", picture(encoded("CMYK", "JPEG"), "image/jpeg")),
    kept("16-bit grey", "", picture(encoded("I;16", "PNG"))),
    kept("long comment", "", picture(png(4, 4, extra=chunk(b"tEXt", b"a\0" + LEAK.encode() * 9999)))),
    kept("script in an embedded drawing", "script-dropped", picture(svg(f"<script>{LEAK}()</script>"), "image/svg+xml")),
    kept("empty picture", "picture-empty", svg('<image width="9" height="9" href=""/>')),
)

PACKED = gzip.compress(svg(""), mtime=0)
OTHERS = (
    refused("PNG under the name", "not-svg", png(4, 4)),
    refused("PDF under the name", "not-svg", b"%PDF-1.7\n"),
    refused("archive under the name", "not-svg", b"PK\x03\x04aaaa"),
    refused("web page under the name", "not-svg", b"<!DOCTYPE html><html><body/></html>"),
    refused("program data under the name", "not-svg", b'{"a": 1}'),
    refused("words under the name", "not-svg", b"hello there"),
    refused("other XML under the name", "not-svg", b'<?xml version="1.0"?><note/>'),
    refused("nothing", "file-empty", b""),
    refused("blanks", "file-empty", b" \n\t"),
    refused("gzip bomb", "gzip-too-big", gzip.compress(b"\0" * 40_000_000, mtime=0)),
    refused("gzip in gzip", "gzip-nested", gzip.compress(PACKED, mtime=0)),
    refused("truncated gzip", "gzip-broken", PACKED[:-12]),
    refused("gzip with a wrong check sum", "gzip-broken", PACKED[:-8] + b"\0\0\0\0" + PACKED[-4:]),
    refused("gzip with something behind", "gzip-broken", PACKED + b"more"),
    refused("truncated XML", "xml-broken", svg("")[:-9]),
    refused("NUL in XML", "xml-broken", svg("<g\0/>")),
    refused("encoding nobody needs", "encoding-not-supported", b'<?xml version="1.0" encoding="UTF-7"?>' + svg("")),
    refused("four-byte encoding", "encoding-not-supported", svg("").decode().encode("utf-32")),
    refused("bytes that are no UTF-8", "encoding-broken", svg("<text>\xe9</text>").decode().encode("latin-1")),
)

STYLES = (
    kept(
        "variables that double",
        "",
        svg(
            "<style>:root{--a0:1;"
            + "".join(f"--a{i}:var(--a{i - 1}) var(--a{i - 1});" for i in range(1, 60))
            + "}g{stroke-width:var(--a59)}</style><g/>"
        ),
    ),
    kept("selectors that ask for every ancestor", "", svg(f"<style>{'* ' * 30}x{{fill:red}}</style>" + "<g>" * 150 + "</g>" * 150)),
    kept("brackets in brackets", "", svg("<style>" + ":not(" * 500 + "a" + ")" * 500 + "{fill:red}</style>")),
    kept("sheets in sheets", "", svg("<style>" + "@media all{" * 500 + "}" * 500 + "</style>")),
    kept("style attribute of brackets", "", svg(f'<g style="fill:{"(" * 5000}"/>')),
)

CASES = (*ENTITIES, *REFERENCES, *SIZES, *NUMBERS, *FILTERS, *ACTIVE, *LINKS, *PICTURES, *OTHERS, *STYLES)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_hostile_file_is_refused_with_cause_or_made_harmless(case: Case) -> None:
    """A hostile file ends in a second: refused with the code of its cause and a remedy, or drawn without what is hostile."""
    start = time.perf_counter()
    if case.outcome == "refused":
        with pytest.raises(ArtworkRefused) as caught:
            read_artwork(case.data, name="x", fonts=FONTS)
        assert (caught.value.code, bool(caught.value.fix)) == (case.slug, True)
    else:
        artwork = read_artwork(case.data, name="x", fonts=FONTS)
        assert b"#00a651" in artwork.markup
        assert LEAK.encode() not in artwork.markup
        assert not case.slug or case.slug in {finding.check for finding in artwork.findings}
    assert time.perf_counter() - start < 1.0
