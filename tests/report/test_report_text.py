"""The summary of a run in words: each kind of problem once, the worst place of each drawing, the remedy beside it."""

from __future__ import annotations

from typing import Any

import pytest

from tests.report.invented_run import finding, run
from vectorprep.report.text import audit_text, convert_text, wrapped


def summary(findings: list[dict[str, Any]], *, verbose: int = 0) -> list[str]:
    """Lines of the findings of an invented run of four drawings."""
    record = {**run(4), "findings": findings}
    lines = convert_text(record, out="ready", verbose=verbose).splitlines()
    start = next(number for number, line in enumerate(lines) if line in {"To look at", "To settle before printing"})
    return lines[start:]


AT = "      at 40 to 60 mm from the left, 40 to 70 mm from the top of the print file"


def test_a_drawing_is_named_once_with_its_worst_figure() -> None:
    """Gaps of one drawing on three products are one line: the narrowest against its limit, and where else."""
    found = [
        finding(product="tee", message="a gap is 0.5 mm wide", measured=0.5, limit=0.7, fix="widen it to 0.7 mm"),
        finding(product="mug", message="a gap is 0.1 mm wide", measured=0.1, limit=0.35, fix="widen it to 0.35 mm"),
        finding(product="tote", message="a gap is 0.6 mm wide", measured=0.6, limit=0.7, fix="widen it to 0.7 mm"),
    ]
    assert summary(found) == [
        "To look at",
        "  gap-too-narrow",
        "    a0 on mug: a gap is 0.1 mm wide; also on tee, tote",
        AT,
        "    fix: widen it to 0.35 mm",
        "",
        "-v shows every finding, and the notes",
    ]


def test_many_drawings_of_one_check_hide_no_other_check() -> None:
    """Four drawings with the same problem are three with their places, and a count; the next problem is still shown."""
    found = [finding(artwork=f"a{number}", fix="widen it") for number in range(4)] + [
        finding("seam-hairline", message="a hairline", fix="overlap the shapes")
    ]
    lines = summary(found)
    assert lines[1] == "  gap-too-narrow  4 drawings"
    assert lines[2:8] == [line for number in range(3) for line in (f"    a{number} on tee: a gap is 0.2 mm wide", AT)]
    assert lines[8:10] == ["    ... and 1 more", "    fix: widen it"]
    assert lines[10:14] == ["  seam-hairline", "    a0 on tee: a hairline", AT, "    fix: overlap the shapes"]


def test_with_more_words_every_finding_is_there() -> None:
    """`-v` shows each drawing, each figure and the notes."""
    found = [
        *(finding(artwork=f"a{number}") for number in range(4)),
        finding(product="mug", message="a gap is 0.1 mm wide"),
        finding("over-resolution", severity="note", message="more pixels than are printed"),
    ]
    lines = summary(found, verbose=1)
    for message in ("a3 on tee: a gap is 0.2 mm wide", "a0 on mug: a gap is 0.1 mm wide", "more pixels than are printed"):
        assert any(message in line for line in lines)
    assert not any("-v shows" in line or "... and" in line for line in lines)


def test_a_remedy_that_differs_stands_by_its_drawing() -> None:
    """Two drawings with remedies of their own have each its own line below them."""
    found = [finding(artwork="a0", fix="widen it to 1 mm"), finding(artwork="a1", fix="widen it to 2 mm")]
    lines = summary(found)
    assert lines[2:8] == [
        "    a0 on tee: a gap is 0.2 mm wide",
        AT,
        "      fix: widen it to 1 mm",
        "    a1 on tee: a gap is 0.2 mm wide",
        AT,
        "      fix: widen it to 2 mm",
    ]


@pytest.mark.parametrize("measured", ["no record", [1.0, 2.0], None, 0, -3, 0.2])
@pytest.mark.parametrize("limit", ["ok", None, 0, 0.7])
def test_figures_of_any_kind_are_told(measured: object, limit: object) -> None:
    """A finding may measure in words, a pair of numbers, nothing or less; each is told all the same."""
    found = [finding(measured=measured, limit=limit), finding(product="mug", message="other words", measured=limit, limit=measured)]
    assert len([line for line in summary(found) if line.startswith("    a0 on ")]) == 1


def test_errors_come_first() -> None:
    """What must be settled stands above what should be looked at."""
    lines = summary([finding(), finding("ink-lost", severity="error", blank="navy", message="black on navy is lost")])
    assert lines[0] == "To settle before printing"
    assert lines.index("    a0 on tee (navy): black on navy is lost") < lines.index("To look at")


def test_an_audit_tells_faded_ink_once() -> None:
    """The verdict lines say it, the findings below do not say it again."""
    record = {**run(1, verb="audit"), "findings": [finding("ink-lost", severity="error", message="lost on black")]}
    text = audit_text(record)
    assert "lost on black" not in text
    assert "lost  a0 on black" in text


def test_names_cannot_steer_a_terminal() -> None:
    """Escape sequences and direction marks in a name are shown, not obeyed."""
    lines = summary([finding(artwork="a\x1b[31m\u202eb")])
    assert lines[2].startswith("    a\\x1b[31m\\u202eb on tee")


def test_lines_fold_at_the_terminals_width_under_their_beginning() -> None:
    """No line is longer than the window, what is folded is set in, no word is lost and blank lines stay."""
    text = "Title\n\n    fox on tee: " + "a gap is 0.2 mm wide, " * 8 + "\n"
    folded = wrapped(text, 60)
    lines = folded.split("\n")
    assert max(map(len, lines)) <= 60
    assert folded.split() == text.split()
    assert lines[:2] == ["Title", ""]
    assert lines[3].startswith("        ")
    assert folded.endswith("\n")
