"""The verdict agrees with eyes: labelled pairs of open drawings and of drawings of our own."""

from __future__ import annotations

import importlib.util
import os
import sys
from pathlib import Path
from types import ModuleType

import pytest

CORPUS = os.environ.get("VECTORPREP_CORPUS", "")
SCRIPT = Path(__file__).resolve().parent.parent / "benchmarks" / "judge_agreement.py"


@pytest.fixture(scope="module")
def agreement() -> ModuleType:
    """The script that measures the agreement, as a module."""
    spec = importlib.util.spec_from_file_location("judge_agreement", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["judge_agreement"] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.corpus
@pytest.mark.skipif(not CORPUS, reason="VECTORPREP_CORPUS names no folder of open drawings")
def test_calibration_pairs_agree_with_eyes(agreement: ModuleType) -> None:
    """Of pairs labelled alike twice at most 8 % of the not-clear are missed and 8 % of the clear alarmed, also cross-validated."""
    rows = agreement.judged(Path(CORPUS), agreement.pairs_in("eyes.json"))
    weak, clear = sum(row.label is True for row in rows), sum(row.label is False for row in rows)
    assert (weak, clear) == (29, 213)
    for missed, alarms in (tuple(map(len, agreement.errors(rows, agreement.WEAK))), agreement.cross_validated(rows)):
        assert missed <= 0.08 * weak
        assert alarms <= 0.08 * clear


@pytest.mark.corpus
@pytest.mark.skipif(not CORPUS, reason="VECTORPREP_CORPUS names no folder of open drawings")
def test_pairs_that_no_limit_was_chosen_with_agree_with_eyes(agreement: ModuleType) -> None:
    """On hard pairs labelled after the measure was settled nothing is missed; the recorded 12 false alarms of 52 do not grow."""
    missed, alarms = agreement.errors(agreement.judged(Path(CORPUS), agreement.pairs_in("eyes_fresh.json")), agreement.WEAK)
    assert not missed
    assert len(alarms) <= 12


def test_text_photographs_ramps_lines_and_heather_agree_with_eyes(agreement: ModuleType) -> None:
    """Of 25 pairs of our own that eyes call not clear at most 8 % are missed; the recorded 10 false alarms of 38 do not grow."""
    rows = agreement.judged(Path(), agreement.pairs_in("eyes_more.json"))
    missed, alarms = agreement.errors(rows, agreement.WEAK)
    assert sum(row.label is True for row in rows) == 25
    assert len(missed) <= 0.08 * 25
    assert len(alarms) <= 10


def test_a_second_set_of_such_drawings_agrees_with_eyes(agreement: ModuleType) -> None:
    """Of 19 further pairs that eyes call not clear at most 8 % are missed; the recorded 14 false alarms of 41 do not grow."""
    rows = agreement.judged(Path(), agreement.pairs_in("eyes_own.json"))
    missed, alarms = agreement.errors(rows, agreement.WEAK)
    assert sum(row.label is True for row in rows) == 19
    assert len(missed) <= 0.08 * 19
    assert len(alarms) <= 14
