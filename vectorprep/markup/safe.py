"""Bytes from anywhere to an XML tree that is safe to walk.

Comes in: the bytes of one file, whatever they are.
Goes out: an lxml root element `svg` in the SVG namespace, with notes on what was unusual; or `ArtworkRefused` with
a stable code, the figure and the limit. No file and no network is ever opened, whatever the bytes ask for.
Never done here: judging content (links, scripts, numbers); that is the reader's work.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from lxml import etree

from vectorprep.errors import ArtworkRefused
from vectorprep.markup.doctype import without_doctype
from vectorprep.markup.tree import SVG, SVG_PREFIX, Element, attributes_of, svg_root
from vectorprep.markup.unpack import not_svg, text_of

MAX_DEPTH = 200  # house value; the renderers' own stacks end at about 250
MAX_ELEMENTS = 200_000  # house value; most seen in 8,121 clip-art files is 12,698
MAX_ATTRIBUTES = 1_000  # per element, house value
MAX_MENDED = 20  # prefixes declared for a file, house value

_STYLE_LINK = re.compile(r"<\?xml-stylesheet\s[^>]*\?>")
_GENERATOR = re.compile(r"<!--\s*Generator:\s*([^,>]{1,100}?)\s*(?:,|-->)")
_BAD_URI = re.compile(r"xmlns:([\w.-]+): '.*' is not a valid URI")
_UNBOUND = re.compile(r"Namespace prefix ([\w.-]+)(?: for [\w.-]+)? on [\w.-]+ is not defined")
_ROOT_START = re.compile(r"<((?:[\w.-]+:)?svg)(?=[\s/>])")
_WELL_KNOWN = {"xlink": "http://www.w3.org/1999/xlink", "svg": SVG}

# Namespaces that earlier drafts and careless writers put on the root.
_NEARLY_SVG = re.compile(r"https?://(?:www\.)?w3\.org/(?:2000/svg|Graphics/SVG|TR/SVG)\S*", re.IGNORECASE)

Notes = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A file made into a tree: the root, the encoding it was written in, and what was unusual, in plain words."""

    root: Element
    encoding: str = "utf-8"
    notes: Notes = ()
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
    text, encoding = text_of(data)
    body = without_doctype(text)
    root, mended = _parsed(body)
    _check_tree(root)
    root, renamed = _in_svg_namespace(root)
    return Source(
        root=root,
        encoding=encoding,
        notes=_style_link_notes(text) + mended + renamed,
        has_variables="var(" in body,
        generator=_generator(text),
    )


def _generator(text: str) -> str:
    found = _GENERATOR.search(text[:2000])
    return " ".join(found.group(1).split())[:60] if found else ""


def _style_link_notes(text: str) -> Notes:
    links = _STYLE_LINK.findall(text)
    words = f"{len(links)} linked style sheet(s) (xml-stylesheet) were left out; only styles inside the file count"
    return (("stylesheet-link-dropped", words),) if links else ()


def _parsed(body: str) -> tuple[Element, Notes]:
    """The tree; prefixes nobody declared are declared for the file, which browsers and editors forgive too."""
    notes: Notes = ()
    for _ in range(MAX_MENDED):
        try:
            return _lxml_root(body), notes
        except etree.XMLSyntaxError as error:
            body, note = _mended(body, error)
            notes = (*notes, note)
    raise ArtworkRefused(
        f"more than {MAX_MENDED} namespace prefixes are used without a declaration",
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


def _lxml_root(body: str) -> Element:
    data = body.encode("utf-8")
    try:
        return etree.fromstring(data, _parser(long_text=False))
    except etree.XMLSyntaxError as error:
        # A photograph is one text of more than libxml2's 10 MB; the file's own size is limited, and so are depth and entities.
        if "Buffer size limit" not in str(error):
            raise
    return etree.fromstring(data, _parser(long_text=True))


def _parser(*, long_text: bool) -> etree.XMLParser:
    return etree.XMLParser(
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        attribute_defaults=True,  # of the file's own DOCTYPE; `without_doctype` leaves no other
        huge_tree=long_text,
        remove_comments=True,
        remove_pis=True,
        collect_ids=False,
    )


def _broken(error: etree.XMLSyntaxError) -> ArtworkRefused:
    words = str(error)
    if "ntity" in words:
        return ArtworkRefused(
            f"an entity in the file cannot be used: {words}",
            fix="save the drawing as plain SVG, which writes entities out",
            code="entity-undefined",
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


def _in_svg_namespace(root: Element) -> tuple[Element, Notes]:
    """The tree with its elements in the SVG namespace; a root without one, or with a near miss, is read as SVG."""
    name = etree.QName(root)
    if name.localname != "svg":
        raise not_svg(f"XML whose first element is '{name.localname}'")
    if name.namespace == SVG:
        return root, ()
    if name.namespace and not _NEARLY_SVG.fullmatch(name.namespace):
        raise not_svg(f"XML of another kind (namespace {name.namespace})")
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
