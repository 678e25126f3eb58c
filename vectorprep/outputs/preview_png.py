"""The preview: the print file's picture at the size of a shop page, transparent, and on request cut to its ink.

A sticker whose border is the art's own colours is shown as it comes off the cutter.

Comes in: a `Picture`.
Goes out: one PNG, or two.
Never done here: product photographs; a background.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vectorprep.engine import draw_reduced
from vectorprep.model import Encoded, Raster
from vectorprep.outputs._border import within_cut
from vectorprep.outputs.picture import canvas_box, digest, inside, output_of, planned, png_bytes, size_mm
from vectorprep.outputs.reduce import reduced

if TYPE_CHECKING:
    from vectorprep.model.result import PxBox
    from vectorprep.outputs.picture import Picture

KIND = "preview-png"


def make(picture: Picture) -> tuple[Encoded, ...]:
    """The preview of a picture, and its trimmed form where that is asked for."""
    canvas = picture.placement.canvas_px
    scale = picture.preview_long_side_px / max(canvas)
    size = max(1, round(canvas[0] * scale)), max(1, round(canvas[1] * scale))
    ppi = picture.placement.ppi * scale
    path = f"{picture.stem}--preview.png"
    if picture.raster is None:
        return (planned(picture, KIND, path, size, ppi),)
    raster = within_cut(picture, _small(picture, picture.raster, scale, size), scale, size)
    made = [_encoded(picture, path, raster, size, ppi)]
    box = canvas_box(raster)
    if picture.preview_trimmed and box is not None:
        made.append(_encoded(picture, f"{picture.stem}--preview-trimmed.png", _trimmed(raster, box), _size(box), ppi))
    return tuple(made)


def _small(picture: Picture, raster: Raster, scale: float, size_px: tuple[int, int]) -> Raster:
    """Drawn afresh where an engine draws exactly this picture and nothing in it depends on the scale; else the print reduced."""
    is_unknown = picture.treatment.kind == "keyline" and picture.finish is None
    if picture.engine is None or picture.artwork.has_filters or is_unknown:
        return reduced(raster, scale, size_px)
    small = draw_reduced(picture.engine, picture.artwork, picture.placement, scale, size_px)
    return small if picture.finish is None else inside(picture.finish(small, scale), size_px)


def _encoded(picture: Picture, path: str, raster: Raster, size_px: tuple[int, int], ppi: float) -> Encoded:
    data = png_bytes(picture, raster, size_px, ppi)
    box = canvas_box(raster)
    output = replace(
        output_of(picture, KIND, path, size_px, ppi),
        ink_box_px=box,
        placements=((box, size_mm(box, ppi)),) if box else (),
        sha256=digest(data),
        bytes=len(data),
        state="made",
    )
    return Encoded(output=output, data=data)


def _trimmed(raster: Raster, box: PxBox) -> Raster:
    x, y = raster.origin_px
    return Raster(pixels=raster.pixels, origin_px=(x - box[0], y - box[1]), straight=raster.straight)


def _size(box: PxBox) -> tuple[int, int]:
    return box[2] - box[0], box[3] - box[1]
