"""Delivered files of cups, bent back onto the cup: what faces where, and is it upright and true there."""

from __future__ import annotations

import io
import json
import math
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
import shapely
from lxml import etree
from PIL import Image
from scipy import ndimage

from vectorprep import RunOptions, convert_artworks
from vectorprep.pipeline.catalogue import open_catalogue

DOT = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="40mm" viewBox="0 0 80 40">'
    '<rect x="1" y="1" width="78" height="38" rx="8" fill="#1f6f78"/><circle cx="64" cy="12" r="6" fill="#f7e7ce"/></svg>'
)
GRID = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="80mm" viewBox="0 0 160 80">'
    + "".join(f'<circle cx="{x}" cy="{y}" r="2" fill="#1f6f78"/>' for x in range(10, 151, 20) for y in range(10, 71, 20))
    + "</svg>"
)
PIXEL_MM = 25.4 / 300


def settings(folder: Path, text: str) -> None:
    """A settings file beside the drawing."""
    (folder / "vectorprep.toml").write_text(text)


def made(folder: Path, art: str, product: str, *, profiles: tuple[Path, ...] = ()) -> list[dict[str, object]]:
    """Output records of one drawing on one product."""
    (folder / "badge.svg").write_text(art)
    options = RunOptions(products=(product,), jobs=1, review=False, profiles=tuple(str(path) for path in profiles))
    report = convert_artworks([folder / "badge.svg"], folder / "out", options=options)
    assert [artwork["status"] for artwork in report.record["artworks"]] == ["ok"]
    outputs: list[dict[str, object]] = report.record["outputs"]
    return outputs


def one(outputs: list[dict[str, object]], kind: str) -> dict[str, object]:
    """The only output of a kind."""
    (found,) = [output for output in outputs if output["kind"] == kind]
    return found


def coverage(path: Path) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.float64]], float]:
    """How much ink lies on each pixel of a delivered file, 0..1, and pixels per mm as the file itself states them."""
    if path.suffix == ".pdf":
        page = pdfium.PdfDocument(io.BytesIO(path.read_bytes()))[0]
        shown = np.asarray(page.render(scale=300 / 72).to_pil().convert("L"), float)
        return 1 - shown / 255, 300 / 25.4
    with Image.open(path) as picture:
        return np.asarray(picture.getchannel("A"), float) / 255, float(picture.info["dpi"][0]) / 25.4


def middles(ink: np.ndarray[tuple[int, ...], np.dtype[np.float64]], per_mm: float) -> list[tuple[float, float]]:
    """Middle of the box of each separate part, mm of the file, from left to right (SciPy's labels)."""
    labels, _ = ndimage.label(ink > 0.5)
    boxes = ndimage.find_objects(labels)
    return sorted(((x.start + x.stop) / 2 / per_mm, (y.start + y.stop) / 2 / per_mm) for y, x in boxes)


def mug_record(folder: Path) -> str:
    """The built-in mug with a PDF beside its picture, as a product of the seller's."""
    (folder / "mine").mkdir()
    (folder / "mine" / "mug-pdf.toml").write_text(
        'based_on = "mug-11oz-wrap-sub"\nname = "Mug with PDF"\noutputs = ["print-png", "preview-png", "pdf"]\n'
    )
    return "mug-pdf"


# Faces by the direction they look, seen from above: 0 = opposite the handle, positive towards the wrap's right end.
FACES = {"centre": (0.0,), "left": (-90.0,), "right": (90.0,), "both": (-90.0, 90.0)}


@pytest.mark.parametrize("faces", FACES)
def test_a_mug_s_faces_look_where_they_should(tmp_path: Path, faces: str) -> None:
    """Rolled onto a cylinder of 82 mm, a face's middle looks a quarter turn from the point opposite the handle, or straight at it.

    Both delivered files are read, by Pillow and PDFium, and rolled up with the wrap's middle opposite the handle. Within
    0.15 degrees, a tenth of a millimetre.
    Source: trade values G01, G03 to G05 (geometry; 82 mm and 8.5 in are common practice, no source).
    """
    settings(tmp_path, f'faces = "{faces}"\n')
    key = mug_record(tmp_path)
    outputs = made(tmp_path, DOT, key, profiles=(tmp_path / "mine",))
    for kind in ("print-png", "pdf"):
        ink, per_mm = coverage(tmp_path / "out" / str(one(outputs, kind)["path"]))
        found = middles(ink, per_mm)
        width_mm = ink.shape[1] / per_mm
        directions = [math.degrees((x - width_mm / 2) / 41) for x, _ in found]
        assert directions == pytest.approx(FACES[faces], abs=0.15), kind
        assert [y for _, y in found] == pytest.approx([ink.shape[0] / per_mm / 2] * len(found), abs=0.1)
        handle_mm = math.pi * 82 - 215.9
        from_wrap_edge = [x - 1.5875 for x, _ in found]
        if faces == "both":
            assert from_wrap_edge == pytest.approx([43.5, 172.4], abs=0.1)
        assert all(abs(abs(direction) - 180) > math.degrees(handle_mm / 2 / 41) for direction in directions)


