"""Whether the cut line of a sticker is one that a cutter can follow and that leaves a sticker in one piece.

Comes in: evidence whose outputs hold a cut line with its figures. Goes out: `cut-not-one-piece`, `cut-gap-too-small`,
`cut-radius-too-small`, `cut-bridge-too-narrow`, `cut-piece-too-small`, `cut-holes`. Never done here: finding the line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from vectorprep.checks._evidence import Evidence
from vectorprep.model import Explanation, Finding

if TYPE_CHECKING:
    from vectorprep.model import CutRule

SLUGS = {
    "cut-not-one-piece": Explanation(
        cause="Parts of the drawing lie so far apart that the line around them falls into separate pieces.",
        consequence="A die-cut sticker comes as loose parts; a kiss-cut one peels off in several.",
        remedy="Move the parts together, put a shape behind them, or raise offset_outside_ink_mm of the product's [cut].",
    ),
    "cut-gap-too-small": Explanation(
        cause="Two cut lines run closer together than the product's record allows.",
        consequence="The strip between them lifts, or the knife tears it.",
        remedy="Move the parts apart or together, or ask for smaller stickers.",
    ),
    "cut-radius-too-small": Explanation(
        cause="The cut line turns more sharply than the cutter can.",
        consequence="The knife drags, corners lift or stay attached.",
        remedy="Round the drawing's outline there, or raise the offset of the cut.",
    ),
    "cut-bridge-too-narrow": Explanation(
        cause="Two parts of the sticker hang together by a strip that is narrower than the record's least width.",
        consequence="The sticker tears there when it is peeled.",
        remedy="Move the parts together or put a shape behind them.",
    ),
    "cut-holes": Explanation(
        cause="The drawing has openings that are wide enough to be cut out, and nothing lies in them.",
        consequence="What shows through the sticker there is what it is stuck on. Narrower openings stay filled with vinyl.",
        remedy="Nothing, if that is meant. To keep them filled take hole_width_min_mm out of the product's [cut], or draw a white"
        " shape in the opening.",
    ),
    "cut-piece-too-small": Explanation(
        cause="A piece of the cut is smaller than the least sticker of the product's record.",
        consequence="It is lost in weeding or comes off with its neighbour.",
        remedy="Print larger, or join the piece to a larger one.",
    ),
}
SLACK_MM = 0.05
"""A cutter's own precision (house value)."""


def check(evidence: Evidence) -> Iterator[Finding]:
    """What is wrong with the cut; nothing where there is none."""
    rule = evidence.product.cut
    facts = next((dict(output.facts) for output in evidence.outputs if output.kind == "cut-svg"), None)
    if rule is None or not facts:
        return
    yield from _pieces(facts, rule)
    yield from _shape(facts, rule)


def _pieces(facts: Mapping[str, float], rule: CutRule) -> Iterator[Finding]:
    pieces = round(facts["cut-pieces"])
    if pieces > 1:
        yield Finding(
            check="cut-not-one-piece",
            severity="error" if rule.single_piece else "note",
            message=f"the cut falls into {pieces} pieces",
            measured=pieces,
            limit=1,
            unit="pieces",
            fix="move the parts together or put a shape behind them",
        )
    if rule.sticker_side_min_mm and facts["cut-side-mm"] < rule.sticker_side_min_mm - SLACK_MM:
        yield _short("cut-piece-too-small", "the smallest piece is", facts["cut-side-mm"], rule.sticker_side_min_mm, "warning")
    if rule.gap_between_cuts_min_mm and facts["cut-gap-mm"] < rule.gap_between_cuts_min_mm - SLACK_MM:
        yield _short("cut-gap-too-small", "two cut lines lie apart by", facts["cut-gap-mm"], rule.gap_between_cuts_min_mm)
    holes = round(facts["cut-holes"])
    if holes and rule.fill_holes:
        yield Finding(
            check="cut-holes",
            severity="note",
            message=f"{holes} opening{'s' if holes > 1 else ''} of the drawing {'are' if holes > 1 else 'is'} cut out,"
            f" the narrowest {facts['cut-hole-width-mm']:.1f} mm wide in the cut; narrower ones are filled",
            measured=round(facts["cut-hole-width-mm"], 2),
            limit=rule.hole_width_min_mm,
            unit="mm",
            fix="look at the cut; to fill them take hole_width_min_mm out of the product's [cut]",
        )
    limit = facts["cut-bridge-limit-mm"]
    if not facts["cut-bridges-hold"]:
        yield Finding(
            check="cut-bridge-too-narrow",
            severity="warning",
            message=f"parts of the sticker hang together by less than {limit:.4g} mm",
            limit=limit,
            unit="mm",
            fix="move the parts together or put a shape behind them",
        )


def _shape(facts: Mapping[str, float], rule: CutRule) -> Iterator[Finding]:
    sides = (("inner", rule.inner_radius_min_mm), ("outer", rule.outer_radius_min_mm))
    for side, limit in sides:
        measured = facts[f"cut-{side}-radius-mm"]
        if side == "outer" and not facts["cut-bridges-hold"]:  # a narrow strip looks like one too; it is named already
            continue
        if limit and measured < limit - SLACK_MM:
            yield _short("cut-radius-too-small", f"the least {side} radius of the cut is", measured, limit)


def _short(slug: str, words: str, measured: float, limit: float, severity: str = "error") -> Finding:
    return Finding(
        check=slug,
        severity="warning" if severity == "warning" else "error",
        message=f"{words} {measured:.2f} mm, below {limit:.4g} mm",
        measured=round(measured, 3),
        limit=limit,
        unit="mm",
        fix=SLUGS[slug].remedy,
    )
