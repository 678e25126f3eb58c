"""Legitimate but awkward drawings: all of them are delivered, and the picture is the one that was meant."""

from __future__ import annotations

import gzip

import pytest

from vectorprep.fonts import FontIndex
from vectorprep.markup.tree import SVG, parse_clean, serialise
from vectorprep.model import Artwork
from vectorprep.read import ReadOptions, read_artwork

NS = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
SIZE = 'width="100" height="100"'
RED = '<rect width="10" height="10" fill="#ff0000"/>'
FONTS = FontIndex(system=False)
DEFAULTS = ReadOptions()
RECT = '<rect width="10" height="10"'
DTD = 'PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd"'

UNICODE = f"<svg {NS} {SIZE}><title>Grün</title>{RED}</svg>"
AWKWARD = {
    "editor namespaces": f'<svg {NS} xmlns:e="urn:e" {SIZE} e:v="1"><e:view a="b"><e:grid/></e:view>{RED}</svg>'.encode(),
    "internal entities": f'<!DOCTYPE svg [<!ENTITY c "#ff0000">]><svg {NS} {SIZE}>{RECT} fill="&c;"/></svg>'.encode(),
    "entity of markup": f"<!DOCTYPE svg [<!ENTITY r '{RED}'>]><svg {NS} {SIZE}>&r;</svg>".encode(),
    "namespace by entity": f'<!DOCTYPE svg [<!ENTITY n "{SVG}">]><svg xmlns="&n;" {SIZE}>{RED}</svg>'.encode(),
    "public DOCTYPE": f"<!DOCTYPE svg {DTD}><svg {NS} {SIZE}>{RED}</svg>".encode(),
    "compressed": gzip.compress(UNICODE.encode(), mtime=0),
    "UTF-8 with mark": UNICODE.encode("utf-8-sig"),
    "UTF-16 with mark": UNICODE.encode("utf-16"),
    "UTF-16 little end first": UNICODE.encode("utf-16-le"),
    "UTF-16 big end first": UNICODE.encode("utf-16-be"),
    "Latin-1": ('<?xml version="1.0" encoding="ISO-8859-1"?>' + UNICODE).encode("latin-1"),
    "Windows-1252": ('<?xml version="1.0" encoding="windows-1252"?>' + UNICODE).encode("cp1252"),
    "claims UTF-16, is not": ('<?xml version="1.0" encoding="UTF-16"?>' + UNICODE).encode(),
    "blank lines first": b"\n\n" + ('<?xml version="1.0"?>' + UNICODE).encode(),
    "prefixed root": f'<s:svg xmlns:s="{SVG}" {SIZE}><s:rect width="10" height="10" fill="#ff0000"/></s:svg>'.encode(),
    "CDATA style": f"<svg {NS} {SIZE}><style><![CDATA[rect {{ fill: #ff0000 }}]]></style>{RECT}/></svg>".encode(),
    "no namespace": f"<svg {SIZE}>{RED}</svg>".encode(),
    "undeclared prefix": f'<svg xmlns="{SVG}" {SIZE}><g editor:label="x"/>{RED}</svg>'.encode(),
    "undeclared xlink": f'<svg xmlns="{SVG}" {SIZE}><defs><g id="a">{RED}</g></defs><use xlink:href="#a"/></svg>'.encode(),
    "link around art": f'<svg {NS} {SIZE}><a xlink:href="https://example.org/">{RED}</a></svg>'.encode(),
    "switch for one program": f'<svg {NS} {SIZE}><switch><foreignObject requiredExtensions="x"/>{RED}</switch></svg>'.encode(),
}


def read(body: str, *, attributes: str = SIZE, options: ReadOptions = DEFAULTS) -> Artwork:
    """A drawing around a body, read."""
    return read_artwork(f"<svg {NS} {attributes}>{body}</svg>".encode(), name="x", options=options, fonts=FONTS)


def slugs(artwork: Artwork) -> set[str]:
    """Slugs of all findings."""
    return {finding.check for finding in artwork.findings}


@pytest.mark.parametrize("data", AWKWARD.values(), ids=AWKWARD.keys())
def test_awkward_drawing_is_delivered(data: bytes) -> None:
    """The red rectangle is in the clean markup, and nothing about it is a warning."""
    artwork = read_artwork(data, name="x", fonts=FONTS)
    assert b'fill="#ff0000"' in artwork.markup
    assert {finding.severity for finding in artwork.findings} <= {"note"}


@pytest.mark.parametrize("key", [key for key, data in AWKWARD.items() if b"T\0I\0" in data.upper() or b"TITLE" in data.upper()])
def test_letters_survive_every_encoding(key: str) -> None:
    """The title comes out as written, whatever the encoding."""
    assert read_artwork(AWKWARD[key], name="x", fonts=FONTS).title == "Grün"


