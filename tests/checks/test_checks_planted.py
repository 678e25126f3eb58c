"""Faults planted in clean drawings are found well above their limit, and nothing is said of drawings that keep well clear of it.

The whole table is printed by `tests/benchmarks/planted_faults.py`; here each kind is tried on a few drawings. Limits are those of
the built-in products (common practice, no source).
"""

from __future__ import annotations

import pytest

from tests.benchmarks.planted_faults import KINDS, tried


@pytest.mark.parametrize("name", KINDS)
def test_planted_fault_is_found_and_clean_art_is_not_blamed(name: str) -> None:
    """Every fault of one and a half times its limit is found, and no drawing without it raises the finding."""
    count = tried(KINDS[name], drawings=4, seed=2)
    assert count.sure + count.clean > 0
    assert (count.found, count.alarms) == (count.sure, 0), count.missed
