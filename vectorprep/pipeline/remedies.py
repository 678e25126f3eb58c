"""Remedies that the seller asks for: which of them a picture gets, and what they changed, told by the checks that mind it.

Comes in: settings, a product, a treatment, what the checks say before and after. Goes out: `Remedies`, findings.
Never done here: looking at pixels, drawing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from vectorprep.colour import delta_e_2000, lightness
from vectorprep.finish import Screen, Wrap, bent, bordered, cut, halved, knocked_out, screened, with_edge_colour, without_mist
from vectorprep.model import Blank, Finding, Placement, Product, Raster, Treatment
from vectorprep.outputs import inside
from vectorprep.outputs.picture import canvas_box, size_mm
from vectorprep.outputs.white_base_png import NO_BASE
from vectorprep.profiles import group_of, policy_for
from vectorprep.settings import ArtworkSettings

IntoFile = Callable[[Raster, Placement], Raster]
CHECK = "remedy-applied"
DARK_L = 25.0  # L* of cloth that takes the place of black (common practice, no source)
LIKE_BLACK_DELTA_E = 12.0  # CIEDE2000 (common practice, no source)
DEFAULT_RULING_LPI = 25.0  # common practice, no source: coarser than that no dot of a film transfer fits twice
KNOCKED_OUT = Treatment(kind="knock-out", reason="black is left out, as the settings ask, and the cloth shows")
MINDED = ("alpha-soft-interior", "alpha-near-zero")
WIDTHS = frozenset({"line-too-thin", "gap-too-narrow", "dot-too-small", "line-without-white-base", "seam-hairline"})
"""Checks of width and wholeness: dots of a screen are thin and apart, and meant to be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedies:
    """What is done to the pixels of one picture, lengths in mm."""

    see_through: str = "keep"
    is_mist_cleared: bool = False
    is_black_out: bool = False
    cell_mm: float = 1.0
    angle_deg: float = 45.0
    dot_mm: float = 0.1
    gap_mm: float = 0.1
    cut_share: float = 0.5

    @property
    def any(self) -> bool:
        """Whether anything is done."""
        return self.see_through != "keep" or self.is_mist_cleared or self.is_black_out

    def applied(self, raster: Raster, ppi: float) -> Raster:
        """The picture with all of them, in the order in which one makes work for the next."""
        if self.is_black_out:
            raster = knocked_out(raster)
        if self.is_mist_cleared:
            raster = without_mist(raster)
        if self.see_through == "cut":
            return cut(raster, self.cut_share)
        return raster if self.see_through == "keep" else screened(raster, self._screen(ppi / 25.4))

    def _screen(self, px_per_mm: float) -> Screen:
        return Screen(
            cell_px=self.cell_mm * px_per_mm,
            angle_deg=self.angle_deg,
            dot_px=self.dot_mm * px_per_mm,
            gap_px=self.gap_mm * px_per_mm,
            is_scattered=self.see_through == "stipple",
            cut_share=self.cut_share,
        )


def remedies_for(settings: ArtworkSettings, product: Product, treatment: Treatment) -> Remedies:
    """What the settings ask for on a product; cell, angle and least dot are those of its record."""
    policy, limits = product.ink_policy, product.limits
    return Remedies(
        see_through=settings.see_through,
        is_mist_cleared=settings.clear_mist,
        is_black_out=treatment == KNOCKED_OUT,
        cell_mm=25.4 / (policy.halftone_ruling_lpi or DEFAULT_RULING_LPI),
        angle_deg=45.0 if policy.halftone_angle_deg is None else policy.halftone_angle_deg,
        dot_mm=limits.dot_diameter_min_mm or 0.1,
        gap_mm=limits.negative_line_min_mm or 0.1,
        cut_share=policy.alpha_cut_fraction,
    )


def with_black_out(settings: ArtworkSettings, blank: Blank, treatment: Treatment) -> Treatment:
    """The treatment, or black left out where the settings ask for it, nothing else is done and the cloth is as good as black."""
    is_black = lightness(blank.colour) <= DARK_L and delta_e_2000("#000000", blank.colour) <= LIKE_BLACK_DELTA_E
    asked = settings.knock_out_black and is_black and treatment.kind in {"as-drawn", "ask"}
    return KNOCKED_OUT if asked else treatment


def on_the_way(settings: ArtworkSettings, product: Product) -> IntoFile | None:
    """What is done to a print on its way into its file: a sticker's border, else edge colours carried into clear pixels."""
    if product.cut is not None and settings.border == "art":
        cut_mm = product.cut.offset_outside_ink_mm or 0.0
        beyond_mm = float(product.bleed_mm) if product.cut.bleed_beyond_cut_max_mm is None else product.cut.bleed_beyond_cut_max_mm
        return partial(_with_border, reach_mm=cut_mm + beyond_mm)
    return into_file if settings.edge_colour else None


