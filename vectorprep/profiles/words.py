"""A product in plain words, lengths in inches and millimetres.

Comes in: products and blanks.
Goes out: lines of text for `vectorprep profiles`.
Never done here: printing, or deciding anything.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Mapping

from vectorprep.model import Blank, InkPolicy, Limits, Product
from vectorprep.units import length_words, shortest, size_words

WIDTH = 100

_PROCESSES = {
    "dtg": "inkjet on garment",
    "dtf": "film transfer",
    "sublimation": "dye sublimation",
    "sublimation_on_twill": "dye sublimation on twill",
    "screen_spot": "screen print in spot colours",
    "cut_film": "cut heat-transfer film",
    "label_digital": "digital label print",
    "giclee": "art inkjet",
    "uv_direct": "direct UV print",
}
_KINDS = {
    "print_area": "largest ink box",
    "cut_outline_max": "largest cut outline",
    "trim_size": "finished size after trimming",
    "wrap_size": "flat size around the cylinder",
    "ring_sector": "box around the side of the cup laid flat",
    "print_face": "printed face with its wrapped edge",
}
_FITS = {
    "contain": "fitted inside the box, never stretched",
    "cover": "covering the whole sheet, the excess cut off",
    "cover_or_contain_with_border": 'fitted inside the box with a border; fit = "cover" in the settings fills the sheet',
}
_WHITE_INKS = {
    "none": "no white ink: white paint stays bare material, colours mix with it",
    "base_under_colour": "a white base under the colours",
    "full_under_art": "full white under the artwork",
    "separate_base_screen_on_dark_cloth": "white as a screen of its own on dark cloth",
    "film_colour": "each film has its own colour",
}
_HORIZONTALS = {
    "centre": "on the centre line",
    "centre_on_fold": "on the fold",
    "centre_opposite_seam": "opposite the seam",
    "left": "at the left",
    "right": "at the right",
    "grid": "row by row",
}
_VERTICALS = {
    "top_of_ink": "at the top of the box",
    "bottom_of_ink": "at the bottom of the box",
    "centre": "in the middle of the height",
    "centre_of_panel": "in the middle of the panel",
    "grid": "in a grid",
}


def _length(length_mm: float) -> str:
    return length_words(length_mm, exactly=True)


def _size(size_mm: tuple[float, float]) -> str:
    return size_words(*size_mm, exactly=True)


def _plain(word: str) -> str:
    return word.replace("_", " ")


def list_lines(products: Mapping[str, Product]) -> list[str]:
    """One line per product: key, print area, pixels, name."""
    wide = max((len(key) for key in products), default=0)
    return [
        f"{key:<{wide}}  {product.file_size_px[0]:>5} x {product.file_size_px[1]:<5} px  {product.name}"
        for key, product in products.items()
    ]


def describe(product: Product, blanks: Mapping[str, Blank] | None = None) -> str:
    """A product as a page of plain words; `blanks` gives names and colours to the keys it comes in."""
    sections: list[tuple[str, Iterable[str]]] = [
        ("Print area", _area(product)),
        ("File", _file(product)),
        ("Where it goes", _placement(product)),
        ("How large", _widths(product)),
        ("Kept clear", _clear(product)),
        ("Process limits", _all_limits(product)),
        ("Ink", _all_policies(product)),
        ("Cut", _cut(product)),
        ("Blanks", _blanks(product, blanks or {})),
        ("Made", [", ".join(product.outputs)]),
        ("Cautions", product.cautions),
        ("Sources", _sources(product)),
    ]
    process = _PROCESSES.get(product.process, _plain(product.process))
    head = [f"{product.key}: {product.name}", f"{process} on {product.substrate}" if product.substrate else process, ""]
    return "\n".join(head + [line for title, facts in sections for line in _section(title, facts)])


def _section(title: str, facts: Iterable[str]) -> list[str]:
    lines = []
    label = f"{title:<15}"
    for fact in facts:
        lines += textwrap.wrap(fact, WIDTH, initial_indent=label, subsequent_indent=" " * 15)
        label = " " * 15
    return lines


def _area(product: Product) -> Iterable[str]:
    yield f"{_size(product.print_area_mm)}, {_KINDS[product.print_area_kind]}"
    if product.taper is not None and product.is_bent:
        taper = product.taper
        yield (
            f"a ring sector: radii {_length(taper.outer_radius_mm)} and {_length(taper.inner_radius_mm)},"
            f" {math.degrees(taper.angle_rad):.2f} degrees, for {_length(taper.top_diameter_mm)} across the top,"
            f" {_length(taper.bottom_diameter_mm)} across the bottom, {_length(taper.height_mm)} high"
        )
    if product.print_area_max_mm is not None:
        yield f"printers offer up to {_size(product.print_area_max_mm)}"
    if product.ink_max_mm is not None:
        yield f"ink at most {_size(product.ink_max_mm)}"


def _file(product: Product) -> Iterable[str]:
    width_mm, height_mm = product.file_size_mm
    width, height = product.file_size_px
    yield f"{width} x {height} px at {product.resolution_ppi:g} ppi = {_size((float(width_mm), float(height_mm)))}"
    if product.bleed_mm:
        yield f"bleed {_length(product.bleed_mm)} on each side included"
    yield f"{_plain(product.background)} background, {product.colour_space}, wanted as {', '.join(product.file.formats)}"
    if product.mirror != "none":
        yield f"mirrored {_plain(product.mirror)}; by whom: {_plain(product.mirror_done_by)}"


def _placement(product: Product) -> Iterable[str]:
    rule = product.placement
    datum = _plain(rule.datum)
    for edge, offset, span, side in (
        ("top_of_ink", rule.top_offset_mm, rule.top_offset_range_mm, "top of the ink {} below the"),
        ("bottom_of_ink", rule.bottom_offset_mm, rule.bottom_offset_range_mm, "bottom of the ink {} above the"),
    ):
        if rule.vertical == edge and offset is not None:
            yield f"{side.format(_length(offset))} {datum}" + (f", admissible {_span(span)}" if span else "")
            break
    else:
        yield f"{_VERTICALS[rule.vertical]}; datum: {datum}"
    yield _horizontal(product)
    if rule.optical_shift is not None:
        most = rule.optical_shift.shift_max_fraction_of_width
        yield f"optical centring on request moves it by at most {most:.0%} of its width"
    if rule.optical_raise_fraction_of_free_height:
        yield f"optical centring on request raises it by {rule.optical_raise_fraction_of_free_height:.0%} of the free height"
    if rule.face_centres_from_left_edge_mm:
        yield f"centres of the faces from the left edge: {', '.join(map(_length, rule.face_centres_from_left_edge_mm))}"


def _span(span: tuple[float, float]) -> str:
    return (
        f"{shortest(span[0] / 25.4, 2)} to {shortest(span[1] / 25.4, 2)} in ({shortest(span[0], 2)} to {shortest(span[1], 2)} mm)"
    )


def _horizontal(product: Product) -> str:
    rule = product.placement
    if rule.horizontal != "centre_at_offset":
        return _HORIZONTALS[rule.horizontal]
    side = rule.side.replace("wearer_", "the wearer's ")
    return f"centred {_length(rule.horizontal_offset_mm or 0.0)} from the centre line, on {side}"


def _widths(product: Product) -> Iterable[str]:
    widths = product.ideal_width_mm_by_garment_size
    if product.placement.horizontal == "grid":
        yield "copies side by side, as many as the sheet holds"
        return
    if widths:
        yield "ideal width of the ink: " + "; ".join(
            _length(width) if size == "any" else f"{size} {_length(width)}" for size, width in widths
        )
    else:
        yield "as wide as the box inside its margins"
    yield f"nearly square art x 0.9; {_FITS[product.fit]}"


def _clear(product: Product) -> Iterable[str]:
    rule = product.placement
    for what, length in (
        ("safe margin", product.safe_margin_mm),
        ("rim", rule.rim_clear_min_mm),
        ("base", rule.base_clear_min_mm),
        ("handle gap", rule.handle_gap_mm),
        ("hem", rule.hem_clear_min_mm),
        ("seams", rule.seam_clear_min_mm),
        (f"above {_plain(rule.clear_below_object)}", rule.clear_below_min_mm),
        (f"around {_plain(', '.join(rule.keep_out_areas))}", rule.keep_out_clear_min_mm),
        ("edge of the sheet", rule.sheet_margin_mm),
        ("between cuts", rule.gap_between_cuts_mm),
    ):
        if length:
            yield f"{what}: {_length(length)}"


def _all_limits(product: Product) -> Iterable[str]:
    light = product.limits_on_light_cloth
    if light is not None:
        yield f"with a white base: {_limits(product.limits)}"
        yield f"without, on cloth of L* 95 and above: {_limits(light)}"
    else:
        yield _limits(product.limits)


def _limits(limits: Limits) -> str:
    named = (
        ("line", limits.positive_line_min_mm, "mm"),
        ("gap", limits.negative_line_min_mm, "mm"),
        ("capitals", limits.cap_height_min_mm, "mm"),
        ("small letters", limits.x_height_min_mm, "mm"),
        ("dot", limits.dot_diameter_min_mm, "mm"),
    )
    text = ", ".join(f"{what} {value:g} {unit}" for what, value, unit in named if value is not None)
    if limits.image_warn_below_ppi is None:
        return f"{text} ({limits.key}); no pictures"
    images = f"pictures {limits.image_ideal_ppi:g} ppi, warned below {limits.image_warn_below_ppi:g}"
    refused = f", refused below {limits.image_fail_below_ppi:g}" if limits.image_fail_below_ppi is not None else ""
    return f"{text} ({limits.key}); {images}{refused}"


def _all_policies(product: Product) -> Iterable[str]:
    light = product.ink_policy_on_light_cloth
    yield _policy(product.ink_policy)
    if light is not None:
        yield f"on cloth of L* 95 and above: {_policy(light)}"


def _policy(policy: InkPolicy) -> str:
    parts = [_WHITE_INKS.get(policy.white_ink, _plain(policy.white_ink))]
    if policy.choke_mm:
        parts.append(f"base choked by {policy.choke_mm:g} mm")
    parts.append(f"soft edges: {_plain(policy.soft_alpha)}")
    parts.append(f"recolouring: {_plain(policy.recolour)}")
    if policy.spot_inks_max_count is not None:
        parts.append(f"at most {policy.spot_inks_max_count} spot inks")
    if policy.blank_lightness_min_L_star is not None:
        parts.append(f"blanks of L* {policy.blank_lightness_min_L_star:g} and above")
    return f"{'; '.join(parts)} ({policy.key})"


def _cut(product: Product) -> Iterable[str]:
    cut = product.cut
    if cut is None:
        return
    if cut.kind:
        yield _plain(cut.kind)
    for what, length in (
        ("outside the ink", cut.offset_outside_ink_mm),
        ("inner radius", cut.inner_radius_min_mm),
        ("outer radius", cut.outer_radius_min_mm),
        ("between cuts", cut.gap_between_cuts_min_mm),
        ("smallest sticker", cut.sticker_side_min_mm),
        ("smallest island", cut.island_min_mm),
    ):
        if length is not None:
            yield f"{what}: {_length(length)}"


def _blanks(product: Product, blanks: Mapping[str, Blank]) -> Iterable[str]:
    keys = product.blanks or tuple(blanks)
    if not keys:
        yield "all"
        return
    named = []
    for key in keys:
        blank = blanks.get(key)
        texture = ", heather" if blank is not None and blank.texture == "heather" else ""
        named.append(f"{key} ({blank.colour}{texture})" if blank is not None else key)
    yield ", ".join(named)


def _sources(product: Product) -> Iterable[str]:
    """Source marks, each with the keys that carry it."""
    keys_by_mark: dict[str, list[str]] = {}
    for key, mark in product.source:
        if key != "default":
            keys_by_mark.setdefault(mark, []).append(key)
    for mark, keys in keys_by_mark.items():
        yield f"{mark}: {', '.join(keys)}"
    yield f"everything else: {dict(product.source).get('default', 'your own file')}"
