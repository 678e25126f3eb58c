"""One product's TOML table -> `Product`.

Comes in: the table of a product file, the limits and ink policies that it may name.
Goes out: the `Product`; faults are noted in the table, so that the caller ends with all of them.
Never done here: reading files, merging files, or describing a product in words.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
import re
from collections.abc import Sequence

from vectorprep.model import CutRule, FileRule, HeavyCover, InkPolicy, KeepOut, Limits, OpticalShift, PlacementRule, Product
from vectorprep.model.product import RING_SECTOR
from vectorprep.profiles.shared import SharedSets, read_source
from vectorprep.profiles.tapered import check_taper, read_taper
from vectorprep.records import Table
from vectorprep.units import exact

AREA_MAX_MM = 5000.0
SIDE_MAX_PX = 32767  # the side at which a cairo surface ends; measured
PPI_LIMITS = (72.0, 1200.0)
PRINT_AREA_KINDS = ("print_area", "cut_outline_max", "trim_size", "wrap_size", RING_SECTOR, "print_face")
FITS = ("contain", "cover", "cover_or_contain_with_border")
MIRRORS = ("none", "before_print", "before_cut", "only_if_printed_inside_a_clear_case")
MIRROR_HANDS = ("not_applicable", "printer", "seller", "ask_the_printer")
HORIZONTALS = ("centre", "centre_at_offset", "centre_on_fold", "centre_opposite_seam", "left", "right", "grid")
VERTICALS = ("top_of_ink", "bottom_of_ink", "centre", "centre_of_panel", "grid")

EXTRA_KEYS = (
    "cotton_min_percent",
    "polyester_min_percent",
    "hood_cover_range_mm",
    "separation_resolution_ppi",
    "separation_bit_depth_bits_per_pixel",
    "separation_size_px",
    "blank_colour_srgb_hex",
    "seam_overlap_mm",
    "variants",
    "paper_weight_range_gsm",
    "frame_rebate_mm",
    "mat_overlap_range_mm",
    "trim_tolerance_plus_minus_mm",
    "border",
    "embroidered_variant",
)
"""Keys of a product that are kept for the printer's sake and read by no room; checked by the unit in their name."""

_NUMBER_ENDING = re.compile(r"_(mm|px|ppi|lpi|deg|percent|fraction|ratio|count|mb|gsm|channel|pixel)$")
_HEX = re.compile(r"#[0-9a-fA-F]{6}")


