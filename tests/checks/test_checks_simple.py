"""Checks that look at figures and not at pixels."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.checks.given import CATALOGUE, CLEAR, on_blank
from vectorprep.checks import Evidence, explanations, run_checks
from vectorprep.checks.bitmaps import effective_ppi
from vectorprep.geometry import Affine, Box
from vectorprep.model import (
    Artwork,
    EmbeddedImage,
    FadedPart,
    Finding,
    Ink,
    Measurement,
    Output,
    Page,
    Placed,
    Placement,
    Product,
    Verdict,
)
from vectorprep.model.licence import Licence, LicenceRecord

FADES = replace(CLEAR, word="weak", outline_faded=0.3, deciding="black on navy fades", places=((0.0, 0.0, 0.5, 1.0),))
PPI = 300.0


def ink(colour: str, *, area: float = 0.5, contact: bool = True) -> Ink:
    """A flat ink."""
    return Ink(colour=colour, area_share=area, edge_share=area, in_contact=contact)


def image(width_px: int, height_px: int, drawn_mm: tuple[float, float]) -> EmbeddedImage:
    """A bitmap at the page's corner."""
    return EmbeddedImage(
        element="image",
        width_px=width_px,
        height_px=height_px,
        drawn_mm=drawn_mm,
        box_mm=(0.0, 0.0, *drawn_mm),
        mode="RGBA",
        has_alpha=True,
    )


def evidence(
    product: Product | str = "tee-adult-front-dtg",
    *,
    blanks: tuple[str, ...] = ("white",),
    verdict: Verdict = CLEAR,
    inks: tuple[Ink, ...] = (),
    images: tuple[EmbeddedImage, ...] = (),
    printed_mm: tuple[float, float] = (279.4, 140.0),
    parts: tuple[FadedPart, ...] = (),
    strict: bool = False,
) -> Evidence:
    """One picture of 100 x 50 mm of page, printed at a size."""
    record = CATALOGUE.products[product] if isinstance(product, str) else product
    scale = printed_mm[0] / 100.0
    box = (100, 100, 100 + round(printed_mm[0] * PPI / 25.4), 100 + round(printed_mm[1] * PPI / 25.4))
    page = Page(width_px=100 * 96 / 25.4, height_px=50 * 96 / 25.4, uu_to_px=Affine())
    artwork = Artwork(name="a", slug="a", path="a.svg", sha256="0" * 64, markup=b"<svg/>", page=page, images=images)
    measured = Measurement(
        artwork=artwork,
        page_mm=(100.0, 50.0),
        ink_box_mm=Box(0, 0, 100, 50),
        any_ink_box_mm=Box(0, 0, 100, 50),
        ink_edges_mm=Box(0, 0, 100, 50),
        tolerance_mm=0.02,
        inks=inks,
    )
    placed = Placed(px_per_mm=scale * PPI / 25.4, offset_px=(100.0, 100.0), ink_box_px=box, printed_mm=printed_mm)
    placement = Placement(product=record.key, canvas_px=record.file_size_px, ppi=PPI, placed=(placed,), garment_size="M")
    on = tuple(on_blank(record, key, inks, verdict=verdict, parts=parts) for key in blanks)
    return Evidence(artwork=artwork, measured=measured, product=record, placement=placement, on_blanks=on, strict=strict)


def found(given: Evidence, slug: str) -> list[Finding]:
    """The findings of one slug."""
    return [finding for finding in run_checks(given) if finding.check == slug]


@pytest.mark.parametrize(
    ("size_px", "drawn_mm", "scale", "ppi"),
    [
        # Arithmetic: ppi = px / printed inches, per axis, the smaller one.
        ((1200, 1200), (254.0, 254.0), 1.0, 120.0),
        ((3000, 2000), (8 * 25.4, 5 * 25.4), 1.0, 375.0),
        ((1500, 1500), (6 * 25.4, 6 * 25.4), 1.0, 250.0),  # 500 of 1000 units of a print 12 in wide
        ((600, 600), (4 * 25.4, 4 * 25.4), 1.0, 150.0),  # turned by 30 degrees: lengths of its sides, not its box
        ((600, 600), (2 * 25.4, 2 * 25.4), 2.0, 150.0),
    ],
)
def test_effective_ppi_goes_through_the_whole_chain(
    size_px: tuple[int, int], drawn_mm: tuple[float, float], scale: float, ppi: float
) -> None:
    """Pixels per printed inch along the coarser side."""
    assert effective_ppi(image(*size_px, drawn_mm), scale) == pytest.approx(ppi)


def test_a_coarse_bitmap_is_a_warning_and_a_very_coarse_one_an_error() -> None:
    """Limits of the record (common practice, no source): warn below 200, fail below 120; the width that still holds is named."""
    coarse = evidence(images=(image(1650, 825, (100.0, 50.0)),))  # 279.4 mm = 11 in: 150 ppi
    (warning,) = found(coarse, "image-resolution-low")
    assert (warning.severity, warning.measured, warning.limit) == ("warning", 150.0, 200)
    assert "8.25 in (209 mm)" in warning.fix
    (error,) = found(evidence(images=(image(1100, 550, (100.0, 50.0)),)), "image-resolution-low")
    assert (error.severity, error.measured, error.limit) == ("error", 100.0, 120)
    assert not found(evidence(images=(image(3300, 1650, (100.0, 50.0)),)), "image-resolution-low")


