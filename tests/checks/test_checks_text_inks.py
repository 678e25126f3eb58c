"""Small black text that a press makes of four inks."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.benchmarks.planted_faults import CAPS
from vectorprep.checks.rich_black import check
from vectorprep.press import PressProfile

pyvips = pytest.importorskip("pyvips")


@pytest.fixture(scope="module")
def press() -> PressProfile:
    """The profile "Chemical proof" (Graeme Gill, public domain), which libvips carries as `cmyk`."""
    return PressProfile(name="proof.icc", data=bytes(pyvips.Operation.call("profile_load", "cmyk")))


@pytest.mark.parametrize(
    ("cap_mm", "fill", "found"),
    [(2.0, "#000000", True), (2.9, "#101010", True), (3.2, "#000000", False), (2.0, "#b3202c", False), (2.0, "#1b2340", False)],
)
def test_small_black_text_is_named(shop: Any, press: PressProfile, cap_mm: float, fill: str, found: bool) -> None:
    """Below capitals of 3 mm (house value) black takes 166 % of ink by this profile; colours are no black."""
    size = cap_mm / CAPS["Fredoka One"]
    words = f'<text x="20" y="40" font-family="Fredoka One" font-size="{size}" fill="{fill}">HINT</text>'
    evidence = shop.evidence(f'<rect x="20" y="50" width="40" height="30" fill="#2f6f4e"/>{words}', "poster-iso-a3")
    seen = list(check(replace(evidence, press=press)))
    assert bool(seen) is found
    assert not list(check(evidence))
    if seen:
        assert seen[0].measured == pytest.approx(cap_mm, abs=0.02)
        assert seen[0].place_mm is not None
