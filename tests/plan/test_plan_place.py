"""Where ink lands, by the record of each product. Sizes are arithmetic; areas and offsets are common practice, no source."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path

import pytest

from vectorprep.errors import ArtworkRefused
from vectorprep.geometry import Affine, Box
from vectorprep.model import Artwork, Measurement, Page, Placement, Product
from vectorprep.plan import PlaceOptions, place
from vectorprep.plan.area import garment_size
from vectorprep.profiles import load_products

FOLDER = Path(__file__).parents[2] / "profiles"
PRODUCTS = load_products({path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.toml")})
TEE = PRODUCTS["tee-adult-front-dtg"]
MUG = PRODUCTS["mug-11oz-wrap-sub"]
POSTER = PRODUCTS["poster-iso-a3"]
SLEEVE = PRODUCTS["tee-sleeve-short-dtf"]
CHEST = PRODUCTS["tee-left-chest-dtf"]
SHEET = PRODUCTS["sticker-sheet-a5"]


def measured(width: float, height: float, *, x: float = 3.0, y: float = 4.0, faint: float = 0.0) -> Measurement:
    """Ink of a size somewhere on its page, with faint ink around it."""
    page = Page(width_px=400.0, height_px=400.0, uu_to_px=Affine())
    artwork = Artwork(name="art", slug="art", path="art.svg", sha256="", markup=b"", page=page)
    box = Box(x, y, x + width, y + height)
    return Measurement(
        artwork=artwork,
        page_mm=(page.width_mm, page.height_mm),
        ink_box_mm=box,
        any_ink_box_mm=box.grown(faint),
        ink_edges_mm=box,
        tolerance_mm=0.02,
    )


def box_on(product: Product, width: float, height: float, **options: object) -> tuple[int, int, int, int]:
    """The pixel box of the only copy."""
    (only,) = placed(product, width, height, **options).placed
    return only.ink_box_px


def placed(product: Product, width: float, height: float, **options: object) -> Placement:
    """The placement of ink of a size."""
    return place(measured(width, height), product, options=PlaceOptions(**options))  # type: ignore[arg-type]


def changed(product: Product, **rule: object) -> Product:
    """The product with another placement rule."""
    return dataclasses.replace(product, placement=dataclasses.replace(product.placement, **rule))  # type: ignore[arg-type]


def test_a_banner_takes_the_ideal_width_at_the_offset_below_the_collar() -> None:
    """2:1 on the adult front: 11 in wide, 0.5 in below the canvas's top, which lies 2.5 in below the collar."""
    placement = placed(TEE, 20, 10)
    assert placement.canvas_px == (3600, 4800)
    assert placement.placed[0].ink_box_px == (150, 150, 3450, 1800)
    assert placement.canvas_origin_mm == (-152.4, 63.5)
    assert placement.datum == "collar_seam_centre"


def test_a_square_takes_nine_tenths_of_the_ideal_width() -> None:
    """A square on the adult front is 2970 px, its corner at (315, 150)."""
    assert box_on(TEE, 10, 10) == (315, 150, 3285, 3120)


@pytest.mark.parametrize(("aspect", "width"), [(0.79, 3300), (0.8, 2970), (1.2, 2970), (1.21, 3300)])
def test_nearly_square_is_from_0_8_to_1_2(aspect: float, width: int) -> None:
    """The factor holds at both ends of the range and not beyond."""
    x0, _y0, x1, _y1 = box_on(TEE, 100 * aspect, 100)
    assert x1 - x0 == width


def test_tall_art_is_bounded_by_the_height_below_the_offset() -> None:
    """1:2 on the adult front ends at the canvas's bottom edge, 4650 px tall."""
    x0, y0, x1, y1 = box_on(TEE, 50, 100)
    assert (y0, y1) == (150, 4800)
    assert x1 - x0 == 2325


def test_the_page_around_the_ink_does_not_matter() -> None:
    """Ink elsewhere on its page lands on the same pixels."""
    near, far = place(measured(20, 10, x=0, y=0), TEE), place(measured(20, 10, x=77.7, y=12.3), TEE)
    assert near.placed[0].ink_box_px == far.placed[0].ink_box_px


