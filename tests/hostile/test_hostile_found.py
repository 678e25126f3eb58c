"""Drawings that once were handled wrongly: the reader says what is due."""

from __future__ import annotations

import pytest

from tests.hostile.hostile_cases import Case
from tests.hostile.hostile_found import DRAWN, REFUSED, WARNED
from vectorprep.errors import ArtworkRefused
from vectorprep.fonts import FontIndex
from vectorprep.read import read_artwork

FONTS = FontIndex(system=False)


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: case.name)
def test_it_is_refused_with_its_cause(case: Case) -> None:
    """The code is that of the cause, and there is a remedy."""
    with pytest.raises(ArtworkRefused) as caught:
        read_artwork(case.make(), name="x", fonts=FONTS)
    assert (caught.value.code, bool(caught.value.fix)) == (case.slug, True)


@pytest.mark.parametrize("case", WARNED, ids=lambda case: case.name)
def test_it_is_drawn_with_a_warning(case: Case) -> None:
    """The innocent mark stays, and the finding says what is missing."""
    artwork = read_artwork(case.make(), name="x", fonts=FONTS)
    assert b"#00a651" in artwork.markup
    assert ("warning", case.slug) in {(finding.severity, finding.check) for finding in artwork.findings}


def test_attribute_defaults_of_the_file_itself_hold() -> None:
    """XML 1.0, section 3.3.2: a default declared in the internal subset counts where the attribute is not written."""
    case = next(case for case in DRAWN if "default" in case.name)
    assert b"#00a651" in read_artwork(case.make(), name="x", fonts=FONTS).markup
