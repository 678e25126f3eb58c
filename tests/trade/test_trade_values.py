"""Check values of the trade, each with its source mark in values.json, against what the project's own code gives."""

from __future__ import annotations

import base64
import io
import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.checks.given import HEAD
from vectorprep.checks import Evidence
from vectorprep.checks._drawn import affine_of, drawn
from vectorprep.checks._strokes import least_stretch, stroke_px
from vectorprep.checks.bitmaps import RULING_FACTORS, effective_ppi, ppi_for_ruling
from vectorprep.checks.print_file import DENSITY_TOLERANCE_PPI
from vectorprep.colour import contrast_ratio
from vectorprep.finish import unblended
from vectorprep.fonts import load_index
from vectorprep.geometry import Affine, Box
from vectorprep.model import Artwork, Measurement, Page, Placement, Product
from vectorprep.plan import PlaceOptions, place
from vectorprep.plan.sheet import cells_across
from vectorprep.profiles import Catalogue, load_catalogue, load_products
from vectorprep.read import ReadOptions, read_artwork
from vectorprep.units import (
    INCHES_PER_UNIT,
    MM_PER_INCH,
    css_px_from_mm,
    exact,
    inches_from_mm,
    mm_from_css_px,
    mm_from_px,
    mm_from_text,
    px_from_mm,
    px_per_metre,
)

ROOT = Path(__file__).parents[2]
ROWS = json.loads((Path(__file__).parent / "values.json").read_text(encoding="utf-8"))
TRAPS = {row["id"]: row["value"] for row in ROWS if row["what"].startswith("TRAP")}

Value = float | str | list["Value"]


def built_in() -> Catalogue:
    """The built-in products and blanks."""
    return load_catalogue({path.name: path.read_text(encoding="utf-8") for path in (ROOT / "profiles").glob("*.toml")})


BUILT_IN = built_in()
MUG = BUILT_IN.products["mug-11oz-wrap-sub"]
MUG_15 = json.loads(dict(MUG.extra)["variants"])["15oz"]
TUMBLER = BUILT_IN.products["tumbler-20oz-straight-wrap-sub"]
A3 = BUILT_IN.products["poster-iso-a3"]
KISS_CUT = BUILT_IN.products["sticker-kiss-cut"]
DIE_CUT = BUILT_IN.products["sticker-die-cut"]
SHEET = BUILT_IN.products["sticker-sheet-a5"]


def record(size_in: tuple[float, float], *, ppi: float = 300, bleed_in: float = 0.0, more: str = "", rule: str = "") -> Product:
    """A product record of our own, read from TOML, with its size in inches."""
    width, height = (float(exact(side) * MM_PER_INCH) for side in size_in)
    text = f"""
name = "own"
product_noun = "own"
process = "dtg"
print_area_mm = [{width!r}, {height!r}]
bleed_mm = {float(exact(bleed_in) * MM_PER_INCH)!r}
resolution_ppi = {ppi}
background = "transparent"
limits = "dtf"
ink_policy = "opaque_white_base"
{more}
[placement]
datum = "corner"
horizontal = "centre"
{rule or 'vertical = "top_of_ink"'}
"""
    shared = {name: (ROOT / "profiles" / name).read_text(encoding="utf-8") for name in ("_limits.toml", "_ink_policies.toml")}
    return load_products({**shared, "own.toml": text})["own"]


def measured(width_mm: float, height_mm: float) -> Measurement:
    """A measurement of ink that fills its page."""
    page = Page(width_px=css_px_from_mm(width_mm), height_px=css_px_from_mm(height_mm), uu_to_px=Affine())
    artwork = Artwork(name="art", slug="art", path="art.svg", sha256="", markup=b"", page=page)
    box = Box(0.0, 0.0, width_mm, height_mm)
    return Measurement(
        artwork=artwork, page_mm=(width_mm, height_mm), ink_box_mm=box, any_ink_box_mm=box, ink_edges_mm=box, tolerance_mm=0.02
    )


def size_px(placement: Placement) -> list[Value]:
    """Pixel size of the first copy's ink."""
    x0, y0, x1, y1 = placement.placed[0].ink_box_px
    return [x1 - x0, y1 - y0]