def test_true_edges_lie_just_inside_their_pixel_box() -> None:
    """The bounding side is inset by 0.3 px on both ends, the other by half of what is left to whole pixels."""
    art = measured(20, 9.9)
    (one,) = place(art, TEE).placed
    assert art.ink_edges_mm is not None
    edges = art.ink_edges_mm.scaled(one.px_per_mm).shifted(*one.offset_px)
    x0, y0, x1, y1 = one.ink_box_px
    assert edges.x0 - x0 == pytest.approx(0.3)
    assert x1 - edges.x1 == pytest.approx(0.3)
    assert edges.y0 - y0 == pytest.approx(y1 - edges.y1)
    assert 0.0 < edges.y0 - y0 < 0.6


def test_the_measured_box_serves_where_there_are_no_finer_edges() -> None:
    """Without sub-pixel edges the ink box is placed."""
    art = dataclasses.replace(measured(20, 10), ink_edges_mm=None)
    assert place(art, TEE).placed == place(measured(20, 10), TEE).placed


@pytest.mark.parametrize(
    ("key", "wanted", "size", "width_px"),
    [
        ("tee-adult-front-dtg", "", "M", 3300),
        ("tee-adult-front-dtg", "S", "S", 3000),
        ("tee-adult-front-dtg", "2XL", "2XL", 3600),
        ("tee-adult-front-dtg", "YM", "M", 3300),
        ("tee-youth-front-dtg", "", "YM", 2700),
        ("tee-youth-front-dtg", "YXL", "YXL", 3000),
        ("tote-front-dtf", "", "", 2700),
        ("tote-front-dtf", "L", "", 2700),
        ("mug-11oz-wrap-sub", "M", "", 2408),
    ],
)
def test_the_garment_size_chooses_the_width(key: str, wanted: str, size: str, width_px: int) -> None:
    """The size asked for, else M, else `any`, else the middle entry, else the box's width."""
    placement = placed(PRODUCTS[key], 300, 10, garment_size=wanted)
    x0, _y0, x1, _y1 = placement.placed[0].ink_box_px
    assert (placement.garment_size, x1 - x0) == (size, width_px)


def test_the_middle_of_an_even_table_is_the_smaller_one() -> None:
    """Of four sizes the second is taken: a print that fits the smaller garment fits the larger one."""
    sizes = (("a", 1.0), ("b", 2.0), ("c", 3.0), ("d", 4.0))
    assert garment_size(dataclasses.replace(TEE, ideal_width_mm_by_garment_size=sizes), "") == "b"


def test_a_mug_keeps_clear_of_rim_base_and_margin() -> None:
    """Tall art is centred on the wrap and 6 mm away from the print area's top and bottom (7.5875 mm with the bleed)."""
    x0, y0, x1, y1 = box_on(MUG, 5, 10)
    assert (y0, 1088 - y1) == (90, 90)
    assert abs((x0 + x1) - 2588) <= 1


def test_a_rim_that_is_wider_than_the_base_moves_the_art_down() -> None:
    """The middle is that of the box inside rim and base."""
    product = changed(MUG, rim_clear_min_mm=16.0)
    _x0, y0, _x1, y1 = box_on(product, 5, 10)
    assert (y0 + y1) / 2 - 544 == pytest.approx(5 * 300 / 25.4, abs=1)


@pytest.mark.parametrize(("faces", "centres"), [("both", [43.5, 172.4]), ("left", [43.5]), ("right", [172.4])])
def test_faces_of_a_mug_are_centred_a_quarter_turn_from_the_handle(faces: str, centres: list[float]) -> None:
    """Each copy is centred on its face, at most 75 mm wide, and all are of one size."""
    placement = placed(MUG, 20, 10, faces=faces)
    middles = [(one.ink_box_px[0] + one.ink_box_px[2]) / 2 * 25.4 / 300 - 1.5875 for one in placement.placed]
    assert middles == pytest.approx(centres, abs=0.09)
    assert {round(one.printed_mm[0], 1) for one in placement.placed} == {75.0}


