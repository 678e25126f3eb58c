"""A run with nothing to do, a run with one changed drawing, and two workers against one.

Usage: python tests/benchmarks/rerun_cost.py --drawings DIR [--files 400] [--product mug-11oz-wrap-sub] [--blank KEY]...

Prints one JSON object: seconds of the first run with one worker and with two (into folders of their own), of a second run over the
same folder beside what is allowed for it (0.5 s + 1 ms a file + 2 s a gigabyte), and the files made after one drawing was changed.
Wall time is the measure here: use an idle machine.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any


def converted(art: Path, out: Path, options: argparse.Namespace, jobs: int) -> dict[str, Any]:
    """One run: its summary, wall seconds, CPU seconds."""
    command = [sys.executable, "-m", "vectorprep", "convert", str(art), "--out", str(out), "--product", options.product]
    for blank in options.blank:
        command += ["--blank", blank]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run(
        [*command, "--jobs", str(jobs), "--format", "json", "--fail-on", "never", "-q"],
        capture_output=True, check=False, env=environment,
    )  # fmt: skip
    wall = time.perf_counter() - start
    use = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in {0, 3}:
        raise SystemExit(f"convert ended with {done.returncode}: {done.stderr.decode(errors='replace')[-600:]}")
    cpu = use.ru_utime + use.ru_stime - before.ru_utime - before.ru_stime
    return {"wall_s": round(wall, 2), "cpu_s": round(cpu, 2), "summary": json.loads(done.stdout)["summary"]}


def main() -> None:
    """Prints the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--drawings", required=True, type=Path)
    parser.add_argument("--files", type=int, default=400)
    parser.add_argument("--product", default="mug-11oz-wrap-sub")
    parser.add_argument("--blank", action="append", default=[])
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    found = sorted(options.drawings.rglob("*.svg"))
    chosen = random.Random(options.seed).sample(found, min(options.files, len(found)))
    with tempfile.TemporaryDirectory() as room:
        art, one, two = Path(room, "art"), Path(room, "one"), Path(room, "two")
        art.mkdir()
        for number, path in enumerate(chosen):
            shutil.copy(path, art / f"{number:04}-{path.name}")
        first, second = converted(art, one, options, 1), converted(art, two, options, 2)
        kept = [converted(art, two, options, 1) for _ in range(3)]
        changed = min(art.iterdir())
        changed.write_bytes(changed.read_bytes().replace(b"</svg>", b"<!-- changed --></svg>"))
        again = converted(art, two, options, 1)
    made, size = first["summary"]["outputs"], first["summary"]["bytes"]
    again_summary = again["summary"]
    figures = {
        "files": made,
        "gigabytes": round(size / 1e9, 3),
        "first_run": {"one_worker_s": first["wall_s"], "two_workers_s": second["wall_s"]},
        "times_faster_with_two": round(first["wall_s"] / second["wall_s"], 2),
        "nothing_to_do_s": sorted(run["wall_s"] for run in kept),
        "nothing_to_do_cpu_s": sorted(run["cpu_s"] for run in kept),
        "allowed_s": round(0.5 + 0.001 * made + 2 * size / 1e9, 2),
        "one_changed": {"made": again_summary["outputs_made"], "kept": again_summary["outputs_kept"], "s": again["wall_s"]},
    }
    sys.stdout.write(json.dumps(figures, indent=1) + "\n")


if __name__ == "__main__":
    main()
