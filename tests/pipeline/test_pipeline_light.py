"""What a run loads before it has work to do."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = ("resvg_py", "svg2png_py", "lxml", "fontTools", "tinycss2", "distributed")


def _loaded(module: str) -> set[str]:
    words = f"import sys, {module}; print(*[name for name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


@pytest.mark.parametrize("module", ["vectorprep.pipeline.api", "vectorprep.pipeline.papers", "vectorprep.cli.verb_convert"])
def test_no_rasteriser_and_no_parser_is_loaded_before_there_is_work(module: str) -> None:
    """A run that finds everything made starts in a fraction of a second: it loads nothing that reads, draws or sends drawings."""
    assert not _loaded(module) & set(HEAVY)


def test_a_worker_loads_nothing_of_the_parent() -> None:
    """A worker's job loads neither the ledger nor the command line."""
    assert not _loaded("vectorprep.pipeline.job") & {"sqlite3", "click", "vectorprep.pipeline.api", "vectorprep.pipeline.batch"}
