"""Settings as each room wants them.

Comes in: the effective settings of one artwork on one product, with product and blank. Goes out: the rooms' own option records.
Never done here: reading settings, or any rule of a room.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from vectorprep.model import Blank, Finding, InkPolicy, Measurement, Placement, Product
from vectorprep.pipeline.workshop import Variant
from vectorprep.plan import PlaceOptions
from vectorprep.profiles import group_of
from vectorprep.settings import ArtworkSettings, Settings, effective

if TYPE_CHECKING:
    from vectorprep.read import ReadOptions
    from vectorprep.recolour import RecolourPolicy

BARE = "#ffffff"
"""A sheet filled with white is bare paper, as no process for paper prints white."""
LEFT_AS_DRAWN = ("none", "seller_spot_table")
"""Recolour policies of products whose inks are the seller's own business."""


def read_options(settings: ArtworkSettings) -> ReadOptions:
    """What the reader wants to know."""
    from vectorprep.read import ReadOptions

    return ReadOptions(background=settings.background, page=settings.page, units_per_inch=settings.units_per_inch)


def place_options(settings: ArtworkSettings, measured: Measurement, *, keyline_mm: float = 0.0) -> PlaceOptions:
    """What the plan wants to know."""
    return PlaceOptions(
        garment_size=settings.garment_size,
        width_mm=settings.width_mm,
        scale=settings.scale,
        original_size=settings.original_size,
        nudge_mm=settings.nudge_mm,
        is_optical=settings.optical_centring,
        centroid_mm=measured.centroid_mm,
        keyline_mm=keyline_mm,
        canvas=settings.canvas,
        fit=settings.fit,
        ground=_ground(settings, measured),
        faces=settings.faces,
    )


def _ground(settings: ArtworkSettings, measured: Measurement) -> str:
    """The drawing's own plain background, that it keeps and that the seller lets run on."""
    return measured.background or "" if (settings.ground, settings.background) == ("plate", "keep") else ""


def ground_of(blank: Blank, placement: Placement) -> Blank:
    """What lies behind the art: its own ground, where that fills the whole sheet, else the blank."""
    ground = placement.background
    if ground in {None, BARE, blank.colour}:
        return blank
    return replace(blank, name=f"its own ground {ground}", colour=ground, texture="smooth")


def recolour_policy(settings: ArtworkSettings, product: Product, ink_policy: InkPolicy) -> RecolourPolicy:
    """What the ladder may do on this product; nothing where its policy is to leave inks as drawn."""
    from vectorprep.recolour import RecolourPolicy

    default = RecolourPolicy()
    untouched = ink_policy.recolour in LEFT_AS_DRAWN
    return RecolourPolicy(
        light=settings.standard_light or default.light,
        dark=settings.standard_dark or default.dark,
        rungs=() if untouched else tuple(rung for rung in default.rungs if rung in settings.treatments),
        ratio_floor=ink_policy.contrast_warn_below_ratio,
        shift_cap=settings.shift_cap if settings.shift_cap is not None else default.shift_cap,
        locked=settings.locked_inks,
        forced=tuple((when, before, after) for when, swaps in settings.colours for before, after in swaps),
        keyline_mm=keyline_width(settings, product),
        keyline_share=default.keyline_share if settings.keyline_mm is None else 0.0,
        single_ink=settings.single_ink or "",
        enclosed_white="cloth" if settings.enclosed_white == "see-through" else "ink",
    )


def on_ground(policy: RecolourPolicy, ground: str) -> RecolourPolicy:
    """The policy where the art's own ground fills the sheet: it keeps its colour, and a line around it is none around the art."""
    return replace(policy, locked=(*policy.locked, ground), rungs=tuple(rung for rung in policy.rungs if rung != "keyline"))


def keyline_width(settings: ArtworkSettings, product: Product) -> float:
    """Millimetres of a keyline: the settings' own, else 0.6 mm, and never thinner than the process can hold."""
    from vectorprep.recolour import RecolourPolicy

    least = product.limits.positive_line_min_mm or 0.0
    wanted = settings.keyline_mm if settings.keyline_mm is not None else RecolourPolicy().keyline_mm
    return max(wanted, least)


def is_remedied(settings: ArtworkSettings) -> bool:
    """Whether the seller asks for a remedy that is worked into the print picture."""
    return settings.see_through != "keep" or settings.clear_mist or settings.knock_out_black


def variant_for(blank: Blank, variants: Iterable[Variant]) -> str:
    """Name of the seller's own drawing for a blank: by its key, else its group, else `all`; an empty text for none."""
    found = {variant.when: variant.name for variant in variants}
    return found.get(blank.key) or found.get(group_of(blank)) or found.get("all") or ""


def in_force(settings: Settings, name: str, sha256: str, product: str = "") -> ArtworkSettings:
    """The effective settings of a drawing; what was accepted for another version of it is not accepted any more."""
    own = effective(settings, name, product)
    return replace(own, accept=settings.accept) if is_stale(own, sha256) else own


def is_stale(settings: ArtworkSettings, sha256: str) -> bool:
    """Whether the artwork's table was decided for another version of its drawing."""
    return bool(settings.decided_for) and settings.decided_for.removeprefix("sha256:") != sha256


def stale_finding(settings: ArtworkSettings, name: str, sha256: str) -> Finding | None:
    """What is said where it was."""
    if not is_stale(settings, sha256):
        return None
    return Finding(
        check="decision-stale",
        severity="warning",
        artwork=name,
        message="the drawing has changed since its settings were decided; what was accepted counts again, the rest still holds",
        fix="look at it on the review sheet and decide again, or take decided_for out of its settings",
        measured=sha256,
        limit=settings.decided_for,
    )


def accepted(finding: Finding, settings: ArtworkSettings) -> Finding:
    """The finding, as a note where the seller has accepted it."""
    if finding.check in settings.accept and finding.severity != "note":
        return replace(finding, severity="note", message=f"accepted in the settings: {finding.message}")
    return finding
