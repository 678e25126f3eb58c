"""Variables put in: no paint depends on `var()` afterwards, wherever it stood."""

from __future__ import annotations

import pytest

from vectorprep.markup.paint import normalise_colours, rewrite_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import Element, serialise

HEAD = '<svg xmlns="http://www.w3.org/2000/svg"'


def normalised(root: str, body: str) -> Element:
    """The root of a drawing after normalising."""
    tree = parse_untrusted(f"{HEAD} {root}>{body}</svg>".encode())
    normalise_colours(tree)
    return tree


@pytest.mark.parametrize(
    ("written", "name", "expected"),
    [
        ('fill="var(--a)"', "fill", "#ff0000"),
        ('style="fill:var(--a)"', "style", "fill:#ff0000"),
        ('style="fill:var( --a , lime)!important"', "style", "fill:#ff0000!important"),
        ('style="fill:var(--none, lime)"', "style", "fill:#00ff00"),
        ('style="fill:var(--none)"', "style", "fill:inherit"),
        ('style="fill:rgb(var(--n) 0 0)"', "style", "fill:#070000"),
        ('style="fill:red;stroke-width:var(--n)"', "style", "fill:#ff0000;stroke-width:7"),
    ],
)
def test_one_definition_is_put_in_where_it_stands(written: str, name: str, expected: str) -> None:
    """A variable that the root alone defines becomes its value in place."""
    root = normalised('style="--a:red;--n:7"', f'<g fill="var(--a)"/><path {written}/>')
    assert root[1].get(name) == expected


def test_one_definition_is_put_into_sheets() -> None:
    """Sheets keep their shape; only the variables in them become values."""
    root = normalised("", "<style>:root{--a:red}.x{fill:var(--a)}@media screen{.y{stroke:var(--a)}}</style>")
    assert root[0].text == ":root{--a:#ff0000}.x{fill:#ff0000}@media screen{.y{stroke:#ff0000}}"


def test_several_definitions_are_resolved_element_by_element() -> None:
    """Where a variable has several values each element gets the one in force there, whatever rule asked for it."""
    root = normalised(
        "",
        "<style>.p{--a:red}.q{--a:lime}.x{fill:var(--a)}</style>"
        '<g class="p"><path class="x"/></g><g class="q"><path class="x"/></g><path class="x"/>',
    )
    assert [path.get("style") for path in root.iter("{*}path")] == ["fill:#ff0000", "fill:#00ff00", "fill:inherit"]
    assert "var(" not in serialise(root).decode()


def test_losing_declarations_with_variables_vanish() -> None:
    """A presentation attribute that a rule beats is not left behind with a variable in it."""
    root = normalised("", '<style>.p{--a:red}.q{--a:lime}path{fill:teal}</style><g class="p"><path fill="var(--a)"/></g>')
    assert "var(" not in serialise(root).decode()
    assert "fill" not in root[1][0].attrib


def test_variables_are_inks_of_their_own_place() -> None:
    """After a mapping definition and use hold the mapped colour once, not twice."""
    root = parse_untrusted(f'{HEAD} style="--a:red"><path fill="var(--a)"/></svg>'.encode())
    rewrite_colours(root, lambda ink: {"#ff0000": "#00ff00", "#00ff00": "#0000ff"}.get(ink, ink))
    assert (root.get("style"), root[0].get("fill")) == ("--a:#00ff00", "#00ff00")


def test_instances_that_differ_are_reported() -> None:
    """One shape whose instances set its variable cannot hold both colours: that is said."""
    body = (
        '<defs><path id="s" style="fill:var(--a)"/></defs><use id="u" href="#s" style="--a:red"/><use href="#s" style="--a:lime"/>'
    )
    issues = normalise_colours(parse_untrusted(f"{HEAD}>{body}</svg>".encode()))
    assert [(issue.feature, issue.element) for issue in issues] == [("variable", "use#u"), ("variable", "use")]