def read_product(
    table: Table, key: str, *, limits: SharedSets[Limits], policies: SharedSets[InkPolicy], blanks: Sequence[str]
) -> Product:
    """The product of a file's table. Use it only when the table's faults are none."""
    area = table.pair("print_area_mm", low=1.0, high=AREA_MAX_MM)
    background = table.text(
        "background", choices=() if str(table.raw("background")).startswith("#") else ("transparent", "opaque_white")
    )
    product = Product(
        key=key,
        name=table.text("name", empty=False),
        product_noun=table.text("product_noun", empty=False),
        process=table.text("process", empty=False),
        audience=table.text("audience", "general", choices=("adult", "child", "general")),
        substrate=table.text("substrate", ""),
        print_area_mm=area,
        print_area_kind=table.text("print_area_kind", "print_area", choices=PRINT_AREA_KINDS),
        print_area_max_mm=table.maybe_pair("print_area_max_mm", low=1.0, high=AREA_MAX_MM),
        total_ink_limit_percent=table.maybe_number("total_ink_limit_percent", low=100.0, high=400.0),
        bleed_mm=table.number("bleed_mm", 0.0, low=0.0, high=100.0),
        safe_margin_mm=table.number("safe_margin_mm", 0.0, low=0.0, high=500.0),
        ink_max_mm=table.maybe_pair("ink_max_mm", low=1.0, high=AREA_MAX_MM),
        trim_size_mm=table.maybe_pair("trim_size_mm", low=1.0, high=AREA_MAX_MM),
        resolution_ppi=table.number("resolution_ppi", low=PPI_LIMITS[0], high=PPI_LIMITS[1]),
        ideal_width_mm_by_garment_size=_ideal_widths(table),
        fit=table.text("fit", "contain", choices=FITS),
        background=table.colour("background") if background.startswith("#") else background,
        mirror=table.text("mirror", "none", choices=MIRRORS),
        mirror_done_by=table.text("mirror_done_by", "not_applicable", choices=MIRROR_HANDS),
        colour_space=table.text("colour_space", "sRGB", choices=("sRGB",)),
        placement=_placement(table),
        limits=limits.resolve(table, "limits") or Limits(key=""),
        limits_on_light_cloth=limits.resolve(table, "limits_on_light_cloth") if "limits_on_light_cloth" in table else None,
        ink_policy=policies.resolve(table, "ink_policy") or InkPolicy(key="", white_ink="", recolour=""),
        ink_policy_on_light_cloth=policies.resolve(table, "ink_policy_on_light_cloth")
        if "ink_policy_on_light_cloth" in table
        else None,
        file=_file(table),
        blanks=table.texts("blanks", (), choices=blanks),
        outputs=table.texts("outputs", ("print-png", "preview-png")),
        cut=_cut(table),
        heavy_cover_warn=_heavy_cover(table),
        ratio_family=table.text("ratio_family", ""),
        corner_radius_mm=table.number("corner_radius_mm", 0.0, low=0.0, high=AREA_MAX_MM),
        outer_diameter_mm=table.maybe_number("outer_diameter_mm", low=1.0, high=AREA_MAX_MM),
        taper=read_taper(table, AREA_MAX_MM),
        taper_warn_above_deg=table.number("taper_warn_above_deg", 1.0, low=0.0, high=45.0),
        edge_match_tolerance_mm=table.maybe_number("edge_match_tolerance_mm", low=0.0, high=50.0),
        cautions=table.texts("cautions", ()),
        source=read_source(table),
        extra=_extras(table),
    )
    _check_sizes(table, product)
    _check_inside(table, product)
    check_taper(table, product)
    table.finish()
    return dataclasses.replace(product, record_sha256=record_sha256(product))


def record_sha256(product: Product) -> str:
    """SHA-256 of everything in the record that can change a file; names, cautions and source marks cannot."""
    silent = {"name", "cautions", "source", "record_sha256"}
    values = {key: value for key, value in dataclasses.asdict(product).items() if key not in silent}
    for shared in ("limits", "limits_on_light_cloth", "ink_policy", "ink_policy_on_light_cloth"):
        if values[shared] is not None:
            del values[shared]["source"]
    return hashlib.sha256(json.dumps(values, sort_keys=True, ensure_ascii=False).encode()).hexdigest()


def _ideal_widths(table: Table) -> tuple[tuple[str, float], ...]:
    widths = table.table("ideal_width_mm_by_garment_size")
    if widths is None:
        return ()
    if not widths.keys():
        table.fault("ideal_width_mm_by_garment_size", "holds no size", "write at least: any = 280")
    return tuple((size, widths.number(size, low=1.0, high=AREA_MAX_MM)) for size in widths.keys())  # noqa: SIM118


def _offset(table: Table, key: str) -> float | None:
    return table.maybe_number(key, low=0.0, high=2000.0)


def _offset_range(table: Table, edge: str) -> tuple[float, float] | None:
    key = f"{edge}_offset_range_mm"
    span = table.maybe_pair(key, low=0.0, high=2000.0, rising=True)
    offset = _offset(table, f"{edge}_offset_mm")
    if span is not None and offset is None:
        table.fault(f"{edge}_offset_mm", "is missing", f"{key} alone does not say where the ink goes", rank=2)
    if span is not None and offset is not None and not span[0] <= offset <= span[1]:
        table.fault(
            f"{edge}_offset_mm", f"is {offset:g}, outside {key} = [{span[0]:g}, {span[1]:g}]", "move the offset or widen the range"
        )
    return span


