"""The verdict on small pictures whose answer is plain."""

from __future__ import annotations

import numpy as np
import pytest

from vectorprep.colour import contrast_ratio
from vectorprep.judge import Proof, judge, prepare
from vectorprep.judge.cloth import cloths, lightened
from vectorprep.judge.discs import grow, inner_edge, opened, shrink, without_holes
from vectorprep.judge.limits import WEAK
from vectorprep.judge.pieces import labelled
from vectorprep.judge.proof import without_white
from vectorprep.judge.sight import sight
from vectorprep.judge.strength import strength_of
from vectorprep.model import Blank, Raster

BLACK = (0, 0, 0)
YELLOW = (249, 222, 47)
WHITE = (255, 255, 255)

NAVY = Blank(key="navy", name="Navy", colour="#1b2340")
BLACK_CLOTH = Blank(key="black", name="Black", colour="#141414")
WHITE_CLOTH = Blank(key="white", name="White", colour="#ffffff")
CREAM = Blank(key="natural", name="Natural", colour="#efe6d2")


def picture(*discs: tuple[tuple[int, int], float, tuple[int, int, int]], side: int = 512) -> Raster:
    """Discs (centre, radius, colour) painted one over the other on a clear square."""
    rows, columns = np.mgrid[:side, :side] + 0.5
    pixels = np.zeros((side, side, 4), np.uint8)
    for (x, y), radius, colour in discs:
        inside = (columns - x) ** 2 + (rows - y) ** 2 <= radius * radius
        pixels[inside] = (*colour, 255)
    return Raster(pixels=pixels)


def prepared(raster: Raster) -> Proof:
    """The picture made ready; it holds ink."""
    proof = prepare(raster)
    assert proof is not None
    return proof


@pytest.mark.parametrize(
    ("ink", "cloth", "expected"),
    [
        ("#000000", "#141414", 0.016),
        ("#000000", "#1b2340", 0.068),
        ("#000000", "#4e342a", 0.098),
        ("#000000", "#4a4b4f", 0.124),
        ("#000000", "#1f4d36", 0.130),
        ("#000000", "#5d6138", 0.192),
        ("#000000", "#5a3b8c", 0.244),
        ("#000000", "#23479e", 0.270),
        ("#f3d2a2", "#efe6d2", 0.094),
        ("#f3d2a2", "#ffffff", 0.176),
        ("#333333", "#1f4d36", 0.088),
    ],
)
def test_strength_has_its_check_values(ink: str, cloth: str, expected: float) -> None:
    """Strengths of declared colours are those the limits were tuned with (house values, to three digits)."""
    assert strength_of(ink, cloth) == pytest.approx(expected, abs=0.0006)


def test_outlined_yellow_is_clear_on_white_and_on_black() -> None:
    """A black keyline carries a yellow disc on white, and the disc carries the lost keyline on black."""
    sun = prepared(picture(((256, 256), 256, BLACK), ((256, 256), 244, YELLOW)))
    assert judge(sun, WHITE_CLOTH).word == "clear"
    assert judge(sun, BLACK_CLOTH).word == "clear"


def test_black_disc_is_lost_on_black() -> None:
    """A picture that sinks wholly is lost; the figure, the ratio (WCAG 2.2 by hand: 1.11) and the place say so."""
    verdict = judge(picture(((256, 256), 256, BLACK)), BLACK_CLOTH)
    assert verdict.word == "lost"
    assert verdict.outline_faded == 1.0
    assert verdict.contrast_ratio == pytest.approx((0.00699 + 0.05) / 0.05, abs=0.01)
    assert verdict.places == ((0.0, 0.0, 1.0, 1.0),)
    assert verdict.deciding == "black on black fades, 1.1:1, on 100 % of the outline"


def test_faded_part_is_boxed_where_it_lies() -> None:
    """Of a yellow disc with a black one below it the black one is named on navy, by its own box."""
    verdict = judge(picture(((256, 128), 128, YELLOW), ((256, 420), 92, BLACK)), NAVY)
    assert verdict.word == "weak"
    (x0, y0, x1, y1), *_ = verdict.places
    assert y0 > 0.5
    assert y1 == 1.0
    assert x1 - x0 > 0.6


def test_white_paint_is_bare_cloth_without_white_ink() -> None:
    """A white disc shows on natural cloth with white ink and has no strength at all without it."""
    disc = prepared(picture(((256, 256), 256, WHITE)))
    assert float(sight(disc, CREAM.colour).shape.max()) > 0.05
    assert float(sight(without_white(disc, CREAM.colour), CREAM.colour).shape.max()) < 0.005
    assert judge(disc, CREAM, white_ink=False).word == "lost"


def test_colours_multiply_with_the_cloth_without_white_ink() -> None:
    """Without white ink the ratio is that of the mixed colour: grey #808080 on #f0b323 prints #785a12 (product of codes / 255)."""
    disc = picture(((256, 256), 256, (128, 128, 128)))
    gold = Blank(key="gold", name="Gold", colour="#f0b323")
    verdict = judge(disc, gold, white_ink=False)
    assert verdict.contrast_ratio == pytest.approx(contrast_ratio("#785a12", "#f0b323"), abs=0.02)


