"""Names of outputs and titles from names of drawings."""

from __future__ import annotations

import random
import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vectorprep.plan import artwork_names, assign_slugs, output_name, slug_from_name, title_from_name
from vectorprep.plan.names import SLUG_MAX_BYTES, collision_key, stem_of

# Device names that Windows reserves (published: Microsoft "Naming Files", quoted elsewhere).
RESERVED = ["CON", "con", "PRN", "AUX", "NUL", "COM1", "com9", "LPT1", "lpt9"]


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("fox_camp-fire", "fox_camp-fire"),
        ("White Owl Moon", "White-Owl-Moon"),
        ("a  b\tc", "a-b-c"),
        ("final2_new(3)", "final2_new(3)"),
        ('a<b>c:d"e/f\\g|h?i*j', "a_b_c_d_e_f_g_h_i_j"),
        ("50% off #1", "50_-off-_1"),
        ("-leading", "leading"),
        ("..hidden", "hidden"),
        ("trailing. . ", "trailing"),
        ("a--b---c", "a-b-c"),
        ("zero\u200bwidth\u202ebidi", "zerowidthbidi"),
        ("bell\x07tab", "bell_tab"),
        ("e\u0301te\u0301", "\u00e9t\u00e9"),
        ("\udcff\udcfe", "__"),
        ("", "artwork"),
        ("...", "artwork"),
        ("\u200b", "artwork"),
        ("\u72d0", "\u72d0"),
    ],
)
def test_a_slug_is_safe_and_close_to_its_name(name: str, slug: str) -> None:
    """Odd characters are replaced, unseen ones go, spaces become hyphens, two hyphens one."""
    assert slug_from_name(name) == slug


@pytest.mark.parametrize("name", [*RESERVED, *(f"{name}.final" for name in RESERVED), "com\u00b9"])
def test_a_reserved_device_name_gets_a_suffix(name: str) -> None:
    """The part before the first dot is no device any more (published: Microsoft "Naming Files")."""
    base = slug_from_name(name).partition(".")[0]
    assert base == name.partition(".")[0] + "-artwork"


def test_a_long_name_is_cut_on_a_character_and_told_apart_by_a_hash() -> None:
    """120 bytes of UTF-8 at most, and two long names that begin alike stay different."""
    first, second = slug_from_name("\u00e9" * 100 + "a"), slug_from_name("\u00e9" * 100 + "b")
    assert len(first.encode()) <= SLUG_MAX_BYTES
    assert first[:55] == "\u00e9" * 55
    assert first != second


@settings(deadline=None)
@given(st.text(max_size=200))
def test_any_name_gives_a_name_every_disk_takes(name: str) -> None:
    """Whatever comes in: 1 to 120 bytes, NFC, none of the forbidden characters, no edge of dots, spaces or hyphens."""
    slug = slug_from_name(name)
    assert 1 <= len(slug.encode()) <= SLUG_MAX_BYTES
    assert slug == unicodedata.normalize("NFC", slug)
    assert not set(slug) & set('<>:"/\\|?*#% \t\n')
    assert slug[0] not in "-."
    assert slug[-1] not in "-. "
    assert "--" not in slug
    assert all(unicodedata.category(char) not in {"Cc", "Cf", "Cs"} for char in slug)


@settings(deadline=None)
@given(st.text(max_size=100))
def test_a_slug_of_a_slug_is_itself(name: str) -> None:
    """Slugging settles at once."""
    slug = slug_from_name(name)
    assert slug_from_name(slug) == slug


def test_names_that_some_disk_takes_for_one_all_get_a_suffix() -> None:
    """Case, composed accents, full-width letters and zero-width characters make collisions; the lone one keeps its name."""
    paths = [
        "a/Logo.svg",
        "b/logo.svg",
        "\u00e9.svg",
        "e\u0301.svg",
        "\uff46ox.svg",
        "fox.svg",
        "z\u200bz.svg",
        "zz.svg",
        "alone.svg",
    ]
    plan = assign_slugs(paths)
    assert len(plan.collisions) == 4
    assert {path for group in plan.collisions for path in group} == set(paths) - {"alone.svg"}
    assert plan.slugs["alone.svg"] == "alone"
    assert len({collision_key(slug) for slug in plan.slugs.values()}) == len(paths)
    assert plan.slugs["a/Logo.svg"].startswith("Logo-")


def test_sharp_s_and_its_capitals_collide() -> None:
    """Casefold makes one of them (published: Unicode case folding)."""
    assert len(assign_slugs(["stra\u00dfe.svg", "STRASSE.svg"]).collisions) == 1