def _with_border(raster: Raster, placement: Placement, *, reach_mm: float) -> Raster:
    return inside(bordered(raster, reach_mm * placement.ppi / 25.4), placement.canvas_px)


def bend_of(product: Product) -> Callable[[Raster, int], Raster] | None:
    """How prints of a tapered cup are bent on their way into their file: a raster drawn at 1 or 2 times its size; else None."""
    taper = product.taper
    if taper is None or not product.is_bent:
        return None

    def bend(raster: Raster, times: int) -> Raster:
        canvas = product.file_size_px[0] * times, product.file_size_px[1] * times
        per_mm = product.resolution_ppi / 25.4 * times
        wrap = Wrap(taper=taper, middle_px=(canvas[0] / 2, float(product.area_mm[1]) * per_mm), px_per_mm=per_mm)
        made = bent(raster, wrap, canvas)
        return made if times == 1 else halved(made)

    return bend


def into_file(raster: Raster, placement: Placement) -> Raster:
    """The picture with its edge colours carried outward, as far as the canvas reaches."""
    made = with_edge_colour(raster)
    part = inside(made, placement.canvas_px)
    return replace(part, straight=True)


def measured_again(raster: Raster, placement: Placement) -> Placement:
    """The placement with the ink box of the picture as it now is; several copies keep theirs."""
    box = canvas_box(raster)
    if box is None or len(placement.placed) > 1:
        return placement
    placed = replace(placement.placed[0], ink_box_px=box, printed_mm=size_mm(box, placement.ppi))
    return replace(placement, placed=(placed,))


def cleared_share(before: Raster, after: Raster) -> float:
    """Share of the coverage that a picture has lost."""
    was, now = (float(raster.pixels[..., 3].sum(dtype="int64")) for raster in (before, after))
    return max(0.0, 1 - now / was) if was else 0.0


def needs_base(product: Product, blanks: Iterable[Blank]) -> bool:
    """Whether a white base lies under the inks on any of the blanks."""
    return any(policy_for(product, blank).white_ink not in NO_BASE for blank in blanks)


def has_base_screen(product: Product, blank: Blank) -> bool:
    """Whether a white base of its own lies below the art there: on all but pale cloth."""
    return policy_for(product, blank).white_ink == "separate_base_screen_on_dark_cloth" and group_of(blank) != "pale"


def told(remedies: Remedies, before: Iterable[Finding], after: Iterable[Finding], cleared: float = 0.0) -> Iterator[Finding]:
    """What the checks that mind coverage say of the picture as drawn and as it is printed; `cleared` is the share of ink gone."""
    left = {finding.check: finding for finding in after}
    seen: set[str] = set()
    for finding in before:
        if finding.check not in MINDED or finding.check in seen:
            continue
        seen.add(finding.check)
        rest = left.get(finding.check)
        now = (
            f"{rest.measured:.1%} of it now"
            if rest is not None and isinstance(rest.measured, float)
            else "none above the limit now"
        )
        was = f"{finding.measured:.1%}" if isinstance(finding.measured, float) else "a part"
        yield Finding(
            check=CHECK,
            severity="note",
            message=f"{_words(remedies, finding.check)}: {was} of the ink before, {now}",
            fix="look at the print file; take the line out of the settings to print it as drawn",
            measured=rest.measured if rest is not None else 0.0,
            limit=finding.limit,
            unit=finding.unit,
            place_mm=finding.place_mm,
            place_on=finding.place_on,
        )
    if remedies.is_black_out:
        yield Finding(
            check=CHECK,
            severity="note",
            message=f"black is knocked out: the cloth shows in its place, {cleared:.0%} of the ink is gone",
            fix="look at the preview on this blank; take knock_out_black out of the settings to print the black",
            measured=round(cleared, 4),
            unit="share of the ink",
        )


def by_art(remedies: Remedies, before: Iterable[Finding], after: Iterable[Finding]) -> Iterator[Finding]:
    """The findings that count: those of the picture as printed, but widths as drawn where the picture is a screen of dots."""
    is_screened = remedies.see_through in {"halftone", "stipple"}
    yield from (finding for finding in after if not is_screened or finding.check not in WIDTHS)
    yield from (finding for finding in before if is_screened and finding.check in WIDTHS)


def _words(remedies: Remedies, slug: str) -> str:
    if slug == "alpha-near-zero" and remedies.is_mist_cleared:
        return "faint ink cleared"
    named = {"cut": "see-through ink cut at its edge", "halftone": "see-through ink turned into dots in rows"}
    return named.get(remedies.see_through, "see-through ink turned into scattered dots")
