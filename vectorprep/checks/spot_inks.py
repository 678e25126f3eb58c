"""Inks where the process counts them: spots, film layers, gradients.

Comes in: evidence with inks and policies. Goes out: `spot-count-too-high`, `gradient-not-printable`. Never done here: separations.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence, OnBlank
from vectorprep.checks._where import place_of
from vectorprep.colour import delta_e_2000
from vectorprep.model import Explanation, Finding, Ink

SLUGS = {
    "spot-count-too-high": Explanation(
        cause="The drawing has more colours than the process prints in one go.",
        consequence="Every colour is a screen or a layer of film of its own: it costs more, or is refused.",
        remedy="Join colours that are nearly alike in the drawing. For screens name the pots, spot_inks ="
        ' { "Signal red" = "#b3202c" } in the'
        " settings, and other colours become dots of two of them; or print in one ink (single_ink), or choose an inkjet or film"
        " transfer product.",
    ),
    "gradient-not-printable": Explanation(
        cause="The drawing holds a gradient or a picture, and the process prints flat inks only.",
        consequence="Screens turn it into coarse dots; cut film cannot show it at all.",
        remedy="Replace it by flat steps, or choose an inkjet or film-transfer product.",
    ),
}
SAME_INK_DELTA_E = 3.0  # CIEDE2000 below which two colours are mixed as one ink (house value)
SEEN_SHARE = 0.001  # of the ink: smaller colours are rims of others (house value)


def check(evidence: Evidence) -> Iterator[Finding]:
    """The same on every blank: what is counted is the drawing."""
    counting = next((on for on in evidence.on_blanks if _most(on) is not None), None)
    if counting is not None:
        yield from _counted(evidence, counting)
    flat_only = next((on for on in evidence.on_blanks if _is_flat_only(on)), None)
    if flat_only is not None:
        yield from _ramps(evidence, flat_only)


def _most(on: OnBlank) -> int | None:
    policy = on.ink_policy
    return policy.spot_inks_max_count if policy.spot_inks_max_count is not None else policy.film_layers_max_count


def _is_flat_only(on: OnBlank) -> bool:
    return on.ink_policy.gradients == "fail" or on.ink_policy.soft_alpha == "halftone"


def _counted(evidence: Evidence, on: OnBlank) -> Iterator[Finding]:
    most, spots = _most(on), distinct(on.inks)
    if on.named_inks and on.ink_policy.spot_inks_max_count is not None:
        spots = spots[: on.named_inks]
    if most is not None and len(spots) > most:
        is_screen = on.ink_policy.spot_inks_max_count is not None
        other = "name the pots as spot_inks in the settings" if is_screen else "print it in one film (single_ink in the settings)"
        shown = ", ".join(spots[:6]) + (", ..." if len(spots) > 6 else "")
        yield Finding(
            check="spot-count-too-high",
            severity="warning",
            message=f"{len(spots)} inks ({shown}), the process prints {most}",
            fix=f"join {len(spots) - most} of them with others, {other}, or choose an inkjet or transfer product",
            measured=len(spots),
            limit=most,
            unit="inks",
            place_mm=place_of(evidence, tuple(spots[most:])),
            place_on="print",
        )


def distinct(inks: tuple[Ink, ...]) -> list[str]:
    """Colours that need an ink of their own, the largest first; steps of gradients are counted by their stops."""
    kept: list[str] = []
    for ink in sorted(inks, key=lambda ink: -ink.area_share):
        if ink.kind == "picture" or ink.area_share < SEEN_SHARE:
            continue
        if all(delta_e_2000(ink.colour, other) >= SAME_INK_DELTA_E for other in kept):
            kept.append(ink.colour)
    return kept


def _ramps(evidence: Evidence, on: OnBlank) -> Iterator[Finding]:
    share = sum(ink.area_share for ink in on.inks if ink.kind in {"ramp", "picture"})
    if share < SEEN_SHARE:
        return
    flat = tuple(ink.colour for ink in on.inks if ink.kind == "flat")
    what = "a picture" if any(ink.kind == "picture" for ink in on.inks) else "a gradient"
    yield Finding(
        check="gradient-not-printable",
        severity="warning",
        message=f"{what} on {share:.0%} of the ink, and the process prints flat inks only",
        fix="replace it by flat steps, or choose an inkjet or film-transfer product",
        measured=round(share, 4),
        limit=0.0,
        unit="share of the ink",
        place_mm=place_of(evidence, flat, of_others=True),
        place_on="print",
    )
