"""Product pictures: drawings and photographs from files to files, in one run with the print files."""

from __future__ import annotations

import base64
import io
import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from vectorprep.colour import delta_e_2000, hex_from_rgb
from vectorprep.colour.arrays import linear_from_srgb8
from vectorprep.errors import ExitCode, SceneRefused
from vectorprep.pipeline import RunOptions, convert_artworks, verify_outputs
from vectorprep.pipeline.single_picture import write_picture

INK = "#c8102e"
ART = f'<svg xmlns="http://www.w3.org/2000/svg" width="300" height="400"><rect width="300" height="400" fill="{INK}"/></svg>'
STATED = 'products="tee-adult-front-dtg" source="made here" licence="own work"'
META = f'<metadata><scene xmlns="urn:vectorprep:scene" {STATED}/></metadata>'
AREA = '<path id="area" d="M70 60 H130 V140 H70 Z"/>'
SHIRT = (
    f'<svg xmlns="http://www.w3.org/2000/svg" width="200" height="200">{META}<rect id="backdrop" width="200" height="200" '
    'fill="#dddddd"/><rect id="cloth" x="40" y="20" width="120" height="170"/>'
    f'<rect id="shade" x="40" y="100" width="20" height="90" opacity=".3"/>{AREA}</svg>'
)
SMALL = RunOptions(products=("tee-adult-front-dtg",), blanks=("white", "navy"), jobs=1)


def _photograph(mode: str = "RGB", form: str = "JPEG") -> bytes:
    """A plain grey-white surface that darkens to the right."""
    ramp = np.linspace(235, 150, 200)[None, :].repeat(200, axis=0)
    if mode == "I;16":
        image = Image.fromarray((ramp * 257).astype(np.uint16))
    else:
        image = Image.fromarray(ramp.astype(np.uint8)).convert(mode)
    data = io.BytesIO()
    image.save(data, form)
    return data.getvalue()


def _scene(image: str, area: str = AREA, meta: str = META) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="200" height="200">{meta}'
        f'<image href="{image}" width="200" height="200"/>{area}</svg>'
    )


@pytest.fixture
def art(tmp_path: Path) -> Path:
    """A folder with one plain drawing, whose print is a rectangle of one ink."""
    folder = tmp_path / "art"
    folder.mkdir()
    (folder / "plate.svg").write_text(ART, encoding="utf-8")
    (tmp_path / "scenes").mkdir()
    (tmp_path / "vectorprep.toml").write_text("[pictures]\nsize_px = 400\n", encoding="utf-8")
    return folder


def _pixel(path: Path, x: int, y: int) -> str:
    with Image.open(path) as image:
        red, green, blue = image.convert("RGB").getpixel((x, y))  # type: ignore[misc]
    return hex_from_rgb(int(red), int(green), int(blue))


def test_pictures_are_made_with_the_print_files_and_verified(art: Path, tmp_path: Path) -> None:
    """One run gives both; names, alt text and manifest say what they are; a second run keeps all; fewer wishes drop nothing."""
    (tmp_path / "scenes" / "front.svg").write_text(SHIRT, encoding="utf-8")
    options = RunOptions(products=SMALL.products, blanks=SMALL.blanks, jobs=1, pictures=(str(tmp_path / "scenes"),))
    out = tmp_path / "out"
    report = convert_artworks([art], out, options=options)
    made = [output for output in report.record["outputs"] if output["kind"] == "picture"]
    assert [output["path"] for output in made] == [
        "plate--tee-adult-front-dtg--front--white.webp",
        "plate--tee-adult-front-dtg--front--navy.webp",
    ]
    assert made[1]["alt"] == 'Drawing of a navy t-shirt, front, with the design "Plate".'
    assert any(output["kind"] == "print-png" for output in report.record["outputs"])
    manifest = json.loads((out / "manifest.json").read_text(encoding="utf-8"))
    assert [output["path"] for output in manifest["outputs"] if output["kind"] == "picture"] == [output["path"] for output in made]
    assert verify_outputs(out).exit_code == ExitCode.FINE
    for again in (options, SMALL):
        kept = convert_artworks([art], out, options=again).record["outputs"]
        assert {output["state"] for output in kept} == {"kept"}
        assert sum(output["kind"] == "picture" for output in kept) == 2


