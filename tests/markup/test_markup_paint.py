"""Colour tokens rewritten where they stand: every place that can hold one, in one normal syntax."""

from __future__ import annotations

import pytest

from vectorprep.markup.issues import PaintIssue
from vectorprep.markup.paint import normalise_colours, rewrite_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import serialise

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
ROOT = 'fill="#000000" color="#000000">'


def turned(ink: str) -> str:
    """(r, g, b) to (b, r, g)."""
    return "#" + ink[5:7] + ink[1:3] + ink[3:5]


def normalised(body: str) -> str:
    """The inside of a drawing after normalising."""
    root = parse_untrusted(f"{HEAD}>{body}</svg>".encode())
    normalise_colours(root)
    return serialise(root).decode().removeprefix(HEAD + ROOT).removesuffix("</svg>")


def recoloured(body: str) -> str:
    """The inside of a drawing after turning the channels of every ink."""
    root = parse_untrusted(f"{HEAD}>{body}</svg>".encode())
    rewrite_colours(root, turned)
    return serialise(root).decode().removeprefix(HEAD + ROOT).removesuffix("</svg>")


def issues(body: str) -> list[PaintIssue]:
    """What normalising a drawing reports."""
    return normalise_colours(parse_untrusted(f"{HEAD}>{body}</svg>".encode()))


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ('fill="RED"', 'fill="#ff0000"'),
        ('fill=" #F00 "', 'fill="#ff0000"'),
        ('stroke="rgb(100%, 0%, 0%)"', 'stroke="#ff0000"'),
        ('fill="#ff000080"', 'fill="rgba(255,0,0,0.501961)"'),
        ('fill="rgb(255 0 0 / 50%)"', 'fill="rgba(255,0,0,0.5)"'),
        ('fill="hsl(120deg 100% 25%)"', 'fill="#008000"'),
        ('fill="oklch(40.101% 0.12332 21.555)"', 'fill="#7d2329"'),
        ('fill="#CD853F icc-color(acmecmyk, 0.11, 0.48, 0.83, 0)"', 'fill="#cd853f"'),
        ('fill="currentcolor"', 'fill="currentColor"'),
        ('fill="NONE"', 'fill="none"'),
        ('fill="inherit"', 'fill="inherit"'),
        ('fill="initial"', 'fill="#000000"'),
        ('stroke="initial"', 'stroke="none"'),
        ('fill="unset"', 'fill="inherit"'),
        ('fill="context-stroke"', 'fill="context-stroke"'),
        ('fill="transparent"', 'fill="transparent"'),
        ('fill="url(#a)"', 'fill="url(#a)"'),
        ('fill="url(#a) RED"', 'fill="url(#a) #ff0000"'),
        ('fill="url(&quot;#a&quot;) none"', 'fill="url(&quot;#a&quot;) none"'),
        ('color="Blue" solid-color="blue"', 'color="#0000ff" solid-color="#0000ff"'),
        ('text-decoration-color="lime"', 'text-decoration-color="#00ff00"'),
        ('filter="drop-shadow(1px 2px 3px RED)"', 'filter="drop-shadow(1px 2px 3px #ff0000)"'),
    ],
)
def test_attribute_becomes_normal(written: str, expected: str) -> None:
    """Each presentation attribute is written in one form; what is no colour stays."""
    assert normalised(f"<g {written}/>") == f"<g {expected}/>"