def file_px(width_mm: float, height_mm: float, ppi: float = 300) -> list[Value]:
    """Whole pixels of an outer size."""
    return [px_from_mm(width_mm, ppi), px_from_mm(height_mm, ppi)]


def lost_in_cover(width_in: float, height_in: float, art: tuple[float, float]) -> float:
    """Share of the art's area that is cut off when it covers a sheet, printed 27 in long at 1200 ppi."""
    grow = 27.0 / max(width_in, height_in)
    sheet = record(
        (width_in * grow, height_in * grow), ppi=1200, more='fit = "cover_or_contain_with_border"', rule='vertical = "centre"'
    )
    placement = place(measured(*art), sheet, options=PlaceOptions(fit="cover"))
    drawn = art[0] * art[1] * placement.placed[0].px_per_mm ** 2
    return 1 - placement.canvas_px[0] * placement.canvas_px[1] / drawn


def served_by(width_in: float, height_in: float, family: str) -> list[Value]:
    """Those of the sizes that the art of a master file covers with nothing cut off (under 0.01 %)."""
    sizes = [tuple(map(float, size.split("x"))) for size in family.split()]
    art = (width_in * 25.4, height_in * 25.4)
    return [f"{w:g}x{h:g}" for w, h in sizes if lost_in_cover(w, h, art) < 1e-4]


ALL_SIZES = "4x6 8x12 12x18 16x24 20x30 6x8 9x12 12x16 18x24 4x5 8x10 16x20 24x30 11x14"


def own_size_px(width_mm: float) -> float:
    """Pixel width of a square page full of ink, printed at its own size at 300 ppi."""
    placement = place(measured(width_mm, width_mm), record((12, 16)), options=PlaceOptions(original_size=True))
    x0, _y0, x1, _y1 = placement.placed[0].ink_box_px
    return x1 - x0


def optical_shift_in(cap: float) -> float:
    """Inches that a right triangle 10 in wide moves, its mass at a third of its width."""
    rule = f'vertical = "top_of_ink"\noptical_shift = {{ centroid_weight_fraction = 0.5, shift_max_fraction_of_width = {cap} }}'
    product = record((16, 20), more="ideal_width_mm_by_garment_size = { any = 254 }", rule=rule)
    plain = place(measured(300.0, 200.0), product)
    options = PlaceOptions(is_optical=True, centroid_mm=(100.0, 100.0))
    moved = place(measured(300.0, 200.0), product, options=options)
    return inches_from_mm(mm_from_px(moved.placed[0].ink_box_px[0] - plain.placed[0].ink_box_px[0], 300))


def first_fit() -> Value:
    """Size and corner of art of 4:3 under a width rule of 11 in."""
    product = record((12, 16), more="ideal_width_mm_by_garment_size = { any = 279.4 }")
    placement = place(measured(80.0, 60.0), product)
    return [size_px(placement), list(placement.placed[0].ink_box_px[:2])]


def tall_fit() -> list[Value]:
    """Printed inches of art of 1:2 under a width rule of 11 in."""
    product = record((12, 16), more="ideal_width_mm_by_garment_size = { any = 279.4 }")
    printed = place(measured(50.0, 100.0), product).placed[0].printed_mm
    return [inches_from_mm(length) for length in printed]


def circumference(diameter_mm: float | None) -> float:
    """Length once around a product's record."""
    return math.pi * (diameter_mm or math.nan)


def tapered_sector() -> list[Value]:
    """Radii in mm and angle in degrees of the tapered tumbler's wrap."""
    taper = BUILT_IN.products["tumbler-tapered-wrap-sub"].taper
    assert taper is not None
    return [taper.outer_radius_mm, taper.inner_radius_mm, math.degrees(taper.angle_rad)]


def sticker_sizes() -> list[Value]:
    """Cut line and print with bleed of a kiss-cut sticker whose ink is 50 mm wide."""
    assert KISS_CUT.cut is not None
    offset = KISS_CUT.cut.offset_outside_ink_mm or math.nan
    ink = place(measured(10.0, 10.0), KISS_CUT, options=PlaceOptions(width_mm=50.0)).placed[0].printed_mm[0]
    cut = round(ink, 1) + 2 * offset
    return [cut, cut + 2 * KISS_CUT.bleed_mm]


