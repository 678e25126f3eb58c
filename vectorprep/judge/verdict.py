"""Will it be seen on this cloth: the verdict on one picture and one blank.

Comes in: a proof (or the raster to make it from), the blank, the inks of the artwork, how the process prints.
Goes out: a `Verdict` whose figure, ink, words and places belong together.
Never done here: drawing, changing inks.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import contrast_ratio, worst_delta_e
from vectorprep.judge.cloth import cloths
from vectorprep.judge.limits import WEAK
from vectorprep.judge.outline import Reading, read_outline
from vectorprep.judge.paint import as_printed, prevailing_ink, weakest_ink
from vectorprep.judge.pieces import box_of, fractions, labelled
from vectorprep.judge.plates import without_plate
from vectorprep.judge.proof import Proof, prepare, reduced_to, without_white
from vectorprep.judge.ratio import FLOOR, read_ratio
from vectorprep.judge.sight import doubled, sight
from vectorprep.judge.thin import hue_weights
from vectorprep.judge.words import fades_words, ratio_words, seen_words
from vectorprep.model import Verdict

if TYPE_CHECKING:
    from vectorprep.judge.kinds import Mask
    from vectorprep.model import Blank, Ink, Raster
    from vectorprep.model.result import Corners


LARGE_PIECE = 0.02
"""Share of the outline from which a faded piece is named by its place; the largest is always named (house value)."""
PLATE_WORDS = "; a rectangle behind it is nearly the colour of the cloth and not missed"
SEVERITY = {"clear": 0, "weak": 1, "lost": 2}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """One picture on one cloth: as drawn, as printed on it, the name of the blank, the inks, the process."""

    drawn: Proof
    printed: Proof
    cloth: str
    blank: str
    inks: tuple[Ink, ...]
    white_ink: bool

    def ink_at(self, faded: Mask) -> tuple[str, float, float]:
        """The ink of the faded outline, else the weakest in contact; its contrast ratio and least CIEDE2000 to the cloth."""
        where = self.drawn.edge & faded
        ink = prevailing_ink(self.drawn, where, self.inks) if where.any() else weakest_ink(self.drawn, self.cloth, self.inks)
        shown = as_printed(ink, self.cloth, self.inks, white_ink=self.white_ink)
        return ink, contrast_ratio(shown, self.cloth), worst_delta_e(shown, self.cloth)


def judge(
    proof: Raster | Proof,
    blank: Blank,
    *,
    inks: tuple[Ink, ...] = (),
    white_ink: bool = True,
    printed_mm: tuple[float, float] | None = None,
    strict: bool = False,
) -> Verdict:
    """The verdict on a picture on one blank; on heather that of the worst thread.

    Args:
        proof: premultiplied picture of the artwork as printed, cropped to its ink, long side 512 px; or `prepare`d from it.
        blank: the cloth.
        inks: inks of the artwork, as measured.
        white_ink: whether white is printed; without it white paint is bare cloth and colours multiply with the cloth.
        printed_mm: printed size of the ink box.
        strict: judge by contrast ratio instead of by the outline.
    """
    prepared = prepare(proof)
    if prepared is None:
        return _nothing()
    found = []
    for cloth in cloths(blank):
        case = Case(
            drawn=prepared,
            printed=prepared if white_ink else without_white(prepared, cloth),
            cloth=cloth,
            blank=blank.name,
            inks=inks,
            white_ink=white_ink,
        )
        found.append(_by_ratio(case, printed_mm) if strict else _by_outline(case, printed_mm))
    return max(found, key=lambda verdict: (SEVERITY[verdict.word], verdict.outline_faded))


def _nothing() -> Verdict:
    return Verdict(
        word="lost",
        decided_by="outline",
        outline_faded=1.0,
        area_faded=1.0,
        contrast_ratio=1.0,
        delta_e=0.0,
        deciding="nothing is printed",
        limit=WEAK,
    )


def _by_outline(case: Case, printed_mm: tuple[float, float] | None) -> Verdict:
    hues = hue_weights(case.drawn, printed_mm)
    seen = sight(case.printed, case.cloth, hues)
    reading, has_plate = read_outline(case.printed, seen), False
    plate = None if reading.word == "clear" else without_plate(case.printed, seen)
    if plate is not None:
        rest = plate.rest
        on_it = read_outline(rest, sight(rest, case.cloth, hues))
        if on_it.word == "clear" or plate.is_unseen:
            # The drawn picture lends its ink's places, the printed one its colours.
            case = replace(case, drawn=reduced_to(case.drawn, rest.ink), printed=rest)
            reading, has_plate = on_it, True
    clear = reading.word == "clear"
    ink, ratio, delta_e = case.ink_at(doubled(reading.faded >= 0.5))
    return Verdict(
        word=reading.word,
        decided_by="outline",
        outline_faded=reading.outline_faded,
        area_faded=reading.area_faded,
        contrast_ratio=ratio,
        delta_e=delta_e,
        deciding=_words(case, reading, ink, ratio) + (PLATE_WORDS if has_plate else ""),
        ink=ink,
        places=() if clear else _places(case.drawn, doubled(reading.faded > 0)),
        limit=WEAK,
        has_plate=has_plate,
    )


def _words(case: Case, reading: Reading, ink: str, ratio: float) -> str:
    if reading.word == "clear":
        return seen_words(reading.outline_faded, WEAK)
    return fades_words(ink, case.blank, ratio, reading.outline_faded)


def _by_ratio(case: Case, printed_mm: tuple[float, float] | None) -> Verdict:
    reading = read_ratio(case.printed, case.cloth, printed_mm=printed_mm)
    clear = reading.word == "clear"
    ink, ratio, delta_e = case.ink_at(reading.spots if not clear else np.zeros_like(reading.spots))
    return Verdict(
        word=reading.word,
        decided_by="ratio",
        outline_faded=reading.failing,
        area_faded=float(np.count_nonzero(reading.spots) / np.count_nonzero(case.drawn.ink)),
        contrast_ratio=ratio,
        delta_e=delta_e,
        deciding=ratio_words(ink, case.blank, ratio, FLOOR if clear else reading.floor),
        ink=ink,
        places=() if clear else _places(case.drawn, reading.spots),
        limit=FLOOR if clear else reading.floor,
    )


def _places(proof: Proof, faded: Mask) -> tuple[Corners, ...]:
    """Boxes of the large faded pieces in fractions of the ink box, the one with most outline first."""
    labels, count = labelled(faded)
    weights = np.bincount(labels[proof.edge], minlength=count + 1)[1:]
    large = LARGE_PIECE * np.count_nonzero(proof.edge)
    order = np.argsort(-weights, kind="stable").tolist()
    chosen = [piece for rank, piece in enumerate(order) if rank == 0 or weights[piece] >= large]
    return tuple(fractions(proof.box_px, box_of(labels == piece + 1)) for piece in chosen)
