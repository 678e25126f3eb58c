"""How far the verdict agrees with eyes: missed pairs, false alarms, the same in cross-validation, CPU a pair.

Comes in: the labelled pairs of `tests/judge/*.json` and the folder of the open drawings they name (VECTORPREP_CORPUS).
Goes out: a table on the terminal, with every pair that is judged wrongly.

    VECTORPREP_CORPUS=... python tests/benchmarks/judge_agreement.py [eyes.json ...]
"""

from __future__ import annotations

import json
import os
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from vectorprep.engine import Engine, draw_window, open_engine
from vectorprep.fonts import FontIndex, load_index
from vectorprep.judge import judge, prepare, proof_window
from vectorprep.judge.limits import WEAK
from vectorprep.measure import measure
from vectorprep.model import Blank, Raster, Verdict
from vectorprep.read import read_artwork

HOME = Path(__file__).resolve().parent.parent / "judge"
SETS = ("eyes.json", "eyes_hard.json", "eyes_fresh.json", "eyes_more.json", "eyes_own.json")
PROOF_PX = 512
PRINTED_MM = (280.0, 280.0)
FOLDS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One labelled pair and what the measure says; `label` is None where two labellers disagree."""

    pair: dict[str, Any]
    label: bool | None
    verdict: Verdict
    cpu_ms: float
    prepare_ms: float


def drawing_bytes(corpus: Path, pair: dict[str, Any]) -> bytes:
    """The drawing of a pair: of a package of the corpus, or one of our own beside the tests."""
    if pair["package"] == "own":
        return (HOME / "art" / str(pair["path"])).read_bytes()
    folder = corpus / "oca/usr/share/openclipart" if pair["package"] == "openclipart-svg" else corpus / "node_modules"
    return (folder / str(pair["path"])).read_bytes()


def proof_of(data: bytes, name: str, engine: Engine, fonts: FontIndex) -> Raster:
    """The proof of a drawing: its ink box, long side 512 px."""
    measured = measure(read_artwork(data, name=name, fonts=fonts), engine, with_inks=False)
    window = proof_window(measured)
    if window is None:
        raise ValueError(f"{name} holds no ink")
    longest = max(window.width, window.height)
    width, height = (max(1, round(PROOF_PX * side / longest)) for side in (window.width, window.height))
    return draw_window(engine, measured.artwork, window, width, height)


def label_of(pair: dict[str, Any]) -> bool | None:
    """True where eyes say weak or lost, None where two pairs of eyes disagree."""
    first, second = pair["verdict"] != "clear", pair.get("second", pair["verdict"]) != "clear"
    return first if first == second else None


def blank_of(pair: dict[str, Any]) -> Blank:
    """The blank of a pair; heather where it says so."""
    colour = pair["blank"]
    return Blank(key=colour, name=colour, colour=colour, texture="heather" if pair.get("heather") else "smooth")


def judged(corpus: Path, pairs: list[dict[str, Any]]) -> list[Row]:
    """Every pair judged, in order."""
    fonts = load_index(system=False)
    engine, rows = open_engine(font_files=fonts.files), []
    for pair in pairs:
        raster = proof_of(drawing_bytes(corpus, pair), pair["id"], engine, fonts)
        start = time.process_time()
        proof = prepare(raster)
        ready = time.process_time()
        verdict = judge(proof if proof is not None else raster, blank_of(pair), printed_mm=PRINTED_MM)
        done = time.process_time()
        rows.append(
            Row(
                pair=pair,
                label=label_of(pair),
                verdict=verdict,
                cpu_ms=(done - ready) * 1000,
                prepare_ms=(ready - start) * 1000,
            )
        )
    return rows


def errors(rows: list[Row], limit: float) -> tuple[list[Row], list[Row]]:
    """Missed pairs and false alarms at a limit of the outline's share."""
    missed = [row for row in rows if row.label is True and row.verdict.outline_faded < limit]
    alarms = [row for row in rows if row.label is False and row.verdict.outline_faded >= limit]
    return missed, alarms


def best_limit(rows: list[Row]) -> float:
    """The limit with the least sum of both error shares; in the middle of its plateau."""
    grid = np.arange(0.02, 0.301, 0.005)
    weak = max(1, sum(row.label is True for row in rows))
    clear = max(1, sum(row.label is False for row in rows))
    sums = [len(missed) / weak + len(alarms) / clear for missed, alarms in (errors(rows, limit) for limit in grid)]
    return float(np.median(grid[np.isclose(sums, min(sums))]))


def cross_validated(rows: list[Row]) -> tuple[int, int]:
    """Missed and false alarms where the limit is chosen on the other folds; one artwork is in one fold only."""
    names = sorted({row.pair["path"] for row in rows})
    order = np.random.default_rng(1).permutation(len(names))
    fold = {names[index]: place % FOLDS for place, index in enumerate(order)}
    missed = alarms = 0
    for number in range(FOLDS):
        limit = best_limit([row for row in rows if fold[row.pair["path"]] != number])
        found = errors([row for row in rows if fold[row.pair["path"]] == number], limit)
        missed, alarms = missed + len(found[0]), alarms + len(found[1])
    return missed, alarms


def described(rows: list[Row], title: str) -> str:
    """The table of one set."""
    weak, clear = sum(row.label is True for row in rows), sum(row.label is False for row in rows)
    missed, alarms = errors(rows, WEAK)
    crossed = cross_validated(rows) if weak > FOLDS else None
    cpu = np.array([row.cpu_ms for row in rows])
    lines = [
        f"{title}: {len(rows)} pairs, {weak} not clear, {clear} clear, {len(rows) - weak - clear} undecided",
        f"  limit {WEAK}: missed {len(missed)}/{weak}, false alarms {len(alarms)}/{clear},"
        f" of them {sum(bool(row.pair.get('part')) for row in alarms)} where eyes saw a part fade",
        f"  cross-validated by artwork: missed {crossed[0]}/{weak}, false alarms {crossed[1]}/{clear}" if crossed else "",
        f"  CPU a pair: mean {cpu.mean():.1f} ms, p95 {np.percentile(cpu, 95):.1f}; made ready once an artwork:"
        f" {np.mean([row.prepare_ms for row in rows]):.1f} ms",
    ]
    for word, wrong in (("missed", missed), ("alarm", alarms)):
        lines += [
            f"    {word} {row.pair['id']} {row.verdict.outline_faded:.3f} {row.pair['blank']} {row.pair['path']}" for row in wrong
        ]
    return "\n".join(line for line in lines if line)


def pairs_in(name: str) -> list[dict[str, Any]]:
    """The labelled pairs of one file."""
    found: list[dict[str, Any]] = json.loads((HOME / name).read_text(encoding="utf-8"))["pairs"]
    return found


def main() -> None:
    """Prints the table of each set."""
    corpus = Path(os.environ["VECTORPREP_CORPUS"])
    for name in sys.argv[1:] or SETS:
        sys.stdout.write(described(judged(corpus, pairs_in(name)), name) + "\n")


if __name__ == "__main__":
    main()