def sheet_cells() -> list[Value]:
    """Columns and rows of stickers of 54 mm on the A5 sheet."""
    margin, gap = exact(SHEET.placement.sheet_margin_mm), exact(SHEET.placement.gap_between_cuts_mm)
    return [cells_across(exact(side) - 2 * margin, exact(54), gap) for side in SHEET.print_area_mm]


def exact_px(length_mm: float, ppi: float) -> float:
    """Pixels of a length before rounding."""
    return float(exact(length_mm) * exact(ppi) / MM_PER_INCH)


def white_base_choke() -> float:
    """The choke of the policy with a white base."""
    return BUILT_IN.policies["opaque_white_base"].choke_mm


def rgba_bytes(product: Product) -> float:
    """Bytes of the whole canvas in RGBA."""
    width, height = product.file_size_px
    return width * height * 4


def printed(content: str, width_in: float) -> Evidence:
    """A drawing of 1000 x 1000 units, all of it ink, printed exactly so many inches wide at 300 ppi, its edges between pixels."""
    page = (
        f'{HEAD} width="100mm" height="100mm" viewBox="0 0 1000 1000"><rect width="1000" height="1000" fill="#eee"/>{content}</svg>'
    )
    artwork = read_artwork(page.encode(), name="case", options=ReadOptions(), fonts=load_index(system=False))
    found = replace(measured(100.0, 100.0), artwork=artwork)
    product = record((20, 20))
    whole = place(found, product, options=PlaceOptions(width_mm=width_in * 25.4))
    placement = replace(whole, placed=(replace(whole.placed[0], px_per_mm=width_in * 300 / 100.0),))
    return Evidence(artwork=artwork, measured=found, product=product, placement=placement, on_blanks=())


def image_ppi(width_uu: float, px: int, width_in: float, transform: str = "") -> float:
    """Effective ppi of a bitmap of so many pixels and units in a drawing printed so wide."""
    data = io.BytesIO()
    Image.new("RGB", (px, px), "#c33").save(data, "PNG")
    href = "data:image/png;base64," + base64.b64encode(data.getvalue()).decode()
    evidence = printed(
        f'<image x="300" y="200" width="{width_uu}" height="{width_uu}" transform="{transform}" href="{href}"/>', width_in
    )
    return round(effective_ppi(evidence.artwork.images[0], evidence.scale) or 0.0, 6)


def line_width_mm(stroke_uu: float, printed_mm: float) -> float:
    """Printed width of a stroke in a drawing of 1000 units printed so wide."""
    evidence = printed(f'<path d="M100 100H900" stroke="#000" stroke-width="{stroke_uu}"/>', printed_mm / 25.4)
    path = next(item for item in drawn(evidence) if item.name == "path")
    return round(stroke_px(path) / evidence.px_per_mm, 9)


def black_out(*rgb: int) -> list[Value]:
    """Coverage 0..1 and colour of an opaque pixel with black taken out."""
    red, green, blue, alpha = (int(level) for level in unblended(np.array([[[*rgb, 255]]], np.uint8))[0, 0])
    return [alpha / 255, *(255 * level / alpha for level in (red, green, blue))]


def black_out_over_black(*rgb: int) -> list[Value]:
    """The same composed over black cloth."""
    alpha, *colour = flat(black_out(*rgb))
    return [float(alpha) * float(level) for level in colour]


