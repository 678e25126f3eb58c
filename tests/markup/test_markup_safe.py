"""Untrusted bytes to a tree: limits at their edge, namespaces, entities, and no file ever opened."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vectorprep.errors import ArtworkRefused
from vectorprep.markup.safe import MAX_ATTRIBUTES, MAX_DEPTH, open_source, parse_untrusted
from vectorprep.markup.tree import SVG, local_name, svg_elements

HEAD = f'<svg xmlns="{SVG}">'


def code_of(data: bytes) -> str:
    """Code of the refusal, empty where there is none."""
    try:
        parse_untrusted(data)
    except ArtworkRefused as error:
        return error.code
    return ""


def outcome_of(data: bytes) -> str:
    """Name of the root, or how the refusal is worded."""
    try:
        return local_name(parse_untrusted(data))
    except ArtworkRefused as error:
        return f"refused with {'code' if error.code else ''} and {'fix' if error.fix else ''}"


@pytest.mark.parametrize(("groups", "code"), [(MAX_DEPTH - 2, ""), (MAX_DEPTH - 1, ""), (MAX_DEPTH, "nesting-too-deep")])
def test_depth_is_limited_at_its_figure(groups: int, code: str) -> None:
    """The root counts as one level."""
    assert code_of((HEAD + "<g>" * groups + "</g>" * groups + "</svg>").encode()) == code


@pytest.mark.parametrize(
    ("count", "code"), [(MAX_ATTRIBUTES - 1, ""), (MAX_ATTRIBUTES, ""), (MAX_ATTRIBUTES + 1, "too-many-attributes")]
)
def test_attributes_are_limited_at_their_figure(count: int, code: str) -> None:
    """An element may carry as many attributes as the limit says."""
    attributes = " ".join(f'a{i}=""' for i in range(count))
    assert code_of(f"{HEAD}<g {attributes}/></svg>".encode()) == code


def test_entity_of_markup_lies_in_the_namespace_of_its_place() -> None:
    """Elements out of an entity are SVG where the reference stands in SVG (XML 1.0, section 4.4.2)."""
    root = parse_untrusted(f'<!DOCTYPE svg [<!ENTITY r "<rect/>">]>{HEAD}&r;<g>&r;</g></svg>'.encode())
    assert [local_name(element) for element in svg_elements(root)] == ["svg", "rect", "g", "rect"]


def test_entity_in_an_attribute_keeps_its_quotes() -> None:
    """Quotes and brackets out of an entity are text in an attribute (XML 1.0, section 4.4.5)."""
    root = parse_untrusted(f'<!DOCTYPE svg [<!ENTITY q \'a"b\'>]>{HEAD[:-1]} id="&q;"/>'.encode())
    assert root.get("id") == 'a"b'


def test_reference_in_cdata_and_comments_is_text() -> None:
    """Entities are not written out in CDATA sections (XML 1.0, section 2.7)."""
    root = parse_untrusted(f'<!DOCTYPE svg [<!ENTITY e "x">]>{HEAD}<!-- &e; --><desc><![CDATA[&e;]]>&e;</desc></svg>'.encode())
    assert root[0].text == "&e;x"


def test_root_without_namespace_is_svg_with_a_note() -> None:
    """Plain and prefixed foreign parts keep their names, the drawing becomes SVG."""
    source = open_source(b'<svg xmlns:e="urn:e"><g><e:x/><rect/></g></svg>')
    assert [local_name(element) for element in svg_elements(source.root)] == ["svg", "g", "rect"]
    assert [slug for slug, _ in source.notes] == ["namespace-missing"]


def test_generator_comment_is_kept() -> None:
    """The program that wrote the file is known by the comment at its top."""
    assert open_source(f"<!-- Generator: Drawing Tool 1.0, SVG Export -->{HEAD}</svg>".encode()).generator == "Drawing Tool 1.0"


def test_file_named_by_a_doctype_is_never_read(tmp_path: Path) -> None:
    """The definitions of a DTD beside the drawing have no effect."""
    (tmp_path / "x.dtd").write_text('<!ENTITY leak "secret">')
    data = f'<!DOCTYPE svg SYSTEM "{(tmp_path / "x.dtd").as_uri()}">{HEAD}<desc>&leak;</desc></svg>'.encode()
    assert code_of(data) == "entity-undefined"


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_give_a_tree_or_a_refusal(data: bytes) -> None:
    """Nothing but a refusal with code and remedy ever comes out of arbitrary bytes."""
    for candidate in (data, HEAD.encode() + data + b"</svg>", gzip.compress(data, mtime=0)):
        assert outcome_of(candidate) in {"svg", "refused with code and fix"}
