"""The ladder of treatments: which remedy for which drawing, and the rules every recolouring keeps."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import pytest

from vectorprep.colour import contrast_ratio, delta_e_2000, lightness, oklch
from vectorprep.model import Blank, Ink, Treatment, Verdict
from vectorprep.recolour import RecolourPolicy, propose

BLACK = Blank(key="black", name="black", colour="#141414")
NAVY = Blank(key="navy", name="navy", colour="#1b2340")
WHITE = Blank(key="white", name="white", colour="#ffffff")
CHARCOAL = Blank(key="charcoal", name="charcoal heather", colour="#4a4b4f", texture="heather")
BLANKS = (BLACK, NAVY, WHITE, CHARCOAL, Blank(key="red", name="red", colour="#b3202c"))


def _ink(
    colour: str,
    area: float = 1.0,
    *,
    edge: float = 1.0,
    own: float = 1.0,
    touches: dict[str, float] | None = None,
    width: float = 0.02,
) -> Ink:
    return Ink(
        colour=colour,
        area_share=area,
        edge_share=edge,
        own_edge_share=own,
        in_contact=own > 0.03 and edge > 0.01,
        touches=tuple((touches or {}).items()),
        mark_width_share=width,
    )


LINE_ART = (_ink("#000000"),)
OUTLINED = (
    _ink("#fcea2b", 0.6, edge=0.0, own=0.0, touches={"#000000": 1.0}, width=0.3),
    _ink("#000000", 0.4, edge=1.0, own=0.55, touches={"#fcea2b": 0.45}),
)
LOGO = (
    _ink("#e2672b", 0.7, edge=0.5, own=1.0, width=0.3),
    _ink("#1d1d1d", 0.3, edge=0.5, own=1.0),
)


def _verdict(word: str = "weak", ink: str = "") -> Verdict:
    return Verdict(
        word=word,  # type: ignore[arg-type]
        decided_by="outline",
        outline_faded=0.4,
        area_faded=0.4,
        contrast_ratio=1.1,
        delta_e=5.0,
        deciding="",
        ink=ink,
    )


def _kinds(found: tuple[Treatment, ...]) -> list[str]:
    return [treatment.kind for treatment in found]


def test_clear_artwork_is_left() -> None:
    """Where the verdict is clear nothing but leaving is proposed, with the figure that decided."""
    found = propose(LINE_ART, WHITE, verdict=_verdict("clear"))
    assert _kinds(found) == ["as-drawn"]
    assert "40%" in found[0].reason


@pytest.mark.parametrize("blank", [BLACK, NAVY, CHARCOAL])
def test_black_line_art_turns_to_the_standard_light(blank: Blank) -> None:
    """One black ink on dark cloth becomes the standard light, above 3:1, as the first proposal."""
    first = propose(LINE_ART, blank, verdict=_verdict("lost"))[0]
    assert first.kind == "neutral-swap"
    assert [(swap.before, swap.after) for swap in first.swaps] == [("#000000", "#fafaf8")]
    assert first.swaps[0].ratio_before < 3 <= first.swaps[0].ratio_after


def test_white_line_art_turns_to_the_standard_dark() -> None:
    """The reverse on white cloth."""
    first = propose((_ink("#ffffff"),), WHITE, verdict=_verdict("lost"))[0]
    assert [(swap.before, swap.after) for swap in first.swaps] == [("#ffffff", "#1a1a1a")]


def test_black_outline_round_a_fill_gets_a_keyline() -> None:
    """Whitening the outline would turn the face's eyes and mouth inside out: lightness order is kept, a keyline is drawn."""
    found = propose(OUTLINED, BLACK, verdict=_verdict())
    assert _kinds(found) == ["keyline", "keyline", "ask"]
    assert found[0].keyline_colour == "#fafaf8"
    assert not found[0].swaps


def test_free_lettering_turns_and_the_coloured_part_stays() -> None:
    """Dark lettering that touches nothing becomes light; the orange beside it is not touched."""
    first = propose(LOGO, BLACK, verdict=_verdict(ink="#1d1d1d"))[0]
    assert [(swap.before, swap.after) for swap in first.swaps] == [("#1d1d1d", "#fafaf8")]


def test_dark_shape_among_others_does_not_turn() -> None:
    """A broad dark shape beside coloured ones keeps its colour and gets a keyline: a bomb does not turn white."""
    inks = (LOGO[0], replace(LOGO[1], mark_width_share=0.2))
    assert _kinds(propose(inks, BLACK, verdict=_verdict()))[0] == "keyline"


