"""Inks beyond a press, named once each with what prints instead, and inks that are too heavy."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.checks.given import CATALOGUE, on_blank
from vectorprep.checks import Evidence, OnBlank
from vectorprep.checks.press_gamut import NAMED, check
from vectorprep.geometry import Affine, Box
from vectorprep.model import Artwork, Ink, Measurement, Page, Placed, Placement
from vectorprep.press import PressProfile, printed_inks

pyvips = pytest.importorskip("pyvips")
PRODUCT = CATALOGUE.products["poster-iso-a3"]


@pytest.fixture(scope="module")
def press() -> PressProfile:
    """The profile "Chemical proof" (Graeme Gill, public domain), which libvips carries as `cmyk`."""
    return PressProfile(name="proof.icc", data=bytes(pyvips.Operation.call("profile_load", "cmyk")))


def _ink(colour: str, kind: str = "flat") -> Ink:
    return Ink(colour=colour, area_share=0.1, edge_share=0.1, kind=kind)


def _on(blank: str, inks: tuple[Ink, ...]) -> OnBlank:
    return on_blank(PRODUCT, blank, inks)


def _evidence(press: PressProfile | None, *on: OnBlank) -> Evidence:
    page = Page(width_px=100, height_px=100, uu_to_px=Affine())
    artwork = Artwork(name="a", slug="a", path="a.svg", sha256="0" * 64, markup=b"<svg/>", page=page)
    box = Box(0, 0, 10, 10)
    measured = Measurement(
        artwork=artwork, page_mm=(10.0, 10.0), ink_box_mm=box, any_ink_box_mm=box, ink_edges_mm=box, tolerance_mm=0.1
    )
    placed = Placed(px_per_mm=10.0, offset_px=(0.0, 0.0), ink_box_px=(0, 0, 100, 100), printed_mm=(10.0, 10.0))
    placement = Placement(product=PRODUCT.key, canvas_px=(100, 100), ppi=254.0, placed=(placed,))
    return Evidence(artwork=artwork, measured=measured, product=PRODUCT, placement=placement, on_blanks=on, press=press)


def test_glowing_green_is_a_warning_and_red_a_note(press: PressProfile) -> None:
    """CIEDE2000 of the round trip is 20.0 for #00ff00, 5.1 for #ff0000, 2.6 for #ff6600: above 8, above 5, neither."""
    green, red = check(_evidence(press, _on("white", tuple(_ink(ink) for ink in ("#ff6600", "#ff0000", "#00ff00")))))
    assert (green.check, green.severity, green.limit) == ("colour-out-of-gamut", "warning", 8.0)
    assert green.measured == pytest.approx(19.98, abs=0.05)
    assert (red.severity, red.limit) == ("note", 5.0)
    assert red.measured == pytest.approx(5.09, abs=0.05)


def test_message_and_remedy_name_the_nearest_printable_colour(press: PressProfile) -> None:
    """The colour that the press can print stands in both."""
    (finding,) = check(_evidence(press, _on("white", (_ink("#00ff00"),))))
    (printed,) = printed_inks(("#00ff00",), press)
    assert printed.nearest in finding.message
    assert printed.nearest in finding.fix
    assert printed.prints_as in finding.message


def test_an_ink_is_named_once_whatever_the_blanks(press: PressProfile) -> None:
    """On two blanks it belongs to none of them; an ink of one blank only carries that blank."""
    both, only = _ink("#00ff00"), _ink("#0000ff")
    findings = list(check(_evidence(press, _on("white", (both, only)), _on("natural", (both,)))))
    assert [(finding.message.split()[1], finding.blank) for finding in findings] == [("#00ff00", ""), ("#0000ff", "white")]


def test_pictures_have_no_inks_and_without_a_press_nothing_is_said(press: PressProfile) -> None:
    """An embedded bitmap's middle colour is no ink; nothing is known of the press unless it is named."""
    assert not list(check(_evidence(press, _on("white", (_ink("#00ff00", "picture"),)))))
    assert not list(check(_evidence(None, _on("white", (_ink("#00ff00"),)))))


def test_at_most_the_worst_inks_are_named(press: PressProfile) -> None:
    """Of many bright greens the worst six, the worst first."""
    inks = tuple(_ink(f"#00{green:02x}00") for green in range(180, 256, 5))
    findings = list(check(_evidence(press, _on("white", inks))))
    assert len(findings) == NAMED
    measured = [float(finding.measured or 0.0) for finding in findings]
    assert measured == sorted(measured, reverse=True)


def test_the_ink_limit_is_the_settings_else_the_products(press: PressProfile) -> None:
    """A record that states 150 % holds black of 166 % against it; settings that state 200 % come before."""
    given = replace(_evidence(press, _on("white", (_ink("#000000"),))), product=replace(PRODUCT, total_ink_limit_percent=150.0))
    assert [finding.limit for finding in check(given)] == [150.0]
    assert not list(check(replace(given, press=replace(press, total_ink_limit_percent=200.0))))


def test_ink_over_the_limit_is_a_warning(press: PressProfile) -> None:
    """Black takes 166 % by this profile: above a limit of 150, below the usual 300 (common practice, no source)."""
    on = _on("white", (_ink("#000000"),))
    assert not list(check(_evidence(press, on)))
    (heavy,) = check(_evidence(replace(press, total_ink_limit_percent=150.0), on))
    assert (heavy.check, heavy.severity, heavy.limit, heavy.unit) == ("total-ink-over-limit", "warning", 150.0, "%")
    assert heavy.measured == pytest.approx(166.3, abs=0.5)
