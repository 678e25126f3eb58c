"""Luminance masks keep their colours, and share nothing that a mapping could move."""

from __future__ import annotations

import pytest

from vectorprep.markup.masks import pin_luminance_masks
from vectorprep.markup.paint import rewrite_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import Element

HEAD = '<svg xmlns="http://www.w3.org/2000/svg">'


def parsed(body: str) -> Element:
    """The root of a drawing."""
    return parse_untrusted(f"{HEAD}{body}</svg>".encode())


def by_id(root: Element, name: str) -> Element:
    """The element of that id."""
    (found,) = (element for element in root.iter() if element.get("id") == name)
    return found


def blue(ink: str) -> str:
    """Every ink becomes one blue."""
    return "#0000ff"


def test_drawings_without_masks_pin_nothing() -> None:
    """No mask, no pinned element, no change."""
    assert pin_luminance_masks(parsed('<g fill="red"/>')) == set()


def test_own_colours_of_a_mask_stay() -> None:
    """Colours written inside a mask are not mapped, those outside are."""
    root = parsed('<mask id="m"><path id="a" fill="red"/></mask><path id="b" fill="red"/>')
    rewrite_colours(root, blue)
    assert (by_id(root, "a").get("fill"), by_id(root, "b").get("fill")) == ("#ff0000", "#0000ff")


@pytest.mark.parametrize("how", ['mask-type="alpha"', 'style="mask-type:alpha"'])
def test_alpha_masks_are_mapped_like_anything_else(how: str) -> None:
    """Where coverage comes from alpha, colour is free (CSS Masking 1, mask-type)."""
    root = parsed(f'<mask id="m" {how}><path id="a" fill="red"/></mask>')
    rewrite_colours(root, blue)
    assert by_id(root, "a").get("fill") == "#0000ff"


def test_inherited_colours_are_written_on_the_mask() -> None:
    """What a mask inherits from the art around it is fixed on the mask itself."""
    root = parsed('<g fill="red" color="lime"><mask id="m"><path/></mask></g>')
    rewrite_colours(root, blue)
    mask = by_id(root, "m")
    assert (mask.get("fill"), mask.get("color"), root[0].get("fill")) == ("#ff0000", "#00ff00", "#0000ff")


def test_black_from_nobody_is_written_on_the_mask() -> None:
    """The initial black inside a mask stays black when black ink moves."""
    root = parsed('<mask id="m"><path/></mask>')
    rewrite_colours(root, blue)
    assert (by_id(root, "m").get("fill"), root.get("fill")) == ("#000000", "#0000ff")


def test_colours_of_classes_are_written_on_the_elements() -> None:
    """A class shared with the art is resolved inside the mask."""
    root = parsed('<style>.a{fill:red}</style><mask id="m"><path id="a" class="a"/></mask><path class="a"/>')
    rewrite_colours(root, blue)
    assert by_id(root, "a").get("style") == "fill:#ff0000"
    assert root[0].text == ".a{fill:#0000ff}"


def test_important_rules_are_settled_on_the_elements() -> None:
    """An !important rule that reaches into a mask is written on every element it wins on, and leaves the sheet."""
    sheet = "<style>.a{fill:red!important;opacity:.5}</style>"
    root = parsed(f'{sheet}<mask id="m"><path id="a" class="a"/></mask><path id="b" class="a"/>')
    rewrite_colours(root, blue)
    assert root[0].text == ".a{;opacity:.5}"
    assert by_id(root, "a").get("style") == "fill:#ff0000!important"
    assert by_id(root, "b").get("style") == "fill:#0000ff!important"


def test_shared_gradients_are_copied_for_the_mask() -> None:
    """A gradient of both mask and art is doubled; the copy keeps its colours and only the mask points to it."""
    root = parsed(
        '<linearGradient id="g"><stop id="s" stop-color="red"/></linearGradient>'
        '<mask id="m"><path id="a" fill="url(#g)"/></mask><path id="b" fill="url(#g)"/>'
    )
    rewrite_colours(root, blue)
    assert (by_id(root, "a").get("fill"), by_id(root, "b").get("fill")) == ("url(#g-mask)", "url(#g)")
    assert (by_id(root, "s").get("stop-color"), by_id(root, "s-mask").get("stop-color")) == ("#0000ff", "#ff0000")


def test_unshared_gradients_are_pinned_where_they_are() -> None:
    """A gradient of the mask alone is not copied."""
    root = parsed('<linearGradient id="g"><stop stop-color="red"/></linearGradient><mask><path fill="url(#g)"/></mask>')
    rewrite_colours(root, blue)
    assert by_id(root, "g")[0].get("stop-color") == "#ff0000"
    assert len(root) == 2


def test_copies_carry_what_the_sheet_gave_them() -> None:
    """A copied shape keeps every property that selectors gave it in its old place."""
    root = parsed('<style>#s{fill:red;stroke-width:3}</style><g><path id="s"/></g><mask id="m"><use id="u" href="#s"/></mask>')
    rewrite_colours(root, blue)
    assert by_id(root, "s-mask").get("style") == "fill:#ff0000;stroke-width:3"
    assert by_id(root, "u").get("href") == "#s-mask"


def test_names_of_copies_never_collide() -> None:
    """A copy takes a name that is still free."""
    root = parsed('<path id="s" fill="red"/><path id="s-mask"/><mask id="m"><use id="u" href="#s"/></mask>')
    rewrite_colours(root, blue)
    assert by_id(root, "u").get("href") == "#s-mask-mask"


def test_loops_of_references_end() -> None:
    """A mask that uses the group it masks, or itself, is no trap."""
    root = parsed('<g id="g" mask="url(#m)"><mask id="m"><use href="#g"/><path id="a" fill="red" mask="url(#m)"/></mask></g>')
    rewrite_colours(root, blue)
    assert by_id(root, "a").get("fill") == "#ff0000"
