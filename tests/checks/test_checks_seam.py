"""What goes round a cup meets at the seam and keeps off the rim; what lies in a window of the product is named with its share."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.benchmarks.planted_faults import ENGINE, FONTS
from tests.checks.given import CATALOGUE, on_blank, page_of
from vectorprep.checks import Evidence, run_checks
from vectorprep.engine import draw_placed
from vectorprep.measure import measure
from vectorprep.model import Finding
from vectorprep.plan import PlaceOptions, place
from vectorprep.read import ReadOptions, read_artwork

CUP = CATALOGUE.products["tumbler-20oz-straight-wrap-sub"]
WRAP = (float(CUP.file_size_mm[0]), float(CUP.file_size_mm[1]))
CASE = "phone-case-uv"
PLATE = f'<path d="M-1 -1H{WRAP[0] + 1}V{WRAP[1] + 1}H-1Z" fill="#1f3a86"/>'


def evidence_of(content: str, product: str, page: tuple[float, float], options: PlaceOptions) -> Evidence:
    """Content on a page, drawn for a product."""
    record = CATALOGUE.products[product]
    artwork = read_artwork(page_of(content, page), name="case", options=ReadOptions(), fonts=FONTS)
    measured = measure(artwork, ENGINE)
    raster, placement = draw_placed(ENGINE, artwork, place(measured, record, options=options))
    on = on_blank(record, "white", measured.inks)
    return Evidence(artwork=artwork, measured=measured, product=record, placement=placement, on_blanks=(on,), raster=raster)


def found(slug: str, content: str, product: str, page: tuple[float, float], options: PlaceOptions) -> list[Finding]:
    """Findings of one slug for content on a page."""
    return [finding for finding in run_checks(evidence_of(content, product, page, options)) if finding.check == slug]


def round_the_cup(content: str) -> list[Finding]:
    """What is said of the seam of a full wrap."""
    return found("wrap-edges-do-not-meet", PLATE + content, CUP.key, WRAP, PlaceOptions(fit="cover"))


@pytest.mark.parametrize("step", [1.4, 2.5, 6.0])
def test_a_band_that_misses_its_other_end_is_told_with_the_step(step: float) -> None:
    """The figure is the step between the ends, within a pixel and a half of 300 ppi; the place is at the seam (arithmetic)."""
    ends = f'<rect x="-1" y="60" width="41" height="30"/><rect x="{WRAP[0] - 40}" y="{60 + step}" width="41" height="30"/>'
    (finding,) = round_the_cup(f'<g fill="#d99a2b">{ends}</g>')
    assert finding.measured == pytest.approx(step, abs=0.13)
    assert finding.limit == 1
    assert finding.place_mm is not None
    assert finding.place_mm[0] == 0
    near = (CUP.edge_match_tolerance_mm or 0) + 0.2  # what lies nearer to its like is not part of the place
    assert finding.place_mm[1] == pytest.approx(60, abs=near) or finding.place_mm[3] == pytest.approx(90 + step, abs=near)


def test_what_meets_within_a_millimetre_and_plain_grounds_are_fine() -> None:
    """A band that closes, one that is off by 0.8 mm, and a plain ground are not blamed."""
    ends = '<rect x="-1" y="60" width="41" height="30"/><rect x="{0}" y="{1}" width="41" height="30"/>'
    for step in (0.0, 0.8):
        assert not round_the_cup(f'<g fill="#d99a2b">{ends.format(WRAP[0] - 40, 60 + step)}</g>')
    assert not round_the_cup('<circle cx="120" cy="100" r="60" fill="#d99a2b"/>')


def test_ink_that_ends_at_one_edge_only_has_no_like() -> None:
    """A disc that runs over the right edge and is not taken up on the left has no step to measure."""
    (finding,) = round_the_cup(f'<circle cx="{WRAP[0]}" cy="100" r="30" fill="#d99a2b"/>')
    assert finding.measured is None
    assert "different things" in finding.message


def test_art_clear_of_the_edges_has_no_seam() -> None:
    """By the product's own rule the art stays inside the margin."""
    content = '<rect x="5" y="5" width="90" height="60" fill="#1f3a86"/>'
    assert not found("wrap-edges-do-not-meet", content, CUP.key, (100, 100), PlaceOptions())


def test_the_lip_zone_is_the_strip_below_the_rim() -> None:
    """A mug's record keeps 6 mm clear (common practice, from memory): art nudged to 3 mm is told so, at 6 mm it is not."""
    art = '<rect x="30" y="30" width="50" height="40" fill="#1f3a86"/>'
    room = (88.9 - 40) / 2
    (finding,) = found(
        "ink-in-lip-zone", art, "mug-11oz-wrap-sub", (100, 100), PlaceOptions(original_size=True, nudge_mm=(0.0, 3 - room))
    )
    assert finding.measured == pytest.approx(3.0, abs=0.1)
    assert not found(
        "ink-in-lip-zone", art, "mug-11oz-wrap-sub", (100, 100), PlaceOptions(original_size=True, nudge_mm=(0.0, 6.05 - room))
    )


ENDS = '<rect x="36" y="8" width="36" height="10" fill="#1f3a86"/><rect x="8" y="142" width="64" height="10" fill="#1f3a86"/>'


def test_ink_in_a_window_is_told_with_its_share() -> None:
    """A square of 10 mm in a window of 21 x 36 mm with half-round ends and 3 mm around it (arithmetic, within 1 %)."""
    content = ENDS + '<rect x="11" y="15" width="10" height="10" fill="#b3402a"/>'
    (finding,) = found("ink-in-keep-out-area", content, CASE, (80, 160), PlaceOptions(original_size=True))
    radius = 10.4 + 3
    area = (21 + 6) * (36 + 6) - (4 - 3.14159) * radius**2
    assert finding.measured == pytest.approx(100 / area, rel=0.01)
    assert "camera window" in finding.message


def test_a_ground_that_runs_through_a_window_is_fine() -> None:
    """A case printed all over in one colour loses nothing at its window."""
    content = '<path d="M-1 -1H89V169H-1Z" fill="#2f6f4e"/><circle cx="44" cy="110" r="20" fill="#d99a2b"/>'
    assert not found("ink-in-keep-out-area", content, CASE, (88, 168), PlaceOptions(fit="cover"))


def test_art_that_covers_is_opaque_by_wish_and_elsewhere_it_is_not() -> None:
    """All four corners opaque: fine on a case that may be printed to its edges, an error where art is to be fitted inside."""
    case = evidence_of('<path d="M-1 -1H89V169H-1Z" fill="#2f6f4e"/>', CASE, (88, 168), PlaceOptions(fit="cover"))
    fitted = replace(case, product=replace(case.product, fit="contain"))
    slugs = [{finding.check for finding in run_checks(one)} for one in (case, fitted)]
    assert ["background-not-transparent" in one for one in slugs] == [False, True]
