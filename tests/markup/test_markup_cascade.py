"""Computed style: the winning value of a property, as CSS Cascade 5 and SVG 2 rank declarations."""

from __future__ import annotations

import pytest

from vectorprep.markup.cascade import Cascade, substituted
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.sheets import media_holds


def cascade_of(sheet: str, body: str, root: str = "") -> Cascade:
    """The cascade of a drawing with one style sheet."""
    return Cascade(
        parse_untrusted(f'<svg xmlns="http://www.w3.org/2000/svg" {root}><style><![CDATA[{sheet}]]></style>{body}</svg>'.encode())
    )


def value(sheet: str, body: str, name: str = "fill", root: str = "") -> str:
    """The value of a property on the element with id `x`."""
    cascade = cascade_of(sheet, body, root)
    (element,) = (element for element in cascade.root.iter() if element.get("id") == "x")
    return cascade.value(element, name)


@pytest.mark.parametrize(
    ("sheet", "body", "expected"),
    [
        ("", '<path id="x" fill="red"/>', "red"),
        ("", '<path id="x" fill="red" style="fill:lime"/>', "lime"),
        ("path{fill:blue}", '<path id="x" fill="red"/>', "blue"),
        ("*{fill:blue}", '<path id="x" fill="red"/>', "blue"),
        ("path{fill:blue}", '<path id="x" style="fill:lime"/>', "lime"),
        ("path{fill:blue!important}", '<path id="x" style="fill:lime"/>', "blue"),
        ("path{fill:blue!important}", '<path id="x" style="fill:lime!important"/>', "lime"),
        (".a{fill:blue}path{fill:red}", '<path id="x" class="a"/>', "blue"),
        ("#x{fill:blue}.a.b{fill:red}", '<path id="x" class="a b"/>', "blue"),
        (".a{fill:blue}.a{fill:red}", '<path id="x" class="a"/>', "red"),
        (".a{fill:blue!important}.a{fill:red}", '<path id="x" class="a"/>', "blue"),
        ("g>path{fill:blue}", '<g><path id="x"/></g>', "blue"),
        ("g+path{fill:blue}", '<g/><path id="x"/>', "blue"),
        ("path:nth-child(3){fill:blue}", '<g/><path id="x"/>', "blue"),
        ("[data-a='1']{fill:blue}", '<path id="x" data-a="1"/>', "blue"),
        ("path:hover{fill:blue}", '<path id="x" fill="red"/>', "red"),
        ("path{fill:bogus}", '<path id="x" fill="red"/>', "red"),
        ("path{fill:blue;fill:#12}", '<path id="x"/>', "blue"),
        ("path{/*a*/fill/*b*/:/*c*/blue}", '<path id="x"/>', "blue"),
    ],
)
def test_winner_on_one_element(sheet: str, body: str, expected: str) -> None:
    """Attribute, then sheet by specificity and order, then style, then important ones; invalid values never win."""
    assert value(sheet, body) == expected


@pytest.mark.parametrize(
    ("sheet", "body", "name", "expected"),
    [
        ("", '<g fill="red"><path id="x"/></g>', "fill", "red"),
        ("g{fill:blue}", '<g fill="red"><path id="x"/></g>', "fill", "blue"),
        ("", '<g fill="red"><path id="x" fill="inherit"/></g>', "fill", "red"),
        ("", '<g fill="red"><path id="x" fill="unset"/></g>', "fill", "red"),
        ("", '<g fill="red"><path id="x" fill="initial"/></g>', "fill", "#000000"),
        ("", '<g fill="red"><path id="x" fill="bogus"/></g>', "fill", "red"),
        ("", '<g opacity=".5"><path id="x"/></g>', "opacity", "1"),
        ("", '<g opacity=".5"><path id="x" opacity="inherit"/></g>', "opacity", ".5"),
        ("", '<g stop-color="red"><stop id="x"/></g>', "stop-color", "#000000"),
        ("", '<path id="x"/>', "stroke", "none"),
        ("", '<path id="x"/>', "lighting-color", "#ffffff"),
        ("", '<path id="x"/>', "display", "inline"),
        ("g{marker:url(#k)}", '<g><path id="x"/></g>', "marker-mid", "url(#k)"),
        ("g{font:italic bold 12px/14px 'A b', serif}", '<g><text id="x"/></g>', "font-family", '"A b", serif'),
        ("g{font:italic bold 12px/14px 'A b', serif}", '<g><text id="x"/></g>', "font-weight", "bold"),
        ("g{font:italic bold 12px/14px 'A b', serif}", '<g><text id="x"/></g>', "font-size", "12px"),
        ("path{transform:rotate(3deg)}", '<path id="x" transform="scale(2)"/>', "transform", "rotate(3deg)"),
    ],
)
def test_inheritance_and_initial_values(sheet: str, body: str, name: str, expected: str) -> None:
    """Inherited properties come from the parent, the others start anew; keywords and shorthands are resolved."""
    assert value(sheet, body, name) == expected