def _placement(product: Table) -> PlacementRule:
    table = product.table("placement", required=True)
    if table is None:
        return PlacementRule(datum="", horizontal="centre", vertical="centre")
    clear = table.table("clear_below")
    shift = table.table("optical_shift")
    table.raw("alternative")
    rule = PlacementRule(
        datum=table.text("datum", empty=False),
        horizontal=table.text("horizontal", choices=HORIZONTALS),
        vertical=table.text("vertical", choices=VERTICALS),
        side=table.text("side", "", choices=("", "wearer_left", "wearer_right")),
        top_offset_mm=_offset(table, "top_offset_mm"),
        top_offset_range_mm=_offset_range(table, "top"),
        bottom_offset_mm=_offset(table, "bottom_offset_mm"),
        bottom_offset_range_mm=_offset_range(table, "bottom"),
        horizontal_offset_mm=_offset(table, "horizontal_offset_mm"),
        optical_shift=_optical_shift(shift),
        optical_raise_fraction_of_free_height=table.number("optical_raise_fraction_of_free_height", 0.0, low=0.0, high=0.5),
        face_centres_from_left_edge_mm=table.numbers("face_centres_from_left_edge_mm", (), low=0.0, high=AREA_MAX_MM),
        rim_clear_min_mm=table.number("rim_clear_min_mm", 0.0, low=0.0, high=500.0),
        base_clear_min_mm=table.number("base_clear_min_mm", 0.0, low=0.0, high=500.0),
        handle_gap_mm=table.number("handle_gap_mm", 0.0, low=0.0, high=500.0),
        hem_clear_min_mm=table.number("hem_clear_min_mm", 0.0, low=0.0, high=500.0),
        seam_clear_min_mm=table.number("seam_clear_min_mm", 0.0, low=0.0, high=500.0),
        clear_below_object=clear.text("object") if clear else "",
        clear_below_min_mm=clear.number("distance_min_mm", low=0.0, high=500.0) if clear else 0.0,
        keep_out_areas=table.texts("keep_out_areas", ()),
        keep_out_clear_min_mm=table.number("keep_out_clear_min_mm", 0.0, low=0.0, high=500.0),
        keep_out=_keep_out(table),
        sheet_margin_mm=table.number("sheet_margin_mm", 0.0, low=0.0, high=500.0),
        gap_between_cuts_mm=table.number("gap_between_cuts_mm", 0.0, low=0.0, high=500.0),
    )
    _check_rule(table, rule)
    return rule


def _keep_out(placement: Table) -> tuple[KeepOut, ...]:
    """Outlines by name: a flat list of x, y, x, y ... of at least three corners."""
    table = placement.table("keep_out")
    if table is None:
        return ()
    found = []
    for name in table.keys():  # noqa: SIM118
        flat = table.numbers(name, low=-AREA_MAX_MM, high=AREA_MAX_MM)
        if len(flat) < 6 or len(flat) % 2:
            table.fault(name, f"holds {len(flat)} numbers", "write x and y of at least three corners: [0, 0, 20, 0, 20, 30]")
            continue
        found.append(KeepOut(name=name.replace("_", " "), corners_mm=tuple(zip(flat[::2], flat[1::2], strict=True))))
    return tuple(found)


def _optical_shift(table: Table | None) -> OpticalShift | None:
    if table is None:
        return None
    return OpticalShift(
        centroid_weight_fraction=table.number("centroid_weight_fraction", low=0.0, high=1.0),
        shift_max_fraction_of_width=table.number("shift_max_fraction_of_width", low=0.0, high=0.5),
    )


def _check_rule(table: Table, rule: PlacementRule) -> None:
    if (rule.horizontal == "grid") != (rule.vertical == "grid"):
        table.fault("vertical", f'is "{rule.vertical}" while horizontal is "{rule.horizontal}"', "a grid needs both")
    if rule.horizontal == "centre_at_offset":
        if rule.horizontal_offset_mm is None:
            table.fault("horizontal_offset_mm", "is missing", "centre_at_offset needs the distance from the centre line", rank=2)
        if not rule.side:
            table.fault("side", "is missing", "centre_at_offset needs wearer_left or wearer_right", rank=2)


