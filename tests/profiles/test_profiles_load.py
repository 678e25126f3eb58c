"""Product files become records, or one error with every fault."""

from __future__ import annotations

import dataclasses
import json
import math
import pickle
from pathlib import Path

import pytest

from vectorprep.errors import RecordError
from vectorprep.model import Product
from vectorprep.profiles import load_blanks, load_catalogue, load_products
from vectorprep.units import exact

FOLDER = Path(__file__).parents[2] / "profiles"
FILES = {f"profiles/{path.name}": path.read_text(encoding="utf-8") for path in FOLDER.glob("*.toml")}
CATALOGUE = load_catalogue(FILES)
PRODUCTS = CATALOGUE.products

# Product keys and pixels of the print files: arithmetic from the areas, which are common practice or ISO 216.
PIXELS = {
    "tee-adult-front-dtg": (3600, 4800),
    "tee-adult-front-dtf": (3600, 4800),
    "tee-adult-back-dtg": (3600, 4800),
    "tee-youth-front-dtg": (3000, 3600),
    "tee-left-chest-dtf": (1200, 1200),
    "tee-sleeve-short-dtf": (900, 900),
    "hoodie-adult-front-dtf": (3300, 3300),
    "tee-adult-front-spot": (3600, 4200),
    "tee-poly-front-sub": (3600, 4800),
    "tee-adult-front-cutfilm": (3000, 3000),
    "tote-front-dtf": (3000, 3000),
    "mug-11oz-wrap-sub": (2588, 1088),
    "tumbler-20oz-straight-wrap-sub": (2820, 2490),
    "tumbler-tapered-wrap-sub": (3282, 1930),
    "sticker-kiss-cut": (947, 947),
    "sticker-die-cut": (947, 947),
    "sticker-sheet-a5": (1819, 2551),
    "poster-2x3-24x36in": (7275, 10875),
    "poster-3x4-18x24in": (5475, 7275),
    "poster-4x5-16x20in": (4875, 6075),
    "poster-11x14in": (3375, 4275),
    "poster-iso-a3": (3579, 5031),
    "phone-case-uv": (1039, 1984),
    "patch-printed-round-75mm": (957, 957),
}

LEAST = """
name = "Heavy shirt"
product_noun = "t-shirt"
process = "dtg"
print_area_mm = [381, 431.8]
resolution_ppi = 300
background = "transparent"
limits = "dtf"
ink_policy = "opaque_white_base"

[placement]
datum = "collar_seam_centre"
horizontal = "centre"
vertical = "top_of_ink"
"""


def with_own(text: str, name: str = "own.toml") -> dict[str, Product]:
    """The built-in products and one of the seller's."""
    return load_products(FILES, {f"mine/{name}": text})


def faults_of(text: str, name: str = "own.toml") -> list[str]:
    """Every fault of one file of the seller's."""
    with pytest.raises(RecordError) as caught:
        with_own(text, name)
    return [f"{fault.where}: {fault.message}" for fault in caught.value.faults]


def test_the_built_in_products_are_these_with_their_pixels() -> None:
    """Each product loads and its print file has the pixels of its whole outer size."""
    assert {key: product.file_size_px for key, product in PRODUCTS.items()} == PIXELS


@pytest.mark.parametrize("product", PRODUCTS.values(), ids=lambda product: product.key)
def test_each_built_in_product_is_whole(product: Product) -> None:
    """It names existing blanks, sets limits and policy, says where its figures come from, and travels between processes."""
    assert product.blanks
    assert set(product.blanks) <= set(CATALOGUE.blanks)
    assert product.limits.positive_line_min_mm is not None
    assert product.ink_policy.key in CATALOGUE.policies
    assert dict(product.source)["default"] == "common practice; from memory"
    assert product.cautions
    assert pickle.loads(pickle.dumps(product)) == product
    assert hash(product) == hash(pickle.loads(pickle.dumps(product)))


@pytest.mark.parametrize("path", sorted(FILES), ids=str)
def test_each_file_begins_by_saying_what_may_be_changed(path: str) -> None:
    """The first lines of a file are a comment about changing it."""
    head = FILES[path].split("\n\n")[0]
    assert head.startswith("#")
    assert "change" in head or "add your own" in head


def test_blanks_that_a_process_cannot_print_on_are_not_offered() -> None:
    """Mugs, stickers, posters come in white; dye sublimation on cloth in pale ones only."""
    for key in (
        "mug-11oz-wrap-sub",
        "sticker-kiss-cut",
        "sticker-die-cut",
        "sticker-sheet-a5",
        "poster-iso-a3",
        "poster-2x3-24x36in",
        "poster-3x4-18x24in",
        "poster-4x5-16x20in",
        "poster-11x14in",
    ):
        assert PRODUCTS[key].blanks == ("white",)
    assert set(PRODUCTS["tee-poly-front-sub"].blanks) == {"white", "natural", "ash", "mint"}


