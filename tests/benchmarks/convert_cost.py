"""CPU and memory of `vectorprep convert` beside a plain evening script, on the same files, in one run.

Usage: python tests/benchmarks/convert_cost.py --baseline SCRIPT --drawings DIR [--files 30] [--blanks 2] [--pairs 3]
       [--engine NAME] [--jobs 1]

The script is called as `SCRIPT SVG_DIR OUT_DIR white black ...` with that many blanks; it makes a print and a preview of each on a
canvas of 4500 x 5100 px. Both sides run in turn; figures are user plus system time of the whole process tree, start-up included,
and the greatest resident size of one process. The ratio is the median over the pairs, so that this machine's noise is in both.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

# 15 x 17 in at 300 ppi. Plans print art of aspect 0.8 to 1.2 at 0.9 of the ideal width: most of it is then 12 in wide.
BENCH_RECORD = """
name = "Bench, 15 x 17 in"
product_noun = "t-shirt"
process = "dtg"
audience = "adult"
substrate = "cotton"
print_area_mm = [381, 431.8]
print_area_kind = "print_area"
bleed_mm = 0
safe_margin_mm = 0
file_size_mm = [381, 431.8]
resolution_ppi = 300
file_size_px = [4500, 5100]
fit = "contain"
background = "transparent"
mirror = "none"
mirror_done_by = "not_applicable"
colour_space = "sRGB"
limits = "dtg_on_white_base"
ink_policy = "opaque_white_base"
blanks = ["white", "black", "navy", "natural", "ash", "light-blue", "gold", "red", "royal", "forest"]
outputs = ["print-png", "preview-png"]

[ideal_width_mm_by_garment_size]
M = 338.7

[placement]
datum = "sheet_centre"
horizontal = "centre"
vertical = "centre"

[file]
formats = ["png"]
bit_depth_bits_per_channel = 8
write_density_tag = true
write_srgb_tag = true
file_size_max_mb = 100

[source]
default = "house value"
"""

BLANKS = ("white", "black", "navy", "natural", "ash", "light-blue", "gold", "red", "royal", "forest")

# A parent of its own for each run, so that its children's times and sizes are those of this run alone.
METER = """
import json, resource, subprocess, sys
done = subprocess.run(sys.argv[1:], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
use = resource.getrusage(resource.RUSAGE_CHILDREN)
print(json.dumps({"cpu_s": use.ru_utime + use.ru_stime, "peak_mb": use.ru_maxrss / 1024, "code": done.returncode,
                  "words": (done.stdout + done.stderr)[-600:].decode(errors="replace")}))
"""


def measured(command: list[str]) -> dict[str, float]:
    """CPU seconds and peak megabytes of a command and its children."""
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run([sys.executable, "-c", METER, *command], capture_output=True, check=True, env=environment)
    found: dict[str, float] = json.loads(done.stdout)
    if found["code"] not in (0, 1, 3):
        raise SystemExit(f"{' '.join(command)} ended with {found['code']}: {found['words']}")
    return found


def main() -> None:
    """Prints one JSON object with the medians, the ranges and the ratio."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--baseline", required=True, type=Path)
    parser.add_argument("--drawings", required=True, type=Path)
    parser.add_argument("--files", type=int, default=30)
    parser.add_argument("--blanks", type=int, default=2)
    parser.add_argument("--pairs", type=int, default=3)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", default="1")
    parser.add_argument("--engine")
    options = parser.parse_args()
    found = sorted(options.drawings.rglob("*.svg"))
    chosen = random.Random(options.seed).sample(found, min(options.files, len(found)))
    with tempfile.TemporaryDirectory() as room:
        art, profiles = Path(room, "art"), Path(room, "profiles")
        art.mkdir()
        profiles.mkdir()
        (profiles / "bench-15x17in.toml").write_text(BENCH_RECORD, encoding="utf-8")
        for number, path in enumerate(chosen):
            shutil.copy(path, art / f"{number:04}-{path.name}")
        runs = [one_pair(options, Path(room), art, profiles, number) for number in range(options.pairs)]
    sys.stdout.write(json.dumps(summary(runs, len(chosen), options.engine), indent=1) + "\n")


def one_pair(options: argparse.Namespace, room: Path, art: Path, profiles: Path, number: int) -> dict[str, dict[str, float]]:
    """The baseline and this package, one after the other, each into a fresh folder."""
    ours, theirs = room / f"ours-{number}", room / f"theirs-{number}"
    chosen_engine = ["--engine", options.engine] if options.engine else []
    convert = [sys.executable, "-m", "vectorprep", "convert", str(art), "--out", str(ours), "--profiles", str(profiles)]
    convert += ["--product", "bench-15x17in", "--jobs", options.jobs, "-q", *chosen_engine]
    blanks = BLANKS[: options.blanks]
    for blank in blanks:
        convert += ["--blank", blank]
    pair = {
        "baseline": measured([sys.executable, str(options.baseline), str(art), str(theirs), *blanks]),
        "vectorprep": measured(convert),
    }
    for folder in (ours, theirs):
        shutil.rmtree(folder)
    return pair


def summary(runs: list[dict[str, dict[str, float]]], files: int, engine: str | None) -> dict[str, object]:
    """Medians and ranges over the pairs."""
    ratios = [run["baseline"]["cpu_s"] / run["vectorprep"]["cpu_s"] for run in runs]
    figures: dict[str, object] = {"files": files, "pairs": len(runs), "engine": engine or "chosen by itself"}
    for side in ("baseline", "vectorprep"):
        each = [1000 * run[side]["cpu_s"] / files for run in runs]
        figures[side] = {
            "cpu_ms_per_file": round(statistics.median(each), 1),
            "range_ms": [round(min(each), 1), round(max(each), 1)],
            "peak_mb": round(max(run[side]["peak_mb"] for run in runs)),
        }
    figures["times_cheaper"] = round(statistics.median(ratios), 2)
    figures["range"] = [round(min(ratios), 2), round(max(ratios), 2)]
    return figures


if __name__ == "__main__":
    main()
