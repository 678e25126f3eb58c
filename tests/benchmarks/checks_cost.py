"""CPU and memory of all print checks of one artwork on one product beside a plain evening script's one pair of files.

Usage: python tests/benchmarks/checks_cost.py --baseline SCRIPT --drawings DIR [--files 12]

Both on a canvas of 4500 x 5100 px. The script is called as `SCRIPT SVG_DIR OUT_DIR white` and makes a print and a preview of each
file. The checks are timed inside one process, on pictures that are drawn already, one picture at a time; CPU is user plus system.
"""

from __future__ import annotations

import argparse
import json
import random
import resource
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

from convert_cost import BENCH_RECORD, measured

from vectorprep.checks import Evidence, run_checks
from vectorprep.pipeline import made
from vectorprep.pipeline.job import tools_for, work
from vectorprep.pipeline.workshop import Job, Workshop
from vectorprep.profiles import load_catalogue
from vectorprep.settings import Settings
from vectorprep.store import builtin_profiles


def checked_ms(files: list[Path]) -> list[float]:
    """Milliseconds of CPU that the checks of each file take on the bench product."""
    catalogue = load_catalogue({**builtin_profiles(), "bench-15x17in.toml": BENCH_RECORD})
    shop = Workshop(verb="audit", products=dict(catalogue.products), blanks=dict(catalogue.blanks), settings=Settings())
    tools, spent = tools_for(shop), []

    def timed(evidence: Evidence) -> object:
        start = time.process_time()
        found = run_checks(evidence)
        spent.append(1000 * (time.process_time() - start))
        return found

    vars(made)["run_checks"] = timed
    for path in files:
        job = Job(
            name=path.stem,
            slug=path.stem,
            path=path.name,
            sha256="",
            data=path.read_bytes(),
            scope=(("bench-15x17in", ("white",)),),
        )
        work(job, tools, lambda _: None)
    return spent


def main() -> None:
    """Prints one JSON object."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--baseline", required=True, type=Path)
    parser.add_argument("--drawings", required=True, type=Path)
    parser.add_argument("--files", type=int, default=12)
    options = parser.parse_args()
    found = sorted(options.drawings.rglob("*.svg"))
    chosen = random.Random(1).sample(found, min(options.files, len(found)))
    ours = checked_ms(chosen)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    with tempfile.TemporaryDirectory() as room:
        art = Path(room, "art")
        art.mkdir()
        for path in chosen:
            shutil.copy(path, art)
        theirs = 1000 * measured([sys.executable, str(options.baseline), str(art), str(Path(room, "out")), "white"])["cpu_s"]
    figures = {
        "files": len(chosen),
        "checks_ms": round(statistics.mean(ours), 1),
        "checks_ms_most": round(max(ours), 1),
        "baseline_ms": round(theirs / len(chosen), 1),
        "share": round(statistics.mean(ours) / (theirs / len(chosen)), 4),
        "peak_mb": round(peak_mb),
    }
    sys.stdout.write(json.dumps(figures, indent=1) + "\n")


if __name__ == "__main__":
    main()
