"""One artwork drawn at its place, and the parts that every PNG output of it shares.

Comes in: artwork, placement as drawn, product, treatment, pixels, names.
Goes out: PNG bytes that were read back, with their `Output` record.
Never done here: a particular kind of output; time of day.
"""

from __future__ import annotations

import hashlib
import struct
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from vectorprep import png
from vectorprep.engine import Engine
from vectorprep.engine.coverage import alpha_of, box_of
from vectorprep.engine.packed import Soft
from vectorprep.errors import ArtworkFailed
from vectorprep.model import Artwork, Encoded, Ink, Output, Placement, Product, Raster, Treatment
from vectorprep.model.result import PxBox
from vectorprep.units import mm_from_px, px_per_metre

MIRRORED_KINDS = frozenset({"print-png", "white-base-png"})
"""Kinds of file that go to the printer as they are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture to be put into files.

    `placement` is as drawn, `raster` all ink of the canvas at print size (premultiplied), None where files are only planned.
    `stem` is the name that every file of the picture begins with. With an `engine` a preview is drawn afresh at its own size and
    finished like the print; without one it is the print reduced.
    """

    artwork: Artwork
    placement: Placement
    product: Product
    treatment: Treatment
    stem: str
    blanks: tuple[str, ...]
    raster: Raster | None
    soft: Soft | None = None
    """The soft pixels of the raster, where they are known."""
    engine: Engine | None = None
    preview_long_side_px: int = 2000
    preview_trimmed: bool = False
    version: str = ""
    into_file: Callable[[Raster, Placement], Raster] | None = None
    """What is done to the pixels of the print on their way into its file: colours of clear pixels, or a border."""
    bend: Callable[[Raster, int], Raster] | None = None
    """How the print is bent into the side of a tapered cup: a raster drawn at a whole multiple of its size to one at its size."""
    finish: Callable[[Raster, float], Raster] | None = None
    """What was done to the pixels after drawing, such as a keyline: raster and its scale (1 = print size) to raster."""
    inks: tuple[Ink, ...] = ()
    """The inks of the picture, a keyline's apart."""
    spot_inks: tuple[tuple[str, str], ...] = ()
    """The seller's inks for a spot print, as pairs of name and `#rrggbb`; none: each of `inks` is one."""
    base_blanks: tuple[str, ...] = ()
    """Those of `blanks` on which the process lays a white base below the art."""
    outlined: tuple[Artwork, tuple[float, float]] | None = None
    """The drawing with its keyline as a path, and where its page's corner lies on the drawing's own page, mm."""

    @property
    def whole(self) -> tuple[Artwork, Placement]:
        """A drawing that holds all of the picture as vectors, a keyline too, and where it lies."""
        if self.outlined is None:
            return self.artwork, self.placement
        artwork, (x, y) = self.outlined
        placed = tuple(
            replace(one, offset_px=(one.offset_px[0] + x * one.px_per_mm, one.offset_px[1] + y * one.px_per_mm))
            for one in self.placement.placed
        )
        return artwork, replace(self.placement, placed=placed)

    @property
    def is_mirrored(self) -> bool:
        """Whether files for the printer are turned over: the process needs it, and the record says that the seller does it."""
        return self.product.mirror.startswith("before") and self.product.mirror_done_by == "seller"

    @property
    def text(self) -> tuple[tuple[str, str], ...]:
        """What the file says of itself: program, source, product, treatment; no time, so that bytes repeat."""
        return (
            ("Software", f"vectorprep {self.version}".strip()),
            ("vectorprep-source-sha256", self.artwork.sha256),
            ("vectorprep-product", self.product.key),
            ("vectorprep-treatment", self.treatment.kind),
            *((("vectorprep-mirrored", "yes"),) if self.is_mirrored else ()),
        )


def file_stem(picture: Picture) -> str:
    """What the name of a file that goes to the printer begins with."""
    return f"{picture.stem}--mirrored" if picture.is_mirrored else picture.stem