def test_faces_mean_nothing_on_a_product_without_them() -> None:
    """A shirt has no faces."""
    assert placed(TEE, 20, 10, faces="both") == placed(TEE, 20, 10)


def test_a_sleeve_is_measured_from_its_hem() -> None:
    """The canvas ends 20 mm above the hem, the ink 5.4 mm above the canvas's end."""
    placement = placed(SLEEVE, 20, 10)
    _x0, _y0, _x1, y1 = placement.placed[0].ink_box_px
    assert 900 - y1 == 64
    assert placement.canvas_origin_mm[1] == pytest.approx(-96.2)


def test_the_height_above_a_bottom_offset_is_the_bound() -> None:
    """Tall art on the sleeve begins at the canvas's top."""
    assert box_on(SLEEVE, 5, 10)[1] == 0


@pytest.mark.parametrize(
    ("side", "datum", "sign"),
    [
        ("wearer_left", "centre_line_and_collar_seam", 1),
        ("wearer_right", "centre_line_and_collar_seam", -1),
        ("wearer_left", "back_collar_seam_centre", -1),
    ],
)
def test_the_wearers_left_is_the_viewers_right_in_front(side: str, datum: str, sign: int) -> None:
    """The middle of the canvas lies 4 in to that side of the centre line; behind, the sides are those of the viewer."""
    placement = placed(changed(CHEST, side=side, datum=datum), 20, 10)
    assert placement.canvas_origin_mm[0] + 50.8 == pytest.approx(sign * 101.6)
    x0, _y0, x1, _y1 = placement.placed[0].ink_box_px
    assert x0 + x1 == 1200


def test_a_sticker_leaves_room_for_its_cut_line() -> None:
    """Ink is at most 72.2 mm on the kiss-cut and 71.2 mm on the die-cut sticker, in the middle."""
    assert box_on(PRODUCTS["sticker-kiss-cut"], 30, 10)[0::2] == (47, 900)
    assert box_on(PRODUCTS["sticker-die-cut"], 30, 10)[0::2] == (53, 894)


def test_a_largest_ink_box_bounds_more_than_the_margin() -> None:
    """A record whose ink may be smaller than its box says so."""
    product = dataclasses.replace(PRODUCTS["sticker-kiss-cut"], ink_max_mm=(50.8, 25.4))
    x0, y0, x1, y1 = box_on(product, 20, 20)
    assert (x1 - x0, y1 - y0) == (300, 300)


def test_a_poster_is_fitted_inside_its_margin() -> None:
    """Contain is the rule: 1:2 art on A3 is 410 mm tall on white paper."""
    placement = placed(POSTER, 50, 100)
    _x0, y0, _x1, y1 = placement.placed[0].ink_box_px
    assert y1 - y0 == 4843
    assert placement.background == "#ffffff"


@pytest.mark.parametrize(("width", "height"), [(50, 100), (100, 50), (297, 420)])
def test_a_poster_may_be_covered_to_the_bleed(width: float, height: float) -> None:
    """Cover leaves no pixel of the sheet bare and stretches nothing."""
    art = measured(width, height)
    placement = place(art, POSTER, options=PlaceOptions(fit="cover"))
    (one,) = placement.placed
    assert one.ink_box_px == (0, 0, 3579, 5031)
    assert art.ink_edges_mm is not None
    edges = art.ink_edges_mm.scaled(one.px_per_mm).shifted(*one.offset_px)
    assert edges.x0 < 0
    assert edges.y0 < 0
    assert edges.x1 > 3579
    assert edges.y1 > 5031
    assert min(-edges.x0, -edges.y0) == pytest.approx(0.3)


def test_cover_means_nothing_where_the_record_forbids_it() -> None:
    """A shirt is never covered."""
    assert placed(TEE, 20, 10, fit="cover") == placed(TEE, 20, 10)