def test_empty_picture_is_lost() -> None:
    """Nothing printed is nothing seen."""
    assert judge(Raster(pixels=np.zeros((8, 8, 4), np.uint8)), NAVY).word == "lost"


def test_heather_is_judged_at_its_worst_thread() -> None:
    """Heather adds threads 8 L* off; by hand (CIE 15): #868686 has L* 55.93, and L* 47.93 is Y .1674, code 113.7."""
    heather = Blank(key="ash", name="Ash", colour="#868686", texture="heather")
    assert cloths(heather) == ("#868686", lightened("#868686", -8), lightened("#868686", 8))
    assert lightened("#868686", -8) == "#727272"
    grey = picture(((256, 256), 256, (134, 134, 134)), ((256, 256), 200, (150, 150, 150)))
    alone = judge(grey, Blank(key="x", name="Grey", colour="#868686"))
    assert judge(grey, heather).outline_faded >= alone.outline_faded


def test_strict_asks_three_to_one() -> None:
    """Blue #23479e under black is 2.47:1 (WCAG 2.2): clear to the eye, below 3:1 under `strict`."""
    disc = picture(((256, 256), 256, BLACK))
    royal = Blank(key="royal", name="Royal", colour="#23479e")
    assert judge(disc, royal).word == "clear"
    verdict = judge(disc, royal, strict=True)
    assert (verdict.word, verdict.decided_by) == ("weak", "ratio")
    assert verdict.contrast_ratio == pytest.approx(2.47, abs=0.01)


def test_strict_asks_more_of_thin_marks() -> None:
    """A grey of 3.5:1 on white passes as a solid and fails as a line of 1 mm."""
    grey = (140, 140, 140)
    pixels = np.zeros((512, 512, 4), np.uint8)
    pixels[::64] = pixels[1::64] = (*grey, 255)
    lines = Raster(pixels=pixels)
    solid = picture(((256, 256), 256, grey))
    assert judge(solid, WHITE_CLOTH, strict=True, printed_mm=(250, 250)).word == "clear"
    assert judge(lines, WHITE_CLOTH, strict=True, printed_mm=(250, 250)).word == "weak"


def test_growing_a_point_gives_a_disc() -> None:
    """Grown by r a point becomes exactly the pixels within straight distance r."""
    point = np.zeros((41, 41), bool)
    point[20, 20] = True
    rows, columns = np.mgrid[:41, :41] - 20
    for radius in (0.0, 1.0, 1.5, 5.0, 10.24):
        assert np.array_equal(grow(point, radius), rows**2 + columns**2 <= radius**2)


def test_growing_works_on_masks_smaller_than_the_disc() -> None:
    """A radius beyond the picture's height fills the picture."""
    mask = np.zeros((3, 5), bool)
    mask[1, 2] = True
    assert grow(mask, 10).all()


def test_opening_drops_lines_and_keeps_blocks() -> None:
    """A line narrower than the disc goes, a block stays."""
    mask = np.zeros((60, 60), bool)
    mask[10:40, 10:40] = True
    mask[50, :] = True
    kept = opened(mask, 5)
    assert kept[25, 25]
    assert not kept[50].any()
    assert np.array_equal(shrink(mask, 1), ~grow(~mask, 1))


def test_edge_is_the_outer_ring_of_ink() -> None:
    """The edge of a block is its ring of one pixel."""
    mask = np.zeros((9, 9), bool)
    mask[2:7, 2:7] = True
    assert np.count_nonzero(inner_edge(mask)) == 16


def test_pieces_apart_are_counted_and_touching_ones_joined() -> None:
    """Two far blocks are two pieces, a horseshoe is one."""
    mask = np.zeros((80, 80), bool)
    mask[4:20, 4:20] = True
    mask[40:76, 40:44] = mask[40:76, 64:68] = mask[72:76, 40:68] = True
    labels, count = labelled(mask)
    assert count == 2
    assert labels[41, 41] == labels[41, 65] != labels[5, 5]


def test_growing_runs_over_no_rim() -> None:
    """Ink at the right rim does not grow into the next row on the left."""
    mask = np.zeros((12, 9), bool)
    mask[5, 8] = True
    grown = grow(mask, 3)
    assert not grown[:, :5].any()
    assert grown[5, 5:].all()


def test_holes_are_filled_and_bays_stay_open() -> None:
    """A ring becomes a block; a horseshoe keeps its bay."""
    ring = np.zeros((20, 20), bool)
    ring[4:16, 4:16] = True
    ring[8:12, 8:12] = False
    bay = ring.copy()
    bay[8:12, 8:] = False
    assert np.count_nonzero(without_holes(ring)) == 144
    assert np.array_equal(without_holes(bay), bay)


