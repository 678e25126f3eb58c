"""Gradients that shade: one grey that fades away keeps its colour where that is asked for."""

from __future__ import annotations

import pytest

from vectorprep.markup.fades import shade_stops
from vectorprep.markup.paint import rewrite_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import serialise

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10">'
SHADOW = '<radialGradient id="s"><stop offset="0"/><stop offset="1" stop-opacity="0"/></radialGradient>'


def _count(gradient: str) -> int:
    return len(shade_stops(parse_untrusted(f"{HEAD}<defs>{gradient}</defs></svg>".encode())))


@pytest.mark.parametrize(
    "gradient",
    [
        SHADOW,
        '<linearGradient><stop style="stop-color:#333333"/><stop style="stop-color:#333333;stop-opacity:2%"/></linearGradient>',
        '<linearGradient><stop stop-color="rgba(250,250,250,0)"/><stop stop-color="#fafafa"/></linearGradient>',
    ],
    ids=["black nobody wrote", "in style", "in rgba"],
)
def test_one_grey_that_fades_away_is_a_shade(gradient: str) -> None:
    """Both stops are found however colour and opacity are written."""
    assert _count(gradient) == 2


@pytest.mark.parametrize(
    "gradient",
    [
        '<linearGradient><stop/><stop stop-color="#ffffff" stop-opacity="0"/></linearGradient>',
        '<linearGradient><stop stop-color="#cc2200"/><stop stop-color="#cc2200" stop-opacity="0"/></linearGradient>',
        '<linearGradient><stop/><stop stop-opacity="0.5"/></linearGradient>',
        '<linearGradient><stop class="a"/><stop class="a" stop-opacity="0"/></linearGradient>',
        '<linearGradient><stop stop-opacity="0"/></linearGradient>',
    ],
    ids=["two colours", "a hue", "half seen", "coloured by a sheet", "a single stop"],
)
def test_other_gradients_are_ink(gradient: str) -> None:
    """Nothing of them is a shade."""
    assert _count(gradient) == 0


@pytest.mark.parametrize(("keeps_shades", "colour"), [(True, "#000000"), (False, "#ffffff")])
def test_shades_stay_only_where_that_is_asked_for(keeps_shades: bool, colour: str) -> None:
    """The line turns white in both cases, the shadow's stops as asked."""
    root = parse_untrusted(f'{HEAD}<defs>{SHADOW}</defs><rect width="5" height="5" fill="#000000"/></svg>'.encode())
    rewrite_colours(root, lambda _: "#ffffff", keeps_shades=keeps_shades)
    assert [stop.get("stop-color") for stop in root.iter("{*}stop")] == [colour, colour]
    assert b'<rect width="5" height="5" fill="#ffffff"/>' in serialise(root)
