"""Bytes from anywhere to an XML tree that is safe to walk.

Comes in: the bytes of one file, whatever they are.
Goes out: an lxml root element `svg` in the SVG namespace, with notes on what was unusual; or `ArtworkRefused` with
a stable code, the figure and the limit. No file and no network is ever opened, whatever the bytes ask for.
Never done here: judging content (links, scripts, numbers); that is the reader's work.
"""

from __future__ import annotations

import re
import zlib
from dataclasses import dataclass

from lxml import etree

from vectorprep.errors import ArtworkRefused
from vectorprep.markup.tree import SVG, SVG_PREFIX, Element, attributes_of, svg_root

MAX_BYTES = 20_000_000  # house value; largest of 8,121 clip-art files is 1.7 MB
MAX_DEPTH = 200  # house value; the renderers' own stacks end at about 250
MAX_ELEMENTS = 200_000  # house value; most seen in clip art is 12,698
MAX_ATTRIBUTES = 1_000  # per element, house value
MAX_ENTITY_BYTES = 5_000_000  # all internal entities written out, house value

_ENCODINGS = {
    "utf-8": "utf-8",
    "utf8": "utf-8",
    "us-ascii": "utf-8",
    "ascii": "utf-8",
    "iso-8859-1": "latin-1",
    "iso8859-1": "latin-1",
    "iso_8859-1": "latin-1",
    "latin1": "latin-1",
    "latin-1": "latin-1",
    "windows-1252": "cp1252",
    "cp1252": "cp1252",
    "utf-16": "utf-16",
    "utf16": "utf-16",
    "utf-16le": "utf-16-le",
    "utf-16be": "utf-16-be",
}