def test_a_fine_ruling_wants_a_finer_bitmap() -> None:
    """At 170 lpi a picture needs 1.41 times as many pixels per inch (trade press): 239.7 ppi; 220 pass at the usual ruling."""
    record = CATALOGUE.products["tee-adult-front-spot"]
    fine = replace(record, ink_policy=replace(record.ink_policy, halftone_ruling_lpi=170.0), ink_policy_on_light_cloth=None)
    picture = (image(2420, 1210, (100.0, 50.0)),)  # 279.4 mm = 11 in: 220 ppi
    (warning,) = found(evidence(fine, images=picture), "image-resolution-low")
    assert warning.measured == 220.0
    assert warning.limit == pytest.approx(239.7)
    assert not found(evidence(record, images=picture), "image-resolution-low")


def test_a_far_too_fine_bitmap_is_a_note() -> None:
    """Above twice the target of 300 ppi the pixels are wasted (common practice, no source)."""
    (note,) = found(evidence(images=(image(8000, 4000, (100.0, 50.0)),)), "image-resolution-excessive")
    assert note.severity == "note"
    assert not found(evidence(images=(image(6000, 3000, (100.0, 50.0)),)), "image-resolution-excessive")


def test_the_place_of_a_bitmap_is_where_it_prints() -> None:
    """A bitmap at the page's corner lies at the ink's corner: 100 px at 300 ppi are 8.467 mm."""
    (warning,) = found(evidence(images=(image(1650, 825, (100.0, 50.0)),)), "image-resolution-low")
    assert warning.place_mm is not None
    assert warning.place_mm == pytest.approx((8.4667, 8.4667, 8.4667 + 279.4, 8.4667 + 139.7), abs=0.01)


@pytest.mark.parametrize(("width_mm", "off"), [(200.0, True), (210.0, False), (279.4, False), (305.0, False), (309.0, True)])
def test_a_width_far_from_the_ideal_is_named(width_mm: float, off: bool) -> None:
    """Outside 0.75 to 1.1 of the ideal 279.4 mm of size M (common practice, no source)."""
    assert bool(found(evidence(printed_mm=(width_mm, width_mm / 2)), "print-width-off-ideal")) is off


def test_white_art_where_no_white_is_printed() -> None:
    """Sublimation on natural cloth leaves white bare; on white it is the blank itself; inkjet on navy prints white."""
    white = (ink("#ffffff"),)
    assert found(evidence("tee-poly-front-sub", blanks=("natural",), inks=white), "white-ink-unavailable")
    assert not found(evidence("tee-poly-front-sub", blanks=("white",), inks=white), "white-ink-unavailable")
    assert not found(evidence(blanks=("navy",), inks=white), "white-ink-unavailable")


def test_an_ink_below_the_ratio_is_told_by_hue_or_is_too_low() -> None:
    """Yellow on white (1.07:1, WCAG 2.2) is told by its hue; dark blue on navy by nothing; a far ink says nothing."""
    (hue,) = found(evidence(inks=(ink("#ffff00"),)), "contrast-hue-only")
    assert hue.severity == "note"
    (low,) = found(evidence(blanks=("navy",), inks=(ink("#1c3563"),)), "contrast-too-low")
    assert low.severity == "note"
    assert low.measured == pytest.approx(1.28, abs=0.05)
    (strict,) = found(evidence(blanks=("navy",), inks=(ink("#1c3563"),), strict=True), "contrast-too-low")
    assert strict.severity == "warning"
    inside = (ink("#1c3563", contact=False),)
    assert not [
        f for slug in ("contrast-too-low", "contrast-hue-only") for f in found(evidence(blanks=("navy",), inks=inside), slug)
    ]


def test_a_verdict_becomes_a_finding_with_its_figure_limit_and_place() -> None:
    """Weak is a warning, lost an error; the place is a part of the ink box in mm of the print file."""
    (weak,) = found(evidence(blanks=("navy",), verdict=FADES), "ink-fades")
    assert (weak.severity, weak.measured, weak.limit, weak.blank) == ("warning", 0.3, 0.1, "navy")
    assert weak.place_mm is not None
    assert weak.place_mm[2] - weak.place_mm[0] == pytest.approx(279.4 / 2, abs=0.1)
    (lost,) = found(evidence(blanks=("navy",), verdict=replace(FADES, word="lost")), "ink-lost")
    assert lost.severity == "error"
    assert not found(evidence(blanks=("navy",)), "ink-fades")