def test_ideal_widths_are_a_share_of_the_chest() -> None:
    """0.55 of a flat chest of 18, 20, 22, 24, 26 in, to the nearest half inch, cut to the print area (trade values F05, F06).

    Common practice, no source; flat chests from memory.
    """
    by_rule = [math.floor(0.55 * chest * 2 + 0.5) / 2 for chest in (18, 20, 22, 24, 26)]
    assert by_rule == [10, 11, 12, 13, 14.5]
    shirt = PRODUCTS["tee-adult-front-dtg"]
    most = shirt.print_area_mm[0] / 25.4
    widths = [width / 25.4 for _, width in shirt.ideal_width_mm_by_garment_size]
    assert widths == pytest.approx([min(width, most) for width in by_rule])


def test_keys_of_a_record_are_kept_even_where_no_room_reads_them() -> None:
    """The 15 oz mug stands in the record of the 11 oz one."""
    extra = dict(PRODUCTS["mug-11oz-wrap-sub"].extra)
    assert json.loads(extra["variants"])["15oz"]["file_size_px"] == [2738, 1313]


def test_the_least_record_of_ones_own_gives_exact_pixels() -> None:
    """15 x 17 in at 300 ppi is 4500 x 5100 px (arithmetic)."""
    product = with_own(LEAST)["own"]
    assert product.file_size_px == (4500, 5100)
    assert product.blanks == ()
    assert product.outputs == ("print-png", "preview-png")


def test_a_record_may_start_from_another_one() -> None:
    """What is stated wins, sizes that follow are worked out anew, the rest is kept."""
    own = with_own('based_on = "mug-11oz-wrap-sub"\nname = "Tall mug"\nprint_area_mm = [215.9, 100]\n')["own"]
    base = PRODUCTS["mug-11oz-wrap-sub"]
    assert own.name == "Tall mug"
    assert own.file_size_mm == (exact(215.9) + 2 * exact(1.5875), 100 + 2 * exact(1.5875))
    assert own.placement == base.placement
    assert own.limits == base.limits


@pytest.mark.parametrize("change", ["safe_margin_mm = 6", "print_area_mm = [60, 60]"])
def test_a_largest_ink_box_is_not_inherited_into_another_area(change: str) -> None:
    """72.2 mm of ink followed from the base's own area and margin; a record that changes either starts without it."""
    own = with_own(f'based_on = "sticker-kiss-cut"\n{change}\n')["own"]
    assert PRODUCTS["sticker-kiss-cut"].ink_max_mm == (72.2, 72.2)
    assert own.ink_max_mm is None
    assert "ink_max_mm" not in dict(own.source)


def test_a_table_of_widths_holds_as_written() -> None:
    """One width for any size is not joined to the sizes of the base, which would win over it."""
    own = with_own('based_on = "tee-adult-front-dtg"\nideal_width_mm_by_garment_size = { any = 304.8 }\n')["own"]
    assert own.ideal_width_mm_by_garment_size == (("any", 304.8),)


def test_a_file_of_ones_own_may_change_the_built_in_product_of_its_name() -> None:
    """`based_on` its own name means the built-in one."""
    own = with_own('based_on = "poster-iso-a3"\nresolution_ppi = 150\n', "poster-iso-a3.toml")["poster-iso-a3"]
    assert own.file_size_px == (1789, 2516)
    assert own.name == "Poster ISO A3"


def test_a_file_of_ones_own_replaces_the_built_in_product_of_its_name() -> None:
    """Without `based_on` nothing of the built-in one is left."""
    own = with_own(LEAST, "poster-iso-a3.toml")["poster-iso-a3"]
    assert own.name == "Heavy shirt"
    assert own.cautions == ()


def test_products_based_on_each_other_are_a_fault() -> None:
    """A circle is named instead of followed."""
    with pytest.raises(RecordError, match="based on this one"):
        load_products(FILES, {"a.toml": 'based_on = "b"', "b.toml": 'based_on = "a"'})


def test_limits_may_be_stated_in_the_product_from_a_named_set() -> None:
    """An inline table changes some figures of a set and keeps the others."""
    text = LEAST.replace('limits = "dtf"', "") + '[limits]\nbased_on = "dtf"\npositive_line_min_mm = 0.8\n'
    limits = with_own(text)["own"].limits
    assert limits.positive_line_min_mm == 0.8
    assert limits.negative_line_min_mm == 0.7