def test_two_faces_are_alike_and_upright(tmp_path: Path) -> None:
    """Both faces hold the same pixels: neither is turned, mirrored or of another size."""
    settings(tmp_path, 'faces = "both"\n')
    outputs = made(tmp_path, DOT, "mug-11oz-wrap-sub")
    with Image.open(tmp_path / "out" / str(one(outputs, "print-png")["path"])) as picture:
        pixels = np.asarray(picture)
    labels, count = ndimage.label(pixels[..., 3] > 127)
    first, second = (pixels[place] for place in ndimage.find_objects(labels))
    assert count == 2
    assert (first == second).all()
    brightest = np.argwhere(first[..., 0] > 200).mean(axis=0)
    assert brightest[1] / first.shape[1] == pytest.approx((64 - 1) / 78, abs=0.01)
    assert brightest[0] / first.shape[0] == pytest.approx((12 - 1) / 38, abs=0.01)


def rolled(x_mm: float, y_mm: float) -> tuple[float, float, float]:
    """A point of the tapered tumbler's file on the cone: way around, distance from the axis, height below the top; mm.

    The file is 277.84 mm wide; its bleed of 1.27 mm lies above the wrap. Arithmetic of a cone of 88 and 70 mm, 150 mm high.
    """
    half = math.atan(9 / 150)
    tip = 44 / math.sin(half)
    across, up = x_mm - 277.84 / 2, tip - (y_mm - 1.27)
    from_tip = math.hypot(across, up)
    radius = from_tip * math.sin(half)
    return math.atan2(across, up) / math.sin(half) * radius, radius, (tip - from_tip) * math.cos(half)


@pytest.mark.parametrize("mirror", [False, True])
def test_art_stands_upright_and_true_on_a_tapered_tumbler(tmp_path: Path, *, mirror: bool) -> None:
    """A grid of dots 190 mm wide, from the delivered PNG rolled onto the cone: level rows, upright columns, true distances.

    Within a pixel where they were asked for, and within a tenth of one of each other (arithmetic: development of a cone frustum).
    """
    settings(tmp_path, '[artworks.badge]\nwidth = "190mm"\n')
    (tmp_path / "mine").mkdir()
    hand = 'mirror_done_by = "seller"\n' if mirror else 'mirror_done_by = "printer"\n'
    (tmp_path / "mine" / "cup.toml").write_text(f'based_on = "tumbler-tapered-wrap-sub"\nname = "Cup"\n{hand}')
    output = one(made(tmp_path, GRID, "cup", profiles=(tmp_path / "mine",)), "print-png")
    ink, per_mm = coverage(tmp_path / "out" / str(output["path"]))
    if mirror:
        ink = ink[:, ::-1]
    labels, count = ndimage.label(ink > 0.1)
    assert count == 32
    centres = ndimage.center_of_mass(ink, labels, range(1, 33))
    found = np.array([rolled((x + 0.5) / per_mm, (y + 0.5) / per_mm) for y, x in centres])
    step = 190 / 144 * 20  # the ink is 144 units wide, dots lie 20 apart
    across, height = found[:, 0], found[:, 2] * math.hypot(150, 9) / 150
    columns = np.round(across / step + 3.5)
    rows = np.round((height - height.mean()) / step + 1.5)
    assert sorted(zip(columns, rows, strict=True)) == [(column, row) for column in range(8) for row in range(4)]
    # Art lies on whole pixels and its edges a third of one inside its box.
    assert np.abs(across - (columns - 3.5) * step).max() < PIXEL_MM
    assert np.abs(height - math.hypot(150, 9) / 2 - (rows - 1.5) * step).max() < PIXEL_MM
    for values, places in ((across, columns), (height, rows)):
        slope, start = np.polyfit(places, values, 1)
        assert np.abs(values - slope * places - start).max() < PIXEL_MM / 10
        assert slope == pytest.approx(step, rel=0.0005)
    box = output["ink_box_px"]
    placed = output["placements"]
    assert isinstance(placed, list)
    assert placed[0]["ink_box_px"] == box


def arcs(data: str) -> shapely.Polygon:
    """A path of one M, arcs (A), lines (L, V) in absolute coordinates as a polygon (SVG 2, appendix B.2.4)."""
    words = data.replace("M", " M ").replace("A", " A ").replace("L", " L ").replace("Z", "").split()
    points: list[tuple[float, float]] = []
    place = 0
    while place < len(words):
        letter = words[place]
        count = {"M": 2, "L": 2, "A": 7}[letter]
        numbers = [float(word) for word in words[place + 1 : place + 1 + count]]
        place += 1 + count
        if letter != "A":
            points.append((numbers[0], numbers[1]))
            continue
        radius, sweep, end = numbers[0], numbers[4], (numbers[5], numbers[6])
        start = points[-1]
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        chord = math.dist(start, end)
        away = math.sqrt(radius**2 - chord**2 / 4)
        side = 1 if sweep else -1
        centre = (middle[0] - side * away * (end[1] - start[1]) / chord, middle[1] + side * away * (end[0] - start[0]) / chord)
        a0, a1 = (math.atan2(point[1] - centre[1], point[0] - centre[0]) for point in (start, end))
        points += [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in np.linspace(a0, a1, 4000)[1:]]
    return shapely.Polygon(points)