def test_a_part_that_vanishes_is_named_although_the_whole_is_clear() -> None:
    """Steam over a cup: a warning with its place."""
    part = FadedPart(
        ink="#ffffff",
        contrast_ratio=1.1,
        delta_e=3.0,
        area_share=0.05,
        outline_share=0.06,
        place=(0.4, 0.0, 0.6, 0.2),
        words="steam",
    )
    (finding,) = found(evidence(parts=(part,)), "part-fades")
    assert (finding.severity, finding.message, finding.place_on) == ("warning", "steam", "print")


def test_a_product_for_children_carries_its_caution() -> None:
    """The record's audience decides."""
    assert found(evidence("tee-youth-front-dtg"), "audience-child")
    assert not found(evidence(), "audience-child")


def test_a_kind_of_file_that_is_not_made_is_said() -> None:
    """Cut film wants closed paths; without that output the picture is called a preview; a shirt's PNG is what it wants."""
    film = CATALOGUE.products["tee-adult-front-cutfilm"]
    assert found(evidence(replace(film, outputs=("print-png", "preview-png"))), "output-kind-not-made")
    assert not found(evidence(), "output-kind-not-made")


def test_a_kind_that_could_not_be_made_here_is_a_note() -> None:
    """Where the print file is made and another kind of the record is not, that is said; where nothing was made, nothing is."""
    record = replace(CATALOGUE.products["tee-adult-front-dtg"], outputs=("print-png", "pdf"))
    made = print_png((9, 9))
    (note,) = found(replace(evidence(record), outputs=(made,)), "output-kind-not-made")
    assert note.severity == "note"
    assert "pdf" in note.message
    assert not found(evidence(record), "output-kind-not-made")


def print_png(size_px: tuple[int, int]) -> Output:
    """A print file of a size."""
    return Output(
        path="a.png",
        kind="print-png",
        artwork="a",
        product="",
        blanks=("white",),
        treatment="as-drawn",
        width_px=size_px[0],
        height_px=size_px[1],
        ppi=PPI,
        ink_box_px=None,
        placements=(),
        printed_mm=(9.0, 9.0),
    )


@pytest.mark.parametrize(("limits", "measured"), [({"side_max_px": 4799}, 4800), ({"area_max_megapixel": 17.0}, 17.28)])
def test_a_file_of_too_many_pixels_is_an_error(limits: dict[str, float], measured: float) -> None:
    """3600 x 4800 px are 17.28 megapixels (arithmetic); a limit just met is held."""
    plain = CATALOGUE.products["tee-adult-front-dtg"]
    record = replace(plain, file=replace(plain.file, **limits))  # type: ignore[arg-type]
    (error,) = found(replace(evidence(record), outputs=(print_png((3600, 4800)),)), "file-too-large")
    assert (error.severity, error.measured) == ("error", measured)
    roomy = replace(plain, file=replace(plain.file, side_max_px=4800, area_max_megapixel=17.28))
    assert not found(replace(evidence(roomy), outputs=(print_png((3600, 4800)),)), "file-too-large")


@pytest.mark.parametrize(
    ("asset", "severity"),
    [
        (Licence(name="Typeface", status="unrecorded"), "error"),
        (Licence(name="Typeface", status="blocked"), "error"),
        (Licence(name="Typeface", status="ok", is_for_goods=False), "error"),
        (Licence(name="Typeface", status="ask"), "warning"),
        (Licence(name="Typeface", status="ok"), None),
        (Licence(name="own work", status="unrecorded"), None),
    ],
)
def test_a_licence_is_settled_or_named(asset: Licence, severity: str | None) -> None:
    """What is not on record, blocked or not for goods is an error, what is to be asked a warning."""
    seen = found(replace(evidence(), licences=LicenceRecord(assets=(asset,), is_required=True)), "licence-missing-or-blocked")
    assert [finding.severity for finding in seen] == ([severity] if severity else [])
    assert all(asset.name in finding.message for finding in seen)


def test_licences_are_missed_only_where_they_are_required() -> None:
    """An artwork that names no asset is fine unless the settings want one."""
    assert not found(evidence(), "licence-missing-or-blocked")
    (missing,) = found(replace(evidence(), licences=LicenceRecord(is_required=True)), "licence-missing-or-blocked")
    assert "own work" in missing.fix


def test_nobody_named_to_mirror_is_a_note() -> None:
    """A mug is printed mirrored; the record asks the printer; a film transfer names the printer."""
    assert found(evidence("mug-11oz-wrap-sub"), "mirror-to-be-settled")
    assert not found(evidence("tee-adult-front-dtf"), "mirror-to-be-settled")


def test_every_finding_of_the_shelf_is_explained() -> None:
    """Whatever a check emits is among the explanations."""
    given = [
        evidence(blanks=("navy",), verdict=FADES, images=(image(9, 9, (100.0, 50.0)),)),
        evidence("tee-youth-front-dtg", inks=(ink("#ffff00"),)),
        evidence("mug-11oz-wrap-sub", inks=(ink("#ffffff"),)),
    ]
    assert {finding.check for one in given for finding in run_checks(one)} <= set(explanations())
