"""The contact sheet: previews on the colours of their blanks."""

from __future__ import annotations

import io

from PIL import Image

from vectorprep.fonts import load_index
from vectorprep.report.contact import Row, Tile, contact_sheet, rows_of


def _preview(colour: str) -> bytes:
    picture = Image.new("RGBA", (60, 40))
    picture.paste(Image.new("RGBA", (30, 20), colour), (10, 10))
    data = io.BytesIO()
    picture.save(data, "PNG")
    return data.getvalue()


def _font() -> bytes:
    face = load_index(system=False).face("Caladea")
    assert face is not None
    return face.read()


def _sheet(tiles: tuple[Tile, ...], *, has_words: bool) -> Image.Image:
    data = contact_sheet([Row(title="Fox", tiles=tiles)], ["a"] * len(tiles), font=_font(), tile_px=100, has_words=has_words)
    return Image.open(io.BytesIO(data)).convert("RGB")


def test_the_ink_stands_in_the_middle_of_its_blank() -> None:
    """The tile has the blank's colour at its corner and the ink's in its middle."""
    tile = Tile(preview=_preview("#e2672b"), colour="#1b2340", verdict="clear", treatment="as-drawn")
    sheet = _sheet((tile,), has_words=False)
    assert sheet.getpixel((7, 7)) == (0x1B, 0x23, 0x40)
    assert sheet.getpixel((55, 55)) == (0xE2, 0x67, 0x2B)


def test_a_verdict_is_told_by_shape_and_word_and_not_by_colour_alone() -> None:
    """Without any colour the three verdicts still look different."""
    looks = set()
    for verdict in ("clear", "weak", "lost"):
        tile = Tile(preview=None, colour="#ffffff", verdict=verdict, treatment="as-drawn")
        sheet = _sheet((tile,), has_words=True).convert("L").point(lambda level: 255 if level > 230 else 0)
        looks.add(sheet.tobytes())
    assert len(looks) == 3


def test_the_same_sheet_has_the_same_bytes() -> None:
    """No clock and no chance in the picture."""
    rows = [
        Row(title="A very long title " * 9, tiles=(Tile(preview=None, colour="#ffffff", verdict="clear", treatment="keyline"),))
    ]
    assert contact_sheet(rows, ["white"], font=_font()) == contact_sheet(rows, ["white"], font=_font())


def test_rows_follow_the_run_and_show_what_was_made_of_each_pairing() -> None:
    """Only the product asked for is shown, with the verdict after treatment."""
    pair = {"artwork": "fox", "product": "tee", "blank": "navy", "verdict_after": "weak", "treatment": "ask"}
    run = {"pairs": [pair, {**pair, "product": "mug"}]}
    (row,) = rows_of(run, "tee", {"navy": "#1b2340"}, {("fox", "navy"): b"png"}, {"fox": "Fox"})
    assert row == Row(title="Fox", tiles=(Tile(preview=b"png", colour="#1b2340", verdict="weak", treatment="ask"),))