def test_shared_limits_of_ones_own_override_key_by_key() -> None:
    """A seller's `_limits.toml` changes one figure for every product that uses the set, and adds sets."""
    own = {"mine/_limits.toml": "[dtf]\ndot_diameter_min_mm = 1.0\n[mine]\npositive_line_min_mm = 2\n"}
    catalogue = load_catalogue(FILES, own)
    assert catalogue.products["tote-front-dtf"].limits.dot_diameter_min_mm == 1.0
    assert catalogue.products["tote-front-dtf"].limits.positive_line_min_mm == 0.5
    assert catalogue.limits["mine"].positive_line_min_mm == 2.0


def test_blanks_of_ones_own_override_key_by_key() -> None:
    """A measured colour replaces the guess and keeps the name."""
    own = {"mine/blanks.toml": '[navy]\ncolour = "#101830"\nsource = "measured"\n[sand]\nname = "Sand"\ncolour = "#E0D0B0"\n'}
    blanks = load_catalogue(FILES, own).blanks
    assert (blanks["navy"].name, blanks["navy"].colour, blanks["navy"].source) == ("Navy", "#101830", "measured")
    assert blanks["sand"].colour == "#e0d0b0"


def test_the_hash_follows_figures_and_not_words() -> None:
    """Changing a figure, also one of the shared limits, changes the hash; a caution, a name or a source mark does not."""
    key = "tote-front-dtf"
    plain = PRODUCTS[key].record_sha256

    def changed(old: str, new: str, name: str = f"{key}.toml") -> str:
        text = FILES[f"profiles/{name}"]
        assert old in text
        return load_products({**FILES, f"profiles/{name}": text.replace(old, new, 1)})[key].record_sha256

    assert changed("natural cloth is tan", "cloth is tan") == plain
    assert changed('"house value"', '"measured by me"') == plain
    assert changed("any = 228.6", "any = 228.7") != plain
    assert changed("dot_diameter_min_mm = 0.8", "dot_diameter_min_mm = 0.9", "_limits.toml") == plain
    dtf = "[dtf]\npositive_line_min_mm = 0.5"
    assert changed(dtf, dtf.replace("0.5", "0.6"), "_limits.toml") != plain


def test_hashes_tell_all_products_apart_and_stay() -> None:
    """Each product has a hash of its own, the same on each reading."""
    assert len({product.record_sha256 for product in PRODUCTS.values()}) == len(PRODUCTS)
    assert [product.record_sha256 for product in load_products(FILES).values()] == [p.record_sha256 for p in PRODUCTS.values()]


def test_every_fault_of_a_file_is_named_at_once() -> None:
    """Unknown keys first with the nearest known one, then wrong values, then missing keys, each with its line."""
    text = 'name = "x"\nprint_aera_mm = [1, 2]\nresolution_ppi = 30\nprocess = 5\n[placement]\ndatum = "a"\nhorizontal = "center"\n'
    assert faults_of(text) == [
        "mine/own.toml:2: unknown key print_aera_mm",
        "mine/own.toml:4: process is 5, not a text",
        "mine/own.toml:3: resolution_ppi is 30, outside 72..1200",
        'mine/own.toml:7: placement.horizontal is "center", not one of centre, centre_at_offset, centre_on_fold, '
        "centre_opposite_seam, left, right, grid",
        "mine/own.toml: print_area_mm is missing",
        "mine/own.toml: background is missing",
        "mine/own.toml: product_noun is missing",
        "mine/own.toml:5: placement.vertical is missing",
        "mine/own.toml: limits is missing",
        "mine/own.toml: ink_policy is missing",
    ]


