"""Inks on a press of the SWOP type: round trips against figures measured with Pillow and colour-science.

The profile is the free default CMYK profile of the Debian package libgs-common 10.0.0; figures measured 2026-11-25 with Pillow
13.0.0 and colour-science 0.4.7, relative colorimetric with black point compensation.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from vectorprep.press import PressProfile, printed_inks

PLACE = Path("/usr/share/color/icc/ghostscript/default_cmyk.icc")


@pytest.fixture(scope="module")
def profile() -> PressProfile:
    """The press under test."""
    if not PLACE.is_file():
        pytest.skip("the Debian package libgs-common is not installed")
    return PressProfile(name=PLACE.name, data=PLACE.read_bytes())


def test_black_takes_three_hundred_percent(profile: PressProfile) -> None:
    """Plain black of a drawing becomes four inks of 296 % together (trade value Q02, within 3)."""
    (black,) = printed_inks(("#000000",), profile)
    assert black.total_ink_percent == pytest.approx(296, abs=3)


@pytest.mark.parametrize(("ink", "parts"), [("#000000", (72, 68, 67, 89)), ("#808080", (51, 44, 44, 8))], ids=str)
def test_neutral_colours_become_four_inks(profile: PressProfile, ink: str, parts: tuple[int, ...]) -> None:
    """Cyan, magenta, yellow and black of plain black and of a middle grey (trade values Q01 and Q04, within 2 for each)."""
    (found,) = printed_inks((ink,), profile)
    assert found.parts_percent == pytest.approx(parts, abs=2)
    assert found.total_ink_percent == pytest.approx(sum(found.parts_percent))


@pytest.mark.parametrize(("ink", "distance"), [("#00ff00", 16.2), ("#0000ff", 17.1), ("#ff00ff", 16.1), ("#ff0000", 5.5)], ids=str)
def test_how_far_pure_colours_come_back(profile: PressProfile, ink: str, distance: float) -> None:
    """CIEDE2000 after the round trip (trade value Q03, within 0.5)."""
    (found,) = printed_inks((ink,), profile)
    assert found.delta_e == pytest.approx(distance, abs=0.5)