def test_ink_in_the_middle_of_a_drawing_is_its_own_colour(art: Path, tmp_path: Path) -> None:
    """Within CIEDE2000 3 on any blank (here within 1, for no shade lies there), and the cloth beside it is the blank's."""
    (tmp_path / "scenes" / "front.svg").write_text(SHIRT, encoding="utf-8")
    for blank, colour in (("white", "#ffffff"), ("navy", "#1b2340"), ("charcoal", None)):
        out = tmp_path / f"{blank}.png"
        write_picture(str(art / "plate.svg"), str(tmp_path / "scenes" / "front.svg"), str(out), RunOptions(blanks=(blank,)))
        assert delta_e_2000(_pixel(out, 200, 200), INK) < 1
        if colour is not None:
            assert delta_e_2000(_pixel(out, 100, 60), colour) < 1


def test_print_ends_where_the_cloth_ends(art: Path, tmp_path: Path) -> None:
    """An area that reaches beyond the drawing's cloth shows no ink there, and ink that covers hides a seam drawn on the cloth."""
    narrow = SHIRT.replace('x="40" y="20" width="120"', 'x="80" y="20" width="32"').replace(
        '<rect id="shade"', '<path d="M90 0V200" stroke="#000" stroke-width="6"/><rect id="shade"'
    )
    (tmp_path / "scenes" / "front.svg").write_text(narrow, encoding="utf-8")
    out = tmp_path / "ends.png"
    write_picture(str(art / "plate.svg"), str(tmp_path / "scenes" / "front.svg"), str(out), RunOptions(blanks=("navy",)))
    # Points of the page of 200 px, at 2 px of the picture each: beside the cloth, beside and on the seam, beside it again.
    assert [_pixel(out, 2 * x, 200) for x in (78, 83, 90, 107, 116)] == ["#dddddd", INK, INK, INK, "#dddddd"]


@pytest.mark.parametrize(("border", "beside"), [("paper", "#ffffff"), ("art", INK)])
def test_a_sticker_shows_the_border_that_it_is_given(art: Path, tmp_path: Path, border: str, beside: str) -> None:
    """A print of 54.15 x 72.2 mm in an area of 76.2 mm on 152.4 px: its edge lies 22.05 px in, its cut 2 mm (4 px) farther out."""
    flat = SHIRT.replace("tee-adult-front-dtg", "sticker-kiss-cut").replace(
        'x="40" y="20" width="120" height="170"', 'width="200" height="200"'
    )
    area = '<path id="area" d="M23.8 23.8H176.2V176.2H23.8Z"/>'
    (tmp_path / "scenes" / "front.svg").write_text(
        flat.replace(AREA, area).replace('opacity=".3"', 'opacity="0"'), encoding="utf-8"
    )
    (tmp_path / "vectorprep.toml").write_text(f'border = "{border}"\n[pictures]\nsize_px = 400\n', encoding="utf-8")
    out = tmp_path / "sticker.png"
    options = RunOptions(products=("sticker-kiss-cut",), blanks=("white",))
    write_picture(str(art / "plate.svg"), str(tmp_path / "scenes" / "front.svg"), str(out), options)
    # In px of the page of 200: inside the art, between its edge and the cut, beyond the cut.
    assert [_pixel(out, round(2 * (23.8 + x)), 200) for x in (24, 20, 16)] == [INK, beside, "#ffffff"]