@pytest.mark.parametrize("token", ["#12", "foo", "", "ff0000", "rgb(1,2)", "#ff0000;", "none red"])
def test_invalid_attribute_is_dropped_so_that_the_element_inherits(token: str) -> None:
    """CSS ignores a declaration it cannot parse: the attribute goes and the parent's paint shows (CSS Syntax 3, section 9)."""
    assert normalised(f'<g fill="#00ff00"><path fill="{token}"/></g>') == '<g fill="#00ff00"><path/></g>'


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("fill:RED", "fill:#ff0000"),
        (" fill : Red ; stroke : none;", " fill :#ff0000; stroke :none;"),
        ("FILL:red", "FILL:#ff0000"),
        ("fill:red!important", "fill:#ff0000!important"),
        ("fill:red ! IMPORTANT;d:1", "fill:#ff0000!important;d:1"),
        ("fill:red;fill:bogus", "fill:#ff0000;"),
        ("font-family:'a;fill:red';fill:red", "font-family:'a;fill:red';fill:#ff0000"),
        ("/*fill:red;*/fill:red", "/*fill:red;*/fill:#ff0000"),
        ("fill:/*a*/red", "fill:#ff0000"),
        ("marker:url(data:x;fill:red);fill:red", "marker:url(data:x;fill:red);fill:#ff0000"),
        ("filter:drop-shadow(0 0 2px rgb(1 2 3)) blur(2px)", "filter:drop-shadow(0 0 2px #010203) blur(2px)"),
        ("text-shadow:1px 1px red, 0 0 hsl(120 100% 25%)", "text-shadow:1px 1px #ff0000, 0 0 #008000"),
        ("background:url(#red) Red", "background:url(#red) #ff0000"),
        ("--ink:RED", "--ink:#ff0000"),
        ("--name:red wine", "--name:red wine"),
        ("opacity:.5;-inkscape-stroke:red", "opacity:.5;-inkscape-stroke:red"),
    ],
)
def test_style_attribute_becomes_normal(written: str, expected: str) -> None:
    """Paint declarations of `style` are rewritten; names, strings, comments and everything else stay."""
    assert normalised(f'<g style="{written}"/>') == f'<g style="{expected}"/>'


@pytest.mark.parametrize(
    ("sheet", "expected"),
    [
        (".a{fill:RED}", ".a{fill:#ff0000}"),
        (".a , b.c { fill : Red ; stroke:lime }", ".a , b.c { fill :#ff0000; stroke:#00ff00}"),
        ("@media print{.a{fill:red}}", "@media print{.a{fill:#ff0000}}"),
        ("@supports (fill:red){.a{fill:red}}", "@supports (fill:red){.a{fill:#ff0000}}"),
        ("@layer x,y;@layer x{.a{fill:red}}", "@layer x,y;@layer x{.a{fill:#ff0000}}"),
        ("@keyframes k{from{fill:red}to{stop-color:lime}}", "@keyframes k{from{fill:#ff0000}to{stop-color:#00ff00}}"),
        (".a{.b &{fill:red}color:lime}", ".a{.b &{fill:#ff0000}color:#00ff00}"),
        ("@import 'red.css';.a{fill:red}", "@import 'red.css';.a{fill:#ff0000}"),
        ("/*.a{fill:red}*/.a{fill:red}", "/*.a{fill:red}*/.a{fill:#ff0000}"),
        (".a[b='{fill:red}']{fill:red}", ".a[b='{fill:red}']{fill:#ff0000}"),
        (".a:not(.red){fill:red", ".a:not(.red){fill:#ff0000"),
        (".a{fill:bogus;stroke:red}", ".a{;stroke:#ff0000}"),
        (".red{color:red}", ".red{color:#ff0000}"),
        ("<!-- .a{fill:red} -->", "<!-- .a{fill:#ff0000} -->"),
    ],
)
def test_style_sheet_becomes_normal(sheet: str, expected: str) -> None:
    """Declarations in sheets are rewritten at any depth of rules; selectors, preludes, strings and comments stay."""
    root = parse_untrusted(f"{HEAD}><style><![CDATA[{sheet}]]></style></svg>".encode())
    normalise_colours(root)
    assert root[0].text == expected


def test_sheet_of_another_language_is_left_alone() -> None:
    """A `style` element that is not CSS keeps its text."""
    assert normalised('<style type="text/x-less">.a{fill:RED}</style>') == '<style type="text/x-less">.a{fill:RED}</style>'


def test_animation_values_follow_the_mapping() -> None:
    """Values of animated colours are inks too; values of other animated attributes are not."""
    body = '<path><animate attributeName="fill" from="red" to="#0f0" values="red;#0f0"/><set attributeName="d" to="red"/></path>'
    expected = (
        '<path><animate attributeName="fill" from="#00ff00" to="#0000ff" values="#00ff00;#0000ff"/>'
        '<set attributeName="d" to="red"/></path>'
    )
    assert recoloured(body) == expected