def test_a_covered_poster_is_nudged_within_its_excess() -> None:
    """Wide art may move sideways while the sheet stays covered, and not further."""
    moved = place(measured(100, 50), POSTER, options=PlaceOptions(fit="cover", nudge_mm=(50.0, 0.0)))
    plain = place(measured(100, 50), POSTER, options=PlaceOptions(fit="cover"))
    assert moved.placed[0].offset_px[0] - plain.placed[0].offset_px[0] == 591
    with pytest.raises(ArtworkRefused, match="short of the edge of the sheet"):
        place(measured(100, 50), POSTER, options=PlaceOptions(fit="cover", nudge_mm=(0.0, 50.0)))


def test_optical_centring_happens_only_when_asked() -> None:
    """A centroid alone moves nothing."""
    art = measured(20, 10)
    assert place(art, TEE, options=PlaceOptions(centroid_mm=(5.0, 9.0))) == place(art, TEE)


@pytest.mark.parametrize(("centroid_x", "shift"), [(12.9, 16), (13.1, -16), (9.0, 99), (20.0, -99)])
def test_optical_centring_moves_half_way_to_the_weight_up_to_3_per_cent(centroid_x: float, shift: int) -> None:
    """Weight on the left moves the art right; 3 % of 3300 px is 99 px (factor and cap: common practice, no source)."""
    art = measured(20, 10)
    moved = place(art, TEE, options=PlaceOptions(is_optical=True, centroid_mm=(centroid_x, 9.0)))
    expected = 150 + (shift if abs(shift) == 99 else round(0.5 * (13.0 - centroid_x) * 3299.4 / 20))
    assert abs(moved.placed[0].ink_box_px[0] - expected) <= 1


def test_optical_centring_does_not_leave_the_box() -> None:
    """Art as wide as the box stays."""
    options = {"garment_size": "L", "is_optical": True, "centroid_mm": (5.0, 9.0)}
    assert box_on(TEE, 20, 10, **options)[0] == 0


def test_optical_centring_raises_a_poster() -> None:
    """By 2 % of the free height (house value): 410 - 143.5 mm free, 5.3 mm, 63 px."""
    plain, raised = box_on(POSTER, 20, 10), box_on(POSTER, 20, 10, is_optical=True)
    assert plain[1] - raised[1] == pytest.approx(0.02 * (410 - 143.5) * 300 / 25.4, abs=1)


def test_optical_centring_leaves_wraps_alone() -> None:
    """A record without a shift rule is not shifted."""
    assert box_on(MUG, 20, 10, is_optical=True, centroid_mm=(5.0, 9.0)) == box_on(MUG, 20, 10)


def test_a_keyline_is_kept_free_on_every_side() -> None:
    """With 0.635 mm (7.5 px) of keyline the outer box has the ideal width and begins at the offset."""
    x0, y0, x1, _y1 = box_on(TEE, 20, 10, keyline_mm=0.635)
    assert (x1 - x0) == 3300 - 15
    assert 0 <= 3600 - x0 - x1 <= 1
    assert y0 - 150 == 8


@pytest.mark.parametrize(("width_mm", "width_px"), [(228.6, 2700), (100.0, 1181), (500.0, 3600)])
def test_a_width_of_the_sellers_beats_the_table_and_not_the_box(width_mm: float, width_px: int) -> None:
    """It is taken as it stands, also for a square, and bounded by the print area."""
    x0, _y0, x1, _y1 = box_on(TEE, 20, 19, width_mm=width_mm)
    assert x1 - x0 == width_px


def test_a_scale_multiplies_the_ideal_width() -> None:
    """Half of 11 in is 1650 px."""
    assert box_on(TEE, 20, 10, scale=0.5) == (975, 150, 2625, 975)


def test_original_size_is_exact() -> None:
    """A drawing of 101.6 x 50.8 mm is 1200 x 600 px at 300 ppi, its map without an inset."""
    (one,) = placed(TEE, 101.6, 50.8, original_size=True).placed
    assert one.ink_box_px == (1200, 150, 2400, 750)
    assert one.px_per_mm == pytest.approx(300 / 25.4, rel=1e-12)


def test_original_size_is_bounded_by_the_box() -> None:
    """A drawing larger than the print area is fitted."""
    assert box_on(TEE, 1000, 500, original_size=True) == (0, 150, 3600, 1950)


