"""A proof to be signed, as PDF: the print file in its place under rulers, sizes, inks, findings, room for a name and a date.

Comes in: sheets of values, pictures, fonts, a paper size. Goes out: the bytes of a PDF, the same for the same input.
Never done here: files, deciding what is said.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from vectorprep.report.proof_values import ProofSheet

MM = 72 / 25.4
INCH_MM = 25.4
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1 A
MARGIN_MM = 13.0
PLAN_MM = (92.0, 112.0)
PICTURE_PX = 1100
FONT = "vectorprep-proof"
TONE = 0.35
CHECK_MM, CHECK_INCHES = 100, 4
CAUTION = (
    "Colours on a screen and on this paper are not those of ink on cloth: they depend on the screen, the printer and the blank. "
    "Ask for a printed sample where a colour matters. What is approved here is size, place, wording and which inks are used."
)
CHECK = "Printed at 100 % this rule is true: 100 mm above, 4 in below. If it is not, the paper was scaled."


@dataclass(slots=True)
class _Pen:
    """The canvas with lengths in mm from the paper's upper left corner."""

    canvas: Canvas
    height_mm: float

    def line(self, x0: float, y0: float, x1: float, y1: float, *, width: float = 0.5) -> None:
        self.canvas.setLineWidth(width)
        self.canvas.line(x0 * MM, (self.height_mm - y0) * MM, x1 * MM, (self.height_mm - y1) * MM)

    def box(self, x: float, y: float, width: float, height: float, *, fill: str = "", line: float = 0.5) -> None:
        if fill:
            self.canvas.setFillColor(fill)
        self.canvas.setLineWidth(line)
        self.canvas.rect(x * MM, (self.height_mm - y - height) * MM, width * MM, height * MM, stroke=1, fill=1 if fill else 0)
        self.canvas.setFillGray(0)

    def text(self, x: float, y: float, words: str, size: float = 9, *, tone: float = 0.0) -> None:
        self.canvas.setFillGray(tone)
        self.canvas.setFont(FONT, size)
        self.canvas.drawString(x * MM, (self.height_mm - y) * MM, words)
        self.canvas.setFillGray(0)

    def paragraph(self, x: float, y: float, words: str, width_mm: float, size: float = 9, *, tone: float = 0.0) -> float:
        """Lines of words; returns where the next one begins."""
        per_line = max(8, int(width_mm * MM / (size * 0.46)))
        for line in textwrap.wrap(words, per_line) or [""]:
            self.text(x, y, line, size, tone=tone)
            y += size * 0.45
        return y

    def picture(self, data: bytes, x: float, y: float, width: float, height: float) -> None:
        reader = ImageReader(io.BytesIO(_reduced(data)))
        self.canvas.drawImage(reader, x * MM, (self.height_mm - y - height) * MM, width * MM, height * MM, mask="auto")


def proof_pdf(
    sheets: Sequence[ProofSheet],
    pictures: Mapping[str, bytes],
    *,
    font: bytes,
    paper: str = "a4",
    client: str = "",
    version: str = "",
) -> bytes:
    """The proof, a page for each sheet.

    Args:
        sheets: from `proof_sheets`; at least one.
        pictures: bytes by the path that a sheet names.
        font: bytes of a TrueType font.
        paper: `a4` or `letter`.
        client: who signs; empty leaves a line.
        version: of the program.
    """
    pdfmetrics.registerFont(TTFont(FONT, io.BytesIO(font)))
    width, height = PAPERS[paper]
    data = io.BytesIO()
    # Invariant: no clock and no random number goes into the file.
    canvas = Canvas(data, pagesize=(width * MM, height * MM), invariant=1, pageCompression=1, lang="en")
    canvas.setTitle(f"Proof: {', '.join(dict.fromkeys(sheet.title for sheet in sheets))}")
    canvas.setCreator(f"vectorprep {version}".strip())
    for number, sheet in enumerate(sheets, start=1):
        _page(_Pen(canvas, height), sheet, pictures.get(sheet.picture), (width, height), client)
        _Pen(canvas, height).text(width - MARGIN_MM - 12, height - 7, f"{number} / {len(sheets)}", 7.5, tone=TONE)
        canvas.showPage()
    canvas.save()
    return data.getvalue()


def _page(pen: _Pen, sheet: ProofSheet, picture: bytes | None, paper_mm: tuple[float, float], client: str) -> None:
    width, height = paper_mm
    left = MARGIN_MM
    pen.text(left, 14, "Proof for approval", 9, tone=TONE)
    pen.text(left, 22, sheet.title[:58], 19)
    pen.text(left, 28.5, sheet.product[:95], 11)
    pen.text(left, 33, f"{sheet.file[:95]}   {sheet.sha256[:12]}", 7, tone=TONE)
    pen.line(left, 35.5, width - left, 35.5, width=0.8)
    _plan(pen, sheet, picture, (left + 9, 46))
    right = left + PLAN_MM[0] + 20
    room = width - left - right
    y = 42.0
    for head, words in sheet.facts:
        pen.text(right, y, head, 7.5, tone=TONE)
        y = pen.paragraph(right, y + 3.6, words, room, 9) + 1.6
    _signature(pen, (width, height), client)
    below = max(y + 1, 46 + PLAN_MM[1] + 9)
    _lists(pen, sheet, below, (width, height))