# First bytes of other file types (their own format descriptions), and how a person calls them.
_MAGIC: tuple[tuple[bytes, str], ...] = (
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"BM", "a BMP picture"),
    (b"II*\x00", "a TIFF picture"),
    (b"MM\x00*", "a TIFF picture"),
    (b"8BPS", "a layered pixel picture (PSD)"),
    (b"%PDF", "a PDF document"),
    (b"%!PS", "a PostScript or EPS document"),
    (b"\xc5\xd0\xd3\xc6", "an EPS document"),
    (b"PK\x03\x04", "a ZIP archive"),
    (b"PK\x05\x06", "a ZIP archive"),
    (b"Rar!", "a RAR archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"BZh", "a bzip2 archive"),
    (b"\xfd7zXZ", "an xz archive"),
    (b"\x28\xb5\x2f\xfd", "a zstd archive"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
    (b"\xd7\xcd\xc6\x9a", "a WMF drawing"),
    (b"\x00\x00\x01\x00", "an icon file (ICO)"),
    (b"\x00\x01\x00\x00", "a font file"),
    (b"OTTO", "a font file"),
    (b"wOFF", "a font file"),
    (b"wOF2", "a font file"),
)

_DECLARATION = re.compile(r"<\?xml\s[^>]*\?>\s*")
_DECLARED = re.compile(rb"<\?xml\s[^>]*?encoding\s*=\s*[\"']([A-Za-z0-9._:-]+)[\"']")
_ENTITY = re.compile(r"<!ENTITY\s+(%\s+)?([^\s%\"'>]+)\s+(?:(\"[^\"]*\"|'[^']*')|((?:SYSTEM|PUBLIC)\b)[^>]*)\s*>")
_DOCTYPE = re.compile(
    r"""(?:\s|<!--.*?-->|<\?.*?\?>)*+<!DOCTYPE\s+[^\s\[>]+(?:[^\[>"']|"[^"]*"|'[^']*')*+"""
    r"""(?:\[(?P<subset>(?:<!--.*?-->|<\?.*?\?>|"[^"]*"|'[^']*'|[^\]"'])*+)\]\s*)?>""",
    re.DOTALL | re.IGNORECASE,
)
_SUBSET_COMMENT = re.compile(r"<!--.*?-->|<\?.*?\?>", re.DOTALL)
_STYLE_LINK = re.compile(r"<\?xml-stylesheet\s[^>]*\?>")
_GENERATOR = re.compile(r"<!--\s*Generator:\s*([^,>]{1,100}?)\s*(?:,|-->)")
_BAD_URI = re.compile(r"xmlns:([\w.-]+): '.*' is not a valid URI")
_REFERENCE = re.compile(r"&([A-Za-z_:][\w.:-]*);")
_UNBOUND = re.compile(r"Namespace prefix ([\w.-]+)(?: for [\w.-]+)? on [\w.-]+ is not defined")
_ROOT_START = re.compile(r"<((?:[\w.-]+:)?svg)(?=[\s/>])")
_WELL_KNOWN = {"xlink": "http://www.w3.org/1999/xlink", "svg": SVG}

# Namespaces that earlier drafts and careless writers put on the root.
_NEARLY_SVG = re.compile(r"https?://(?:www\.)?w3\.org/(?:2000/svg|Graphics/SVG|TR/SVG)\S*", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A file made into a tree: the root, the encoding it was written in, and what was unusual, in plain words."""

    root: Element
    encoding: str = "utf-8"
    notes: tuple[tuple[str, str], ...] = ()
    """(slug, words) of each oddity."""
    has_variables: bool = False
    """Whether `var()` stands anywhere in it."""
    generator: str = ""
    """The program that wrote it, as a comment at its top says."""


def parse_untrusted(data: bytes) -> Element:
    """Root `svg` element of a file from anywhere; every limit of this module holds for it.

    Raises:
        ArtworkRefused: not SVG, broken, or beyond a limit; `code` says which.
    """
    return open_source(data).root


def open_source(data: bytes) -> Source:
    """The same as `parse_untrusted`, with the encoding and the notes for the seller.

    Raises:
        ArtworkRefused: not SVG, broken, or beyond a limit; `code` says which.
    """
    plain = _unzipped(_sized(data))
    text, encoding = _decoded(plain)
    text = _DECLARATION.sub("", text.lstrip("\ufeff \t\r\n"), count=1).lstrip()
    _check_kind(text)
    body, entities = _without_doctype(text)
    _check_entities(body, entities)
    notes = _style_link_notes(text)
    root, more = _parsed(body, entities)
    _check_tree(root)
    root, last = _in_svg_namespace(root)
    return Source(root=root, encoding=encoding, notes=notes + more + last, has_variables="var(" in body, generator=_generator(text))


def _generator(text: str) -> str:
    found = _GENERATOR.search(text[:2000])
    return " ".join(found.group(1).split())[:60] if found else ""


def _style_link_notes(text: str) -> tuple[tuple[str, str], ...]:
    links = _STYLE_LINK.findall(text)
    words = f"{len(links)} linked style sheet(s) (xml-stylesheet) were left out; only styles inside the file count"
    return (("stylesheet-link-dropped", words),) if links else ()


def _sized(data: bytes) -> bytes:
    if not data.strip():
        raise ArtworkRefused("the file is empty", fix="export the drawing again", code="file-empty")
    if len(data) > MAX_BYTES:
        raise ArtworkRefused(
            f"the file has {len(data)} bytes, more than the limit of {MAX_BYTES}",
            fix="simplify the drawing or scale its embedded pictures down",
            code="file-too-big",
        )
    for magic, kind in _MAGIC:
        if data.startswith(magic):
            raise _not_svg(kind)
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        raise _not_svg("a WebP picture")
    return data


def _not_svg(kind: str) -> ArtworkRefused:
    return ArtworkRefused(
        f"the content is {kind}, not SVG, whatever the name says", fix="export the drawing as SVG", code="not-svg"
    )


def _unzipped(data: bytes) -> bytes:
    """One layer of gzip taken off, with its length bounded and its check sum compared (zlib does the latter)."""
    if not data.startswith(b"\x1f\x8b"):
        return data
    unpacker = zlib.decompressobj(wbits=31)
    try:
        plain = unpacker.decompress(data, MAX_BYTES + 1)
    except zlib.error as error:
        raise ArtworkRefused(
            f"the compressed file (svgz) is damaged: {error}", fix="export or copy the file again", code="gzip-broken"
        ) from error
    if len(plain) > MAX_BYTES:
        raise ArtworkRefused(
            f"the compressed file (svgz) unpacks to more than the limit of {MAX_BYTES} bytes",
            fix="save the drawing uncompressed and simplify it",
            code="gzip-too-big",
        )
    if not unpacker.eof:
        raise ArtworkRefused(
            f"the compressed file (svgz) breaks off after {len(plain)} unpacked bytes",
            fix="export or copy the file again",
            code="gzip-broken",
        )
    if unpacker.unused_data.strip(b"\x00"):
        raise ArtworkRefused(
            f"{len(unpacker.unused_data)} bytes follow the compressed drawing",
            fix="save the drawing as one plain SVG",
            code="gzip-broken",
        )
    if plain.startswith(b"\x1f\x8b"):
        raise ArtworkRefused("the file is compressed more than once", fix="unpack it once and try again", code="gzip-nested")
    return _sized(plain)


def _decoded(data: bytes) -> tuple[str, str]:
    encoding = _encoding_of(data)
    try:
        return data.decode(encoding), encoding
    except UnicodeDecodeError as error:
        raise ArtworkRefused(
            f"byte {error.start} cannot be read as {encoding}: {error.reason}",
            fix="save the drawing as UTF-8, or declare the encoding it is written in",
            code="encoding-broken",
        ) from error


def _encoding_of(data: bytes) -> str:
    if data.startswith((b"\xff\xfe\x00\x00", b"\x00\x00\xfe\xff", b"<\x00\x00\x00", b"\x00\x00\x00<")):
        raise _bad_encoding("UTF-32")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    if data.startswith(b"\xef\xbb\xbf"):
        return "utf-8"
    head = data[:64].lstrip(b" \t\r\n")
    if head.startswith(b"<\x00"):
        return "utf-16-le"
    if head.startswith(b"\x00<"):
        return "utf-16-be"
    match = _DECLARED.search(data[:512])
    if match is None:
        return "utf-8"
    name = match.group(1).decode("ascii").lower()
    if name not in _ENCODINGS:
        raise _bad_encoding(name)
    # Bytes that begin like ASCII are not UTF-16, whatever the declaration says; some editors on Windows write that.
    return "utf-8" if name.startswith("utf") else _ENCODINGS[name]


def _bad_encoding(name: str) -> ArtworkRefused:
    return ArtworkRefused(
        f"the encoding {name} is not one of UTF-8, UTF-16, ISO-8859-1, Windows-1252",
        fix="save the drawing as UTF-8",
        code="encoding-not-supported",
    )


def _check_kind(text: str) -> None:
    head = text[:200].lower()
    if head.startswith(("<!doctype html", "<html")):
        raise _not_svg("an HTML page")
    if head.startswith("%!ps"):
        raise _not_svg("a PostScript document")
    if head.startswith(("{", "[")):
        raise _not_svg("JSON or other program data")
    if not head.startswith("<"):
        raise _not_svg("text without any XML markup" if text[:2000].isprintable() or "<" not in text else "not XML")


def _without_doctype(text: str) -> tuple[str, dict[str, str]]:
    """The text without its DOCTYPE, and the internal entities that stood there; nothing else of a DOCTYPE is ever used."""
    match = _DOCTYPE.match(text)
    if match is None:
        return text, {}
    body = text[match.end() :]
    subset = _SUBSET_COMMENT.sub("", match.group("subset") or "")
    entities: dict[str, str] = {}
    for parameter, name, value, _outside in _ENTITY.findall(subset):
        if parameter:
            _check_parameter_entity(subset, name)
        elif value:
            entities.setdefault(name, value[1:-1])
        elif f"&{name};" in body:
            raise ArtworkRefused(
                f"the entity '{name}' stands for content outside the file, which is never opened",
                fix="save the drawing without outside entities ('plain SVG' in most editors)",
                code="entity-external",
            )
    return body, entities


def _check_entities(body: str, entities: dict[str, str]) -> None:
    """Counts what the entities of the DOCTYPE would expand to, without expanding them."""
    sizes: dict[str, int] = {}
    total = sum(_entity_size(name, entities, sizes, ()) for name in _REFERENCE.findall(body) if name in entities)
    if total > MAX_ENTITY_BYTES:
        raise ArtworkRefused(
            f"its entities would expand to {total} characters, more than the limit of {MAX_ENTITY_BYTES}",
            fix="save the drawing as plain SVG, which writes entities out",
            code="entity-bomb",
        )


def _check_parameter_entity(text: str, name: str) -> None:
    if f"%{name};" in text:
        raise ArtworkRefused(
            f"the parameter entity '{name}' is not supported",
            fix="save the drawing as plain SVG, which needs no DOCTYPE",
            code="entity-parameter",
        )


def _entity_size(name: str, values: dict[str, str], sizes: dict[str, int], path: tuple[str, ...]) -> int:
    """Characters of one entity written out; each entity is counted once and remembered."""
    if name in sizes:
        return sizes[name]
    if name in path or len(path) > 50:
        raise ArtworkRefused(
            f"the entity '{name}' refers to itself or nests deeper than 50",
            fix="save the drawing as plain SVG, which writes entities out",
            code="entity-loop",
        )
    inner = _REFERENCE.findall(values[name])
    size = len(values[name]) + sum(_entity_size(n, values, sizes, (*path, name)) for n in inner if n in values)
    sizes[name] = size
    return size


def _parsed(body: str, entities: dict[str, str]) -> tuple[Element, tuple[tuple[str, str], ...]]:
    """The tree; prefixes nobody declared are declared for the file, which browsers and editors forgive too."""
    notes: tuple[tuple[str, str], ...] = ()
    for _ in range(20):
        try:
            return _lxml_root(body, entities), notes
        except etree.XMLSyntaxError as error:
            body, note = _mended(body, error)
            notes = (*notes, note)
    raise ArtworkRefused(
        "more than 20 namespace prefixes are used without a declaration",
        fix="export the drawing again as plain SVG",
        code="xml-broken",
    )


def _mended(body: str, error: etree.XMLSyntaxError) -> tuple[str, tuple[str, str]]:
    """The text with a prefix declared that had no (or no usable) declaration; any other error is the file's end."""
    unbound, unusable = _UNBOUND.search(str(error)), _BAD_URI.search(str(error))
    root = _ROOT_START.search(body)
    match = unbound or unusable
    if match is None or root is None:
        raise _broken(error) from error
    prefix = match.group(1)
    if unusable:
        body = re.sub(rf"""xmlns:{re.escape(prefix)}\s*=\s*("[^"]*"|'[^']*')""", "", body)
    uri = _WELL_KNOWN.get(prefix, f"urn:undeclared:{prefix}")
    declared = f'{body[: root.end()]} xmlns:{prefix}="{uri}"{body[root.end() :]}'
    return declared, ("prefix-undeclared", f"the prefix '{prefix}' is used without a usable declaration")


def _lxml_root(body: str, entities: dict[str, str]) -> Element:
    parser = etree.XMLParser(
        resolve_entities="internal",  # type: ignore[arg-type, unused-ignore]
        no_network=True,
        load_dtd=False,
        huge_tree=False,
        remove_comments=True,
        remove_pis=True,
        collect_ids=False,
    )
    declarations = "".join(f"<!ENTITY {name} {_quoted(value)}>" for name, value in entities.items())
    head = f"<!DOCTYPE svg [{declarations}]>" if declarations else ""
    return etree.fromstring((head + body).encode("utf-8"), parser)


def _quoted(value: str) -> str:
    return f"'{value}'" if '"' in value else f'"{value}"'


def _broken(error: etree.XMLSyntaxError) -> ArtworkRefused:
    words = str(error)
    if "ntity" in words:
        return ArtworkRefused(
            f"an entity in the file cannot be used: {words}",
            fix="save the drawing as plain SVG, which writes entities out",
            code="entity-undefined" if "not defined" in words else "entity-bomb",
        )
    if "xcessive depth" in words:
        return _too_deep("more than 256")
    return ArtworkRefused(
        f"the XML is broken: {words}", fix="open the drawing in its editor and export it again", code="xml-broken"
    )


def _too_deep(depth: str) -> ArtworkRefused:
    return ArtworkRefused(
        f"elements are nested {depth} deep, the limit is {MAX_DEPTH}",
        fix="ungroup the drawing in its editor",
        code="nesting-too-deep",
    )


def _check_tree(root: Element) -> None:
    depth, count = 0, 0
    for event, element in etree.iterwalk(root, events=("start", "end")):
        if event == "end":
            depth -= 1
            continue
        depth += 1
        count += 1
        if depth > MAX_DEPTH:
            raise _too_deep(f"more than {MAX_DEPTH}")
        if count > MAX_ELEMENTS:
            raise ArtworkRefused(
                f"the drawing has more than {MAX_ELEMENTS} elements",
                fix="simplify the drawing or flatten traced parts",
                code="too-many-elements",
            )
        if len(element.attrib) > MAX_ATTRIBUTES:
            raise ArtworkRefused(
                f"an element '{etree.QName(element).localname}' carries {len(element.attrib)} attributes, "
                f"the limit is {MAX_ATTRIBUTES}",
                fix="export the drawing again as plain SVG",
                code="too-many-attributes",
            )


def _in_svg_namespace(root: Element) -> tuple[Element, tuple[tuple[str, str], ...]]:
    """The tree with its elements in the SVG namespace; a root without one, or with a near miss, is read as SVG."""
    name = etree.QName(root)
    if name.localname != "svg":
        raise _not_svg(f"XML whose first element is '{name.localname}'")
    if name.namespace == SVG:
        return root, ()
    if name.namespace and not _NEARLY_SVG.fullmatch(name.namespace):
        raise _not_svg(f"XML of another kind (namespace {name.namespace})")
    old = "{" + name.namespace + "}" if name.namespace else ""
    prefixes = {prefix: uri for prefix, uri in root.nsmap.items() if prefix and uri != name.namespace}
    made = svg_root(dict(attributes_of(root)), prefixes)
    made.text = root.text
    made.extend(list(root))
    for element in made.iter(old + "*" if old else "*"):
        if isinstance(element.tag, str) and not (old == "" and element.tag.startswith("{")):
            element.tag = SVG_PREFIX + element.tag[len(old) :]
    words = "the root does not carry the SVG namespace; read as SVG all the same"
    return made, (("namespace-missing", words),)