def test_the_outline_of_the_wrap_is_the_side_of_the_cup(tmp_path: Path) -> None:
    """Area and bleed of the delivered outline, on the print's own page (shapely; area of a frustum's side: pi (r1 + r2) s)."""
    outputs = made(tmp_path, DOT, "tumbler-tapered-wrap-sub")
    product = open_catalogue(()).products["tumbler-tapered-wrap-sub"]
    root = etree.fromstring((tmp_path / "out" / str(one(outputs, "wrap-svg")["path"])).read_bytes())
    page = [float(side) for side in product.file_size_mm]
    assert [float(str(root.get(name)).removesuffix("mm")) for name in ("width", "height")] == pytest.approx(page)
    paths = {str(path.get("id")): str(path.get("d")) for path in root.iter("{http://www.w3.org/2000/svg}path")}
    wrap, bleed = arcs(paths["wrap"]), arcs(paths["bleed"])
    assert wrap.area == pytest.approx(math.pi * (44 + 35) * math.hypot(150, 9), rel=1e-5)
    grown = wrap.buffer(1.27, join_style="mitre", quad_segs=64)
    assert bleed.symmetric_difference(grown).area < 0.5  # of 38,000 square mm
    assert shapely.box(0, 0, *page).buffer(0.01).contains(bleed)
    assert wrap.centroid.x == pytest.approx(page[0] / 2, abs=0.001)


def test_a_rectangle_for_a_tapered_cup_is_told(tmp_path: Path) -> None:
    """A record that states a taper above a degree and a rectangle as its wrap is a warning; below it is none."""
    (tmp_path / "mine").mkdir()
    taper = "top_diameter_mm = {}\nbottom_diameter_mm = 70\nheight_mm = 150\n"
    for key, top in (("steep", 88), ("upright", 75)):
        text = f'based_on = "tumbler-20oz-straight-wrap-sub"\nname = "Cup"\n[taper]\n{taper.format(top)}'
        (tmp_path / "mine" / f"{key}.toml").write_text(text)
    (tmp_path / "badge.svg").write_text(DOT)
    options = RunOptions(products=("steep", "upright"), jobs=1, review=False, profiles=(str(tmp_path / "mine"),))
    report = convert_artworks([tmp_path / "badge.svg"], tmp_path / "out", options=options)
    found = [finding for finding in report.record["findings"] if finding["check"] == "wrap-taper-needs-sector"]
    assert [(finding["product"], finding["severity"]) for finding in found] == [("steep", "warning")]
    assert found[0]["measured"] == pytest.approx(math.degrees(math.atan(9 / 150)), abs=0.01)
    assert json.loads((tmp_path / "out" / "manifest.json").read_text())["schema"] == 1


def test_art_that_covers_a_wrap_with_its_bleed_is_not_outside_it(tmp_path: Path) -> None:
    """A full bleed around a straight tumbler is what was asked for: no margin is crossed, all of the file is inked."""
    settings(tmp_path, 'fit = "cover"\nreview = false\n')
    page = '<svg xmlns="http://www.w3.org/2000/svg" width="240mm" height="212mm">'
    art = f'{page}<rect width="100%" height="100%" fill="#1f6f78"/></svg>'
    (tmp_path / "sea.svg").write_text(art)
    options = RunOptions(products=("tumbler-20oz-straight-wrap-sub",), jobs=1)
    report = convert_artworks([tmp_path / "sea.svg"], tmp_path / "out", options=options)
    checks = {finding["check"] for finding in report.record["findings"]}
    assert not checks & {"ink-outside-print-area", "ink-outside-safe-margin", "bleed-missing"}
    ink, _ = coverage(tmp_path / "out" / str(one(report.record["outputs"], "print-png")["path"]))
    assert ink.min() == 1


def test_art_on_a_tumbler_is_as_wide_as_is_seen_at_once(tmp_path: Path) -> None:
    """Without a wish art is 3.75 in wide, not as wide as the wrap (common practice, no source: 3.5 to 4 in)."""
    for product in ("tumbler-20oz-straight-wrap-sub", "tumbler-tapered-wrap-sub"):
        settings(tmp_path, "review = false\n")
        outputs = [output for output in made(tmp_path, DOT, product) if output["product"] == product]
        printed = one(outputs, "print-png")["printed_mm"]
        assert isinstance(printed, list)
        assert printed[0] == pytest.approx(95.25, abs=0.1)