def _plan(pen: _Pen, sheet: ProofSheet, picture: bytes | None, corner: tuple[float, float]) -> None:
    """The print file to scale on its first product colour, with a ruler in mm above and at the left, and its ink boxed."""
    canvas_width, canvas_height = sheet.canvas_mm
    scale = min(PLAN_MM[0] / canvas_width, PLAN_MM[1] / canvas_height)
    x, y = corner
    pen.box(x, y, canvas_width * scale, canvas_height * scale, fill=sheet.blanks[0][1] if sheet.blanks else "#ffffff")
    if picture is not None:
        pen.picture(picture, x, y, canvas_width * scale, canvas_height * scale)
    pen.canvas.setStrokeColor("#c2002f")
    for x0, y0, x1, y1 in sheet.inks_mm:
        pen.box(x + x0 * scale, y + y0 * scale, (x1 - x0) * scale, (y1 - y0) * scale, line=0.4)
    pen.canvas.setStrokeGray(0)
    step = next(step for step in (10, 20, 50, 100, 200, 500, 1000) if step * scale >= 2.4)
    for along_mm, is_across in ((canvas_width, True), (canvas_height, False)):
        for mark in range(0, int(along_mm) + 1, step):
            is_named = mark % (step * 5) == 0
            length = 3.0 if is_named else 1.5
            at = mark * scale
            if is_across:
                pen.line(x + at, y - 0.8, x + at, y - 0.8 - length, width=0.3)
            else:
                pen.line(x - 0.8, y + at, x - 0.8 - length, y + at, width=0.3)
            if is_named:
                place = (x + at + 0.6, y - 2.9) if is_across else (x - 8.5, y + at - 0.4)
                pen.text(*place, str(mark), 6, tone=TONE)
    pen.text(
        x,
        y + canvas_height * scale + 4,
        f"Scale 1 : {1 / scale:.2f}; rulers in mm of the product; red: the ink's box",
        7,
        tone=TONE,
    )


def _lists(pen: _Pen, sheet: ProofSheet, top: float, paper_mm: tuple[float, float]) -> None:
    """Product colours, inks, findings, in the room that is left."""
    width, height = paper_mm
    end = height - 72
    column = (width - 2 * MARGIN_MM) / 3
    heads = ("Product colours (approximate)", "Inks as printed", "Findings")
    lines = (list(sheet.blanks), [(ink.words, ink.colour) for ink in sheet.inks], [(words, "") for words in sheet.findings])
    for index, (head, rows) in enumerate(zip(heads, lines, strict=True)):
        x, y = MARGIN_MM + index * column, top
        pen.text(x, y, head, 7.5, tone=TONE)
        y += 4.5
        for done, (words, colour) in enumerate(rows):
            if y > end:
                pen.text(x, y, f"and {len(rows) - done} more", 8)
                break
            if colour:
                pen.box(x, y - 2.5, 3, 3, fill=colour, line=0.3)
            y = pen.paragraph(x + (4.5 if colour else 0), y, words, column - 8, 8) + 0.5
        if not rows:
            pen.text(x, y, "none" if index == 2 else "as in the drawing", 8)


def _signature(pen: _Pen, paper_mm: tuple[float, float], client: str) -> None:
    """The rule that proves the paper's scale, the caution, and the lines to be signed."""
    width, height = paper_mm
    y = height - 62
    _rule(pen, MARGIN_MM, y)
    pen.paragraph(MARGIN_MM + 113, y, CHECK, width - 2 * MARGIN_MM - 113, 7, tone=TONE)
    y += 13
    y = pen.paragraph(MARGIN_MM, y, CAUTION, width - 2 * MARGIN_MM, 8)
    y += 4
    for index, words in enumerate(("approved as shown", "approved with the changes noted", "not approved, send another proof")):
        x = MARGIN_MM + index * 60
        pen.box(x, y - 2.9, 3.4, 3.4)
        pen.text(x + 5, y, words, 9)
    y += 17
    third = (width - 2 * MARGIN_MM - 12) / 3
    for index, words in enumerate(("Name", "Date", "Signature")):
        x = MARGIN_MM + index * (third + 6)
        pen.line(x, y, x + third, y, width=0.6)
        pen.text(x, y + 4, words, 7.5, tone=TONE)
    if client:
        pen.text(MARGIN_MM, y - 1.5, client[:40], 10)


def _rule(pen: _Pen, x: float, y: float) -> None:
    """A rule at true size: 100 mm with marks each 10 mm upward, 4 in with marks each half inch downward."""
    pen.line(x, y, x + CHECK_MM, y, width=0.6)
    for mark in range(0, CHECK_MM + 1, 10):
        pen.line(x + mark, y, x + mark, y - (4 if mark % 50 == 0 else 2.5), width=0.4)
        if mark % 50 == 0:
            pen.text(x + mark + 0.6, y - 2.6, f"{mark} mm", 6, tone=TONE)
    pen.line(x, y + 1.2, x + CHECK_INCHES * INCH_MM, y + 1.2, width=0.6)
    for half in range(CHECK_INCHES * 2 + 1):
        at = x + half * INCH_MM / 2
        pen.line(at, y + 1.2, at, y + 1.2 + (4 if half % 2 == 0 else 2.5), width=0.4)
        if half % 4 == 0:
            pen.text(at + 0.6, y + 5.4, f"{half // 2} in", 6, tone=TONE)


def _reduced(data: bytes) -> bytes:
    """The picture no larger than paper shows."""
    with Image.open(io.BytesIO(data)) as opened:
        # Premultiplied while it shrinks: averaging straight alpha drags hidden black into the edges.
        picture = opened.convert("RGBA").convert("RGBa")
    factor = min(1.0, PICTURE_PX / max(picture.size))
    size = max(1, round(picture.width * factor)), max(1, round(picture.height * factor))
    out = io.BytesIO()
    picture.resize(size, Image.Resampling.LANCZOS).convert("RGBA").save(out, "PNG")
    return out.getvalue()
