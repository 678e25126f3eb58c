"""A contact sheet: previews on the colours of their blanks, a row for each drawing.

Comes in: previews as pictures, blanks, a record of each pairing. Goes out: the bytes of a PNG file.
Never done here: reading files, drawing of artworks.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PIL import Image, ImageDraw, ImageFont

MARK_CLEAR, MARK_WEAK, MARK_LOST = "clear", "weak", "lost"
PAPER, WORDS, FAINT = (250, 248, 244), (38, 36, 34), (140, 134, 126)
LOST_COLOUR, WEAK_COLOUR = (176, 32, 44), (178, 106, 0)
GAP_SHARE = 0.05  # of a tile
INK_SHARE = 0.84  # of a tile's side that the ink may take


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One artwork on one blank: its preview (None where there is none), the blank's colour, verdict and treatment after all."""

    preview: bytes | None
    colour: str
    verdict: str
    treatment: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One artwork with a tile for each column."""

    title: str
    tiles: tuple[Tile, ...]


def contact_sheet(rows: Sequence[Row], columns: Sequence[str], *, font: bytes, tile_px: int = 220, has_words: bool = True) -> bytes:
    """PNG bytes of the sheet.

    Args:
        rows: artworks.
        columns: names of the blanks.
        font: bytes of a TrueType font for the words.
        tile_px: side of one tile.
        has_words: whether titles, blanks and verdicts are written; without them the sheet is tiles alone.
    """
    gap = max(2, round(tile_px * GAP_SHARE))
    size = max(9, tile_px // 14)
    face = ImageFont.truetype(io.BytesIO(font), size)
    line = round(size * 1.5) if has_words else 0
    head = line + gap if has_words else gap
    width = gap + len(columns) * (tile_px + gap)
    height = head + len(rows) * (tile_px + gap + (2 * line if has_words else 0))
    sheet = Image.new("RGB", (width, height), PAPER)
    pen = ImageDraw.Draw(sheet)
    if has_words:
        for column, name in enumerate(columns):
            pen.text((gap + column * (tile_px + gap), gap // 2), name, font=face, fill=FAINT)
    top = head
    for row in rows:
        if has_words:
            pen.text((gap, top), _short(row.title, face, width - 2 * gap), font=face, fill=WORDS)
        for column, tile in enumerate(row.tiles):
            left = gap + column * (tile_px + gap)
            sheet.paste(_tile(tile, tile_px), (left, top + line))
            if has_words:
                _verdict(pen, face, tile, (left, top + line + tile_px + 1))
        top += tile_px + gap + 2 * line
    data = io.BytesIO()
    sheet.save(data, "PNG", optimize=True)
    return data.getvalue()


def _tile(tile: Tile, side: int) -> Image.Image:
    """The preview's ink in the middle of a square of the blank's colour."""
    ground = Image.new("RGBA", (side, side), tile.colour)
    if tile.preview is not None:
        with Image.open(io.BytesIO(tile.preview)) as opened:
            picture = opened.convert("RGBA")
        box = picture.getchannel("A").getbbox()
        if box is not None:
            ink = picture.crop(box)
            room = side * INK_SHARE
            factor = min(room / ink.width, room / ink.height)
            shape = max(1, round(ink.width * factor)), max(1, round(ink.height * factor))
            # Premultiplied while it shrinks: averaging straight alpha drags hidden black into the edges.
            ink = ink.convert("RGBa").resize(shape, Image.Resampling.LANCZOS).convert("RGBA")
            ground.alpha_composite(ink, ((side - ink.width) // 2, (side - ink.height) // 2))
    return ground.convert("RGB")


def _verdict(pen: ImageDraw.ImageDraw, face: ImageFont.FreeTypeFont, tile: Tile, place: tuple[int, int]) -> None:
    """The verdict as a shape and a word, so that colour never says it alone."""
    x, y = place
    side = int(face.size)
    middle = y + side * 0.75
    corners = {
        MARK_CLEAR: [(x, middle), (x + side * 0.3, middle + side * 0.3), (x + side * 0.75, middle - side * 0.35)],
        MARK_WEAK: [(x, middle + side * 0.35), (x + side * 0.4, middle - side * 0.4), (x + side * 0.8, middle + side * 0.35)],
        MARK_LOST: [(x, middle - side * 0.3), (x + side * 0.6, middle + side * 0.3)],
    }[tile.verdict]
    colour = {MARK_CLEAR: FAINT, MARK_WEAK: WEAK_COLOUR, MARK_LOST: LOST_COLOUR}[tile.verdict]
    if tile.verdict == MARK_WEAK:
        pen.polygon(corners, outline=colour)
    else:
        pen.line(corners, fill=colour, width=2)
    if tile.verdict == MARK_LOST:
        pen.line([(x, middle + side * 0.3), (x + side * 0.6, middle - side * 0.3)], fill=colour, width=2)
    words = tile.verdict if tile.treatment in {"as-drawn", "ask"} else f"{tile.verdict}, {tile.treatment.replace('-', ' ')}"
    pen.text((x + side * 1.2, y), words, font=face, fill=colour)


def _short(text: str, face: ImageFont.FreeTypeFont, room: int) -> str:
    while text and face.getlength(text) > room:
        text = text[:-2].rstrip() + "…"
    return text


def rows_of(
    run: Mapping[str, object],
    product: str,
    blanks: Mapping[str, str],
    previews: Mapping[tuple[str, str], bytes],
    titles: Mapping[str, str],
) -> list[Row]:
    """Rows of a sheet from a run's record: the artworks that have a pairing with the product, in the run's order.

    Args:
        run: the record.
        product: key.
        blanks: colour by key of the blanks that make the columns.
        previews: bytes of the preview by (artwork, blank).
        titles: title by artwork.
    """
    pairs: dict[str, dict[str, Mapping[str, str]]] = {}
    for pair in run["pairs"]:  # type: ignore[attr-defined]
        if pair["product"] == product and pair["blank"] in blanks:
            pairs.setdefault(pair["artwork"], {})[pair["blank"]] = pair
    return [
        Row(
            title=titles.get(artwork, artwork),
            tiles=tuple(
                Tile(
                    preview=previews.get((artwork, blank)),
                    colour=colour,
                    verdict=found[blank]["verdict_after"] if blank in found else MARK_CLEAR,
                    treatment=found[blank]["treatment"] if blank in found else "as-drawn",
                )
                for blank, colour in blanks.items()
            ),
        )
        for artwork, found in pairs.items()
    ]
