"""Own colours for a blank, see-through white, single ink."""

from __future__ import annotations

from vectorprep.model import Blank, Ink
from vectorprep.recolour import RecolourPolicy, enclosed_whites, propose

NAVY = Blank(key="navy", name="navy", colour="#1b2340")
WHITE = Blank(key="white", name="white", colour="#ffffff")


def _button() -> tuple[Ink, ...]:
    """A black ring and bar around and inside a white disc."""
    return (
        Ink(colour="#ffffff", area_share=0.6, edge_share=0.0, touches=(("#000000", 1.0),), mark_width_share=0.4),
        Ink(
            colour="#000000",
            area_share=0.4,
            edge_share=1.0,
            own_edge_share=0.45,
            in_contact=True,
            touches=(("#ffffff", 0.55),),
            mark_width_share=0.1,
        ),
    )


def test_own_colours_come_first() -> None:
    """The seller's map for dark blanks is proposed first, marked as a wish, and only there."""
    policy = RecolourPolicy(forced=(("dark", "#000000", "#f0b323"),))
    first = propose(_button(), NAVY, policy=policy)[0]
    assert first.is_wish
    assert [(swap.before, swap.after) for swap in first.swaps] == [("#000000", "#f0b323")]
    assert not any(t.is_wish for t in propose(_button(), WHITE, policy=policy))


def test_blank_beats_group_beats_all() -> None:
    """The narrower the place, the stronger the wish."""
    forced = (("all", "#000000", "#111111"), ("dark", "#000000", "#222222"), ("navy", "#000000", "#eeeeee"))
    assert propose(_button(), NAVY, policy=RecolourPolicy(forced=forced))[0].swaps[0].after == "#eeeeee"


def test_wishes_travel_with_every_later_remedy() -> None:
    """A keyline tried after the seller's own colours keeps them."""
    policy = RecolourPolicy(forced=(("navy", "#000000", "#20284a"),))
    found = propose(_button(), NAVY, policy=policy)
    assert all(("#000000", "#20284a") in [(s.before, s.after) for s in t.swaps] for t in found if t.kind != "ask")
    assert "keyline" in [t.kind for t in found]


def test_wish_for_an_ink_that_is_not_there_changes_nothing() -> None:
    """Own colours for other drawings do not touch this one."""
    policy = RecolourPolicy(forced=(("all", "#123456", "#654321"),))
    assert propose(_button(), NAVY, policy=policy) == propose(_button(), NAVY)


def test_enclosed_white_is_found() -> None:
    """White that nowhere meets the cloth is the white to ask about; a cream is not white."""
    assert enclosed_whites(_button()) == ("#ffffff",)
    cream = Ink(colour="#fdf3d0", area_share=0.1, edge_share=0.0)
    free = Ink(colour="#ffffff", area_share=0.1, edge_share=0.5, own_edge_share=1.0, in_contact=True)
    assert enclosed_whites((cream, free)) == ()


def test_see_through_white_opens_and_its_surroundings_meet_the_cloth() -> None:
    """With white taken for cloth it is left out, and black line art around it turns light on navy."""
    found = propose(_button(), NAVY, policy=RecolourPolicy(enclosed_white="cloth"))
    assert found[0].kind == "knock-out"
    assert found[0].is_wish
    assert found[0].swaps[0].is_open
    swapped = next(t for t in found if t.kind == "neutral-swap")
    assert {(s.before, s.after, s.is_open) for s in swapped.swaps} == {
        ("#ffffff", "#1b2340", True),
        ("#000000", "#fafaf8", False),
    }


def test_single_ink_prints_the_right_way_round() -> None:
    """In one light ink the white disc prints and the bar inside is cut; in one dark ink the ring and bar print."""
    light = propose(_button(), NAVY, policy=RecolourPolicy(single_ink="#fafaf8"))[0]
    assert {s.before for s in light.swaps if s.is_open} == {"#000000"}
    dark = propose(_button(), WHITE, policy=RecolourPolicy(single_ink="#1a1a1a"))[0]
    assert {s.before for s in dark.swaps if s.is_open} == {"#ffffff"}


def test_single_ink_keeps_drawing_inside() -> None:
    """Two touching dark inks that both resemble the single ink do not run into one blob."""
    inks = (
        Ink(colour="#202020", area_share=0.5, edge_share=1.0, own_edge_share=0.5, in_contact=True, touches=(("#402020", 0.5),)),
        Ink(colour="#402020", area_share=0.5, edge_share=0.0, touches=(("#202020", 1.0),), mark_width_share=0.3),
    )
    found = propose(inks, WHITE, policy=RecolourPolicy(single_ink="#000000"))[0]
    assert {s.before for s in found.swaps if s.is_open} == {"#402020"}


def test_automatic_single_ink_stands_out() -> None:
    """`auto` is the standard light on dark cloth and the standard dark on light cloth."""
    policy = RecolourPolicy(single_ink="auto")
    assert propose(_button(), NAVY, policy=policy)[0].single_ink == "#fafaf8"
    assert propose(_button(), WHITE, policy=policy)[0].single_ink == "#1a1a1a"