def _file(product: Table) -> FileRule:
    table = product.table("file")
    if table is None:
        return FileRule(formats=("png",))
    return FileRule(
        formats=table.texts("formats", ("png",)),
        bit_depth_bits_per_channel=table.integer("bit_depth_bits_per_channel", 8, low=8, high=16),
        write_density_tag=table.flag("write_density_tag", default=True),
        write_srgb_tag=table.flag("write_srgb_tag", default=True),
        png_chunks_to_drop=table.texts("png_chunks_to_drop", ()),
        raster_is_preview_only=table.flag("raster_is_preview_only", default=False),
        file_size_max_mb=table.number("file_size_max_mb", 100.0, low=0.1, high=100000.0),
        side_max_px=round(side) if (side := table.maybe_number("side_max_px", low=1.0, high=1_000_000.0)) else None,
        area_max_megapixel=table.maybe_number("area_max_megapixel", low=0.01, high=100_000.0),
    )


def _cut(product: Table) -> CutRule | None:
    table = product.table("cut")
    if table is None:
        return None

    def length(name: str) -> float | None:
        return table.maybe_number(name, low=0.0, high=500.0)

    return CutRule(
        kind=table.text("kind", ""),
        offset_outside_ink_mm=length("offset_outside_ink_mm"),
        inner_radius_min_mm=length("inner_radius_min_mm"),
        outer_radius_min_mm=length("outer_radius_min_mm"),
        fill_holes=table.flag("fill_holes", default=False),
        hole_width_min_mm=length("hole_width_min_mm"),
        gap_between_cuts_min_mm=length("gap_between_cuts_min_mm"),
        backing_margin_mm=length("backing_margin_mm"),
        single_piece=table.flag("single_piece", default=False),
        spike_width_min_mm=length("spike_width_min_mm"),
        sticker_side_min_mm=length("sticker_side_min_mm"),
        cuts_may_touch_or_nest=table.flag("cuts_may_touch_or_nest", default=False),
        bleed_beyond_cut_max_mm=length("bleed_beyond_cut_max_mm"),
        processing_step_group=table.text("processing_step_group", ""),
        processing_step_type=table.text("processing_step_type", ""),
        closed_paths=table.flag("closed_paths", default=False),
        expand_strokes=table.flag("expand_strokes", default=False),
        merge_overlaps=table.flag("merge_overlaps", default=False),
        island_min_mm=length("island_min_mm"),
        nodes_max_count=table.maybe_integer("nodes_max_count", low=1, high=10_000_000),
    )


def _heavy_cover(product: Table) -> HeavyCover | None:
    table = product.table("heavy_cover_warn")
    if table is None:
        return None
    return HeavyCover(
        reference_area_mm=table.pair("reference_area_mm", low=1.0, high=AREA_MAX_MM),
        cover_warn_above_fraction=table.number("cover_warn_above_fraction", low=0.0, high=1.0),
    )


def _extras(table: Table) -> tuple[tuple[str, str], ...]:
    kept = []
    for key in EXTRA_KEYS:
        value = table.raw(key)
        if value is not None:
            _check_extra(table, key, key, value)
            kept.append((key, json.dumps(value, ensure_ascii=False, sort_keys=True)))
    placement = table.raw("placement")
    if isinstance(placement, dict) and "alternative" in placement:
        _check_extra(table, "placement", "alternative", placement["alternative"])
        kept.append(("placement.alternative", json.dumps(placement["alternative"], ensure_ascii=False, sort_keys=True)))
    return tuple(kept)


