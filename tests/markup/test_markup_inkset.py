"""The colours a drawing can paint, resolved through inheritance, instances and servers."""

from __future__ import annotations

import pytest

from vectorprep.markup.inkset import list_colours, replace_colours
from vectorprep.markup.safe import parse_untrusted

HEAD = '<svg xmlns="http://www.w3.org/2000/svg">'


def colours(body: str) -> tuple[str, ...]:
    """The colours of a drawing."""
    return list_colours(parse_untrusted(f"{HEAD}{body}</svg>".encode()))


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("", ()),
        ("<path/>", ("#000000",)),
        ('<path fill="#ff0000"/>', ("#ff0000",)),
        ('<path fill="none" stroke="#00ff00"/>', ("#00ff00",)),
        ('<path fill="rgba(255,0,0,0.5)"/>', ("#ff0000",)),
        ('<path fill="rgba(255,0,0,0)"/><path fill="transparent"/>', ()),
        ('<g fill="#ff0000"><path/><path fill="#0000ff"/></g>', ("#0000ff", "#ff0000")),
        ('<g fill="#ff0000"><path fill="#0000ff"/></g>', ("#0000ff",)),
        ("<style>.a{fill:#ff0000}</style><path class='a'/>", ("#ff0000",)),
        ("<style>.a{fill:#ff0000}</style><path fill='#0000ff'/>", ("#0000ff",)),
        ('<g color="#ff0000"><path fill="currentColor"/></g>', ("#ff0000",)),
        ('<path fill="currentColor"/>', ("#000000",)),
        ('<path color="currentColor" fill="currentColor"/>', ("#000000",)),
        ('<g display="none"><path fill="#ff0000"/></g>', ()),
        ('<mask><path fill="#ff0000"/></mask><clipPath><path/></clipPath>', ()),
        ('<text fill="#ff0000">Tea</text>', ("#ff0000",)),
        ('<path fill="url(#none) #ff0000"/>', ("#ff0000",)),
    ],
)
def test_solid_paints(body: str, expected: tuple[str, ...]) -> None:
    """Each shape's fill and stroke counts as it is resolved; what cannot paint does not."""
    assert colours(body) == expected


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ('<defs><path id="s"/></defs><use href="#s" fill="#ff0000"/>', ("#ff0000",)),
        ('<defs><path id="s"/></defs><use href="#s" fill="#ff0000"/><use href="#s"/>', ("#000000", "#ff0000")),
        ('<g fill="#00ff00"><path id="s"/></g><use href="#s" fill="#ff0000"/>', ("#00ff00", "#ff0000")),
        ('<symbol id="s"><path/></symbol><g fill="#ff0000"><use href="#s"/></g>', ("#ff0000",)),
        ('<symbol id="s"><path/></symbol><defs><path/></defs>', ()),
        ('<defs><g fill="#00ff00"><path id="s"/></g></defs><use href="#s" fill="#ff0000"/>', ("#ff0000",)),
        ('<defs><g id="t" fill="#00ff00"><path id="s"/></g></defs><use href="#s"/><use href="#t"/>', ("#000000", "#00ff00")),
        ('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/><path fill="#ff0000"/></g>', ("#ff0000",)),
    ],
)
def test_instances_give_their_paint(body: str, expected: tuple[str, ...]) -> None:
    """A shape without paint of its own takes that of every `use` that shows it."""
    assert colours(body) == expected


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        (
            '<linearGradient id="g"><stop stop-color="#ff0000"/><stop/></linearGradient><path fill="url(#g)"/>',
            ("#000000", "#ff0000"),
        ),
        ('<linearGradient id="g"><stop stop-color="#ff0000"/></linearGradient>', ()),
        (
            '<linearGradient id="b"><stop stop-color="#ff0000"/></linearGradient><linearGradient id="g" href="#b"/>'
            '<path fill="none" stroke="url(#g)"/>',
            ("#ff0000",),
        ),
        ('<pattern id="p"><path fill="#ff0000"/></pattern><path fill="url(#p)"/>', ("#ff0000",)),
        ('<defs><pattern id="p"><path/></pattern></defs><path fill="url(#p)"/>', ("#000000",)),
        ('<pattern id="p"><path fill="#ff0000"/></pattern>', ()),
        ('<marker id="k"><path fill="#ff0000"/></marker><g marker-end="url(#k)"><path fill="none"/></g>', ("#ff0000",)),
        ('<marker id="k"><path fill="#ff0000"/></marker>', ()),
        ('<filter id="f"><feFlood flood-color="#ff0000"/></filter><path fill="none" filter="url(#f)"/>', ("#ff0000",)),
        ('<linearGradient id="g" href="#g"/><path fill="url(#g)"/>', ()),
    ],
)
def test_paint_servers_count_when_used(body: str, expected: tuple[str, ...]) -> None:
    """Stops, patterns and floods count when something visible uses them."""
    assert colours(body) == expected


def test_single_colours_are_replaced() -> None:
    """`replace_colours` moves the named inks and no other."""
    markup = f'{HEAD}<path fill="#ff0000" stroke="#00ff00"/><path/></svg>'.encode()
    new = replace_colours(markup, {"#ff0000": "#aa0000", "#000000": "#222222"})
    assert list_colours(parse_untrusted(new)) == ("#00ff00", "#222222", "#aa0000")
