"""The print file as PDF: the drawing still vector, the page exact, trim and bleed stated, a sticker's cut as a processing step.

Comes in: a `Picture`. Goes out: one PDF; nothing where the extra `pdf` is not installed or a keyline has no path.
Never done here: the page itself (`_pdf_page`).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.util import find_spec
from typing import TYPE_CHECKING

from vectorprep.model import Encoded
from vectorprep.outputs._cut import cut_of
from vectorprep.outputs.picture import canvas_box, digest, output_of, planned

if TYPE_CHECKING:
    from vectorprep.outputs.picture import Picture

KIND = "pdf"


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The picture's PDF.

    A keyline needs its path, and lettering without a font would be left out by the converter: without, there is no PDF.
    """
    is_pixels = picture.treatment.kind == "keyline" and picture.outlined is None and picture.raster is not None
    if not _is_installed() or is_pixels or not all(run.resolved for run in picture.artwork.text):
        return ()
    path = f"{picture.stem}.pdf"
    canvas, ppi = picture.placement.canvas_px, picture.placement.ppi
    if picture.raster is None:
        return (planned(picture, KIND, path, canvas, ppi),)
    from vectorprep.outputs._pdf_page import page_bytes

    rule = picture.product.cut
    cut = cut_of(picture, rule) if rule is not None and rule.offset_outside_ink_mm is not None else None
    data = page_bytes(picture, cut)
    made = replace(output_of(picture, KIND, path, canvas, ppi), ink_box_px=canvas_box(picture.raster))
    return (Encoded(output=replace(made, sha256=digest(data), bytes=len(data), state="made"), data=data),)


@cache
def _is_installed() -> bool:
    """Whether the extra `pdf` is there."""
    return all(find_spec(name) is not None for name in ("pikepdf", "svg2pdf_py"))
