"""CPU and memory of planning many artworks for many blanks, apart from looking at each.

Usage: python tests/benchmarks/plan_scale.py [--files 10000] [--blanks 20] [--looked-at 20]

A few invented drawings are read, measured and judged as in any dry run; their results then stand for those of all the others, so
that what is left is the planning itself: listing, reading and hashing the files, names, rules, tasks, results, records, the JSON.
Prints user plus system time and the greatest resident size as one JSON object, and the same for half as many files: twice as many
should cost twice as much.
"""

from __future__ import annotations

import argparse
import json
import pickle
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PRODUCT = "tee-adult-front-dtg"
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><circle cx="50" cy="50" r="{radius}" fill="#{number:06x}"/>'
    '<path d="M20 80L50 20L80 80z" fill="none" stroke="#1b2340" stroke-width="4"/></svg>'
)


def planned(files: int, blanks: int, looked_at: int, folder: Path) -> dict[str, float]:
    """Seconds and megabytes of planning alone, in this process."""
    from vectorprep.pipeline.batch import Batch, Tally, engine_words
    from vectorprep.pipeline.gather import gathered
    from vectorprep.pipeline.job import tools_for, work
    from vectorprep.pipeline.options import RunOptions
    from vectorprep.pipeline.setup import set_up
    from vectorprep.pipeline.workshop import Job
    from vectorprep.run.tasks import Done, Emitted

    keys = tuple(f"#{(number * 0x0A1F35) % 0xFFFFFF:06x}" for number in range(1, blanks + 1))
    options = RunOptions(products=(PRODUCT,), blanks=keys, dry_run=True)
    start = time.process_time()
    setup = set_up("convert", [folder], options)
    tally = Tally(total=len(setup.drawings))
    batch = Batch(setup=setup, tally=tally, engine_words=engine_words(setup))
    tools = tools_for(setup.workshop())
    kept: list[tuple[object, list[object]]] = []
    looking = 0.0
    for number, task in enumerate(batch.tasks()):
        begun = time.process_time()
        job = task.payload
        assert isinstance(job, Job)
        if number < looked_at:
            emitted: list[object] = []
            kept.append((work(job, tools, emitted.append), emitted))
            looking += time.process_time() - begun
        # As over the pipe: every result is its own.
        result, encoded = pickle.loads(pickle.dumps(kept[number % looked_at], protocol=5))
        for item in encoded:
            batch.take(Emitted(id=task.id, value=item))
        batch.take(Done(id=task.id, value=result))
    names = [drawing.source.name for drawing in setup.drawings]
    record = gathered(setup.verb, names, tally.results, tally.outputs, engine=batch.engine_words)
    text = json.dumps(record, ensure_ascii=False)
    return {
        "files": len(names),
        "pairs": len(record["pairs"]),
        "cpu_s": round(time.process_time() - start - looking, 1),
        "looking_ms_a_file": round(1000 * looking / looked_at, 1),
        "peak_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024),
        "json_mb": round(len(text) / 1e6, 1),
    }


def main() -> None:
    """Prints the figures for half of the files and for all of them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=10_000)
    parser.add_argument("--blanks", type=int, default=20)
    parser.add_argument("--looked-at", type=int, default=20)
    parser.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.folder is not None:
        sys.stdout.write(json.dumps(planned(options.files, options.blanks, options.looked_at, options.folder)) + "\n")
        return
    for files in (options.files // 2, options.files):
        with tempfile.TemporaryDirectory() as folder:
            for number in range(files):
                drawing = DRAWING.format(radius=20 + number % 25, number=number)
                Path(folder, f"drawing-{number:05}.svg").write_text(drawing, encoding="utf-8")
            # A process of its own, for its peak alone.
            subprocess.run(
                [sys.executable, __file__, "--files", str(files), "--blanks", str(options.blanks), "--folder", folder], check=True
            )


if __name__ == "__main__":
    main()
