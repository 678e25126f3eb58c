"""A `Scene` from its parts: record, clean drawing, named shapes, photograph.

Comes in: what `source` took apart and `read` cleaned. Goes out: a `Scene`, or what is wrong with it.
Never done here: pixels.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from vectorprep.errors import SceneRefused
from vectorprep.geometry import Affine
from vectorprep.model import Artwork, Photograph, Scene, SceneRecord
from vectorprep.scenes.outline import area_of
from vectorprep.scenes.source import AREA, FRAME, SceneSource

Shapes = Sequence[tuple[str, str, Affine]]
"""Id, path data and map to the page of every shape with a name."""


def scene_of(key: str, file: str, *, record: SceneRecord, source: SceneSource, drawing: Artwork, shapes: Shapes) -> Scene:
    """The picture.

    Args:
        key: stem of its file.
        file: name of its file, for messages.
        record: what it states.
        source: its parts.
        drawing: the clean drawing without the photograph.
        shapes: named shapes of that drawing.

    Raises:
        SceneRefused: no usable area.
    """
    page = (drawing.page.width_px, drawing.page.height_px)
    found = [(name, data, to_page) for name, data, to_page in shapes if name == AREA or name.startswith(f"{AREA}-")]
    if not found:
        raise SceneRefused(
            f"no path with the id '{AREA}' marks where the print goes",
            fix=f"draw a path with four corners around the print area and set its id to '{AREA}' in the editor's object properties",
            code="scene-no-area",
        )
    areas = tuple((name.removeprefix(AREA).removeprefix("-"), area_of(data, to_page, name, page)) for name, data, to_page in found)
    digest = hashlib.sha256(f"{source.digest} {record!r} {drawing.font_files!r}".encode()).hexdigest()
    return Scene(
        key=key,
        file=file,
        record=record,
        drawing=drawing,
        areas=areas,
        sha256=digest,
        photograph=_photograph(source, shapes),
    )


def _photograph(source: SceneSource, shapes: Shapes) -> Photograph | None:
    if source.photograph is None:
        return None
    name, data = source.photograph
    frame = next((_frame(outline, to_page) for shape, outline, to_page in shapes if shape == FRAME), None)
    if frame is None:
        raise SceneRefused(
            "the photograph is hidden or has no size",
            fix="show it, and give it a width and a height",
            code="scene-photograph-hidden",
        )
    return Photograph(name=name, data=data, sha256=hashlib.sha256(data).hexdigest(), frame=frame, keeps_aspect=source.keeps_aspect)


def _frame(outline: str, to_page: Affine) -> Affine:
    """Map from the unit square to the page of a rectangle written as `Mx yhwvh...`."""
    corner, rest = outline.removeprefix("M").split("h", 1)
    x, y = (float(part) for part in corner.split())
    width, height = (float(part.split("h")[0]) for part in rest.split("v")[:2])
    return to_page.after(Affine(width, 0.0, 0.0, height, x, y))
