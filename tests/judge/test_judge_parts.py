"""Beside the verdict: parts that vanish, inner lines that melt, what other eyes see."""

from __future__ import annotations

import numpy as np
import pytest

from vectorprep.judge import faded_parts, judge, melted_lines, witness
from vectorprep.model import Blank, Ink, Raster

NAVY = Blank(key="navy", name="Navy", colour="#1b2340")
WHITE = Blank(key="white", name="White", colour="#ffffff")

Box = tuple[int, int, int, int]
Rgb = tuple[int, int, int]


def blocks(*parts: tuple[Box, Rgb]) -> Raster:
    """Blocks (x0, y0, x1, y1) of colour, painted in order on a clear square of 512 px."""
    pixels = np.zeros((512, 512, 4), np.uint8)
    for (x0, y0, x1, y1), colour in parts:
        pixels[y0:y1, x0:x1] = (*colour, 255)
    return Raster(pixels=pixels)


CUP = ((0, 200, 512, 512), (220, 60, 40))
STEAM = ((200, 0, 260, 140), (250, 250, 250))


def test_steam_over_a_cup_is_named_and_leaves_the_verdict_alone() -> None:
    """White steam over a red cup vanishes on white: a part with its box, ink and ratio 1.0; the cup still reads as clear."""
    picture = blocks(CUP, STEAM)
    inks = (
        Ink(colour="#dc3c28", area_share=0.95, edge_share=0.8, in_contact=True),
        Ink(colour="#fafafa", area_share=0.05, edge_share=0.2, in_contact=True),
    )
    (part,) = faded_parts(picture, WHITE, inks=inks)
    assert part.ink == "#fafafa"
    assert part.place == pytest.approx((200 / 512, 0.0, 260 / 512, 140 / 512), abs=0.01)
    assert part.area_share == pytest.approx(60 * 140 / (60 * 140 + 512 * 312), abs=0.01)
    assert part.words == "a part in white vanishes on white, 1.0:1, the rest is seen"
    assert faded_parts(picture, NAVY, inks=inks) == ()


def test_part_joined_to_the_rest_is_named_where_it_fades() -> None:
    """A black stem below a yellow block is a part that vanishes on navy, by its own box."""
    (part,) = faded_parts(blocks(((0, 0, 512, 300), (240, 200, 80)), ((240, 300, 280, 512), (0, 0, 0))), NAVY)
    assert part.ink == "#000000"
    assert part.place[1] > 0.55
    assert part.place[3] == 1.0


def test_picture_in_one_piece_has_no_parts() -> None:
    """What fades in one piece is the verdict's matter."""
    lone = blocks(((0, 0, 512, 512), (250, 250, 250)))
    assert faded_parts(lone, WHITE) == ()
    assert judge(lone, WHITE).word == "lost"


def test_white_part_vanishes_where_no_white_is_printed() -> None:
    """On natural cloth white steam vanishes only where white paint is bare cloth."""
    natural = Blank(key="natural", name="Natural", colour="#d8c8a0")
    picture = blocks(CUP, STEAM)
    assert faded_parts(picture, natural) == ()
    assert len(faded_parts(picture, natural, white_ink=False)) == 1


FACE = ((20, 20, 492, 492), (240, 200, 80))
MOUTH = ((200, 380, 312, 388), (0, 0, 0))
EYES = (((150, 150, 190, 210), (0, 0, 0)), ((320, 150, 360, 210), (0, 0, 0)))


def test_small_mouth_that_melts_is_named() -> None:
    """A black mouth recoloured to the face's yellow is named with its place; the kept eyes are not."""
    before = blocks(FACE, MOUTH, *EYES)
    after = blocks(FACE, ((200, 380, 312, 388), (236, 198, 84)), *EYES)
    (line,) = melted_lines(before, after)
    assert line.place == pytest.approx((180 / 472, 360 / 472, 292 / 472, 368 / 472), abs=0.02)
    assert line.delta_e_before > 50
    assert line.delta_e_after < 3


def test_nothing_melts_where_inks_stay_apart() -> None:
    """Black lines turned dark blue keep CIEDE2000 above 10 to the fill, and equal pictures lose nothing."""
    before = blocks(FACE, MOUTH, *EYES)
    changed = [(box, (20, 30, 90)) for box, _ in (MOUTH, *EYES)]
    assert melted_lines(before, blocks(FACE, *changed)) == ()
    assert melted_lines(before, before) == ()


def test_faint_lines_may_stay_faint() -> None:
    """A line that had CIEDE2000 below 10 must keep what it had, no more."""
    before = blocks(FACE, ((200, 380, 312, 388), (228, 186, 74)))
    assert melted_lines(before, before) == ()


def test_pictures_of_two_sizes_are_not_compared() -> None:
    """Proofs of different shape raise with both sizes."""
    other = Raster(pixels=blocks(CUP).pixels[:400].copy())
    with pytest.raises(ValueError, match="not of one artwork"):
        melted_lines(blocks(FACE), other)


def test_hue_alone_carries_only_where_every_eye_sees_it() -> None:
    """Red on green of like luminance is strong for ordinary eyes and weak for deutan ones (Machado 2009); blue on red stays."""
    red_green = witness("#c8402a", "#3f7d2b")
    assert red_green.normal > 50
    assert red_green.deutan < 30
    assert not red_green.hue_only
    blue_red = witness("#2a3fd0", "#c0302a")
    assert 1.0 <= blue_red.contrast_ratio < 3
    assert blue_red.least >= 30


def test_black_on_white_needs_no_hue() -> None:
    """Ratio 21 (WCAG 2.2) is no matter of hue."""
    plain = witness("#000000", "#ffffff")
    assert plain.contrast_ratio == pytest.approx(21)
    assert not plain.hue_only
