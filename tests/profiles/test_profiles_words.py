"""A product in plain words, and what applies on which cloth."""

from __future__ import annotations

from pathlib import Path

import pytest

from vectorprep.model import Blank
from vectorprep.profiles import describe, group_of, is_light_cloth, limits_for, list_lines, load_catalogue, policy_for

FOLDER = Path(__file__).parents[2] / "profiles"
CATALOGUE = load_catalogue({path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.toml")})
PRODUCTS, BLANKS = CATALOGUE.products, CATALOGUE.blanks


def test_only_white_cloth_is_printed_without_a_white_base() -> None:
    """Of our blanks only white reaches L* 95 (house value); natural, at 91.5, does not."""
    assert [key for key, blank in BLANKS.items() if is_light_cloth(blank)] == ["white"]


def test_inkjet_changes_policy_and_limits_with_the_cloth() -> None:
    """On white there is no white ink and finer lines hold; on navy there is a white base."""
    product = PRODUCTS["tee-adult-front-dtg"]
    assert not policy_for(product, BLANKS["white"]).has_white_ink
    assert policy_for(product, BLANKS["navy"]).has_white_ink
    assert limits_for(product, BLANKS["white"]).positive_line_min_mm == 0.35
    assert limits_for(product, BLANKS["navy"]).positive_line_min_mm == 0.5


@pytest.mark.parametrize("key", ["tee-adult-front-dtf", "mug-11oz-wrap-sub", "sticker-kiss-cut"])
def test_other_processes_do_not_change_with_the_cloth(key: str) -> None:
    """A product without a light-cloth policy keeps its own on every blank."""
    product = PRODUCTS[key]
    assert {policy_for(product, blank) for blank in BLANKS.values()} == {product.ink_policy}
    assert {limits_for(product, blank) for blank in BLANKS.values()} == {product.limits}


def test_sublimation_comes_only_in_blanks_that_its_policy_bears() -> None:
    """Every blank of a process without white ink reaches the least lightness of its policy (house value)."""
    from vectorprep.colour import lightness

    for product in PRODUCTS.values():
        least = product.ink_policy.blank_lightness_min_L_star
        if least is not None:
            assert all(lightness(BLANKS[key].colour) >= least for key in product.blanks)


def test_groups_part_the_blanks_by_lightness() -> None:
    """Pale from L* 75, dark to L* 45 (house values); orange is neither."""
    groups: dict[str, list[str]] = {}
    for key, blank in BLANKS.items():
        groups.setdefault(group_of(blank), []).append(key)
    assert groups == {
        "pale": ["white", "natural", "ash", "light-pink", "light-blue", "mint", "gold"],
        "middle": ["orange"],
        "dark": ["red", "purple", "royal", "forest", "olive", "brown", "charcoal", "navy", "black"],
    }


@pytest.mark.parametrize(
    ("colour", "group"), [("#b8b8b8", "middle"), ("#b9b9b9", "pale"), ("#6a6a6a", "dark"), ("#6b6b6b", "middle")]
)
def test_a_colour_of_ones_own_has_a_group(colour: str, group: str) -> None:
    """Greys on either side of L* 75 (#b8b8b8 is 74.8) and 45 (#6b6b6b is 45.2)."""
    assert group_of(Blank(key=colour, name=colour, colour=colour)) == group


def test_a_shirt_is_explained_in_inches_and_millimetres() -> None:
    """The page names area, file, place, widths, limits and ink of both kinds of cloth, blanks, cautions, sources."""
    page = describe(PRODUCTS["tee-adult-front-dtg"], BLANKS)
    flat = " ".join(page.split())
    for fact in (
        "12 x 16 in (304.8 x 406.4 mm), largest ink box",
        "3600 x 4800 px at 300 ppi",
        "top of the ink 3 in (76.2 mm) below the collar seam centre, admissible 2.5 to 4 in (63.5 to 101.6 mm)",
        "M 11 in (279.4 mm)",
        "without, on cloth of L* 95 and above: line 0.35 mm",
        "base choked by 0.25 mm",
        "charcoal (#4a4b4f, heather)",
        "print-png, preview-png",
        "dark cloth needs pretreatment before the white base",
        "published: W3C PNG (pHYs): file.write_density_tag",
        "everything else: common practice; from memory",
    ):
        assert fact in flat


def test_a_left_chest_names_the_side_of_the_wearer() -> None:
    """The offset from the centre line is on the wearer's left."""
    assert "centred 4 in (101.6 mm) from the centre line, on the wearer's left" in describe(PRODUCTS["tee-left-chest-dtf"])


@pytest.mark.parametrize("key", PRODUCTS)
def test_every_product_can_be_explained(key: str) -> None:
    """Each page names key, name and pixels, keeps its lines short and shows no raw key of the file outside the sources."""
    page = describe(PRODUCTS[key], BLANKS)
    facts = page.split("\nSources")[0]
    assert page.startswith(f"{key}: {PRODUCTS[key].name}")
    assert all(len(line) <= 100 for line in page.splitlines())
    assert "_of_ink" not in facts
    assert "None" not in page


def test_the_list_has_a_line_per_product() -> None:
    """Each line begins with the key."""
    lines = list_lines(PRODUCTS)
    assert [line.split()[0] for line in lines] == list(PRODUCTS)
    assert "3579 x 5031" in lines[list(PRODUCTS).index("poster-iso-a3")]
