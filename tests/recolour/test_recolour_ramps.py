"""Gradients squeezed to one side of the cloth."""

from __future__ import annotations

from vectorprep.colour import contrast_ratio, delta_e_2000, lightness
from vectorprep.model import Blank, Ink
from vectorprep.recolour import RecolourPolicy, propose
from vectorprep.recolour.cloth import cloth_of
from vectorprep.recolour.ramps import squeezed

BLACK = Blank(key="black", name="black", colour="#141414")


def _ramp(*colours: str) -> tuple[Ink, ...]:
    return tuple(
        Ink(
            colour=colour,
            area_share=1 / len(colours),
            edge_share=1 / len(colours),
            own_edge_share=0.8,
            in_contact=True,
            touches=tuple((other, 0.1) for other in colours if other != colour),
            kind="ramp",
            mark_width_share=0.3,
        )
        for colour in colours
    )


def test_ramp_just_under_the_floor_is_lifted() -> None:
    """Every stop reaches the floor, light stays light over dark, and no stop moves over its cap."""
    stops = ("#6b4a2c", "#c98c4b", "#e8c890")
    policy = RecolourPolicy()
    moves = squeezed(_ramp(*stops), frozenset({"#6b4a2c"}), cloth_of(BLACK, white_ink=True), policy, 3.0)
    new = [moves.get(stop, stop) for stop in stops]
    assert moves
    assert all(contrast_ratio(stop, BLACK.colour) >= 3 for stop in new)
    assert all(delta_e_2000(old, stop) <= 12 for old, stop in zip(stops, new, strict=True))
    assert [lightness(stop) for stop in new] == sorted(lightness(stop) for stop in new)


def test_ramp_far_under_the_floor_is_left_to_a_keyline() -> None:
    """A ramp down to deep blue would lose its span on black: no squeeze."""
    inks = _ramp("#05052a", "#c0d0ff")
    assert squeezed(inks, frozenset({"#05052a"}), cloth_of(BLACK, white_ink=True), RecolourPolicy(), 3.0) == {}
    assert [t.kind for t in propose(inks, BLACK)] == ["keyline", "keyline", "ask"]


def test_ramp_that_is_seen_stays() -> None:
    """Other ramps of the drawing are left alone."""
    inks = (*_ramp("#6b4a2c", "#c98c4b"), *_ramp("#ffd0d0", "#ffffff"))
    moves = squeezed(inks, frozenset({"#6b4a2c"}), cloth_of(BLACK, white_ink=True), RecolourPolicy(), 3.0)
    assert set(moves) <= {"#6b4a2c", "#c98c4b"}
    assert moves