def mirrored(raster: Raster, canvas_px: tuple[int, int]) -> Raster:
    """A raster turned over from left to right on its canvas."""
    x, y = raster.origin_px
    pixels = np.ascontiguousarray(raster.pixels[:, ::-1])
    return Raster(pixels=pixels, origin_px=(canvas_px[0] - x - pixels.shape[1], y), straight=raster.straight)


def inside(raster: Raster, canvas_px: tuple[int, int]) -> Raster:
    """The part of a raster that lies on the canvas."""
    x, y = raster.origin_px
    height, width = raster.pixels.shape[:2]
    left, top = max(-x, 0), max(-y, 0)
    right, bottom = min(canvas_px[0] - x, width), min(canvas_px[1] - y, height)
    return Raster(pixels=raster.pixels[top:bottom, left:right], origin_px=(x + left, y + top))


def canvas_box(raster: Raster) -> PxBox | None:
    """Box on the canvas of all ink of a raster (alpha >= 8), None where there is none."""
    box = box_of(alpha_of(raster))
    x, y = raster.origin_px
    return None if box is None else (box[0] + x, box[1] + y, box[2] + x, box[3] + y)


def output_of(picture: Picture, kind: str, path: str, canvas_px: tuple[int, int], ppi: float) -> Output:
    """The record of a file that is planned: everything but its ink and bytes."""
    placements = picture.placement.placed if kind == "print-png" else ()
    boxes = [placed.ink_box_px for placed in placements]
    if picture.is_mirrored:
        boxes = [(canvas_px[0] - x1, y0, canvas_px[0] - x0, y1) for x0, y0, x1, y1 in boxes]
    return Output(
        path=path,
        kind=kind,
        artwork=picture.artwork.name,
        product=picture.product.key,
        blanks=picture.blanks,
        treatment=picture.treatment.kind,
        width_px=canvas_px[0],
        height_px=canvas_px[1],
        ppi=ppi,
        ink_box_px=union(boxes),
        placements=tuple((box, placed.printed_mm) for box, placed in zip(boxes, placements, strict=True)),
        is_mirrored=picture.is_mirrored and kind in MIRRORED_KINDS,
        printed_mm=picture.placement.placed[0].printed_mm,
        datum=picture.placement.datum if kind == "print-png" else "",
        canvas_origin_mm=picture.placement.canvas_origin_mm if kind == "print-png" else None,
        rule=picture.placement.words if kind == "print-png" else "",
        state="planned",
    )


def union(boxes: list[PxBox]) -> PxBox | None:
    """The smallest box that holds all; None without any."""
    if not boxes:
        return None
    return min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)


def size_mm(box: PxBox, ppi: float) -> tuple[float, float]:
    """Printed width and height of a pixel box."""
    return mm_from_px(box[2] - box[0], ppi), mm_from_px(box[3] - box[1], ppi)


def png_bytes(picture: Picture, raster: Raster, canvas_px: tuple[int, int], ppi: float, background: str | None = None) -> bytes:
    """A PNG of the canvas whose written bytes were walked through: size, density and every CRC.

    Raises:
        ArtworkFailed: the bytes do not say what was meant.
    """
    soft = (picture.soft.rows, picture.soft.columns) if picture.soft is not None and raster is picture.raster else None
    data = png.encode(raster, canvas_px, ppi=ppi, text=picture.text, background=background, soft=soft)
    chunks = dict(png.read_chunks(data))
    density = px_per_metre(ppi)
    if chunks["IHDR"][:8] != struct.pack(">II", *canvas_px) or chunks["pHYs"] != struct.pack(">IIB", density, density, 1):
        raise ArtworkFailed(f"{picture.stem}: the PNG written does not read back with its size and density", code="png-verify")
    return data


def digest(data: bytes) -> str:
    """SHA-256 of a file's bytes, in hex."""
    return hashlib.sha256(data).hexdigest()


def planned(picture: Picture, kind: str, path: str, canvas_px: tuple[int, int], ppi: float) -> Encoded:
    """An output without bytes."""
    return Encoded(output=output_of(picture, kind, path, canvas_px, ppi), data=b"")