@pytest.mark.parametrize(
    ("sheet", "expected"),
    [
        ("@media screen{path{fill:blue}}", "blue"),
        ("@media print{path{fill:blue}}", "red"),
        ("@media not print{path{fill:blue}}", "blue"),
        ("@media (prefers-color-scheme: dark){path{fill:blue}}", "red"),
        ("@media print, (min-width: 100px){path{fill:blue}}", "blue"),
        ("@supports (fill: lab(1 2 3)){path{fill:blue}}", "blue"),
        ("@supports not (fill: lab(1 2 3)){path{fill:blue}}", "red"),
        ("@layer a{path{fill:blue}}", "blue"),
        ("path{fill:lime}@layer a{path#x{fill:blue}}", "lime"),
        ("@layer a,b;@layer b{path{fill:blue}}@layer a{path#x{fill:lime}}", "blue"),
        ("@layer a,b;@layer b{path{fill:blue!important}}@layer a{path{fill:lime!important}}", "lime"),
        ("g{path{fill:blue}}", "blue"),
        ("g{& > path{fill:blue}}", "blue"),
        ("g{@media screen{path{fill:blue}}}", "blue"),
        ("@keyframes k{from{fill:blue}}", "red"),
        ("@font-face{font-family:x}path{fill:blue}", "blue"),
    ],
)
def test_at_rules_and_nesting(sheet: str, expected: str) -> None:
    """Media, feature queries, layers and nested rules take part as CSS says."""
    assert value(sheet, '<g><path id="x" fill="red"/></g>') == expected


def test_medium_can_be_print() -> None:
    """Rules for print hold when the cascade is asked for print."""
    root = parse_untrusted(b'<svg xmlns="http://www.w3.org/2000/svg"><style>@media print{g{fill:red}}</style><g/></svg>')
    assert Cascade(root, medium="print").value(root[1], "fill") == "red"
    assert Cascade(root).value(root[1], "fill") == "#000000"


def test_style_element_has_a_medium_of_its_own() -> None:
    """A sheet whose `media` attribute does not hold is left out."""
    root = parse_untrusted(b'<svg xmlns="http://www.w3.org/2000/svg"><style media="print">g{fill:red}</style><g/></svg>')
    assert Cascade(root).value(root[1], "fill") == "#000000"


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("", True),
        ("all", True),
        ("screen and (min-width: 3in)", True),
        ("only print", False),
        ("not all", False),
        ("(max-width: 3in)", False),
        ("(color)", True),
        ("(unknown-thing)", False),
    ],
)
def test_media_queries(query: str, expected: bool) -> None:
    """A still picture on a wide, light screen (Media Queries 4)."""
    assert media_holds(query) is expected


@pytest.mark.parametrize(
    ("sheet", "root", "expected"),
    [
        ("path{fill:var(--a)}", 'style="--a:red"', "red"),
        (":root{--a:red}path{fill:var(--a)}", "", "red"),
        (":root{--a:var(--b);--b:lime}path{fill:var(--a)}", "", "lime"),
        ("g{--a:lime}path{fill:var(--a, red)}", 'style="--a:blue"', "lime"),
        ("path{fill:var(--none, red)}", "", "red"),
        ("path{fill:var(--none, var(--b, lime))}", "", "lime"),
        ("path{fill:var(--none)}g{fill:teal}", "", "teal"),
        (":root{--a:var(--b);--b:var(--a)}path{fill:var(--a, red)}", "", "red"),
        ("path{fill:rgb(var(--r), var(--g, 2), 3)}", 'style="--r:1"', "rgb(1, 2, 3)"),
    ],
)
def test_variables_are_put_in(sheet: str, root: str, expected: str) -> None:
    """Custom properties inherit, nest, fall back, and break circles (CSS Custom Properties 1)."""
    assert value(sheet, '<g><path id="x"/></g>', root=root) == expected


def test_doubling_variables_end() -> None:
    """A chain of variables that doubles at each step is given up instead of filling the memory."""
    scope = {"--a": "x" * 60_000}
    assert substituted("var(--a)var(--a)", scope) is None


def test_unreadable_selectors_are_named_and_left_out() -> None:
    """A selector that cannot be understood drops its rule alone."""
    cascade = cascade_of("path:::{fill:red} path{fill:lime}", '<path id="x"/>')
    assert cascade.refused == ("path:::",)
    assert cascade.value(cascade.root[1], "fill") == "lime"


def test_display_none_hides_what_is_inside() -> None:
    """An element is not displayed when anything around it is not."""
    cascade = cascade_of(".h{display:none}", '<g class="h"><g><path id="x" display="inline"/></g></g><path id="y"/>')
    inner, outer = (element for element in cascade.root.iter() if element.get("id") in {"x", "y"})
    assert (cascade.is_displayed(inner), cascade.is_displayed(outer)) == (False, True)


def test_thousands_of_siblings_do_not_overflow() -> None:
    """Sibling selectors work on long flat drawings."""
    cascade = cascade_of("g ~ path{fill:red}", "<g/>" + "<path/>" * 3000)
    assert cascade.value(cascade.root[-1], "fill") == "red"


def test_drawings_without_sheets_say_so() -> None:
    """`has_sheets` tells whether any rule is in force."""
    assert (cascade_of("", "<path/>").has_sheets, cascade_of("path{fill:red}", "").has_sheets) == (False, True)