@pytest.mark.parametrize(
    ("element", "expected"),
    [
        ("<stop/>", '<stop stop-color="#030201"/>'),
        ('<stop stop-color="bogus"/>', '<stop stop-color="#030201"/>'),
        ("<feFlood/>", '<feFlood flood-color="#030201"/>'),
        ("<feDropShadow/>", '<feDropShadow flood-color="#030201"/>'),
        ("<feDiffuseLighting/>", '<feDiffuseLighting lighting-color="#fefdfc"/>'),
        ('<g fill="initial"/>', '<g fill="#030201"/>'),
        ('<g style="stop-color:unset"/>', '<g style="stop-color:#030201"/>'),
    ],
)
def test_initial_values_that_nobody_wrote_are_inks_too(element: str, expected: str) -> None:
    """Black stops, floods and shadows and white lights are mapped although no token says so (Filter Effects 1, SVG 2)."""
    swaps = {"#000000": "#030201", "#ffffff": "#fefdfc"}
    root = parse_untrusted(f"{HEAD}>{element}</svg>".encode())
    rewrite_colours(root, lambda ink: swaps.get(ink, ink))
    assert serialise(root).decode() == f'{HEAD}fill="#030201" color="#030201">{expected}</svg>'


def test_root_paint_that_is_written_stays_the_authors() -> None:
    """Black is put on the root only where the root has no paint of its own."""
    root = parse_untrusted(f'{HEAD}fill="red" color="lime"/>'.encode())
    normalise_colours(root)
    assert (root.get("fill"), root.get("color")) == ("#ff0000", "#00ff00")


def test_alpha_is_kept_under_a_mapping() -> None:
    """A mapping moves red, green and blue; the alpha beside them stays."""
    assert (
        recoloured('<g fill="rgba(255,0,0,.25)" stroke="#ff000080"/>')
        == '<g fill="rgba(0,255,0,0.25)" stroke="rgba(0,255,0,0.501961)"/>'
    )


def test_foreign_elements_are_left_alone() -> None:
    """Elements of editors' own namespaces are no artwork: their attributes stay as written."""
    body = '<e:g xmlns:e="urn:editor" fill="RED"/>'
    assert normalised(body) == body


def test_mapping_must_give_an_opaque_colour() -> None:
    """A mapping that gives nonsense is an error that names the ink."""
    root = parse_untrusted(f'{HEAD}><g fill="red"/></svg>'.encode())
    with pytest.raises(ValueError, match="#ff0000"):
        rewrite_colours(root, lambda ink: "none")


def test_mapping_may_answer_in_any_syntax() -> None:
    """A mapping may give a colour name; it is written in the normal form."""
    root = parse_untrusted(f'{HEAD}><g fill="red"/></svg>'.encode())
    rewrite_colours(root, lambda ink: "RebeccaPurple")
    assert root[0].get("fill") == "#663399"


@pytest.mark.parametrize(
    ("body", "slug", "feature", "element"),
    [
        ('<path id="a" fill="color(display-p3 1 0 0)"/>', "colour-not-exact", "gamut", "path#a"),
        ('<path fill="CanvasText"/>', "colour-not-exact", "system-colour", "path"),
        ('<path fill="rgb(from red r g b)"/>', "colour-not-exact", "colour-syntax", "path"),
        ('<path fill="bogus"/>', "colour-invalid", "invalid", "path"),
        ("<style>.a{fill:#12}</style>", "colour-invalid", "invalid", "style"),
    ],
)
def test_what_is_not_exact_is_reported_with_its_place(body: str, slug: str, feature: str, element: str) -> None:
    """Each conversion that loses something, and each dropped declaration, is one issue that names the element."""
    (issue,) = issues(body)
    assert (issue.slug, issue.feature, issue.element) == (slug, feature, element)


def test_relative_colours_are_kept_as_written() -> None:
    """A valid colour that cannot be worked out here stays as it is instead of being guessed."""
    assert normalised('<path fill="rgb(from red r g b)"/>') == '<path fill="rgb(from red r g b)"/>'


def test_plain_drawings_report_nothing() -> None:
    """A drawing of plain colours gives no issue."""
    assert issues('<g fill="red"><path stroke="#123"/></g>') == []