def test_ink_that_does_not_meet_the_cloth_never_changes() -> None:
    """Eyes of the cloth's colour inside a face are no reason for a change."""
    inks = (
        _ink("#fcea2b", 0.9, touches={"#141414": 0.1}, width=0.5),
        _ink("#141414", 0.1, edge=0.0, own=0.0, touches={"#fcea2b": 1.0}),
    )
    assert all(not treatment.swaps for treatment in propose(inks, BLACK, verdict=_verdict()))


def test_locked_ink_never_changes() -> None:
    """A locked ink that fades is left to the keyline."""
    found = propose(LINE_ART, BLACK, policy=RecolourPolicy(locked=("#000000",)), verdict=_verdict("lost"))
    assert all(not treatment.swaps for treatment in found)
    assert found[0].kind == "keyline"


def test_rungs_follow_the_policy() -> None:
    """A policy without keylines proposes none, and its order of rungs is the order of proposals."""
    found = propose(LINE_ART, BLACK, policy=RecolourPolicy(rungs=("keyline", "neutral-swap")), verdict=_verdict("lost"))
    assert found[0].kind == "keyline"
    assert "neutral-swap" in _kinds(found)
    assert _kinds(propose(OUTLINED, BLACK, policy=RecolourPolicy(rungs=("neutral-swap", "shift")))) == ["ask"]


def test_standard_inks_follow_the_policy() -> None:
    """Standard light and dark are settings."""
    first = propose(LINE_ART, BLACK, policy=RecolourPolicy(light="#f0f0e0"), verdict=_verdict("lost"))[0]
    assert first.swaps[0].after == "#f0f0e0"


def test_pure_white_where_the_standard_inks_do_not_reach() -> None:
    """On middle grey neither standard ink reaches 4.5:1; pure white or black does (sqrt(21) = 4.58, WCAG arithmetic)."""
    middle = Blank(key="", name="middle grey", colour="#777777")
    policy = RecolourPolicy(text_ratio_floor=4.5)
    first = propose((_ink("#808080"),), middle, policy=policy, verdict=_verdict("lost"), strict=True, has_text=True)[0]
    assert first.swaps[0].after == "#000000"
    assert contrast_ratio("#000000", "#777777") > 4.5 > contrast_ratio("#1a1a1a", "#777777")


def test_light_ink_is_no_remedy_without_white_ink() -> None:
    """Without white ink light colours sink into dark cloth: nothing but asking is left on black."""
    assert _kinds(propose(LINE_ART, BLACK, verdict=_verdict("lost"), white_ink=False)) == ["ask"]


def test_two_fading_neutrals_stay_apart() -> None:
    """Black and dark grey lettering both turn light, and stay told apart."""
    inks = (_ink("#000000", 0.6, edge=0.6), _ink("#3a3a3a", 0.4, edge=0.4))
    first = propose(inks, BLACK, verdict=_verdict("lost"))[0]
    new = {swap.before: swap.after for swap in first.swaps}
    assert first.kind == "neutral-swap"
    assert delta_e_2000(new["#000000"], new["#3a3a3a"]) >= 5
    assert all(contrast_ratio(ink, BLACK.colour) >= 3 for ink in new.values())


def test_shift_keeps_hue_and_cap() -> None:
    """A green just under the floor moves in lightness alone, by no more than the cap, and reaches the floor."""
    green = "#2f6a55"
    found = propose((_ink(green),), NAVY, verdict=_verdict(ink=green))
    shift = next(treatment for treatment in found if treatment.kind == "shift")
    after = shift.swaps[0].after
    assert delta_e_2000(green, after) <= 12
    assert contrast_ratio(after, NAVY.colour) >= 3
    assert abs(oklch(after)[2] - oklch(green)[2]) < 3


def test_skin_and_lemon_are_never_shifted_over_the_cap() -> None:
    """Pale skin and lemon on white would need far more than the cap: they keep their colours under a keyline."""
    for pale in ("#f7dec9", "#fff36b"):
        found = propose((_ink(pale, width=0.4),), WHITE, verdict=_verdict("lost"))
        assert _kinds(found) == ["keyline", "keyline", "ask"]
        assert found[0].keyline_colour == "#1a1a1a"