def test_clean_markup_holds_svg_alone() -> None:
    """Clean markup begins with the root's start tag and has one namespace, no comment, no instruction, no style sheet."""
    artwork = read(f'<!-- c --><?pi x?><metadata><a xmlns="urn:b"/></metadata><style>rect{{opacity:.5}}</style>{RED}')
    root = parse_clean(artwork.markup)
    assert artwork.markup.startswith(b"<svg ")
    assert {element.tag.split("}")[0] for element in root.iter()} == {"{" + SVG}
    assert b"opacity" in artwork.markup
    assert b"<style" not in artwork.markup


def test_reading_clean_markup_again_changes_nothing() -> None:
    """The reader's own output goes through it byte for byte."""
    first = read(f'<g style="fill:red" transform="scale(2)">{RED}</g><text font-family="serif">a</text>').markup
    assert read_artwork(first, name="x", fonts=FONTS).markup == first
    assert serialise(parse_clean(first)) == first


@pytest.mark.parametrize(
    ("sheet", "fill"),
    [
        (".a{fill:#00ff00}", "#00ff00"),
        ("#b{fill:#00ff00} .a{fill:#0000ff}", "#00ff00"),
        ("[class=a]{fill:#00ff00}", "#00ff00"),
        ("rect{fill:#00ff00 !important} #b{fill:#0000ff}", "#00ff00"),
        ("@media screen{rect{fill:#00ff00}}", "#00ff00"),
        ("@media print{rect{fill:#00ff00}}", "#ff0000"),
        (":root{--c:#00ff00} rect{fill:var(--c)}", "#00ff00"),
    ],
)
def test_style_sheet_decides_as_css_says(sheet: str, fill: str) -> None:
    """The winner of the cascade stands on the element (CSS Cascading 5); a drawing is taken as seen on screen."""
    artwork = read(f'<style>{sheet}</style><rect class="a" id="b" width="9" height="9" fill="#ff0000"/>')
    assert f'fill="{fill}"'.encode() in artwork.markup.split(b"<rect")[1]


def test_transform_property_counts_like_the_attribute() -> None:
    """A CSS transform with units and an origin ends up as one plain attribute (CSS Transforms 1)."""
    artwork = read('<rect width="10" height="10" style="transform:translate(20px,10px)"/>')
    assert b'transform="matrix(1 0 0 1 20 10)"' in artwork.markup
    turned = read('<rect x="10" width="10" height="10" style="transform:scale(2);transform-box:fill-box;transform-origin:center"/>')
    assert b'transform="matrix(2 0 0 2 -15 -5)"' in turned.markup


def test_stroke_that_does_not_scale_has_its_width_at_page_size() -> None:
    """A non-scaling stroke of 1 px under a scale of 10 is written as 0.1 user units (SVG 2, 'vector-effect')."""
    artwork = read('<g transform="scale(10)"><path d="M1 5H9" stroke="red" vector-effect="non-scaling-stroke"/></g>')
    assert b'stroke-width="0.1"' in artwork.markup


def test_hidden_layer_stays_hidden() -> None:
    """A layer switched off in the editor is not drawn, however it was switched off."""
    for how in ('style="display:none"', 'display="none"'):
        assert b'display="none"' in read(f"<g {how}>{RED}</g>").markup


def test_plate_is_seen_and_taken_out_where_wanted() -> None:
    """A rectangle over the page below everything is the plate; it goes only where the settings say so."""
    body = f'<rect width="100%" height="100%" fill="#ffeedd"/>{RED}'
    assert read(body).plate == "#ffeedd"
    dropped = read(body, options=ReadOptions(background="drop"))
    assert b"#ffeedd" not in dropped.markup
    assert "page-rectangle-behind-art" in slugs(dropped)
    assert read(f'{RED}<rect width="100" height="100" fill="#ffeedd"/>').plate == ""
    assert read(f'<rect width="97" height="97" fill="#ffeedd"/>{RED}').plate == ""
    assert read(f'<path d="M0 0H100V100H0z" fill="#ffeedd"/>{RED}').plate == "#ffeedd"


def test_page_recover_lets_ink_beyond_the_page_show() -> None:
    """With the page recovered the root clips nothing."""
    assert b'overflow="visible"' in read(RED, options=ReadOptions(page="recover")).markup
    assert b"overflow" not in read(RED).markup


def test_two_reads_give_the_same_artwork() -> None:
    """Reading is a function of the bytes."""
    assert read(RED) == read(RED)
