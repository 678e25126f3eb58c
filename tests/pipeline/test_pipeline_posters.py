"""Masters of posters: one drawing on sheets of every ratio family, never stretched, its crop and its ground told."""

from __future__ import annotations

from pathlib import Path
from typing import cast

import pytest
from PIL import Image

from vectorprep import RunOptions, RunReport, convert_artworks

# 200 x 300 mm, 2:3, filled by a plain plate with a disc on it.
FULL = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="300mm" viewBox="0 0 200 300">'
    '<path d="M0 0h200v300H0z" fill="#f4ead6"/><circle cx="100" cy="150" r="60" fill="#7a4632"/></svg>'
)
RATIOS = {  # width / height of the sheets that one design needs, and how much of a picture of 2:3 is lost when it covers them
    "2:3": (400.0, 600.0, 0.0),
    "ISO A": (420.0, 594.0, 0.0572),
    "3:4": (450.0, 600.0, 0.1111),
    "11:14": (440.0, 560.0, 0.1515),
    "4:5": (480.0, 600.0, 0.1667),
}
"""Losses: arithmetic, 1 - 2/3 over the sheet's own ratio; ISO A by ISO 216."""


def run(folder: Path, settings: str, *, bleed_mm: float = 0.0) -> RunReport:
    """The drawing on sheets of all families, at few pixels."""
    (folder / "art").mkdir(exist_ok=True)
    (folder / "art" / "disc.svg").write_text(FULL)
    (folder / "vectorprep.toml").write_text(settings)
    (folder / "sheets").mkdir(exist_ok=True)
    for name, (width, height, _) in RATIOS.items():
        key = "sheet-" + name.replace(":", "x").replace(" ", "-").lower()
        text = (
            f'based_on = "poster-2x3-24x36in"\nname = "Sheet {name}"\nprint_area_mm = [{width}, {height}]\n'
            f'trim_size_mm = [{width}, {height}]\nbleed_mm = {bleed_mm}\nresolution_ppi = 72\nratio_family = "{name}"\n'
        )
        (folder / "sheets" / f"{key}.toml").write_text(text)
    products = tuple(sorted(path.stem for path in (folder / "sheets").glob("*.toml")))
    options = RunOptions(
        products=products, profiles=(str(folder / "sheets"),), settings=str(folder / "vectorprep.toml"), jobs=1, review=False
    )
    return convert_artworks([folder / "art"], folder / "out", options=options)


def key_of(family: str) -> str:
    """Key of the invented sheet of a family."""
    return "sheet-" + family.replace(":", "x").replace(" ", "-").lower()


@pytest.mark.parametrize("family", list(RATIOS))
def test_the_share_cut_off_is_told(tmp_path: Path, family: str) -> None:
    """A picture of 2:3 that covers a sheet loses the share that arithmetic gives, to a part in a hundred."""
    report = run(tmp_path, 'fit = "cover"\n')
    found = [
        finding
        for finding in report.record["findings"]
        if finding["check"] == "art-cropped" and finding["product"] == key_of(family)
    ]
    assert len(found) == 1
    assert found[0]["measured"] == pytest.approx(RATIOS[family][2], abs=0.002)  # ink overlaps the sheet by a pixel's share
    assert found[0]["severity"] == ("warning" if RATIOS[family][2] > 0.1 else "note")


def test_bleed_that_is_trimmed_counts_as_cut_off(tmp_path: Path) -> None:
    """With 10 mm of bleed a picture of the sheet's own ratio loses 1 - 400 x 600 / (420 x 630) of its area (arithmetic)."""
    report = run(tmp_path, 'fit = "cover"\n', bleed_mm=10.0)
    (found,) = [one for one in report.record["findings"] if one["check"] == "art-cropped" and one["product"] == "sheet-2x3"]
    assert found["measured"] == pytest.approx(1 - 400 * 600 / (420 * 630), abs=0.003)


@pytest.mark.parametrize("family", list(RATIOS))
def test_a_plain_background_runs_on_to_the_edge(tmp_path: Path, family: str) -> None:
    """Fitted inside, the drawing keeps its proportions and its own background fills the sheet: no pale rectangle, no warning."""
    report = run(tmp_path, "")
    findings = {finding["check"] for finding in report.record["findings"] if finding["product"] == key_of(family)}
    assert "ratio-mismatch" not in findings
    (made,) = [one for one in report.record["outputs"] if one["product"] == key_of(family) and one["kind"] == "print-png"]
    x0, y0, x1, y1 = made["ink_box_px"]
    assert (x1 - x0) / (y1 - y0) == pytest.approx(2 / 3, abs=0.003)
    with Image.open(tmp_path / "out" / made["path"]) as picture:
        colours = {picture.convert("RGB").getpixel(place) for place in ((1, 1), (picture.width - 2, picture.height - 2))}
    assert colours == {(0xF4, 0xEA, 0xD6)}