def _check_extra(table: Table, key: str, name: str, value: object) -> None:
    """The unit in a key's name says what its value must be; tables are looked through."""
    if isinstance(value, dict):
        for inner, below in value.items():
            _check_extra(table, key, str(inner), below)
    elif _NUMBER_ENDING.search(name):
        items = value if isinstance(value, list) else [value]
        if not all(isinstance(item, int | float) and not isinstance(item, bool) and item >= 0 for item in items):
            table.fault(key, f"holds {name} = {value}, not a number of at least 0", f"write {name} = 12.5")
    elif name.endswith("_hex") and not (isinstance(value, str) and _HEX.fullmatch(value)):
        table.fault(key, f'is "{value}", not a colour', 'write six hexadecimal digits such as "#e9dfc9"')


def _check_sizes(table: Table, product: Product) -> None:
    """Sizes that a record states must be those that follow from area, bleed and resolution."""
    stated_mm = table.maybe_pair("file_size_mm", low=1.0, high=AREA_MAX_MM)
    stated_px = table.maybe_pair("file_size_px", low=1, high=1_000_000)
    if not table.sound("print_area_mm", "bleed_mm", "resolution_ppi"):
        return
    width_mm, height_mm = product.file_size_mm
    if (
        stated_mm is not None
        and table.sound("file_size_mm")
        and (exact(stated_mm[0]), exact(stated_mm[1])) != (width_mm, height_mm)
    ):
        follows = f"{float(width_mm):.10g} x {float(height_mm):.10g} mm"
        message = f"is {stated_mm[0]:.10g} x {stated_mm[1]:.10g}, but print area + 2 x bleed = {follows}"
        table.fault("file_size_mm", message, "leave the line out; it follows")
    width, height = product.file_size_px
    if stated_px is not None and table.sound("file_size_px") and stated_px != (width, height):
        shown = f"{stated_px[0]:g} x {stated_px[1]:g}"
        message = f"is {shown}, but the whole outer size at {product.resolution_ppi:g} ppi is {width} x {height} px"
        table.fault("file_size_px", message, "leave the line out; it follows")
    if max(width, height) > SIDE_MAX_PX:
        message = f"gives {width} x {height} px, more than {SIDE_MAX_PX} on a side"
        table.fault("resolution_ppi", message, "lower resolution_ppi or the print area")


def _check_inside(table: Table, product: Product) -> None:
    """What is kept clear must leave room, and what is inside must fit."""
    if not table.sound("print_area_mm"):
        return
    area, margin = product.print_area_mm, product.safe_margin_mm
    if 2 * margin >= min(area):
        message = f"is {margin:g}, which leaves nothing of {area[0]:g} x {area[1]:g} mm"
        table.fault("safe_margin_mm", message, f"write less than {min(area) / 2:g}")
    rule = product.placement
    clear = max(rule.rim_clear_min_mm, margin) + max(rule.base_clear_min_mm, margin)
    if rule.rim_clear_min_mm + rule.base_clear_min_mm > 0 and clear >= area[1]:
        message = f"keeps {clear:g} mm of {area[1]:g} mm clear at rim and base"
        table.fault("placement", message, "lower rim_clear_min_mm or base_clear_min_mm")
    _check_against_area(table, "ink_max_mm", product.ink_max_mm, area, larger=False)
    _check_against_area(table, "print_area_max_mm", product.print_area_max_mm, area, larger=True)
    for centre in rule.face_centres_from_left_edge_mm:
        if not 0 < centre < area[0]:
            message = f"has a face centre at {centre:g} mm, off the print area of {area[0]:g} mm"
            table.fault("placement", message, "write centres on the wrap")


def _check_against_area(
    table: Table, key: str, size: tuple[float, float] | None, area: tuple[float, float], *, larger: bool
) -> None:
    if size is None or not table.sound(key):
        return
    if any(size[axis] < area[axis] if larger else size[axis] > area[axis] for axis in (0, 1)):
        word = "smaller" if larger else "larger"
        message = f"is {size[0]:g} x {size[1]:g} mm, {word} than print_area_mm = {area[0]:g} x {area[1]:g}"
        table.fault(key, message, "mend one of the two")
