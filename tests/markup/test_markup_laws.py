"""The laws of exact rewriting, on small drawings of what public sets lack: a rewrite commutes with drawing.

Each law compares two pictures of the same rasteriser at the same size, bit for bit, so no tolerance is needed.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from vectorprep.markup.paint import normalise_colours, rewrite_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import serialise

Draw = Callable[[bytes], NDArray[np.int16]]
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="40" height="40">'

RAMP = (
    '<linearGradient id="g"><stop stop-color="#e05010"/><stop offset="1" stop-color="#30c0ff" stop-opacity=".6"/></linearGradient>'
)
ART = '<rect x="3" width="37" height="37" fill="#2040ff" mask="url(#m)"/>'

# Drawings that rasterisers read as CSS says, so that normalising them must not move a pixel.
READABLE = {
    "mask with own colour": ('<mask id="m"><rect width="40" height="40" fill="#e05010"/></mask>' + ART),
    "mask inherits a colour": ('<g fill="#e05010"><mask id="m"><rect width="40" height="40"/></mask></g>' + ART),
    "mask inherits black from nobody": ('<mask id="m"><rect width="40" height="40" fill="#fff"/><circle r="15"/></mask>' + ART),
    "mask shares a class": (
        '<style>.a{fill:#e05010}</style><mask id="m"><rect class="a" width="40" height="40"/></mask>'
        '<rect class="a" width="20" height="40"/>' + ART
    ),
    "mask coloured by tag": (
        '<style>rect{fill:#e05010}</style><mask id="m"><rect width="40" height="40"/></mask><g>'
        '<rect width="40" height="40" mask="url(#m)"/></g>'
    ),
    "mask coloured by an important rule": (
        '<style>.x{fill:#e05010!important}</style><mask id="m"><rect class="x" width="40" height="40"/></mask>'
        '<rect class="x" width="9" height="9"/>' + ART
    ),
    "mask shares a gradient": (
        RAMP
        + '<mask id="m"><rect width="40" height="40" fill="url(#g)"/></mask><rect width="20" height="40" fill="url(#g)"/>'
        + ART
    ),
    "mask inherits a gradient": (
        RAMP + '<g fill="url(#g)"><mask id="m"><rect width="40" height="40"/></mask><rect width="20" height="40"/></g>' + ART
    ),
    "mask has its own gradient by href": (
        '<linearGradient id="b"><stop stop-color="#e05010"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        '<linearGradient id="g" xlink:href="#b"/><mask id="m"><rect width="40" height="40" fill="url(#g)"/></mask>' + ART
    ),
    "mask shares a template of gradients": (
        '<linearGradient id="b"><stop stop-color="#e05010"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        '<linearGradient id="g" href="#b"/><linearGradient id="h" href="#b"/><mask id="m">'
        '<rect width="40" height="40" fill="url(#g)"/></mask><rect width="10" height="40" fill="url(#h)"/>' + ART
    ),
    "mask shares a pattern": (
        '<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse">'
        '<rect width="5" height="10" fill="#e05010"/></pattern><mask id="m"><rect width="40" height="40" fill="url(#p)"/>'
        '</mask><rect width="9" height="40" fill="url(#p)"/>' + ART
    ),
    "mask uses a shape of the defs": (
        '<defs><path id="s" fill="#e05010" d="M0 0h40v40h-40z"/></defs><mask id="m"><use href="#s"/></mask>'
        '<use xlink:href="#s" transform="scale(.3)"/>' + ART
    ),
    "mask uses a drawn group": (
        '<g id="a" fill="#e05010"><rect width="40" height="20"/></g><mask id="m"><use href="#a"/></mask>' + ART
    ),
    "mask colours a shared shape by use": (
        '<defs><rect id="r" width="40" height="40"/></defs><mask id="m"><use href="#r" fill="#e05010"/></mask>'
        '<use href="#r" fill="#10e050" mask="url(#m)"/>'
    ),
    "mask shares a filter": (
        '<filter id="f" x="0" y="0" width="1" height="1"><feFlood flood-color="#e05010"/></filter><mask id="m">'
        '<rect width="40" height="40" filter="url(#f)"/></mask><rect width="9" height="9" filter="url(#f)"/>' + ART
    ),
    "mask shares markers": (
        '<marker id="k" markerWidth="4" markerHeight="4"><circle r="3" fill="#e05010"/></marker><mask id="m">'
        '<path d="M5 5L30 30" stroke="#fff" stroke-width="5" marker-end="url(#k)"/></mask>'
        '<path d="M2 30L9 30" stroke="#0a0" marker-end="url(#k)"/>' + ART
    ),
    "mask in a mask": (
        '<mask id="n"><rect width="40" height="20" fill="#b0b0f0"/></mask><mask id="m">'
        '<rect width="40" height="40" fill="#e0a010" mask="url(#n)"/></mask>' + ART
    ),
    "mask by alpha": ('<mask id="m" mask-type="alpha"><rect width="40" height="40" fill="#e05010" opacity=".5"/></mask>' + ART),
    "mask by currentColor": ('<g color="#e05010"><mask id="m"><rect width="40" height="40" fill="currentColor"/></mask></g>' + ART),
    "chain of currentColor": (
        '<g color="#e05010"><g fill="currentColor"><g color="#10e050"><rect width="20" height="40"/></g>'
        '<rect x="20" width="20" height="40"/></g></g>'
    ),
    "currentColor through use": (
        '<defs><rect id="r" width="20" height="40" fill="currentColor"/></defs><use href="#r" color="#e05010"/>'
        '<use href="#r" x="20"/>'
    ),
    "stop of currentColor": (
        '<linearGradient id="g" color="#e05010"><stop stop-color="currentColor"/><stop offset="1"/></linearGradient>'
        '<rect width="40" height="40" fill="url(#g)"/>'
    ),
    "gradient by href with alpha": (RAMP + '<radialGradient id="r" href="#g"/><rect width="40" height="40" fill="url(#r)"/>'),
    "markers and black nobody wrote": (
        '<marker id="k" markerWidth="4" markerHeight="4"><circle r="2" cx="2" cy="2" fill="#e05010"/>'
        '<rect width="2" height="2"/></marker>'
        '<path d="M5 5L30 30" stroke="#30c0ff" stroke-width="3" marker-end="url(#k)"/>'
    ),
    "context paint": (
        '<marker id="k" markerWidth="4" markerHeight="4"><circle r="2" fill="context-stroke"/></marker>'
        '<path d="M5 5L30 30" stroke="#30c0ff" stroke-width="3" marker-end="url(#k)"/>'
    ),
    "hex with alpha": ('<rect width="40" height="40" fill="#e0501080"/><rect width="20" height="20" fill="#0f08"/>'),
    "hsl and percent": (
        '<rect width="40" height="40" fill="hsl(20,60%,40%)"/><rect width="20" height="20" fill="rgb(10%,50%,90%)"/>'
    ),
    "inherit": ('<g fill="#e05010"><rect width="40" height="40" fill="inherit"/></g>'),
    "fallback after a missing server": ('<rect width="40" height="40" fill="url(#nope) rgb(200, 100, 0)"/>'),
    "shadow function": (
        '<rect x="10" y="10" width="20" height="20" fill="#e05010" style="filter:drop-shadow(3px 3px 2px #30c0ff)"/>'
    ),
    "shadow in currentColor": (
        '<g color="#30c0ff"><rect x="9" y="9" width="20" height="20" style="filter:drop-shadow(3px 3px 2px)"/></g>'
    ),
    "shadow nobody coloured": (
        '<filter id="f"><feDropShadow dx="3" dy="3" stdDeviation="2"/></filter>'
        '<rect x="10" y="10" width="20" height="20" fill="#e05010" filter="url(#f)"/>'
    ),
    "light nobody coloured": (
        '<filter id="f"><feDiffuseLighting><feDistantLight azimuth="30" elevation="50"/></feDiffuseLighting></filter>'
        '<rect x="10" y="10" width="20" height="20" fill="#e05010" filter="url(#f)"/>'
    ),
    "sheet in CDATA": (
        "<style><![CDATA[ /* a > b {fill:red} */ .a > c, .x { fill : TEAL ; } ]]></style><rect class='x' width='40' height='40'/>"
    ),
    "important rule over style": (
        '<style>.x{fill:#e05010 !important}</style><rect class="x" style="fill:blue" width="40" height="40"/>'
    ),
    "multiplied colours": (
        '<rect width="40" height="40" fill="#e05010"/><rect width="30" height="30" fill="#30c0ff" style="mix-blend-mode:multiply"/>'
    ),
    "smooth and see-through": (
        '<circle cx="20" cy="20" r="17" fill="#e05010" opacity=".4"/><circle cx="25" cy="20" r="9" stroke="#123456"/>'
    ),
    "nested drawing": (
        '<image width="40" height="40" href="data:image/svg+xml;utf8,'
        "%3Csvg xmlns='http://www.w3.org/2000/svg' width='4' height='4'%3E%3Crect width='3' height='4' fill='%23e05010'/%3E"
        "%3Crect width='3' height='1'/%3E%3C/svg%3E"
        '"/>'
    ),
}

# Drawings that common rasterisers misread: normalising makes them right, so only the mapped pictures can be compared.
MISREAD = {
    "variable with one value": (
        '<style>:root{--a:#e05010}.x{fill:var(--a)}</style><rect class="x" width="20" height="40"/>'
        '<rect x="20" width="20" height="40" style="fill:var(--a);stroke:var(--b, lime)"/>'
    ),
    "variable with two values": (
        '<style>.p{--a:#e05010}.q{--a:#10e050}.x{fill:var(--a)}</style><g class="p">'
        '<rect class="x" width="20" height="40"/></g><g class="q"><rect class="x" x="20" width="20" height="40"/></g>'
    ),
    "lower-case currentcolor": ('<g color="#e05010"><rect width="20" height="40" fill="currentcolor"/></g>'),
    "mixture": ('<rect width="40" height="40" fill="color-mix(in srgb, red, blue)"/>'),
    "variable in a mask": (
        '<style>:root{--a:#e05010}</style><mask id="m"><rect width="40" height="40" fill="var(--a)"/></mask>' + ART
    ),
}

ALL = READABLE | MISREAD


def turned(ink: str) -> str:
    """(r, g, b) to (b, r, g)."""
    return "#" + ink[5:7] + ink[1:3] + ink[3:5]


def flipped(ink: str) -> str:
    """An injective map without fixed points, its own inverse."""
    return f"#{int(ink[1:], 16) ^ 0x5A3C96:06x}"


def rewritten(markup: bytes, mapping: Callable[[str], str]) -> bytes:
    """The drawing through a mapping, in bytes."""
    root = parse_untrusted(markup)
    rewrite_colours(root, mapping)
    return serialise(root)


def whole(name: str) -> bytes:
    """One of the drawings above as a file."""
    return f"{HEAD}{ALL[name]}</svg>".encode()


@pytest.mark.parametrize("name", READABLE)
def test_identity_draws_the_same_pixels(name: str, draw: Draw) -> None:
    """Law 1: normalising and the identity mapping leave every pixel as it was."""
    root = parse_untrusted(whole(name))
    normalise_colours(root)
    original = draw(whole(name))
    assert original.any()
    assert np.array_equal(draw(serialise(root)), original)
    assert np.array_equal(draw(rewritten(whole(name), lambda ink: ink)), original)


@pytest.mark.parametrize("name", ALL)
def test_turning_channels_commutes_with_drawing(name: str, draw: Draw) -> None:
    """Law 2: drawing the turned drawing gives the turned picture, bit for bit."""
    plain = draw(rewritten(whole(name), lambda ink: ink))
    assert np.array_equal(draw(rewritten(whole(name), turned)), plain[..., [2, 0, 1, 3]])


@pytest.mark.parametrize("name", ALL)
def test_identity_twice_is_identity_once(name: str) -> None:
    """Law 4: a normalised drawing is a fixed point of normalising, in bytes."""
    once = rewritten(whole(name), lambda ink: ink)
    assert rewritten(once, lambda ink: ink) == once


@pytest.mark.parametrize("name", ALL)
def test_two_mappings_are_one(name: str) -> None:
    """Law 5: f then g is the mapping g after f, and f then its inverse is the normalised drawing, in bytes."""
    flipped_once = rewritten(whole(name), flipped)
    assert rewritten(flipped_once, turned) == rewritten(whole(name), lambda ink: turned(flipped(ink)))
    assert rewritten(flipped_once, flipped) == rewritten(whole(name), lambda ink: ink)


@pytest.mark.parametrize("name", ALL)
def test_alpha_does_not_move(name: str, draw: Draw) -> None:
    """Law 6: no mapping changes the alpha plane."""
    plain = draw(rewritten(whole(name), lambda ink: ink))
    assert np.array_equal(draw(rewritten(whole(name), flipped))[..., 3], plain[..., 3])


def test_a_mapping_that_moved_mask_colours_would_be_seen(draw: Draw) -> None:
    """The mask drawings can fail: turning the mask's own colour by hand changes the picture."""
    by_hand = whole("mask with own colour").replace(b"#e05010", turned("#e05010").encode())
    assert not np.array_equal(draw(by_hand)[..., 3], draw(whole("mask with own colour"))[..., 3])