def test_faults_of_all_files_come_together() -> None:
    """Two broken files are both named."""
    with pytest.raises(RecordError) as caught:
        load_products(FILES, {"a.toml": LEAST + "hight = 3\n", "b.toml": "x = ["})
    assert [fault.where for fault in caught.value.faults] == ["a.toml:15", "b.toml"]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (("resolution_ppi = 300", "resolution_ppi = 300\nfile_size_px = [4499, 5100]"), "is 4499 x 5100, but the whole outer size"),
        (
            ("resolution_ppi = 300", "resolution_ppi = 300\nfile_size_mm = [381, 432]"),
            "but print area + 2 x bleed = 381 x 431.8 mm",
        ),
        (("[381, 431.8]", "[4000, 431.8]"), "more than 32767 on a side"),
        (("resolution_ppi = 300", "resolution_ppi = 300\nsafe_margin_mm = 200"), "which leaves nothing of 381 x 431.8 mm"),
        (("resolution_ppi = 300", "resolution_ppi = 300\nink_max_mm = [400, 400]"), "larger than print_area_mm"),
        (("resolution_ppi = 300", "resolution_ppi = 300\nprint_area_max_mm = [300, 500]"), "smaller than print_area_mm"),
        (("resolution_ppi = 300", 'resolution_ppi = 300\nblanks = ["navvy"]'), 'holds "navvy"'),
        (('"dtf"', '"dtff"'), 'limits is "dtff", but there are no limits of that name'),
        (('"transparent"', '"see-through"'), "not one of transparent, opaque_white"),
        (('"top_of_ink"', '"grid"'), 'is "grid" while horizontal is "centre"'),
        (('"centre"', '"centre_at_offset"\nside = "wearer_left"'), "placement.horizontal_offset_mm is missing"),
        (('"centre"', '"centre_at_offset"\nhorizontal_offset_mm = 90'), "placement.side is missing"),
        (('"top_of_ink"', '"top_of_ink"\ntop_offset_range_mm = [1, 2]'), "placement.top_offset_mm is missing"),
        (('"top_of_ink"', '"top_of_ink"\ntop_offset_mm = 5\ntop_offset_range_mm = [1, 2]'), "outside top_offset_range_mm = [1, 2]"),
        (('"top_of_ink"', '"top_of_ink"\nface_centres_from_left_edge_mm = [500]'), "face centre at 500 mm, off the print area"),
        (('"top_of_ink"', '"top_of_ink"\nrim_clear_min_mm = 300\nbase_clear_min_mm = 300'), "keeps 600 mm of 431.8 mm clear"),
        (("resolution_ppi = 300", "resolution_ppi = 300\ncotton_min_percent = -3"), "not a number of at least 0"),
        (("resolution_ppi = 300", 'resolution_ppi = 300\nblank_colour_srgb_hex = "tan"'), 'is "tan", not a colour'),
        (('"top_of_ink"', '"top_of_ink"\n[source]\nresolution_pi = "me"'), "marks a key that this record does not state"),
        (('"top_of_ink"', '"top_of_ink"\n[ideal_width_mm_by_garment_size]'), "holds no size"),
    ],
)
def test_a_record_that_contradicts_itself_is_refused(change: tuple[str, str], message: str) -> None:
    """Each contradiction is named with its figures, and nothing else is."""
    assert change[0] in LEAST
    faults = faults_of(LEAST.replace(*change))
    assert len(faults) == 1
    assert message in faults[0]


@pytest.mark.parametrize("name", ["Bad Name.toml", "-x.toml", "a--b.toml", "x" * 61 + ".toml", "_mine.toml"])
def test_a_file_name_that_is_no_key_is_refused(name: str) -> None:
    """The stem becomes the product key and part of file names."""
    assert name in faults_of(LEAST, name)[0]


def test_files_that_are_no_toml_are_left_alone() -> None:
    """A readme in a profile folder is not a product."""
    assert load_products({**FILES, "profiles/README.md": "hello"}) == PRODUCTS


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('[pale]\nname = "P"\ncolour = "#ffffff"', "is the name of a group"),
        ('["a b"]\nname = "P"\ncolour = "#ffffff"', "is no key of a blank"),
        ('[a]\nname = "P"', "a.colour is missing"),
        ('[a]\nname = "P"\ncolour = "#ffffff"\ntexture = "rough"', "not one of smooth, heather"),
        ('[a]\nname = "P"\ncolor = "#ffffff"', "unknown key a.color"),
    ],
)
def test_a_broken_blank_is_named(text: str, message: str) -> None:
    """Group names, odd keys, missing or unknown colours and textures are faults."""
    with pytest.raises(RecordError) as caught:
        load_blanks(text)
    assert message in str(caught.value.faults[0])


def test_records_are_frozen() -> None:
    """A product cannot be changed by a room that reads it."""
    with pytest.raises(dataclasses.FrozenInstanceError):
        PRODUCTS["poster-iso-a3"].bleed_mm = 5.0  # type: ignore[misc]


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ("[taper]\ntop_diameter_mm = 70", "no wider than bottom_diameter_mm"),
        ("print_area_mm = [270, 160.9]", "the cup's side laid flat with its bleed takes 275.26"),
        ('fit = "cover"', 'is "cover"'),
        ('outputs = ["print-png", "pdf"]', "names pdf"),
        ("[taper]\ntop_diameter_mm = 300", "degrees, which no wrap follows"),
        ("[taper]\nwidth_mm = 3", "unknown key"),
    ],
)
def test_a_ring_sector_that_cannot_be_made_is_a_fault(change: str, fault: str) -> None:
    """Each mistake in a tapered cup's record is named with its key and figure."""
    text = f'based_on = "tumbler-tapered-wrap-sub"\nname = "Cup"\n{change}\n'
    assert any(fault in found for found in faults_of(text)), faults_of(text)


def test_a_ring_sector_without_its_cup_is_a_fault() -> None:
    """A record that asks for a ring sector must state the cup."""
    text = LEAST.replace("resolution_ppi", 'print_area_kind = "ring_sector"\nresolution_ppi')
    assert any("taper is missing" in found for found in faults_of(text))
