"""What changed from one run to the next."""

from __future__ import annotations

from tests.report.invented_run import artwork, run
from vectorprep.report.compare import changes_between, figures_of


def test_equal_runs_show_no_change() -> None:
    """The same record twice differs in nothing."""
    assert changes_between(figures_of(run(2)), figures_of(run(2))) == []


def test_a_verdict_that_changed_is_told_with_old_new_and_difference() -> None:
    """From lost to clear: both words, both figures, and the points between."""
    later = run(1)
    later["pairs"][4] |= {"verdict_after": "clear", "outline_faded_after": 0.02}
    (change,) = changes_between(figures_of(run(1)), figures_of(later))
    assert (change["blank"], change["what"]) == ("black", "verdict")
    assert (change["old"], change["new"], change["difference"]) == ("lost, 90 % fades", "clear, 2 % fades", "-88 points")


def test_a_size_and_a_place_that_changed_are_told_in_both_units() -> None:
    """10 % wider and 5 mm higher."""
    later = run(1)
    later["outputs"][0] |= {"printed_mm": [220.0, 220.0], "placements": [{"ink_box_px": [50, 15, 270, 235]}]}
    size, place = changes_between(figures_of(run(1)), figures_of(later))
    assert (size["what"], size["difference"]) == ("print size", "+10.0 %")
    assert size["new"] == "8.66 x 8.66 in (220 x 220 mm)"
    assert (place["what"], place["difference"]) == ("place", "+0.0 mm right, -5.0 mm down")


def test_drawings_that_came_went_or_were_drawn_anew_are_told() -> None:
    """Each is one line of its own."""
    earlier, later = run(2), run(1)
    later["artworks"] = [artwork("a0", sha256="ff" * 32), artwork("b")]
    changes = changes_between(figures_of(earlier), figures_of(later))
    assert {(change["artwork"], change["new"]) for change in changes} == {("a0", "drawn anew"), ("b", "new"), ("a1", "gone")}


def test_a_finding_that_was_settled_is_told() -> None:
    """Accepted findings are notes and count as settled."""
    later = run(1)
    for item in later["pairs"]:
        item["findings"] = [{**item["findings"][0], "severity": "note"}]
    changes = changes_between(figures_of(run(1)), figures_of(later))
    assert {(change["old"], change["new"]) for change in changes} == {("gap-too-narrow", "settled or accepted")}
