"""Findings of the pictures of one product are told of the blanks they are true for."""

from __future__ import annotations

from vectorprep.model import Finding
from vectorprep.pipeline.spread import spread


def finding(check: str, blank: str = "", message: str = "") -> Finding:
    """A warning in invented words."""
    return Finding(check=check, severity="warning", message=message or check, blank=blank, fix="mend it")


def test_what_all_pictures_share_is_of_the_product() -> None:
    """The same gap in the picture for white and in that for navy is said once, of no blank."""
    gap = finding("gap-too-narrow")
    assert spread([(("white",), [gap]), (("navy", "black"), [gap])]) == [gap]


def test_what_one_picture_has_is_of_its_blanks() -> None:
    """A soft glow of the picture for navy and black is no finding of white."""
    glow = finding("alpha-soft-interior")
    assert spread([(("white",), []), (("navy", "black"), [glow])]) == [
        finding("alpha-soft-interior", "navy"),
        finding("alpha-soft-interior", "black"),
    ]


def test_other_figures_are_other_findings() -> None:
    """Where two pictures have other figures each figure goes with its own blanks."""
    wide, narrow = finding("gap-too-narrow", message="0.3 mm"), finding("gap-too-narrow", message="0.2 mm")
    assert [(one.blank, one.message) for one in spread([(("white",), [wide]), (("navy",), [narrow])])] == [
        ("white", "0.3 mm"),
        ("navy", "0.2 mm"),
    ]


def test_a_finding_of_a_blank_stays_its_own() -> None:
    """Findings that name their blank are passed on, also where two pictures are alike."""
    faded = finding("ink-fades", "ash")
    assert spread([(("white", "ash"), [faded]), (("navy",), [])]) == [faded]


def test_one_picture_for_all_blanks_keeps_its_findings() -> None:
    """With one picture nothing changes."""
    found = [finding("gap-too-narrow"), finding("ink-fades", "ash")]
    assert spread([(("white", "ash"), found)]) == [found[0], found[1]]