def test_a_nudge_moves_right_and_down() -> None:
    """Half an inch is 150 px."""
    assert box_on(TEE, 20, 10, nudge_mm=(12.7, 25.4)) == (300, 450, 3600, 2100)


def test_a_nudge_may_use_the_safe_margin() -> None:
    """On the mug 6 mm of margin are free for a hand that asks for them."""
    plain, moved = box_on(MUG, 5, 10), box_on(MUG, 5, 10, nudge_mm=(0.0, 5.9))
    assert moved[1] - plain[1] == 70


def test_a_nudge_off_the_print_area_is_refused_with_its_figure() -> None:
    """The message says by how much, off which area, and what to do."""
    with pytest.raises(ArtworkRefused) as caught:
        placed(TEE, 20, 10, nudge_mm=(20.0, 0.0))
    assert "puts the ink 7.3 mm outside the print area of tee-adult-front-dtg (304.8 x 406.4 mm)" in str(caught.value)
    assert caught.value.code == "nudge-outside"
    assert caught.value.fix


def test_a_trimmed_canvas_ends_where_the_ink_ends() -> None:
    """Size and scale are those of the full canvas; the corner's place on the garment is kept."""
    full, trim = placed(TEE, 20, 10), placed(TEE, 20, 10, canvas="trimmed")
    assert trim.canvas_px == (3300, 1650)
    assert trim.placed[0].ink_box_px == (0, 0, 3300, 1650)
    assert trim.placed[0].px_per_mm == full.placed[0].px_per_mm
    assert trim.canvas_origin_mm == pytest.approx((-139.7, 76.2))


def test_a_trimmed_canvas_keeps_faint_ink_and_keyline() -> None:
    """Whatever is painted at all stays on the canvas."""
    art = measured(20, 10, faint=0.1)
    soft = place(art, TEE, options=PlaceOptions(canvas="trimmed"))
    assert soft.canvas_px == (3300 + 2 * 17, 1650 + 2 * 17)
    lined = placed(TEE, 20, 10, canvas="trimmed", keyline_mm=0.6)
    x0, y0, x1, y1 = lined.placed[0].ink_box_px
    assert (x0, y0) == (8, 8)
    assert lined.canvas_px == (x1 + 8, y1 + 8)


def test_a_trimmed_canvas_holds_both_faces() -> None:
    """Two copies keep their distance."""
    full, trim = placed(MUG, 20, 10, faces="both"), placed(MUG, 20, 10, faces="both", canvas="trimmed")
    apart = [one.ink_box_px[0] for one in full.placed]
    assert [one.ink_box_px[0] for one in trim.placed] == [0, apart[1] - apart[0]]
    assert trim.canvas_px[0] == trim.placed[1].ink_box_px[2]