def test_a_suffixed_name_never_meets_a_plain_one() -> None:
    """A drawing already called like another one's suffixed slug gets a suffix itself."""
    suffixed = assign_slugs(["a/fox.svg", "b/fox.svg"]).slugs["a/fox.svg"]
    plan = assign_slugs(["a/fox.svg", "b/fox.svg", f"c/{suffixed}.svg"])
    assert len({collision_key(slug) for slug in plan.slugs.values()}) == 3


@settings(deadline=None)
@given(
    st.lists(
        st.text(alphabet="aAbB\u00e9e\u0301-. \u200b/", min_size=1, max_size=6).map(lambda name: name + ".svg"),
        unique=True,
        max_size=12,
    )
)
def test_slugs_are_unlike_on_every_disk_whatever_the_order(paths: list[str]) -> None:
    """All keys differ, and shuffling the paths changes nothing."""
    plan = assign_slugs(paths)
    assert len({collision_key(slug) for slug in plan.slugs.values()}) == len(paths)
    shuffled = list(paths)
    random.Random(1).shuffle(shuffled)
    assert assign_slugs(shuffled).slugs == plan.slugs


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("fox_camp-fire.svg", "Fox Camp Fire"),
        ("FoxCampFire.svg", "Fox Camp Fire"),
        ("tea-rose_final.svg", "Tea Rose"),
        ("tea-rose_final2_v3 (1).svg", "Tea Rose"),
        ("porthole_octopus-v2.svgz", "Porthole Octopus"),
        ("Copy of moon hare.svg", "Moon Hare"),
        ("moon-hare copy 2.svg", "Moon Hare 2"),
        ("owl 2024-05-01.svg", "Owl"),
        ("owl_20240501.svg", "Owl"),
        ("01.05.2024 owl.svg", "Owl"),
        ("class-of-2024.svg", "Class Of 2024"),
        ("owl-v1.3.svg", "Owl"),
        ("vitamin-V.svg", "Vitamin V"),
        ("myXMLThing.svg", "My XML Thing"),
        ("8-bit snail.svg", "8 Bit Snail"),
        ("final.svg", "Final"),
        ("2024-05-01.svg", "2024 05 01"),
        ("\u00e9toile_\u00c9t\u00e9.svg", "\u00c9toile \u00c9t\u00e9"),
        ("folder/sub/red.fox.svg", "Red Fox"),
        ("a\u202eb.svg", "A B"),
    ],
)
def test_a_title_keeps_the_words_and_drops_the_bookkeeping(name: str, title: str) -> None:
    """Versions, copies, counters and dates go, unless nothing else is left."""
    assert title_from_name(name) == title


@pytest.mark.parametrize(
    ("path", "stem"), [("a/b.SVG", "b"), ("b.svgz", "b"), ("b.svg.gz", "b"), ("b.c.svg", "b.c"), ("a\\b.svg", "b")]
)
def test_a_stem_is_the_last_part_without_its_extension(path: str, stem: str) -> None:
    """Any letter case, plain or compressed."""
    assert stem_of(path) == stem


def test_an_artwork_is_named_by_its_stem_and_by_its_folder_where_two_are_alike() -> None:
    """Only the pair that is alike carries the folder."""
    names = artwork_names(["a/fox.svg", "b/fox.svg", "b/owl.svg"])
    assert list(names.values()) == ["a/fox", "b/fox", "owl"]


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ({}, "fox--tee--as-drawn.png"),
        ({"is_preview": True}, "fox--tee--as-drawn--preview.png"),
        ({"treatment": "neutral-swap", "picture_key": "ab12cd"}, "fox--tee--neutral-swap-ab12.png"),
        ({"treatment": "keyline", "picture_key": "ab12cd", "is_preview": True}, "fox--tee--keyline-ab12--preview.png"),
        ({"blank": "navy"}, "fox--tee--as-drawn--navy.png"),
        ({"blank": "#1b2340"}, "fox--tee--as-drawn--1b2340.png"),
        ({"extension": "svg"}, "fox--tee--as-drawn.svg"),
    ],
)
def test_an_output_is_named_by_artwork_product_and_treatment(arguments: dict[str, str], name: str) -> None:
    """Two hyphens part the fields; the key is there only for a changed picture."""
    assert output_name("fox", "tee", **arguments) == name  # type: ignore[arg-type]


def test_an_output_without_product_leaves_the_field_out() -> None:
    """A recoloured drawing for no product in particular."""
    assert output_name("fox", "", blank="navy", extension="svg") == "fox--as-drawn--navy.svg"