COMPUTED: dict[str, Callable[[], Value]] = {
    "S01": lambda: list(record((15, 17)).file_size_px),
    "S02": lambda: list(BUILT_IN.products["tee-adult-front-dtg"].file_size_px),
    "S03": lambda: list(record((15, 18)).file_size_px),
    "S04": lambda: list(BUILT_IN.products["tee-left-chest-dtf"].file_size_px),
    "S05": lambda: list(BUILT_IN.products["tee-youth-front-dtg"].file_size_px),
    "S06": lambda: file_px(*A3.print_area_mm),
    "S07": lambda: list(A3.file_size_px),
    "S10": lambda: file_px(210, 297),
    "S11": lambda: file_px(420, 594),
    "S12": lambda: file_px(594, 841),
    "S13": lambda: file_px(841, 1189, 150),
    "S14": lambda: list(record((24, 36)).file_size_px),
    "S15": lambda: list(record((11, 14), bleed_in=0.125).file_size_px),
    "S16": lambda: file_px(mm_from_text("0.125in"), mm_from_text("0.375in")),
    "S17": lambda: file_px(2.667, 16.891),
    "U01": lambda: float(INCHES_PER_UNIT["in"] / INCHES_PER_UNIT["px"]),
    "U02": lambda: css_px_from_mm(mm_from_text("1pt")),
    "U03": lambda: css_px_from_mm(100),
    "U04": lambda: mm_from_css_px(inches_from_mm(100) * 90),
    "U05": lambda: inches_from_mm(mm_from_css_px(300 * 72)),
    "U06": lambda: own_size_px(mm_from_css_px(384)),
    "U07": lambda: own_size_px(mm_from_text("4in")),
    "M01": lambda: px_per_metre(300),
    "M02": lambda: [px_per_metre(ppi) for ppi in (150, 200, 240, 254, 360, 600)],
    "M03": lambda: 11811 / inches_from_mm(1000),
    "M04": lambda: DENSITY_TOLERANCE_PPI,
    "E01": lambda: 1200 / inches_from_mm(mm_from_text("10in")),
    "E02": lambda: [3000 / inches_from_mm(mm_from_text("8in")), 2000 / inches_from_mm(mm_from_text("5in"))],
    "E03": lambda: image_ppi(500, 1500, 12),
    "E04": lambda: image_ppi(1000 * 4 / 12, 600, 12, "rotate(30 500 500)"),
    "E05": lambda: inches_from_mm(mm_from_px(2400, 150)),
    "E06": lambda: [ppi_for_ruling(55, factor) for factor in RULING_FACTORS],
    "L01": lambda: [mm_from_text("1pt"), mm_from_text("0.5pt"), mm_from_text("0.25 pt")],
    "L02": lambda: [exact_px(width, 300) for width in (0.35, 0.5, 0.7)],
    "L03": lambda: line_width_mm(2, 280),
    "L04": lambda: line_width_mm(2, 90),
    "L05": lambda: least_stretch(affine_of("scale(2 0.5)")),
    "L06": lambda: mm_from_px(1, 300),
    "T01": lambda: 0.70 * mm_from_text("10pt"),
    "T02": lambda: 0.50 * mm_from_text("10pt"),
    "T03": lambda: 2.5 / 0.70 / mm_from_text("1pt"),
    "H01": lambda: [mm_from_px(1, ruling) for ruling in (45, 55, 65)],
    "H05": lambda: 120 / inches_from_mm(mm_from_text("1cm")),
    "W01": lambda: mm_from_px(2, 300),
    "W02": lambda: [exact_px(white_base_choke(), ppi) for ppi in (300, 360, 600)],
    "W03": lambda: 2 * white_base_choke(),
    "W04": lambda: mm_from_text("1pt"),
    "W05": lambda: black_out(128, 64, 0),
    "W06": lambda: black_out_over_black(128, 64, 0),
    "G01": lambda: circumference(MUG.outer_diameter_mm),
    "G02": lambda: file_px(*MUG.print_area_mm),
    "G03": lambda: 360 * MUG.print_area_mm[0] / circumference(MUG.outer_diameter_mm),
    "G04": lambda: circumference(MUG.outer_diameter_mm) - MUG.print_area_mm[0],
    "G05": lambda: list(MUG.placement.face_centres_from_left_edge_mm),
    "G06": lambda: TUMBLER.outer_diameter_mm or math.nan,
    "G07": tapered_sector,
    "G08": lambda: [*MUG_15["face_centres_from_left_edge_mm"], MUG_15["handle_gap_mm"]],
    "P01": lambda: served_by(24, 36, ALL_SIZES),
    "P02": lambda: served_by(18, 24, ALL_SIZES),
    "P03": lambda: served_by(24, 30, ALL_SIZES),
    "P04": lambda: record((11, 14)).file_size_px[0] / record((11, 14)).file_size_px[1],
    "P05": lambda: A3.print_area_mm[0] / A3.print_area_mm[1],
    "P06": lambda: lost_in_cover(1, math.sqrt(2), (400.0, 600.0)),
    "P07": lambda: [lost_in_cover(*sheet, (400.0, 600.0)) for sheet in ((4, 5), (3, 4), (11, 14))],
    "P08": lambda: float(dict(A3.extra)["trim_tolerance_plus_minus_mm"]),
    "F01": first_fit,
    "F02": tall_fit,
    "F03": lambda: [optical_shift_in(0.5), optical_shift_in(0.03)],
    "K01": lambda: contrast_ratio("#000000", "#ffffff"),
    "K02": lambda: contrast_ratio("#767676", "#ffffff"),
    "K03": lambda: contrast_ratio("#777777", "#ffffff"),
    "K04": lambda: contrast_ratio("#ffff00", "#ffffff"),
    "K05": lambda: contrast_ratio("#ffffff", "#f7c8d0"),
    "K06": lambda: contrast_ratio("#000000", "#14213d"),
    "K07": lambda: contrast_ratio("#1a1a1a", "#000000"),
    "K08": lambda: contrast_ratio("#ff0000", "#000000"),
    "K09": lambda: contrast_ratio("#0000ff", "#000000"),
    "K10": lambda: contrast_ratio("#808080", "#a6a6a6"),
    "X01": lambda: exact_px(2, 300),
    "X02": sticker_sizes,
    "X03": sheet_cells,
    "X04": lambda: [(KISS_CUT.ink_max_mm or (0, 0))[0], (DIE_CUT.ink_max_mm or (0, 0))[0]],
    "B03": lambda: [exact_px(0.33, 300), px_from_mm(0.33, 300)],
    "D01": lambda: rgba_bytes(record((15, 18))),
    "D02": lambda: rgba_bytes(record((24, 36))),
}