def test_a_sheet_is_filled_with_copies_of_one_size() -> None:
    """Squares fill the A5 sheet 2 x 3, inside its margin of 5 mm and 3 mm of bleed, at least 3 + 2 x 1.5 mm apart."""
    placement = placed(SHEET, 10, 10)
    boxes = [one.ink_box_px for one in placement.placed]
    assert len(boxes) == 6
    assert len({(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes}) == 1
    edges = [Box(3, 4, 13, 14).scaled(one.px_per_mm).shifted(*one.offset_px).scaled(25.4 / 300) for one in placement.placed]
    assert min(min(edge.x0, edge.y0) for edge in edges) >= 3 + 5 + 1.5
    assert max(edge.x1 for edge in edges) <= 151 - 5 - 1.5
    assert max(edge.y1 for edge in edges) <= 213 - 5 - 1.5
    assert (boxes[1][0] - boxes[0][2]) * 25.4 / 300 >= 6 - 0.1
    assert boxes[0][1] == boxes[1][1]


def test_the_sheet_takes_as_many_stickers_of_a_wanted_width_as_fit() -> None:
    """Ink of 51 mm has a cut line of 54 mm: 2 x 3 on A5 with margin 5 and gap 3 (arithmetic)."""
    placement = placed(SHEET, 10, 10, width_mm=51.0)
    assert len(placement.placed) == 6
    assert placement.placed[0].printed_mm[0] == pytest.approx(51, abs=0.05)
    step = placement.placed[1].ink_box_px[0] - placement.placed[0].ink_box_px[0]
    assert step * 25.4 / 300 == pytest.approx(57, abs=0.09)
    assert len(placed(SHEET, 10, 10, width_mm=20.0).placed) == 5 * 7


def test_a_sticker_larger_than_its_sheet_is_refused() -> None:
    """Not one of 200 mm fits A5."""
    with pytest.raises(ArtworkRefused, match="does not fit sticker-sheet-a5"):
        placed(SHEET, 10, 10, width_mm=200.0)


def test_art_without_ink_is_refused() -> None:
    """Nothing painted is an answer, not a box of zeros."""
    art = dataclasses.replace(measured(1, 1), ink_box_mm=None, ink_edges_mm=None, any_ink_box_mm=None)
    with pytest.raises(ArtworkRefused) as caught:
        place(art, TEE)
    assert caught.value.code == "no-ink"


@pytest.mark.parametrize(("width", "height"), [(50.0, 0.0), (0.0, 50.0)])
def test_a_line_without_thickness_is_placed(width: float, height: float) -> None:
    """Ink of one direction only gets one pixel in the other."""
    x0, y0, x1, y1 = box_on(TEE, width, height)
    assert min(x1 - x0, y1 - y0) == 1


def test_a_print_of_under_two_pixels_is_refused() -> None:
    """The figure is named."""
    with pytest.raises(ArtworkRefused, match=r"0.1 mm, 1 px"):
        placed(TEE, 20, 10, width_mm=0.1)


def test_a_keyline_wider_than_the_area_is_refused() -> None:
    """A patch of 75 mm has no room inside 40 mm of keyline."""
    with pytest.raises(ArtworkRefused, match="no room for ink"):
        placed(PRODUCTS["patch-printed-round-75mm"], 20, 10, keyline_mm=40.0)


@pytest.mark.parametrize(
    ("horizontal", "vertical", "corner"),
    [("left", "centre", (0, 975)), ("right", "top_of_ink", (300, 150)), ("centre", "bottom_of_ink", (150, 3150))],
)
def test_the_anchor_of_a_record_decides_where_there_is_no_offset(horizontal: str, vertical: str, corner: tuple[int, int]) -> None:
    """Left, right, top, bottom and middle."""
    product = changed(TEE, horizontal=horizontal, vertical=vertical)
    x0, y0, _x1, _y1 = box_on(product, 20, 10)
    assert x0 == corner[0]
    assert y0 == (corner[1] if vertical != "centre" else 1575)


def test_a_background_of_ones_own_colour_is_kept() -> None:
    """A record may ask for a coloured sheet."""
    assert placed(dataclasses.replace(POSTER, background="#101010"), 20, 10).background == "#101010"


def test_words_say_size_rule_and_place() -> None:
    """A person can read why the ink is where it is."""
    words = placed(TEE, 10, 10, nudge_mm=(5.0, 0.0)).words
    assert words == (
        "9.9 x 9.9 in (251.5 x 251.5 mm): the ideal width for garment size M x 0.9 for nearly square art; "
        "top of the ink 3 in (76.2 mm) below the collar seam centre, on the centre line; nudged 5 mm right and 0 mm down"
    )


@pytest.mark.parametrize("key", PRODUCTS)
def test_one_drawing_goes_to_every_product(key: str) -> None:
    """The ink stands on the canvas, is not stretched, and its printed size is that of its pixels."""
    placement = placed(PRODUCTS[key], 30, 17)
    for one in placement.placed:
        x0, y0, x1, y1 = one.ink_box_px
        assert 0 <= x0 < x1 <= placement.canvas_px[0]
        assert 0 <= y0 < y1 <= placement.canvas_px[1]
        assert (x1 - x0) / (y1 - y0) == pytest.approx(30 / 17, rel=0.01)
        assert one.printed_mm[0] == pytest.approx((x1 - x0) * 25.4 / 300)
        assert math.isfinite(one.offset_px[0])
    assert placement.words
