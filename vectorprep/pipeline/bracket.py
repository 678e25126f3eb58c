"""The bracket: treat, draw, judge, until the picture is clear on the cloth or the ladder ends.

Comes in: one measured artwork with its engine, a blank, a policy. Goes out: the verdict as drawn, the treatment, the
verdict after it, and the artwork to print. Each distinct question is answered once, however many products ask it.
Never done here: the rules of judging (`judge`) and of recolouring (`recolour`), print files.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from vectorprep.engine import Engine, draw_placed, draw_window
from vectorprep.geometry import Box
from vectorprep.judge import Proof, faded_parts, judge, melted_lines, off_ground, prepare, proof_window
from vectorprep.model import Artwork, Blank, FadedPart, Ink, Measurement, Placement, Raster, Treatment, Verdict
from vectorprep.pipeline.room import make_room
from vectorprep.recolour import RecolourPolicy, keyline_raster, propose
from vectorprep.recolour.apply import apply

PROOF_PX = 512  # long side of a proof
PARTS_FROM = 0.01  # share of the outline: a part that vanishes takes at least that much of it
AS_DRAWN = Treatment(kind="as-drawn", reason="clear as drawn")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What was decided for one artwork on one blank, and the artwork that is printed there."""

    before: Verdict
    after: Verdict
    treatment: Treatment
    artwork: Artwork
    measured: Measurement
    parts_before: tuple[FadedPart, ...] = ()
    parts_after: tuple[FadedPart, ...] = ()
    """Separate parts that vanish although the verdict is clear, as drawn and with the treatment."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Everything a decision depends on, so that equal questions are answered once."""

    colour: str
    texture: str
    blank: str
    white_ink: bool
    printed_mm: tuple[float, float]
    policy: RecolourPolicy
    strict: bool
    is_ground: bool = False
    """Whether the colour is the artwork's own plain ground, which fills the sheet."""


