"""The ledger: what is committed is found again, damage is noticed, nothing is left beside its file."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from vectorprep.errors import FolderError
from vectorprep.run.ledger import Job, Ledger, Made


def _made(path: str, digit: str = "0") -> Made:
    return Made(path=path, sha256=digit * 64, bytes=10)


def _job(key: str, *paths: str, state: str = "ok") -> Job:
    return Job(key=key, artwork=f"art-{key}", state=state, record=f'{{"key":"{key}"}}', outputs=tuple(map(_made, paths)))


def _filled(path: Path, count: int = 30) -> list[Job]:
    jobs = [_job(f"{index:03}", f"{index:03}-a.png", f"{index:03}-b.png") for index in range(count)]
    with Ledger(path) as ledger:
        for job in jobs:
            ledger.record(job)
    return jobs


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a ledger goes."""
    return tmp_path / "ledger.sqlite"


def test_what_was_recorded_is_found_in_the_next_run(path: Path) -> None:
    """Jobs and outputs come back equal and sorted."""
    jobs = _filled(path)
    with Ledger(path) as ledger:
        assert list(ledger.jobs()) == jobs
        assert ledger.job("003") == jobs[3]
        assert ledger.job("none") is None
        assert ledger.output("003-a.png") == _made("003-a.png")
        assert ledger.output("none") is None
        assert [made.path for made in ledger.outputs()][:2] == ["000-a.png", "000-b.png"]


def test_only_the_ledger_is_left_after_closing(path: Path) -> None:
    """No journal or log stays beside the file."""
    _filled(path)
    assert [file.name for file in path.parent.iterdir()] == ["ledger.sqlite"]


def test_the_same_records_give_the_same_bytes(tmp_path: Path) -> None:
    """No clock and no chance: two ledgers of the same history are equal byte for byte."""
    for name in ("one", "two"):
        _filled(tmp_path / name)
    assert (tmp_path / "one").read_bytes() == (tmp_path / "two").read_bytes()


def test_recording_again_replaces_the_outputs(path: Path) -> None:
    """A job made anew has its new outputs only."""
    with Ledger(path) as ledger:
        ledger.record(_job("k", "a.png", "b.png"))
        ledger.record(_job("k", "b.png", "c.png", state="failed"))
        assert ledger.job("k") == _job("k", "b.png", "c.png", state="failed")
        assert [made.path for made in ledger.outputs()] == ["b.png", "c.png"]


def test_an_output_that_another_job_took_over_makes_the_first_job_undone(path: Path) -> None:
    """A name belongs to one job; the job that lost it counts as not done."""
    with Ledger(path) as ledger:
        ledger.record(_job("old", "a.png"))
        ledger.record(_job("new", "a.png"))
        assert ledger.job("old") is None
        assert ledger.job("new") == _job("new", "a.png")


def test_a_name_is_ours_from_the_intent_on(path: Path) -> None:
    """Names that were about to be written are ours also after a cut, until the job is recorded or they are forgotten."""
    with Ledger(path) as ledger:
        assert not ledger.owns("a.png")
        ledger.intend(["b.png", "a.png", "a.png"])
    with Ledger(path) as ledger:
        assert ledger.owns("a.png")
        assert ledger.intents() == ("a.png", "b.png")
        ledger.record(_job("k", "a.png"))
        assert (ledger.owns("a.png"), ledger.intents()) == (True, ("b.png",))
        ledger.forget_intents(["b.png"])
        ledger.forget(["k"])
        assert (ledger.owns("a.png"), ledger.owns("b.png")) == (False, False)
        assert (list(ledger.jobs()), ledger.outputs()) == ([], ())


def test_a_ledger_cut_at_any_length_never_gives_a_wrong_record(path: Path) -> None:
    """Cut at each twentieth of its length and around its pages it is either whole or set aside, and works again."""
    jobs = _filled(path)
    whole = path.read_bytes()
    lengths = {len(whole) * part // 20 for part in range(20)} | {0, 1, 15, 99, 100, 4095, 4096, 4097, len(whole) - 1}
    for length in sorted(lengths):
        path.write_bytes(whole[:length])
        with Ledger(path) as ledger:
            assert ledger.was_damaged, length
            assert list(ledger.jobs()) == []
            ledger.record(jobs[0])
        with Ledger(path) as ledger:
            assert (ledger.was_damaged, list(ledger.jobs())) == (False, jobs[:1])
        assert path.with_suffix(".damaged").read_bytes() == whole[:length]


def test_a_changed_byte_never_gives_a_wrong_record(path: Path) -> None:
    """With one byte altered anywhere a job is as it was recorded, or is not there."""
    jobs = {job.key: job for job in _filled(path, 8)}
    whole = path.read_bytes()
    lost = 0
    for place in range(0, len(whole), 97):
        altered = bytearray(whole)
        altered[place] ^= 0x41
        path.write_bytes(altered)
        try:
            with Ledger(path) as ledger:
                found = {job.key: job for job in ledger.jobs()}
        except FolderError:
            found = {}
        assert all(jobs[key] == job for key, job in found.items())
        lost += len(found) < len(jobs)
    assert lost > 0


@pytest.mark.parametrize("content", [b"not a database at all" * 10, b"SQLite format 3\x00" + b"\xff" * 5000])
def test_a_foreign_file_in_its_place_is_set_aside(path: Path, content: bytes) -> None:
    """Whatever lies there is kept beside, and a new ledger begins."""
    path.write_bytes(content)
    with Ledger(path) as ledger:
        assert ledger.was_damaged
    assert path.with_suffix(".damaged").read_bytes() == content


def test_a_database_of_another_make_is_set_aside(path: Path) -> None:
    """A database without our tables is no ledger."""
    database = sqlite3.connect(path)
    database.execute("CREATE TABLE other (a)")
    database.commit()
    database.close()
    with Ledger(path) as ledger:
        assert (ledger.was_damaged, ledger.outputs()) == (True, ())


def test_a_row_altered_by_hand_counts_as_not_done(path: Path) -> None:
    """Editing a record or an output's hash with a database tool makes that job undone, and no other."""
    jobs = _filled(path, 3)
    database = sqlite3.connect(path)
    database.execute("UPDATE job SET record = '{}' WHERE key = '000'")
    database.execute("UPDATE output SET sha256 = 'f' WHERE path = '001-a.png'")
    database.commit()
    database.close()
    with Ledger(path) as ledger:
        assert (ledger.was_damaged, list(ledger.jobs())) == (False, jobs[2:])


def test_a_ledger_that_cannot_be_written_is_a_folder_error(tmp_path: Path) -> None:
    """A folder in its place is told by path."""
    (tmp_path / "ledger.sqlite").mkdir()
    with pytest.raises(FolderError, match=r"ledger\.sqlite"):
        Ledger(tmp_path / "ledger.sqlite")


def test_it_grows_linearly(tmp_path: Path) -> None:
    """Four times the jobs take about four times the bytes."""
    for count in (40, 160):
        _filled(tmp_path / str(count), count)
    ratio = (tmp_path / "160").stat().st_size / (tmp_path / "40").stat().st_size
    assert ratio < 4.8
