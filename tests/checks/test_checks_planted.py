"""Faults planted in clean drawings are found well above their limit, and nothing is said of drawings that keep well clear of it.

The whole table is printed by `tests/benchmarks/planted_faults.py`; here each kind is tried on a few drawings. Limits are those of
the built-in products (common practice, no source).
"""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

BENCH = Path(__file__).parents[1] / "benchmarks" / "planted_faults.py"


def bench() -> ModuleType:
    """The benchmark's own module, which no package holds."""
    spec = importlib.util.spec_from_file_location("planted_faults", BENCH)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["planted_faults"] = module
    spec.loader.exec_module(module)
    return module


PLANTED = bench()


@pytest.mark.parametrize("name", PLANTED.KINDS)
def test_planted_fault_is_found_and_clean_art_is_not_blamed(name: str) -> None:
    """Every fault of one and a half times its limit is found, and no drawing without it raises the finding."""
    count = PLANTED.tried(PLANTED.KINDS[name], drawings=6, seed=2)
    assert count.sure + count.clean > 0
    assert (count.found, count.alarms) == (count.sure, 0), count.missed