def test_line_art_in_one_colour_keeps_its_hue_and_moves_as_far_as_the_cloth_asks() -> None:
    """Fine dark green lines on black become a lighter green at 3:1 before any outline is tried; two inks keep the cap."""
    green = "#123c2c"
    found = propose((_ink(green, width=0.01),), BLACK, verdict=_verdict(ink=green))
    first = found[0]
    assert first.kind == "shift"
    assert contrast_ratio(first.swaps[0].after, BLACK.colour) >= 3
    assert abs(oklch(first.swaps[0].after)[2] - oklch(green)[2]) < 3
    assert delta_e_2000(green, first.swaps[0].after) > 12
    assert "one ink" in first.reason


def test_heather_is_met_at_its_worst_shade() -> None:
    """On heather the floor holds at 8 L* lighter and darker too, so the reported ratio is the worst."""
    swap = propose(LINE_ART, CHARCOAL, verdict=_verdict("lost"))[0].swaps[0]
    assert swap.ratio_after < contrast_ratio("#fafaf8", CHARCOAL.colour)


def test_see_through_ink_is_met_as_it_looks_on_the_cloth() -> None:
    """Black at a third of its coverage reads at 2.5:1 on white where opaque black reads at 21:1."""
    swaps = [s for t in propose((replace(_ink("#000000"), alpha=0.3),), BLACK) for s in t.swaps]
    assert all(swap.ratio_after < contrast_ratio(swap.after, BLACK.colour) for swap in swaps)
    assert propose((replace(_ink("#000000"), alpha=0.3),), WHITE, verdict=_verdict())[0].kind != "neutral-swap"


def test_keyline_grows_with_the_print() -> None:
    """A keyline is 0.6 mm, or 0.4 % of a large print's long side; a wider one is the second try."""
    assert [t.keyline_mm for t in propose(OUTLINED, BLACK, printed_long_mm=80)[:2]] == [0.6, 1.2]
    assert [t.keyline_mm for t in propose(OUTLINED, BLACK, printed_long_mm=300)[:2]] == [1.2, 2.4]


def test_thin_lines_in_one_ink_grow_in_their_own_colour() -> None:
    """Line art too thin to be seen is thickened in the ink that stands out, before an outline in another colour is tried."""
    found = [t for t in propose(LINE_ART, WHITE, verdict=_verdict()) if t.kind == "keyline"]
    assert found[0].keyline_colour == "#000000"
    on_black = [t for t in propose(LINE_ART, BLACK, verdict=_verdict()) if t.kind == "keyline"]
    assert (on_black[0].keyline_colour, on_black[0].swaps[0].after) == ("#fafaf8", "#fafaf8")


def test_rim_like_the_cloth_may_be_left_out_where_asked_for() -> None:
    """A thin black rim on black around ink that is seen may go; one that also stands free, is broad or coloured may not."""
    rim = replace(OUTLINED[1], area_share=0.2, own_edge_share=0.5)
    asked = RecolourPolicy(rungs=("knock-out", "keyline"))

    def kinds(changed: Ink, blank: Blank = BLACK, policy: RecolourPolicy = asked) -> list[str]:
        return _kinds(propose((OUTLINED[0], changed), blank, policy=policy))

    assert "knock-out" in kinds(rim)
    assert "knock-out" not in kinds(rim, policy=RecolourPolicy())
    assert "knock-out" not in kinds(replace(rim, own_edge_share=0.7))
    assert "knock-out" not in kinds(replace(rim, area_share=0.3))
    assert "knock-out" not in kinds(replace(rim, mark_width_share=0.2))
    assert "knock-out" not in kinds(rim, CHARCOAL)


def _random_drawing(picked: random.Random) -> tuple[Ink, ...]:
    palette = [f"#{picked.randrange(1 << 24):06x}" for _ in range(picked.randint(1, 4))]
    palette += picked.sample(["#000000", "#ffffff", "#333333", "#777777", "#e6e6e6"], picked.randint(1, 3))
    palette = list(dict.fromkeys(palette))
    touching = {frozenset(pair): picked.uniform(0.02, 0.5) for pair in itertools.combinations(palette, 2) if picked.random() < 0.4}
    return tuple(
        _ink(
            colour,
            1 / len(palette),
            edge=picked.choice([0.0, 0.2, 0.5]),
            own=picked.choice([0.0, 0.3, 1.0]),
            touches={o: touching[frozenset((colour, o))] for o in palette if frozenset((colour, o)) in touching},
            width=picked.choice([0.02, 0.2]),
        )
        for colour in palette
    )


