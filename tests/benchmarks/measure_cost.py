"""CPU of measuring real drawings, one process for all.

Usage: python tests/benchmarks/measure_cost.py DIR... [--files 300] [--engine NAME]

Prints, for each folder, milliseconds of CPU (user plus system) a file: reading, measuring without and with the inks.
"""

from __future__ import annotations

import argparse
import json
import random
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from vectorprep.engine import open_engine
from vectorprep.engine.memory import keep_big_buffers
from vectorprep.errors import ArtworkRefused
from vectorprep.fonts import load_index
from vectorprep.measure import measure
from vectorprep.read import read_artwork

Answer = TypeVar("Answer")


def timed(kept: list[float], work: Callable[[], Answer]) -> Answer:
    """The answer of `work`; its CPU milliseconds are added to `kept`."""
    begun = time.process_time()
    answer = work()
    kept.append(1000 * (time.process_time() - begun))
    return answer


def figures(times: list[float]) -> dict[str, float]:
    """Median, 95th percentile and greatest."""
    ranked = sorted(times)
    return {
        "median": round(statistics.median(times), 1),
        "p95": round(ranked[int(0.95 * len(ranked))], 1),
        "max": round(ranked[-1], 1),
    }


def main() -> None:
    """Prints one JSON object, a folder a key."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--files", type=int, default=300)
    parser.add_argument("--engine")
    options = parser.parse_args()
    keep_big_buffers()
    fonts = load_index(system=False)
    engine = open_engine(options.engine, font_files=fonts.files)
    report: dict[str, object] = {"engine": f"{engine.name} {engine.version}"}
    for folder in options.folders:
        paths = sorted(folder.rglob("*.svg"))
        reading: list[float] = []
        box: list[float] = []
        inks: list[float] = []
        filtered = refused = 0
        for path in random.Random(3).sample(paths, min(options.files, len(paths))):
            data, name = path.read_bytes(), path.name
            try:
                artwork = timed(reading, lambda data=data, name=name: read_artwork(data, name=name, fonts=fonts))  # type: ignore[misc]
            except ArtworkRefused:
                refused += 1
                continue
            if artwork.has_filters:
                filtered += 1
                continue
            timed(box, lambda artwork=artwork: measure(artwork, engine, with_inks=False))  # type: ignore[misc]
            timed(inks, lambda artwork=artwork: measure(artwork, engine))  # type: ignore[misc]
        report["/".join(folder.parts[-3:])] = {
            "files": len(box),
            "refused": refused,
            "with_filters_left_out": filtered,
            "read_ms": figures(reading),
            "measure_ms": figures(box),
            "with_inks_ms": figures(inks),
        }
    sys.stdout.write(json.dumps(report, indent=1) + "\n")


if __name__ == "__main__":
    main()
