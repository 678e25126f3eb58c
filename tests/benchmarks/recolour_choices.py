"""What the ladder chooses on 40 drawings of many kinds and 8 blanks, and what comes of it; --sheet shows each change.

Comes in: the folder of the open drawings (VECTORPREP_CORPUS), drawings of our own from `sample_svgs`.
Goes out: counts on the terminal; PNG sheets of every changed pair, as drawn on the left, as printed on the right.

    VECTORPREP_CORPUS=... python tests/benchmarks/recolour_choices.py [--seed 2026] [--sheet changed.png]
"""

from __future__ import annotations

import argparse
import os
import random
import sys
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from vectorprep.colour import delta_e_2000
from vectorprep.engine import Engine, draw_window, open_engine
from vectorprep.errors import ArtworkRefused
from vectorprep.fonts import load_index
from vectorprep.measure import measure
from vectorprep.model import Artwork, Blank, Measurement, Treatment
from vectorprep.pipeline.bracket import Bench, Question, Settled
from vectorprep.profiles import load_catalogue
from vectorprep.read import read_artwork
from vectorprep.recolour import RecolourPolicy, keyline_raster
from vectorprep.store import builtin_profiles

ROOT = Path(__file__).resolve().parents[2]
BLANKS = ("white", "natural", "ash", "royal", "forest", "charcoal", "navy", "black")
SETS = (
    ("node_modules/openmoji/color/svg", 8),
    ("node_modules/openmoji/black/svg", 4),
    ("node_modules/@twemoji/svg", 8),
    ("oca/usr/share/openclipart/svg", 14),
)
OWN = 6
PRINTED_MM = 280.0
UNCHANGED = ("as-drawn", "ask")
TILE_PX, COLUMNS = 190, 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One drawing on one blank, and what was decided in how much CPU."""

    name: str
    blank: Blank
    measured: Measurement
    settled: Settled
    cpu_ms: float

    @property
    def is_changed(self) -> bool:
        """Whether anything was done to it."""
        return self.settled.treatment.kind not in UNCHANGED

    @property
    def moved(self) -> float:
        """Mean CIEDE2000 by which its ink moved, weighted by area."""
        shares = {ink.colour: ink.area_share for ink in self.measured.inks}
        return sum(delta_e_2000(s.before, s.after) * shares.get(s.before, 0.0) for s in self.settled.treatment.swaps)

    @property
    def merged(self) -> int:
        """Inks that were distinct and no longer are."""
        after = {swap.before: swap.after for swap in self.settled.treatment.swaps if not swap.is_open}
        inks = [ink.colour for ink in self.measured.inks]
        return len(set(inks)) - len({after.get(ink, ink) for ink in inks})

    @property
    def below_floor(self) -> int:
        """Changed inks in contact with the cloth that miss the ratio of 3."""
        contact = {ink.colour for ink in self.measured.inks if ink.in_contact}
        return sum(swap.ratio_after < 3.0 for swap in self.settled.treatment.swaps if swap.before in contact and not swap.is_open)


def drawings(corpus: Path, seed: int) -> list[Path]:
    """The drawings, picked by seed."""
    rng = random.Random(seed)
    folders = [(corpus / folder, count) for folder, count in SETS] + [(ROOT / "sample_svgs", OWN)]
    return [path for folder, count in folders for path in rng.sample(sorted(folder.rglob("*.svg")), count)]


def settled(path: Path, engine: Engine, blanks: list[Blank]) -> list[Row]:
    """One drawing on every blank, printed 280 mm long; none where it is refused or holds no ink."""
    try:
        measured = measure(read_artwork(path.read_bytes(), name=path.stem, fonts=load_index(system=False)), engine)
    except ArtworkRefused:
        return []
    box = measured.ink_box_mm
    if box is None:
        return []
    scale = PRINTED_MM / max(box.width, box.height)
    bench, rows = Bench(measured=measured, engine=engine), []
    for blank in blanks:
        question = Question(
            colour=blank.colour,
            texture=blank.texture,
            blank=blank.key,
            white_ink=True,
            printed_mm=(box.width * scale, box.height * scale),
            policy=RecolourPolicy(),
            strict=False,
        )
        start = time.process_time()
        found = bench.settle(question, blank)
        cpu = (time.process_time() - start) * 1000
        rows.append(Row(name=path.stem, blank=blank, measured=measured, settled=found, cpu_ms=cpu))
    return rows


def described(rows: list[Row]) -> str:
    """The counts."""
    changed = [row for row in rows if row.is_changed]
    clear = sum(row.settled.after.word == "clear" for row in changed)
    cpu = [row.cpu_ms for row in rows]
    kinds = Counter(row.settled.treatment.kind for row in rows)
    lines = [
        f"{len({row.name for row in rows})} drawings, {len(rows)} pairs: {dict(kinds)}",
        f"as drawn {dict(Counter(row.settled.before.word for row in rows))}",
        f"changed {len(changed)}, of them clear after {clear}; changed inks below 3:1 {sum(row.below_floor for row in changed)};"
        f" inks merged {sum(row.merged for row in changed)}",
        f"mean move of the changed pairs CIEDE2000 {np.mean([row.moved for row in changed]):.1f}, of those with swaps"
        f" {np.mean([row.moved for row in changed if row.moved] or [0.0]):.1f}",
        f"CPU a pair: median {np.median(cpu):.1f} ms, p95 {np.percentile(cpu, 95):.1f}, most {max(cpu):.1f}",
    ]
    lines += [f"  asks: {row.name} on {row.blank.key}" for row in rows if row.settled.treatment.kind == "ask"]
    return "\n".join(lines)


def _picture(row: Row, artwork: Artwork, treatment: Treatment | None, engine: Engine) -> Image.Image:
    """The artwork on its blank, small."""
    box = row.measured.ink_box_mm
    assert box is not None, "rows hold ink"
    side = 2 * (TILE_PX - 10)
    scale = side / max(box.width, box.height)
    pixels = draw_window(engine, artwork, box, max(1, round(box.width * scale)), max(1, round(box.height * scale))).pixels
    if treatment is not None and treatment.kind == "keyline":
        pixels = keyline_raster(np.ascontiguousarray(pixels), treatment.keyline_mm * side / PRINTED_MM, treatment.keyline_colour)
    shape = pixels.shape[1], pixels.shape[0]
    ink = Image.frombuffer("RGBa", shape, np.ascontiguousarray(pixels), "raw", "RGBa", 0, 1)
    ink.thumbnail((TILE_PX - 10, TILE_PX - 10), Image.Resampling.LANCZOS)
    tile = Image.new("RGBA", (TILE_PX, TILE_PX), row.blank.colour)
    tile.alpha_composite(ink.convert("RGBA"), ((TILE_PX - ink.width) // 2, (TILE_PX - ink.height) // 2))
    return tile.convert("RGB")


def sheet(rows: list[Row], engine: Engine) -> Image.Image:
    """All changed pairs."""
    high = TILE_PX + 14
    page = Image.new("RGB", (COLUMNS * (2 * TILE_PX + 8), high * -(-len(rows) // COLUMNS)), "#777777")
    pen = ImageDraw.Draw(page)
    for number, row in enumerate(rows):
        x, y = number % COLUMNS * (2 * TILE_PX + 8), number // COLUMNS * high
        found = row.settled
        words = f"{row.name[:18]} {row.blank.key} {found.before.word}>{found.after.word} {found.treatment.kind}"
        pen.text((x + 2, y + 1), words, fill="white")
        page.paste(_picture(row, row.measured.artwork, None, engine), (x, y + 13))
        page.paste(_picture(row, found.artwork, found.treatment, engine), (x + TILE_PX, y + 13))
    return page


def main() -> None:
    """Prints the counts and writes the sheet."""
    options = argparse.ArgumentParser()
    options.add_argument("--seed", type=int, default=2026)
    options.add_argument("--sheet")
    asked = options.parse_args()
    engine = open_engine(font_files=load_index(system=False).files)
    known = load_catalogue(builtin_profiles()).blanks
    paths = drawings(Path(os.environ["VECTORPREP_CORPUS"]), asked.seed)
    rows = [row for path in paths for row in settled(path, engine, [known[key] for key in BLANKS])]
    sys.stdout.write(described(rows) + "\n")
    if asked.sheet:
        sheet([row for row in rows if row.is_changed], engine).save(asked.sheet)


if __name__ == "__main__":
    main()