def test_an_edge_of_the_print_lies_where_the_plan_says(art: Path, tmp_path: Path) -> None:
    """In linear light the covered pixels add up to the planned place within a tenth; two pixels are partly covered, none beyond.

    The print is as high as the area less the 12.7 mm that the record leaves above it, 3/4 as wide, in the area's middle.
    """
    (tmp_path / "scenes" / "front.svg").write_text(SHIRT, encoding="utf-8")
    (tmp_path / "vectorprep.toml").write_text(
        "[pictures]\nsize_px = 400\n[on.tee-adult-front-dtg]\nwidth = '12in'\n", encoding="utf-8"
    )
    out = tmp_path / "edge.png"
    write_picture(str(art / "plate.svg"), str(tmp_path / "scenes" / "front.svg"), str(out), RunOptions(blanks=("white",)))
    with Image.open(out) as image:
        row = linear_from_srgb8(np.asarray(image.convert("RGB"))[200, 130:150, 1])
    ink = float(linear_from_srgb8(np.array([0x10], np.uint8))[0])
    cover = (1 - row) / (1 - ink)
    width_mm = (406.4 - 12.7) * 3 / 4
    planned = 140 + (304.8 - width_mm) / 2 * 120 / 304.8
    assert 150 - cover.sum() == pytest.approx(planned, abs=0.1)
    assert np.sum((cover > 0.02) & (cover < 0.98)) <= 2
    assert cover.min() > -0.01
    assert cover.max() < 1.01


def test_a_photographs_light_falls_on_the_print(art: Path, tmp_path: Path) -> None:
    """The ink is darker where the cloth is; the darkening is near the cloth's own."""
    place = tmp_path / "scenes" / "photo.svg"
    (tmp_path / "scenes" / "photo.jpg").write_bytes(_photograph())
    place.write_text(_scene("photo.jpg"), encoding="utf-8")
    out = tmp_path / "photo.png"
    _, findings = write_picture(str(art / "plate.svg"), str(place), str(out), RunOptions(blanks=("white",)))
    with Image.open(out) as image:
        pixels = np.asarray(image.convert("RGB"), np.float64)
    width = pixels.shape[1]
    assert width == 200, "a photograph is never enlarged"
    left, right = pixels[100, 74, 0], pixels[100, 126, 0]
    assert 0.75 < (right / left) / (pixels[20, 126, 0] / pixels[20, 74, 0]) < 1.25
    assert right < left
    assert [finding.check for finding in findings] == ["scene-colours", "scene-blank-guessed"]


@pytest.mark.parametrize(
    ("mode", "form", "words"), [("CMYK", "JPEG", "CMYK"), ("I;16", "PNG", "16-bit grey"), ("L", "PNG", "grey")]
)
def test_photographs_of_other_kinds_are_brought_to_srgb_and_that_is_said(
    art: Path, tmp_path: Path, mode: str, form: str, words: str
) -> None:
    """CMYK, 16-bit and grey photographs are used like any other."""
    place = tmp_path / "scenes" / "photo.svg"
    packed = base64.b64encode(_photograph(mode, form)).decode()
    place.write_text(_scene(f"data:image/{form.lower()};base64,{packed}"), encoding="utf-8")
    out = tmp_path / "photo.png"
    _, findings = write_picture(str(art / "plate.svg"), str(place), str(out), RunOptions(blanks=("white",)))
    assert words in next(finding.message for finding in findings if finding.check == "scene-colours")
    with Image.open(out) as image:
        red, green, _blue = image.convert("RGB").getpixel((74, 40))  # type: ignore[misc]
    assert abs(red - 200) < 12
    assert abs(red - green) < 8


def test_the_cloth_is_looked_at_past_what_lies_before_it(art: Path, tmp_path: Path) -> None:
    """A black bar over two thirds of the area, marked as lying before the print, does not make the white cloth a black one."""
    data = io.BytesIO()
    pixels = np.full((200, 200, 3), 240, np.uint8)
    pixels[:, 70:115] = 10
    Image.fromarray(pixels).save(data, "PNG")
    (tmp_path / "scenes" / "photo.png").write_bytes(data.getvalue())
    place = tmp_path / "scenes" / "photo.svg"
    place.write_text(_scene("photo.png", AREA + '<path id="front" d="M69 0H116V200H69Z"/>'), encoding="utf-8")
    _, findings = write_picture(str(art / "plate.svg"), str(place), str(tmp_path / "x.png"), RunOptions())
    assert next(finding.blank for finding in findings if finding.check == "scene-blank-guessed") == "white"