def flat(value: Value) -> list[float | str]:
    """All numbers and texts of nested lists, in order."""
    return [leaf for item in value for leaf in flat(item)] if isinstance(value, list) else [value]


@pytest.mark.parametrize("row", [row for row in ROWS if row["id"] not in TRAPS], ids=lambda row: row["id"])
def test_trade_value_comes_out(row: dict[str, Value]) -> None:
    """The project's own code gives the value of the row within the row's tolerance (source: in values.json)."""
    expected, got = flat(row["value"]), flat(COMPUTED[str(row["id"])]())
    tolerances = flat(row["tolerance"])
    tolerances *= len(expected) if len(tolerances) == 1 else 1
    assert len(got) == len(expected)
    for seen, wanted, tolerance in zip(got, expected, tolerances, strict=True):
        if isinstance(wanted, str):
            assert seen == wanted
        else:
            assert isinstance(seen, float | int)
            assert isinstance(tolerance, float | int)
            assert abs(seen - wanted) <= tolerance


def test_every_row_carries_its_source_and_its_code() -> None:
    """At least 60 rows, each with a source, and none left without code that computes it."""
    assert len(ROWS) >= 60
    assert all(row["source"] for row in ROWS)
    assert {row["id"] for row in ROWS} == set(COMPUTED) | set(TRAPS)


def test_traps_never_come_out() -> None:
    """A3 with bleed is neither the sum of rounded parts nor rounded up (arithmetic)."""
    assert list(A3.file_size_px) not in list(TRAPS.values())
    assert len(TRAPS) == 2


def test_half_pixels_are_never_lost_to_binary_floating_point() -> None:
    """Each of the 669 lengths of three decimals under 170 mm that are exactly half a pixel at 300 ppi goes up (arithmetic)."""
    halves = [mm for mm in range(1, 170_000) if (mm * 600) % 25_400 == 0 and (mm * 600 // 25_400) % 2]
    assert len(halves) == 669
    assert all(px_from_mm(mm / 1000, 300) == (mm * 600 // 25_400 + 1) // 2 for mm in halves)


def test_own_size_is_never_the_css_pixel_count() -> None:
    """A page of 384 CSS px at its own size at 300 ppi is not 384 px wide (published: CSS Values, 96 px = 1 in)."""
    assert own_size_px(mm_from_css_px(384)) != 384