def test_every_recolouring_keeps_the_rules() -> None:
    """Over 300 random drawings and blanks: floors reached, inks apart, order kept, caps held, free inks untouched."""
    picked = random.Random(11)
    policy = RecolourPolicy()
    seen = 0
    for _ in range(300):
        inks, blank = _random_drawing(picked), picked.choice(BLANKS[:3])
        by_colour = {ink.colour: ink for ink in inks}
        for treatment in propose(inks, blank):
            if treatment.kind not in ("neutral-swap", "shift"):
                continue
            seen += 1
            new = {ink.colour: ink.colour for ink in inks} | {s.before: s.after for s in treatment.swaps}
            for swap in treatment.swaps:
                if by_colour[swap.before].in_contact:
                    assert contrast_ratio(swap.after, blank.colour) >= policy.ratio_floor
                if oklch(swap.before)[1] >= policy.neutral_chroma:
                    assert delta_e_2000(swap.before, swap.after) <= policy.shift_cap
            for one, other in itertools.combinations(inks, 2):
                share = max(dict(one.touches).get(other.colour, 0), dict(other.touches).get(one.colour, 0))
                floor = min(delta_e_2000(one.colour, other.colour), 10 if share > 0.005 else 5)
                assert delta_e_2000(new[one.colour], new[other.colour]) >= floor - 1e-6
                apart = lightness(one.colour) - lightness(other.colour)
                if share > 0.1 and abs(apart) > 2:
                    assert (lightness(new[one.colour]) - lightness(new[other.colour])) * apart > 0
    assert seen > 30


def test_same_question_same_answer() -> None:
    """Proposals are the same from run to run and do not depend on the order of the touches."""
    inks = _random_drawing(random.Random(5))
    turned = tuple(replace(ink, touches=ink.touches[::-1]) for ink in inks)
    assert propose(inks, NAVY) == propose(inks, NAVY) == propose(turned, NAVY)


def test_no_inks_no_remedy() -> None:
    """A drawing without measured inks (a photograph alone) can be outlined or asked about, never recoloured."""
    assert {t.kind for t in propose((), BLACK, verdict=_verdict(), has_pictures=True)} == {"keyline", "ask"}


def test_pictures_are_never_recoloured() -> None:
    """An ink that stands for a photograph stays as it is."""
    photo = replace(_ink("#101010"), kind="picture")
    assert all(not t.swaps for t in propose((photo,), BLACK, verdict=_verdict("lost")))


def test_fine_lines_get_a_fine_outline_first() -> None:
    """Around fine lines of colour the outline starts at 0.6 mm however large the print."""
    sprig = (_ink("#234c40", width=0.008),)
    forest = Blank(key="forest", name="forest", colour="#1f4d36")
    widths = [t.keyline_mm for t in propose(sprig, forest, verdict=_verdict("lost"), printed_long_mm=300) if t.kind == "keyline"]
    assert widths == [0.6, 1.2, 2.4]


def test_no_outline_goes_around_a_plate() -> None:
    """Where a rectangle like the cloth lies behind the artwork the seller is asked: the outline would show the rectangle."""
    assert "keyline" in _kinds(propose(OUTLINED, BLACK, verdict=_verdict()))
    assert "keyline" not in _kinds(propose(OUTLINED, BLACK, verdict=replace(_verdict(), has_plate=True)))


def test_shades_stay_unless_the_ink_that_changes_is_the_drawing() -> None:
    """A black lettering beside a fill keeps its shadows in the swap; of a drawing all in black they turn with it."""
    assert propose(LOGO, BLACK, verdict=_verdict())[0].keeps_shades
    assert not propose(LINE_ART, BLACK, verdict=_verdict())[0].keeps_shades


@pytest.mark.parametrize(("long_mm", "ratio"), [(60.0, 4.5), (400.0, 3.0)])
def test_a_thin_line_in_colour_is_first_moved_to_the_ratio_of_text(long_mm: float, ratio: float) -> None:
    """2 % of 60 mm are 1.2 mm, a thin line: 4.5:1 (WCAG 2.2, 1.4.3); of 400 mm 8 mm: 3:1 (1.4.11)."""
    found = propose((_ink("#234c40"),), NAVY, verdict=_verdict("lost"), printed_long_mm=long_mm)
    (swap,) = next(t for t in found if t.kind == "shift").swaps
    assert ratio <= swap.ratio_after < ratio + 0.2
