"""Faults that lie in a record, a setting or the place on the product, each at the strength asked for.

Where a limit of the record is what is graded, the record is changed and the drawing is not. Faults that have no strength are there
from strength 1 on.
"""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from typing import Literal

from tests.benchmarks import planted_more as more
from tests.benchmarks.planted_base import INKS, Kind, Plant
from tests.checks.given import CATALOGUE
from vectorprep.checks import Evidence
from vectorprep.model import Output, Product
from vectorprep.model.licence import Licence, LicenceRecord
from vectorprep.plan import PlaceOptions
from vectorprep.press import PressProfile, printed_inks

MUG = CATALOGUE.products["mug-11oz-wrap-sub"]
POSTER = CATALOGUE.products["poster-iso-a3"]
TUMBLER = CATALOGUE.products["tumbler-20oz-straight-wrap-sub"]
CASE = CATALOGUE.products["phone-case-uv"]
TEE = CATALOGUE.products["tee-adult-front-dtf"]
HEAVY = "#0b1f3a"
FILE_BYTES = 8_000_000


@cache
def press() -> PressProfile:
    """The profile "Chemical proof" (Graeme Gill, public domain), which libvips carries as `cmyk`."""
    import pyvips

    return PressProfile(name="proof.icc", data=bytes(pyvips.Operation.call("profile_load", "cmyk")))


@cache
def heavy_percent() -> float:
    """Total ink that the press takes for a dark ink."""
    return float(printed_inks((HEAVY,), press())[0].total_ink_percent or 0.0)


def on_press(evidence: Evidence, _strength: float) -> Evidence:
    """The same, with a press named."""
    return replace(evidence, press=press())


def with_file(evidence: Evidence, *, side_px: int | None = None) -> Evidence:
    """The same, with a print file that was made."""
    width, height = evidence.placement.canvas_px
    made = Output(
        path="a.png",
        kind="print-png",
        artwork="a",
        product=evidence.product.key,
        blanks=("white",),
        treatment="as-drawn",
        width_px=side_px or width,
        height_px=height,
        ppi=evidence.product.resolution_ppi,
        ink_box_px=None,
        placements=(),
        printed_mm=(9.0, 9.0),
        bytes=FILE_BYTES,
    )
    return replace(evidence, outputs=(made,))


def licensed(evidence: Evidence, strength: float) -> Evidence:
    """A typeface on record, settled where the fault is not there."""
    states: tuple[Literal["unrecorded", "blocked", "ask"], ...] = ("unrecorded", "blocked", "ask")
    bad = states[round(strength * 1000) % 3]
    asset = Licence(name="Some Typeface", status=bad if strength > 1 else "ok")
    return replace(evidence, licences=LicenceRecord(assets=(asset,)))


def shape_of(width: float, height: float) -> Plant:
    """A rectangle or ellipse of a size in the middle of the page."""

    def plant(chance: random.Random, _strength: float, _limits: object) -> str:
        ink = chance.choice(INKS)
        return chance.choice(
            (
                f'<rect x="{50 - width / 2}" y="{50 - height / 2}" width="{width}" height="{height}" rx="2" fill="{ink}"/>',
                f'<ellipse cx="50" cy="50" rx="{width / 2}" ry="{height / 2}" fill="{ink}"/>',
            )
        )

    return plant


def near_the_rim(strength: float) -> PlaceOptions:
    """Art 40 mm high on a mug, so far up that the room above it is the record's over the strength."""
    rise = (MUG.print_area_mm[1] - 40) / 2 - MUG.placement.rim_clear_min_mm / strength
    return PlaceOptions(original_size=True, nudge_mm=(0.0, -round(rise, 3)))


def at_the_trim(strength: float) -> PlaceOptions:
    """Art 100 mm wide on a poster, moved to its trim or to three times the safe margin."""
    room = (POSTER.print_area_mm[0] - 100) / 2
    return PlaceOptions(original_size=True, nudge_mm=(room if strength > 1 else room - 3 * POSTER.safe_margin_mm, 0.0))


def narrow(strength: float) -> PlaceOptions:
    """Art of three quarters of the ideal width (common practice, no source) over the strength."""
    ideal = dict(TEE.ideal_width_mm_by_garment_size)["M"]
    return PlaceOptions(garment_size="M", width_mm=min(0.75 * ideal / strength, ideal))


def sheet(strength: float) -> tuple[float, float]:
    """A page that is off a poster's proportions by 0.5 % (common practice, no source), times the strength."""
    width, height = POSTER.print_area_mm
    return width, height * (1 + 0.005 * strength)


def ramp_over_the_page(chance: random.Random, _strength: float, _limits: object) -> str:
    """A ramp over everything."""
    one, other = chance.sample(INKS, 2)
    return (
        f'<linearGradient id="blend" x2="{chance.random():.2f}" y2="1"><stop stop-color="{one}"/>'
        f'<stop offset="1" stop-color="{other}"/></linearGradient><rect x="-5" y="-5" width="900" height="900" fill="url(#blend)"/>'
    )


