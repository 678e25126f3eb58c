"""A PDF page of exact size on which drawings stay vector and a cut line is marked as a processing step.

Comes in: a `Picture`, perhaps a `Cut`. Goes out: PDF bytes.
Never done here: which products want one.

Lengths on a PDF page are points, 1/72 in, y up. The converter takes 1 CSS px for 1 pt, so the drawing is asked for at its printed
size in points and laid on the page by a matrix of its own. What it can only paint as pixels it scales from user units, not points.
Marking follows ISO 19593-1 in its names (second-hand: no conformance is claimed).
"""

from __future__ import annotations

import io
import math
from dataclasses import replace
from typing import TYPE_CHECKING

import pikepdf
import svg2pdf_py
from pikepdf import Array, Dictionary, Name, Pdf, Stream, String

from vectorprep.colour import rgb_from_hex
from vectorprep.engine.window import windowed
from vectorprep.geometry import Box
from vectorprep.units import css_px_from_mm

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from vectorprep.model import CutRule, Placed
    from vectorprep.outputs._cut import Cut
    from vectorprep.outputs.picture import Picture

PT_PER_MM = 72 / 25.4
LINE_PT = 0.25
"""Hairline of a cut (common practice, no source)."""


def page_bytes(picture: Picture, cut: Cut | None) -> bytes:
    """The picture's page: background, each copy as one shared vector form, the cut above all."""
    product = picture.product
    width, height = (float(side) * PT_PER_MM for side in product.file_size_mm)
    pdf = Pdf.new()
    page = pdf.add_blank_page(page_size=(width, height))
    bleed = product.bleed_mm * PT_PER_MM
    page.obj.MediaBox = Array([0, 0, _number(width), _number(height)])
    page.obj.BleedBox = page.obj.MediaBox
    page.obj.TrimBox = Array([_number(edge) for edge in (bleed, bleed, width - bleed, height - bleed)])
    page.obj.Resources = Dictionary(XObject=Dictionary(), ColorSpace=Dictionary(), Properties=Dictionary(), ExtGState=Dictionary())
    content = [_background(picture, width, height)]
    artwork, placement = picture.whole
    picture = replace(picture, artwork=artwork, placement=placement, outlined=None)
    first = placement.placed[0]
    window = _window(picture, first)
    page.obj.Resources.XObject.Art = _form(pdf, picture, first, window)
    box = [float(edge) for edge in page.obj.Resources.XObject.Art.BBox]
    content += _border(pdf, page, picture, height)
    content += [_placed(picture, placed, window, box, height) for placed in placement.placed]
    if cut is not None and product.cut is not None:
        content.append(_cut(pdf, page, cut, product.cut, height))
    page.obj.Contents = pdf.make_stream("\n".join(part for part in content if part).encode())
    pdf.docinfo[Name.Creator] = String(f"vectorprep {picture.version}".strip())
    pdf.docinfo[Name.Title] = String(picture.stem)
    written = io.BytesIO()
    pdf.save(written, deterministic_id=True, compress_streams=True)
    return written.getvalue()


def _number(value: float) -> pikepdf.Object:
    """A real number as PDF writes it, without an exponent."""
    return pikepdf.Object.parse(f"{value:.5f}".encode())


def _window(picture: Picture, placed: Placed) -> Box:
    """What is shown of the drawing, CSS px: its page, and ink beyond it where that belongs to the drawing."""
    page = Box(0.0, 0.0, picture.artwork.page.width_px, picture.artwork.page.height_px)
    if not picture.artwork.is_unclipped:
        return page
    margin = picture.placement.ppi / 25.4
    x0, y0, x1, y1 = placed.ink_box_px
    ink = Box(x0 - margin, y0 - margin, x1 + margin, y1 + margin).shifted(-placed.offset_px[0], -placed.offset_px[1])
    return page.union(ink.scaled(css_px_from_mm(1.0) / placed.px_per_mm))


def _form(pdf: Pdf, picture: Picture, placed: Placed, window: Box) -> pikepdf.Object:
    """The window of the drawing as a form of its printed size in whole points."""
    pt_per_css = placed.px_per_mm / css_px_from_mm(1.0) * 72 / picture.placement.ppi
    size = max(1, math.ceil(window.width * pt_per_css)), max(1, math.ceil(window.height * pt_per_css))
    fonts = svg2pdf_py.FontDatabase()
    for path in picture.artwork.font_files:
        fonts.load_font_file(path)
    uu_to_px = picture.artwork.page.uu_to_px
    css_per_uu = math.sqrt(abs(uu_to_px.a * uu_to_px.d - uu_to_px.b * uu_to_px.c))
    options = svg2pdf_py.ConversionOptions(raster_scale=css_per_uu * pt_per_css * picture.placement.ppi / 72)
    markup = windowed(picture.artwork, window, size, crisp=False).decode()
    drawn = Pdf.open(io.BytesIO(svg2pdf_py.svg_to_pdf(markup, fonts, options)))
    return pdf.copy_foreign(drawn.make_indirect(drawn.pages[0].as_form_xobject()))