def test_lost_rim_of_a_bright_body_does_no_harm_and_a_lost_arm_does() -> None:
    """A black ring around a white disc may vanish on black, a black bar of the same width that sticks out may not."""
    rim = picture(((256, 256), 256, BLACK), ((256, 256), 216, WHITE))
    assert judge(rim, BLACK_CLOTH).word == "clear"
    pixels = picture(((256, 150), 150, BLACK), ((256, 150), 140, WHITE)).pixels.copy()
    pixels[300:512, 236:276] = (0, 0, 0, 255)
    assert judge(Raster(pixels=pixels), BLACK_CLOTH).word == "weak"


def test_hairline_is_judged_between_its_paint_and_its_blur() -> None:
    """Black hairlines read on white and are lost on black."""
    pixels = np.zeros((512, 512, 4), np.uint8)
    pixels[::32, :, 3] = pixels[:, ::32, 3] = 160
    lines = prepared(Raster(pixels=pixels))
    assert judge(lines, WHITE_CLOTH).word == "clear"
    assert judge(lines, BLACK_CLOTH).word == "lost"


def test_straight_and_large_rasters_are_brought_to_the_same_proof() -> None:
    """Straight alpha and twice the size give the same word and nearly the same figure."""
    faint = picture(((256, 128), 128, YELLOW), ((256, 420), 92, BLACK))
    large = Raster(pixels=np.repeat(np.repeat(faint.pixels, 2, axis=0), 2, axis=1))
    straight = Raster(pixels=faint.pixels, straight=True)
    one = judge(faint, NAVY)
    for other in (judge(large, NAVY), judge(straight, NAVY)):
        assert other.word == one.word
        assert other.outline_faded == pytest.approx(one.outline_faded, abs=0.01)


def test_same_picture_gives_the_same_verdict_mirrored() -> None:
    """Mirroring a picture mirrors its places and leaves the figure within the grid's step."""
    drawn = picture(((140, 128), 128, YELLOW), ((300, 420), 92, BLACK))
    there = judge(drawn, NAVY)
    back = judge(Raster(pixels=np.ascontiguousarray(drawn.pixels[:, ::-1])), NAVY)
    assert back.outline_faded == pytest.approx(there.outline_faded, abs=0.02)
    assert back.places[0][0] == pytest.approx(1 - there.places[0][2], abs=0.03)


@pytest.mark.parametrize("shape", [(1, 1), (1, 512), (512, 3), (3, 2000), (37, 41)])
@pytest.mark.parametrize("alpha", [20, 60, 255])
def test_any_shape_and_coverage_is_judged(shape: tuple[int, int], alpha: int) -> None:
    """Slivers, specks and ink below every limit of coverage get a verdict with shares and places within 0..1."""
    pixels = np.full((*shape, 4), alpha, np.uint8)
    heather = Blank(key="ash", name="Ash", colour="#d9d9d6", texture="heather")
    for verdict in (judge(Raster(pixels=pixels), heather), judge(Raster(pixels=pixels), heather, strict=True, white_ink=False)):
        assert 0 <= verdict.outline_faded <= 1
        assert 0 <= verdict.area_faded <= 1
        assert all(0 <= edge <= 1 for place in verdict.places for edge in place)


def test_deciding_figure_comes_with_its_limit() -> None:
    """The limit that stands beside the figure is the one that parted the words."""
    royal = Blank(key="royal", name="Royal", colour="#23479e")
    disc = picture(((256, 256), 256, BLACK))
    assert judge(disc, royal).limit == WEAK
    assert judge(disc, royal, strict=True).limit == 3.0


def with_shadow(colour: tuple[int, int, int], *, fades: bool) -> Raster:
    """A yellow disc over a flat ellipse, half as wide again, that fades out from its middle or ends sharply."""
    y, x = np.mgrid[0:512, 0:512].astype(np.float64)
    far = np.hypot((x - 256) / 255, (y - 430) / 80)
    pixels = np.zeros((512, 512, 4), np.float64)
    alpha = np.clip(1 - far, 0, 1) * 1.0 if fades else (far < 0.6) * 1.0
    pixels[..., :3], pixels[..., 3] = np.array(colour) * alpha[..., None], 255 * alpha
    disc = np.hypot(x - 256, y - 150) < 140
    pixels[disc] = (250, 210, 40, 255)
    return Raster(pixels=np.rint(pixels).astype(np.uint8))


def test_a_shadow_is_not_missed_on_dark_cloth_but_a_foot_is() -> None:
    """Dark ink that fades out is a shadow; the same colour with an edge is a part that is lost."""
    black = Blank(key="black", name="black", colour="#141414")
    assert judge(with_shadow((10, 10, 10), fades=True), black).word == "clear"
    assert judge(with_shadow((10, 10, 10), fades=False), black).word == "weak"


def test_a_glow_that_fades_on_pale_cloth_is_still_missed() -> None:
    """Only dark ink is passed over: a pale fade on white is art."""
    assert judge(with_shadow((250, 250, 240), fades=True), Blank(key="white", name="white", colour="#ffffff")).word == "weak"