def stepped_wrap(chance: random.Random, strength: float, _limits: object) -> str:
    """A band all round a cup whose ends miss each other by 1 mm (common practice, no source), times the strength."""
    ground, ink = chance.sample(INKS, 2)
    (width, height), step = TUMBLER.file_size_mm, (TUMBLER.edge_match_tolerance_mm or 0) * strength
    w, h, y, thick = float(width), float(height), chance.uniform(40, 120), chance.uniform(12, 40)
    forms = (
        f'<path d="M-2 {y}L{w + 2} {y + step * (w + 4) / (w - 2.54)}V{y + thick + step}L-2 {y + thick}Z" fill="{ink}"/>',
        f'<path d="M-2 {y}H{w / 2}V{y + step}H{w + 2}v{thick}H{w / 2}V{y + thick}H-2Z" fill="{ink}"/>',
        f'<g fill="{ink}"><rect x="-2" y="{y}" width="40" height="{thick}"/><rect x="{w - 38}" y="{y + step}" width="40" '
        f'height="{thick}"/></g>',
    )
    return f'<path d="M-2 -2H{w + 2}V{h + 2}H-2Z" fill="{ground}"/>' + chance.choice(forms)


def in_the_window(chance: random.Random, strength: float, _limits: object) -> str:
    """A drawing on a phone case with a piece in the camera's window, or away from it."""
    ink, x, y = chance.choice(INKS), chance.uniform(10, 23), chance.uniform(14, 34)
    if strength < 1:
        x, y = chance.uniform(45, 60), chance.uniform(70, 120)
    piece = (
        f'<circle cx="{x:.2f}" cy="{y:.2f}" r="3" fill="{ink}"/>',
        f'<rect x="{x - 4:.2f}" y="{y:.2f}" width="8" height="2" fill="{ink}"/>',
        f'<path d="M{x:.2f} {y:.2f}l4 6h-8z" fill="{ink}"/>',
    )
    ends = (
        f'<rect x="36" y="8" width="36" height="10" fill="{INKS[0]}"/><rect x="8" y="142" width="64" height="10" fill="{INKS[1]}"/>'
    )
    return ends + chance.choice(piece)


def _most_pixels(product: Product, strength: float) -> Product:
    width, height = product.file_size_px
    return replace(product, file=replace(product.file, area_max_megapixel=width * height / 1e6 / strength))


def _most_bytes(product: Product, strength: float) -> Product:
    return replace(product, file=replace(product.file, file_size_max_mb=FILE_BYTES / 1e6 / strength))


def _least_ink(product: Product, strength: float) -> Product:
    return replace(product, total_ink_limit_percent=heavy_percent() / strength)


KINDS: dict[str, Kind] = {
    "ink beyond the press": Kind(
        "colour-out-of-gamut",
        lambda chance, strength, _limits: more.glowing(chance, strength) if strength > 1 else more.shape(chance, "#9a8f80"),
        product=POSTER.key,
        has_base=False,
        setting=on_press,
    ),
    "too much ink": Kind(
        "total-ink-over-limit",
        lambda chance, _strength, _limits: more.shape(chance, HEAVY),
        product=POSTER.key,
        has_base=False,
        record=_least_ink,
        setting=on_press,
    ),
    "small black text on a press": Kind(
        "text-in-four-inks",
        lambda chance, strength, _limits: more.small_black_text(chance, strength),
        product=POSTER.key,
        setting=on_press,
    ),
    "licence that is open": Kind("licence-missing-or-blocked", shape_of(40, 30), has_base=False, setting=licensed),
    "file of many pixels": Kind(
        "file-too-large", shape_of(40, 30), has_base=False, record=_most_pixels, setting=lambda given, _strength: with_file(given)
    ),
    "file of many bytes": Kind(
        "file-too-large", shape_of(40, 30), has_base=False, record=_most_bytes, setting=lambda given, _strength: with_file(given)
    ),
    "file of other pixels": Kind(
        "pixel-size-mismatch",
        shape_of(40, 30),
        has_base=False,
        setting=lambda given, strength: with_file(given, side_px=999 if strength > 1 else None),
    ),
    "ink near the rim": Kind("ink-in-lip-zone", shape_of(50, 40), product=MUG.key, has_base=False, placing=near_the_rim),
    "ink in the safe margin": Kind(
        "ink-outside-safe-margin", shape_of(50, 40), product=MUG.key, has_base=False, placing=near_the_rim
    ),
    "no bleed": Kind("bleed-missing", shape_of(100, 80), product=POSTER.key, has_base=False, placing=at_the_trim),
    "printed too narrow": Kind("print-width-off-ideal", shape_of(80, 30), product=TEE.key, has_base=False, placing=narrow),
    "other proportions": Kind("ratio-mismatch", ramp_over_the_page, product=POSTER.key, has_base=False, page=sheet),
    "ends that do not meet": Kind(
        "wrap-edges-do-not-meet",
        stepped_wrap,
        product=TUMBLER.key,
        has_base=False,
        page=lambda _strength: (float(TUMBLER.file_size_mm[0]), float(TUMBLER.file_size_mm[1])),
        placing=lambda _strength: PlaceOptions(fit="cover"),
    ),
    "ink in the camera's window": Kind(
        "ink-in-keep-out-area", in_the_window, product=CASE.key, has_base=False, page=lambda _strength: (80.0, 160.0)
    ),
}