def test_the_paper_stays_bare_where_that_is_asked_for(tmp_path: Path) -> None:
    """With ground = paper the border is white, and the mismatch is told for sheets of other proportions alone."""
    report = run(tmp_path, 'ground = "paper"\n')
    told = {finding["product"] for finding in report.record["findings"] if finding["check"] == "ratio-mismatch"}
    assert told == {key_of(family) for family in RATIOS if family != "2:3"}
    (made,) = [one for one in report.record["outputs"] if one["product"] == "sheet-4x5" and one["kind"] == "print-png"]
    with Image.open(tmp_path / "out" / made["path"]) as picture:
        assert picture.convert("RGB").getpixel((1, 1)) == (255, 255, 255)


SHEET = '<svg xmlns="http://www.w3.org/2000/svg" width="297mm" height="420mm" viewBox="0 0 297 420">'
SEEN = ("ink-lost", "ink-fades", "part-fades", "contrast-too-low", "contrast-hue-only", "white-ink-unavailable")


def poster(folder: Path, body: str, settings: str = "") -> tuple[dict[str, object], list[dict[str, object]], Path]:
    """A drawing on the A3 poster: its pairing, what is said of inks that may not be seen, its print file."""
    (folder / "art").mkdir(exist_ok=True)
    (folder / "art" / "sheet.svg").write_text(f"{SHEET}{body}</svg>")
    (folder / "vectorprep.toml").write_text(settings)
    options = RunOptions(products=("poster-iso-a3",), settings=str(folder / "vectorprep.toml"), jobs=1, review=False)
    report = convert_artworks([folder / "art"], folder / "out", options=options)
    found = [finding for finding in report.record["findings"] if finding["check"] in SEEN]
    (made,) = [one for one in report.record["outputs"] if one["kind"] == "print-png"]
    return report.record["pairs"][0], found, folder / "out" / str(made["path"])


def plate(colour: str) -> str:
    """A page-size rectangle."""
    return f'<path d="M0 0h297v420H0z" fill="{colour}"/>'


DISC = '<circle cx="148" cy="210" r="70" fill="{}"/>'


@pytest.mark.parametrize("ground", ["#f4ead6", "#fff6e6", "#1b2340"])
def test_a_ground_is_not_held_against_the_white_paper_that_it_hides(tmp_path: Path, ground: str) -> None:
    """Art that stands out from its own ground is clear, and the ground itself, which runs on to the edge, is no ink that fades."""
    ink = "#f4ead6" if ground == "#1b2340" else "#7a4632"
    pair, found, _ = poster(tmp_path, plate(ground) + DISC.format(ink))
    assert (pair["verdict"], pair["treatment"], found) == ("clear", "as-drawn", [])


@pytest.mark.parametrize(("ground", "ink"), [("#1b2340", "#0a0a12"), ("#f4ead6", "#efe6d2"), ("#fff6e6", "#fdf8ee")])
def test_art_is_held_against_its_own_ground(tmp_path: Path, ground: str, ink: str) -> None:
    """Black on navy and cream on cream fade, although both are far from white or no darker than before; the ground is named."""
    pair, found, _ = poster(tmp_path, plate(ground) + DISC.format(ink))
    assert pair["verdict"] in {"weak", "lost"}
    worst = next(finding for finding in found if finding["check"] in {"ink-lost", "ink-fades"})
    assert f"its own ground {ground}" in str(worst["message"])
    x0, y0, x1, y1 = cast("list[float]", worst["place_mm"])
    scale = (x1 - x0) / 140  # the disc alone is ringed, at its place on the sheet of 303 x 426 mm
    assert scale == pytest.approx((y1 - y0) / 140, rel=0.03)
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((151.5, 213), abs=3)


def test_bare_paper_is_still_what_art_is_held_against_where_it_shows(tmp_path: Path) -> None:
    """With ground = paper, or without a plain plate, white paper lies behind: pale yellow on it is told."""
    pair, found, _ = poster(tmp_path, DISC.format("#fffbe0"))
    assert pair["verdict"] in {"weak", "lost"}
    assert "on white" in str(found[0]["message"])
    _, found, _ = poster(tmp_path, plate("#fff6e6") + DISC.format("#7a4632"), 'ground = "paper"\n')
    assert any("on white" in str(finding["message"]) for finding in found)


def test_a_ground_keeps_its_colour_when_inks_change(tmp_path: Path) -> None:
    """Inks that fade on their ground may move; the ground in the art and beyond it stays the one that was drawn."""
    lines = "".join(f'<path d="M40 {y}H257" stroke="#20283f" stroke-width="7"/>' for y in range(80, 350, 30))
    pair, _, path = poster(tmp_path, plate("#1b2340") + lines + '<circle cx="148" cy="50" r="18" fill="#e2672b"/>')
    assert pair["verdict"] != "clear"
    with Image.open(path) as picture:
        shown = picture.convert("RGB")
        places = [(3, 3), (shown.width // 2, shown.height - 40), (shown.width - 4, shown.height // 2), (300, 400)]
        assert {shown.getpixel(place) for place in places} == {(0x1B, 0x23, 0x40)}