def test_names_of_corners_stay_on_the_picture(art: Path, tmp_path: Path) -> None:
    """Beside a corner that lies 10 px from the picture's own, no letter reaches the picture's edge."""
    place = tmp_path / "scenes" / "photo.svg"
    (tmp_path / "scenes" / "photo.jpg").write_bytes(_photograph("L"))
    place.write_text(_scene("photo.jpg", '<path id="area" d="M130 110 h60 v80 h-60 Z"/>'), encoding="utf-8")
    out = tmp_path / "shown.png"
    write_picture(str(art / "plate.svg"), str(place), str(out), RunOptions(blanks=("white",), show_area=True))
    with Image.open(out) as image:
        is_red = (np.asarray(image.convert("RGB")) == (225, 0, 90)).all(axis=-1)
    assert is_red[150:].sum() > 200
    assert not is_red[:, -1].any()
    assert not is_red[-1].any()


def test_bad_scenes_are_told_each_and_the_other_pictures_are_made(art: Path, tmp_path: Path) -> None:
    """Missing, cut short, without area, with three corners, crossed, outside, without licence: one finding each."""
    folder = tmp_path / "scenes"
    (folder / "good.svg").write_text(SHIRT, encoding="utf-8")
    (folder / "cut.jpg").write_bytes(_photograph()[:900])
    plain = f"data:image/jpeg;base64,{base64.b64encode(_photograph()).decode()}"
    bad = {
        "missing": (_scene("nowhere.jpg"), "scene-photograph-missing"),
        "cut-short": (_scene("cut.jpg"), "scene-photograph-broken"),
        "no-area": (_scene(plain, ""), "scene-no-area"),
        "three": (_scene(plain, '<path id="area" d="M70 60 H130 V140 Z"/>'), "scene-area-corners"),
        "five": (_scene(plain, '<path id="area" d="M70 60 H130 V140 L100 170 L70 140 Z"/>'), "scene-area-corners"),
        "crossed": (_scene(plain, '<path id="area" d="M70 60 H130 L70 140 H130 Z"/>'), "scene-area-crossed"),
        "outside": (_scene(plain, '<path id="area" d="M270 60 H330 V140 H270 Z"/>'), "scene-area-outside"),
        "unknown": (_scene(plain, meta=META.replace("tee-adult", "tee-adlt")), "scene-record"),
    }
    for name, (text, _) in bad.items():
        (folder / f"{name}.svg").write_text(text, encoding="utf-8")
    (folder / "unlicensed.svg").write_text(SHIRT.replace(' source="made here" licence="own work"', ""), encoding="utf-8")
    options = RunOptions(products=SMALL.products, blanks=("white",), jobs=1, pictures=(str(folder),))
    report = convert_artworks([art], tmp_path / "out", options=options)
    told = {(finding["check"], finding["message"].split(":")[0]) for finding in report.record["findings"]}
    assert {(code, f"{name}.svg") for name, (_, code) in bad.items()} <= told
    assert ("scene-licence-missing", "unlicensed.svg") in told
    pictures = [output["path"] for output in report.record["outputs"] if output["kind"] == "picture"]
    assert len(pictures) == 2
    assert report.record["artworks"][0]["status"] == "ok"
    assert report.exit_code == ExitCode.FINDINGS


def test_a_single_ink_is_shown_where_the_scene_asks_for_it(art: Path, tmp_path: Path) -> None:
    """`ink` of the record colours everything that is printed, on this picture alone."""
    place = tmp_path / "scenes" / "front.svg"
    place.write_text(SHIRT.replace(STATED, STATED + ' ink="#1d5fa8"'), encoding="utf-8")
    out = tmp_path / "one.png"
    write_picture(str(art / "plate.svg"), str(place), str(out), RunOptions(blanks=("navy",)))
    assert delta_e_2000(_pixel(out, 200, 200), "#1d5fa8") < 1


def test_a_scene_that_cannot_be_used_says_so_when_it_is_tried(art: Path, tmp_path: Path) -> None:
    """The verb for one picture ends with the words of the finding."""
    place = tmp_path / "scenes" / "front.svg"
    place.write_text(SHIRT.replace('licence="own work"', 'licence="own work" colour="red"'), encoding="utf-8")
    with pytest.raises(SceneRefused, match="unknown key colour"):
        write_picture(str(art / "plate.svg"), str(place), str(tmp_path / "x.png"), RunOptions())
