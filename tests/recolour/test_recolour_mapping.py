"""`map_colours`: raw bytes in, the same drawing in other inks out."""

from __future__ import annotations

import gzip

import pytest

from vectorprep.errors import ArtworkRefused
from vectorprep.recolour import map_colours, map_colours_reported

RED_DOT = '<svg xmlns="http://www.w3.org/2000/svg"><circle r="3" fill="Red"/></svg>'


def turned(ink: str) -> str:
    """(r, g, b) to (b, r, g)."""
    return "#" + ink[5:7] + ink[1:3] + ink[3:5]


def test_every_ink_goes_through_the_mapping() -> None:
    """Written and unwritten inks are mapped; the rest of the file stays."""
    assert map_colours(RED_DOT.encode(), turned) == (
        b'<svg xmlns="http://www.w3.org/2000/svg" fill="#000000" color="#000000"><circle r="3" fill="#00ff00"/></svg>'
    )


def test_mapping_sees_each_ink_once_in_the_form_rrggbb() -> None:
    """The mapping is asked once for each distinct ink, always in lower-case hex, however the ink is spelt."""
    seen: list[str] = []
    markup = (
        b'<svg xmlns="http://www.w3.org/2000/svg"><g fill="#F00" stroke="rgb(255 0 0 / 50%)"><path style="fill:Red"/></g></svg>'
    )

    def remembered(ink: str) -> str:
        seen.append(ink)
        return ink

    map_colours(markup, remembered)
    assert sorted(seen) == ["#000000", "#ff0000"]


@pytest.mark.parametrize(
    "data",
    [
        RED_DOT.encode("utf-16"),
        ('<?xml version="1.0" encoding="ISO-8859-1"?><!-- \u00e9 -->' + RED_DOT).encode("latin-1"),
        gzip.compress(RED_DOT.encode()),
        RED_DOT.replace("<svg", "<!DOCTYPE svg [<!ENTITY c 'Red'>]><svg").replace('"Red"', '"&c;"').encode(),
        RED_DOT.replace("<", "<s:").replace("<s:/", "</s:").replace("xmlns", "xmlns:s").encode(),
        RED_DOT.replace(' xmlns="http://www.w3.org/2000/svg"', "").encode(),
    ],
    ids=["utf-16", "latin-1", "gzip", "entity", "prefix", "no namespace"],
)
def test_any_packing_of_a_drawing_is_read(data: bytes) -> None:
    """Encodings, compression, entities and prefixes make no difference to the colours."""
    assert b'fill="#00ff00"' in map_colours(data, turned)


def test_shapes_written_as_entities_are_mapped() -> None:
    """Elements that an internal entity stands for are drawn, so their inks are mapped too."""
    data = b"<!DOCTYPE svg [<!ENTITY dot \"<circle fill='Red'/>\">]><svg xmlns='http://www.w3.org/2000/svg'>&dot;</svg>"
    assert b'<circle fill="#00ff00"/>' in map_colours(data, turned)


def test_what_is_no_drawing_is_refused() -> None:
    """Bytes that are no SVG are refused in words."""
    with pytest.raises(ArtworkRefused):
        map_colours(b"hello", turned)


def test_report_names_what_is_not_exact() -> None:
    """The reported form tells which features keep the result from being exact."""
    markup = b'<svg xmlns="http://www.w3.org/2000/svg"><filter id="f"><feTurbulence/></filter></svg>'
    _, issues = map_colours_reported(markup, turned)
    assert [(issue.feature, issue.element) for issue in issues] == [("filter", "feTurbulence")]
