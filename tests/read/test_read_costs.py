"""Drawings that would take minutes are refused for what costs them, with figure and limit; what designers draw passes."""

from __future__ import annotations

import pytest

from vectorprep.errors import ArtworkRefused
from vectorprep.fonts import FontIndex
from vectorprep.read import read_artwork

FONTS = FontIndex(system=False)


def drawing(body: str) -> bytes:
    """A page of 100 mm with something on it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">{body}'
        '<rect x="10" y="10" width="20" height="20"/></svg>'
    ).encode()


def pattern(width: str, height: str, units: str = "userSpaceOnUse") -> str:
    """A pattern and a shape that it fills."""
    return (
        f'<defs><pattern id="p" width="{width}" height="{height}" patternUnits="{units}"><circle r=".1"/></pattern></defs>'
        '<rect width="100" height="100" fill="url(#p)"/>'
    )


def gradient(stops: int) -> str:
    """A gradient of so many stops and a shape that it fills."""
    inner = "".join(f'<stop offset="{number / stops}" stop-color="#{number % 4096:03x}"/>' for number in range(stops))
    return f'<defs><linearGradient id="g">{inner}</linearGradient></defs><rect width="100" height="100" fill="url(#g)"/>'


COSTLY = {
    "text-too-long": '<text x="1" y="9" font-family="Caladea">' + "lorem ipsum " * 4_200 + "</text>",
    "gradient-too-fine": gradient(2_001),
    "pattern-too-fine": pattern(".01", ".01"),
    "pattern-too-large": pattern("100000", "100000"),
    "too-many-dashes": '<path d="M0 0' + "L100 100L0 0" * 40 + '" fill="none" stroke="#000" stroke-dasharray=".01"/>',
    "style-sheet-too-big": "<style>" + "rect:nth-child(2n){fill:red}" * 300 + "</style>" + "<rect width='1' height='1'/>" * 1_000,
}
USUAL = {
    "text": '<text x="1" y="9" font-family="Caladea">' + "lorem ipsum " * 400 + "</text>",
    "gradient": gradient(200),
    "pattern of dots": pattern(".5", ".5"),
    "pattern as large as the page": pattern("100%", "100%"),
    "pattern by the shape's box": pattern(".1", ".1", "objectBoundingBox"),
    "stitches": '<path d="M0 0L100 100L0 100" fill="none" stroke="#000" stroke-width=".4" stroke-dasharray="1 .5 2"/>',
    "dashes without a stroke": '<path d="M0 0' + "L100 100L0 0" * 40 + '" stroke-dasharray=".01"/>',
    "style by place": "<style>rect:nth-child(2n){fill:red} g > rect:first-child{fill:blue}</style>"
    + "<rect width='1' height='1'/>" * 500,
}


@pytest.mark.parametrize("code", list(COSTLY))
def test_what_costs_too_much_is_refused_by_name(code: str) -> None:
    """The refusal's code says what it is, its words hold a figure above the limit that they state, and there is a remedy."""
    with pytest.raises(ArtworkRefused) as caught:
        read_artwork(drawing(COSTLY[code]), name="costly", fonts=FONTS)
    assert caught.value.code == code
    figures = [int(word) for word in caught.value.message.replace(",", " ").split() if word.isdigit()]
    assert len(figures) == 2
    assert figures[0] > figures[1]
    assert caught.value.fix


@pytest.mark.parametrize("name", list(USUAL))
def test_what_designers_draw_passes(name: str) -> None:
    """Far below the limits nothing is refused."""
    assert read_artwork(drawing(USUAL[name]), name="usual", fonts=FONTS).markup
