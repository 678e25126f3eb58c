"""The share of the outline that fades into the cloth with nothing visible beside it, and where.

Comes in: a proof and its sight on one cloth. Goes out: a `Reading`.
Only the boundary of ink against cloth is judged (lines between inks look the same on every cloth), and a stretch that fades
counts only where nothing visible is close beside it: a black keyline lost on black does no harm around a yellow fill.
A visible body carries farther than a visible line: the lost rim of a bright globe does no harm, a lost arm does.
Strength is no matter of yes or no: the picture is read at several steps of the strength needed, and the shares are averaged.
Never done here: colour arithmetic, words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.judge.discs import grow, opened, shrink, without_holes
from vectorprep.judge.limits import BESIDE, BODIES, BODY, BODY_SHAPE, GONE, LINE, LOST, SHAPE, SOLID, SPECK, STEPS, WEAK
from vectorprep.judge.sight import any_of

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Light, Mask
    from vectorprep.judge.proof import Proof
    from vectorprep.judge.sight import Sight
    from vectorprep.model.result import VerdictWord


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reading:
    """What the eye loses: shares of outline and area, how much each block of 2 x 2 fades (0..1), the word."""

    outline_faded: float
    area_faded: float
    faded: Light
    word: VerdictWord


def read_outline(proof: Proof, seen: Sight) -> Reading:
    """The reading of one picture."""
    ink = any_of(proof.ink)
    outline = max(1.0, float(proof.rim.sum()))
    faded = np.zeros(ink.shape, np.float32)
    last: Mask | None = None
    lost = np.zeros_like(ink)
    for step in STEPS:
        visible = visible_ink(seen, step, proof.long_px / 2)
        if last is None or not np.array_equal(visible, last):
            lost = _lost(ink, visible, proof, SPECK * outline)
        if not lost.any():
            break
        faded += lost
        last = visible
    faded /= len(STEPS)
    outline_faded = float((proof.rim * faded).sum()) / outline
    area_faded = float(faded.sum()) / max(1, int(np.count_nonzero(ink)))
    word: VerdictWord = "clear" if outline_faded < WEAK else "weak"
    if word == "weak" and _is_lost(proof, seen, ink):
        word = "lost"
    return Reading(outline_faded=outline_faded, area_faded=area_faded, faded=faded, word=word)


def visible_ink(seen: Sight, step: float, long_px: float) -> Mask:
    """Lines, solid shapes and large bodies that reach `step` times the strength they need."""
    visible: Mask = seen.line >= LINE * step
    for strength, width in ((SHAPE, SOLID), (BODY_SHAPE, BODY)):
        shapes = seen.shape >= strength * step
        if not np.array_equal(visible, shapes):
            visible = visible | opened(shapes, width / 2 * long_px)
    return visible


def _lost(ink: Mask, visible: Mask, proof: Proof, speck: float) -> Mask:
    """Ink that no visible ink carries; nothing where it makes up less than a speck of outline."""
    long_px = proof.long_px / 2
    lost = ink & ~grow(visible, BESIDE * long_px)
    if _is_speck(lost, proof, speck):
        return np.zeros_like(ink)
    body = without_holes(visible)
    for half_width in BODIES:
        core = shrink(body, half_width * long_px)
        if not core.any():
            break
        lost &= ~grow(core, 2 * half_width * long_px)
        if _is_speck(lost, proof, speck):
            return np.zeros_like(ink)
    return lost


def _is_speck(lost: Mask, proof: Proof, speck: float) -> bool:
    return float(proof.rim[lost].sum()) < speck


def _is_lost(proof: Proof, seen: Sight, ink: Mask) -> bool:
    """Whether the picture cannot be made out: nearly all of it fades, and half of its outline has nothing of strength near it."""
    long_px, outline = proof.long_px / 2, float(proof.rim.sum())
    lost = ink & ~grow(visible_ink(seen, 1.0, long_px), BESIDE * long_px)
    shares = float(proof.rim[lost].sum()) / outline, np.count_nonzero(lost) / np.count_nonzero(ink)
    if min(shares) < LOST:
        return False
    gone = ~grow(seen.line >= GONE, BESIDE * long_px)
    return 2 * float(proof.rim[gone].sum()) >= outline