@dataclass(slots=True)
class Bench:
    """One artwork on the bench: its proofs and answers so far. Lives inside one job and never leaves it."""

    measured: Measurement
    engine: Engine
    variants: dict[str, Measurement] = field(default_factory=dict)
    """The seller's own drawings for single blanks, by the name they carry in the settings."""
    _proofs: dict[bytes, Raster] = field(default_factory=dict)
    _prepared: dict[bytes, Proof | None] = field(default_factory=dict)
    _answers: dict[Question, Settled] = field(default_factory=dict)
    _last: tuple[tuple[bytes, Placement], tuple[Raster, Placement]] | None = None

    def draw_placed(self, artwork: Artwork, placement: Placement, *, keep: bool) -> tuple[Raster, Placement]:
        """The artwork at its place.

        Args:
            artwork: what is drawn.
            placement: where.
            keep: whether it is asked for again: a picture with a keyline begins with the same pixels as the one without.
        """
        key = (artwork.markup, placement)
        kept, self._last = self._last, None
        drawn = kept[1] if kept is not None and kept[0] == key else None
        kept = None  # before anything is drawn: two print pictures at once are the most that a worker should hold
        if drawn is None:
            make_room()
            drawn = draw_placed(self.engine, artwork, placement)
        self._last = (key, drawn) if keep else None
        return drawn

    def settle(self, question: Question, blank: Blank, variant: str = "") -> Settled:
        """The decision for one blank.

        Args:
            question: what the decision depends on.
            blank: the cloth asked about.
            variant: name of the seller's own drawing for this blank, or an empty text; it wins over any automatic change.
        """
        known = self._answers.get(question)
        if known is None or known.treatment.variant != variant:
            known = self._with_variant(question, blank, variant) if variant else self._by_ladder(question, blank)
            known = self._with_parts(known, question, blank)
            self._answers[question] = known
        return known

    def _with_parts(self, found: Settled, question: Question, blank: Blank) -> Settled:
        """The decision with the parts that vanish, as drawn and as printed."""
        drawn = replace(found, after=found.before, treatment=AS_DRAWN, artwork=self.measured.artwork, measured=self.measured)
        first = self._parts(drawn, question, blank)
        is_same = found.treatment.kind in {"as-drawn", "ask"}
        return replace(found, parts_before=first, parts_after=first if is_same else self._parts(found, question, blank))

    def _parts(self, found: Settled, question: Question, blank: Blank) -> tuple[FadedPart, ...]:
        if found.after.word != "clear" or found.after.outline_faded < PARTS_FROM:
            return ()
        proof = self._shown(found.artwork, found.measured, found.treatment, question)
        if proof is None:
            return ()
        inks = swapped_inks(found.measured.inks, found.treatment)
        return faded_parts(proof, blank, inks=inks, white_ink=question.white_ink, printed_mm=question.printed_mm)

    def _with_variant(self, question: Question, blank: Blank, variant: str) -> Settled:
        measured = self.variants[variant]
        before = self._judged(self.measured.artwork, self.measured, question, blank)
        after = self._judged(measured.artwork, measured, question, blank)
        treatment = Treatment(kind="drawn-variant", variant=variant, reason=f"the settings name {variant} for this blank")
        return Settled(before=before, after=after, treatment=treatment, artwork=measured.artwork, measured=measured)

    def _by_ladder(self, question: Question, blank: Blank) -> Settled:
        artwork = self.measured.artwork
        before = self._judged(artwork, self.measured, question, blank)
        drawn = Settled(before=before, after=before, treatment=AS_DRAWN, artwork=artwork, measured=self.measured)
        if before.word == "clear" and not has_wishes(question.policy):
            return drawn
        reason = "nothing on the ladder helps"
        wish: Settled | None = None
        for treatment in self._rungs(question, blank, before):
            if treatment.kind in {"as-drawn", "ask"}:
                reason = treatment.reason or reason
                continue
            tried = self._tried(treatment, question, blank, before)
            if tried.after.word == "clear" or treatment.kind == "single-ink":
                return tried
            wish = wish or (tried if treatment.is_wish else None)
        if wish is not None:
            return wish
        return drawn if before.word == "clear" else replace(drawn, treatment=Treatment(kind="ask", reason=reason))

    def _rungs(self, question: Question, blank: Blank, verdict: Verdict) -> tuple[Treatment, ...]:
        return propose(
            self.measured.inks,
            blank,
            policy=question.policy,
            verdict=verdict,
            white_ink=question.white_ink,
            has_pictures=bool(self.measured.artwork.images),
            has_text=bool(self.measured.artwork.text),
            strict=question.strict,
            printed_long_mm=max(question.printed_mm),
        )

    def _tried(self, treatment: Treatment, question: Question, blank: Blank, before: Verdict) -> Settled:
        artwork = apply(self.measured.artwork, treatment)
        inks = swapped_inks(self.measured.inks, treatment)
        after = self._judged(artwork, replace(self.measured, inks=inks), question, blank, treatment=treatment)
        if treatment.swaps and not treatment.is_wish and self._melts(artwork):
            after = replace(after, word=before.word)
        return Settled(before=before, after=after, treatment=treatment, artwork=artwork, measured=self.measured)

    def _judged(
        self, artwork: Artwork, measured: Measurement, question: Question, blank: Blank, *, treatment: Treatment = AS_DRAWN
    ) -> Verdict:
        proof = self._shown(artwork, measured, treatment, question)
        return judge(
            proof if proof is not None else _EMPTY,
            blank,
            inks=measured.inks,
            white_ink=question.white_ink,
            printed_mm=question.printed_mm,
            strict=question.strict,
        )

    def _melts(self, artwork: Artwork) -> bool:
        """Whether inner lines of the drawing are lost by a change of inks."""
        first, second = self._proof(self.measured.artwork, self.measured), self._proof(artwork, self.measured)
        return first is not None and second is not None and bool(melted_lines(first, second))

    def _shown(self, artwork: Artwork, measured: Measurement, treatment: Treatment, question: Question) -> Proof | None:
        if treatment.kind == "keyline":
            return self._keylined(artwork, measured, treatment, question.printed_mm)
        return self._on_ground(artwork, measured, question.colour) if question.is_ground else self._proof(artwork, measured)

    def _on_ground(self, artwork: Artwork, measured: Measurement, ground: str) -> Proof | None:
        key = artwork.markup + ground.encode()
        if key not in self._prepared:
            whole = self._proof(artwork, measured)
            self._prepared[key] = None if whole is None else off_ground(whole, ground)
        return self._prepared[key]

    def _proof(self, artwork: Artwork, measured: Measurement) -> Proof | None:
        key = artwork.markup
        if key not in self._prepared:
            self._prepared[key] = prepare(self._drawn(artwork, measured))
        return self._prepared[key]

    def _drawn(self, artwork: Artwork, measured: Measurement) -> Raster:
        key = artwork.markup
        if key not in self._proofs:
            window = proof_window(measured) or Box(0, 0, *measured.page_mm)
            width, height = proof_size(window)
            self._proofs[key] = draw_window(self.engine, artwork, window, width, height)
        return self._proofs[key]

    def _keylined(
        self, artwork: Artwork, measured: Measurement, treatment: Treatment, printed_mm: tuple[float, float]
    ) -> Proof | None:
        drawn = self._drawn(artwork, measured)
        px_per_mm = max(drawn.pixels.shape[:2]) / max(printed_mm)
        pixels = keyline_raster(drawn.pixels, treatment.keyline_mm * px_per_mm, treatment.keyline_colour)
        return prepare(Raster(pixels=pixels))


def has_wishes(policy: RecolourPolicy) -> bool:
    """Whether the seller asks for a change that does not wait for a bad verdict."""
    return bool(policy.single_ink or policy.forced) or policy.enclosed_white == "cloth"


_EMPTY = Raster(pixels=np.zeros((1, 1, 4), np.uint8))


def proof_size(window: Box) -> tuple[int, int]:
    """Pixels of a proof of a window: long side 512, the other in proportion, at least 1."""
    longest = max(window.width, window.height)
    return max(1, round(PROOF_PX * window.width / longest)), max(1, round(PROOF_PX * window.height / longest))


def swapped_inks(inks: tuple[Ink, ...], treatment: Treatment) -> tuple[Ink, ...]:
    """The inks after a treatment, so that words about the new picture name the new colours."""
    after = {swap.before: swap.after for swap in treatment.swaps}
    return tuple(
        replace(
            ink,
            colour=after.get(ink.colour, ink.colour),
            touches=tuple((after.get(colour, colour), share) for colour, share in ink.touches),
        )
        for ink in inks
    )