def _background(picture: Picture, width: float, height: float) -> str:
    if picture.placement.background is None:
        return ""
    red, green, blue = (channel / 255 for channel in rgb_from_hex(picture.placement.background))
    return f"{red:.4f} {green:.4f} {blue:.4f} rg 0 0 {width:.5f} {height:.5f} re f"


def _border(pdf: Pdf, page: pikepdf.Page, picture: Picture, page_height: float) -> list[str]:
    """What runs out under the art, past the cut, as a picture at the print's resolution; nothing where the paper shows there."""
    if picture.into_file is None or picture.raster is None or picture.product.cut is None:
        return []
    raster = picture.into_file(picture.raster, picture.placement)
    if raster.straight:  # clear pixels took a colour, and nothing is seen of it
        return []
    height, width = raster.pixels.shape[:2]
    alpha, colours = raster.pixels[..., 3], raster.pixels[..., :3]  # opaque or clear: nothing is left to take out of a colour
    parts = {"Type": Name.XObject, "Subtype": Name.Image, "Width": width, "Height": height, "BitsPerComponent": 8}
    mask = Stream(pdf, alpha.tobytes(), Dictionary(**parts, ColorSpace=Name.DeviceGray))
    image = Dictionary(**parts, ColorSpace=Name.DeviceRGB, SMask=pdf.make_indirect(mask))
    page.obj.Resources.XObject.Border = pdf.make_indirect(Stream(pdf, colours.tobytes(), image))
    pt = 72 / picture.placement.ppi
    left, bottom = raster.origin_px[0] * pt, page_height - (raster.origin_px[1] + height) * pt
    return [f"q {width * pt:.5f} 0 0 {height * pt:.5f} {left:.5f} {bottom:.5f} cm /Border Do Q"]


def _placed(picture: Picture, placed: Placed, window: Box, box: list[float], page_height: float) -> str:
    """One copy: the form's box stretched to where the window lies on the page."""
    pt_per_px = 72 / picture.placement.ppi
    scale = placed.px_per_mm / css_px_from_mm(1.0) * pt_per_px
    width, height = window.width * scale, window.height * scale
    left = placed.offset_px[0] * pt_per_px + window.x0 * scale
    bottom = page_height - placed.offset_px[1] * pt_per_px - window.y1 * scale
    across, up = width / (box[2] - box[0]), height / (box[3] - box[1])
    return f"q {across:.8f} 0 0 {up:.8f} {left - box[0] * across:.5f} {bottom - box[1] * up:.5f} cm /Art Do Q"


def _cut(pdf: Pdf, page: pikepdf.Page, cut: Cut, rule: CutRule, page_height: float) -> str:
    """The cut line in a colour of its own, overprinting, in a layer that says what it is for."""
    step = rule.processing_step_type or "Cutting"
    group = rule.processing_step_group or "Structural"
    tint = Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array([0, 0, 0, 0]), C1=Array([0, 1, 0, 0]), N=1)
    colour = Array([Name.Separation, Name(f"/{step}"), Name.DeviceCMYK, pdf.make_indirect(tint)])
    steps = Dictionary(GTS_ProcStepsGroup=Name(f"/{group}"), GTS_ProcStepsType=Name(f"/{step}"))
    layer = pdf.make_indirect(Dictionary(Type=Name.OCG, Name=String(step), GTS_Metadata=steps))
    pdf.Root.OCProperties = Dictionary(OCGs=Array([layer]), D=Dictionary(Order=Array([layer]), ON=Array([layer])))
    resources = page.obj.Resources
    resources.ColorSpace.CutInk = pdf.make_indirect(colour)
    resources.Properties.CutStep = layer
    resources.ExtGState.Over = Dictionary(Type=Name.ExtGState, OP=True, op=True, OPM=1)
    paths = [_path(path, page_height) for path in cut.paths]
    return "\n".join([f"/OC /CutStep BDC q /Over gs /CutInk CS 1 SCN {LINE_PT} w", *paths, "Q EMC"])


def _path(pieces: NDArray[np.float64], page_height: float) -> str:
    """One closed path, stroked."""
    points = pieces * PT_PER_MM
    points[..., 1] = page_height - points[..., 1]
    lines = [f"{points[0, 0, 0]:.4f} {points[0, 0, 1]:.4f} m"]
    lines += [" ".join(f"{value:.4f}" for value in piece) + " c" for piece in points[:, 1:].reshape(-1, 6).tolist()]
    return "\n".join([*lines, "s"])
