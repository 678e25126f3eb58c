"""Lengths, pixels and resolutions. Sources: CSS Values and Units 4; PNG third edition."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vectorprep.units import exact, inches_from_mm, mm_from_px, mm_from_text, px_from_mm, px_per_metre


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1in", 25.4),
        ("2.54cm", 25.4),
        ("25.4 mm", 25.4),
        ("72pt", 25.4),
        ("6pc", 25.4),
        ("96px", 25.4),
        ("40Q", 10.0),
        ('12"', 304.8),
    ],
)
def test_absolute_lengths_have_their_published_size(text: str, mm: float) -> None:
    """Each unit of CSS Values and Units 4 ("Absolute Lengths") gives its millimetres."""
    assert mm_from_text(text) == mm


@pytest.mark.parametrize("text", ["12", "in", "", "1em", "50%", "1,5in", "--1mm", "1 2mm"])
def test_what_is_no_absolute_length_is_refused(text: str) -> None:
    """A missing or relative unit is never guessed."""
    with pytest.raises(ValueError, match="not a length"):
        mm_from_text(text)


@settings(deadline=None)
@given(st.integers(1, 10_000_000), st.integers(72, 1200))
def test_rounding_is_half_up_on_the_decimal_written(thousandths: int, ppi: int) -> None:
    """Pixels equal floor(mm x ppi / 25.4 + 1/2) in exact arithmetic (arithmetic)."""
    wanted = (2 * thousandths * ppi * 10 + 254_000) // 508_000
    assert px_from_mm(thousandths / 1000, ppi) == wanted


@settings(deadline=None)
@given(st.integers(1, 30_000), st.integers(72, 1200))
def test_whole_pixels_survive_the_way_through_millimetres(px: int, ppi: int) -> None:
    """Printing a number of pixels and asking for that length gives the number back."""
    assert px_from_mm(mm_from_px(px, ppi), ppi) == px


@settings(deadline=None)
@given(st.integers(72, 1200))
def test_density_reads_back_within_its_rounding(ppi: int) -> None:
    """Pixels per metre differ from the resolution by at most half a pixel per metre (published: W3C PNG, pHYs)."""
    assert abs(px_per_metre(ppi) - ppi * inches_from_mm(1000)) <= 0.5 + 1e-6


def test_a_decimal_is_taken_as_written() -> None:
    """2.667 is 2667/1000 and not its binary neighbour."""
    assert exact(2.667) == Fraction(2667, 1000)
