"""Which pictures a run makes: scenes opened once and checked before the first artwork.

Comes in: names of folders and files, settings, products, blanks, an engine. Goes out: a `PictureWish`, and findings about scenes.
Never done here: making pictures.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.engine import open_engine
from vectorprep.errors import SceneRefused
from vectorprep.fonts import load_index
from vectorprep.model import Finding, Scene
from vectorprep.pipeline.catalogue import blank_of
from vectorprep.pipeline.pictures import UNLIKE, hex_of, nearest_blank, scene_finding
from vectorprep.pipeline.scenery import open_scene, scene_files
from vectorprep.pipeline.workshop import PictureWish, PlannedScene, SceneFile
from vectorprep.scenes.layers import front_mask, has_front
from vectorprep.scenes.light import cloth_colour
from vectorprep.scenes.photograph import srgb_pixels
from vectorprep.scenes.placed_photograph import placed
from vectorprep.scenes.surface import surface_of
from vectorprep.scenes.view import view_of

if TYPE_CHECKING:
    from vectorprep.model import Area, Blank, Product
    from vectorprep.settings import PictureSettings

PREVIEW_PX = 400
"""Long side of the small picture on which a photograph's cloth is looked at."""
SLACK = 0.04
"""Share by which the sides of a flat area may differ from those of the product's print area (house value)."""


def planned_pictures(
    names: Sequence[str | os.PathLike[str]],
    settings: PictureSettings,
    *,
    products: Mapping[str, Product],
    blanks: Mapping[str, Blank],
    asked: Mapping[str, Sequence[str]],
    fonts: Sequence[str] = (),
    engine: str | None = None,
) -> tuple[PictureWish, tuple[Finding, ...]]:
    """The wish for pictures, and what is to be said of its scenes.

    Args:
        names: `drawn`, folders, files.
        settings: size, format and the like.
        products: all products by key.
        blanks: all blanks by key.
        asked: keys of the blanks that the run makes, by product.
        fonts: folders of fonts.
        engine: name of the engine that draws, None for the quickest.

    Raises:
        UsageError: no such file or folder.
    """
    index = load_index(tuple(fonts))
    found: list[PlannedScene] = []
    findings: list[Finding] = []
    for file in scene_files(names):
        try:
            scene = open_scene(file, fonts=index, products=tuple(products))
            planned, told = _planned(file, scene, products, blanks, asked=asked, engine=engine)
        except SceneRefused as error:
            findings.append(scene_finding(file.shown, error))
            continue
        found.append(planned)
        findings += told
    first = {name: place for place, name in enumerate(settings.order)}
    found.sort(key=lambda planned: (first.get(planned.file.key, len(first)), planned.order, planned.file.key))
    wish = PictureWish(
        scenes=tuple(found),
        size_px=settings.size_px,
        form=settings.format,
        quality=settings.quality,
        background=settings.background,
        crop=settings.crop,
    )
    return wish, tuple(findings)


def _planned(
    file: SceneFile,
    scene: Scene,
    products: Mapping[str, Product],
    blanks: Mapping[str, Blank],
    *,
    asked: Mapping[str, Sequence[str]],
    engine: str | None,
) -> tuple[PlannedScene, list[Finding]]:
    record, told = scene.record, list(_stated(scene))
    shown = tuple(key for key in record.products if scene.area_for(key) is not None)
    if scene.photograph is None or record.blanks:
        chosen = dict.fromkeys(shown, record.blanks)
        if scene.photograph is not None:
            told.append(_colours(scene, srgb_pixels(scene.photograph.data).words))
    else:
        pixels = srgb_pixels(scene.photograph.data)
        told.append(_colours(scene, pixels.words))
        chosen = {}
        for key in shown:
            own = [blank_of(blanks, blank) for blank in asked.get(key, ())]
            if own:
                cloth = _cloth(scene, scene.area_for(key), pixels.rgb, engine)
                nearest, apart = nearest_blank(cloth, own)
                chosen[key] = (nearest.key,)
                told.append(_guessed(scene, nearest, apart, hex_of(cloth)))
    for key in shown:
        told += _stretched(scene, scene.area_for(key), products[key])
    planned = PlannedScene(file=file, sha256=scene.sha256, order=record.order, products=shown, blanks=tuple(chosen.items()))
    return planned, told


def _cloth(scene: Scene, area: Area | None, rgb: np.ndarray, engine: str | None) -> tuple[float, float, float]:
    """Linear colour of the photographed cloth within the area's middle, where nothing lies before it."""
    assert scene.photograph is not None
    assert area is not None
    view = view_of(scene, area, long_side_px=PREVIEW_PX)
    small = placed(rgb, scene.photograph, view)
    inner = np.linspace(0.1, 0.9, 60)
    u, v = np.meshgrid(inner, inner)
    x, y = view.from_page(*surface_of(area, scene.record).to_page(u, v))
    seen = np.isfinite(x) & np.isfinite(y)
    columns = np.clip(x[seen].astype(int), 0, view.size_px[0] - 1)
    rows = np.clip(y[seen].astype(int), 0, view.size_px[1] - 1)
    points = small[rows, columns][:, None, :]
    mask = front_mask(scene, open_engine(engine), view) if has_front(scene) else None
    is_free = np.ones(points.shape[:2], bool) if mask is None else mask[rows, columns][:, None] < 128
    return cloth_colour(points, is_free)


def _stated(scene: Scene) -> list[Finding]:
    record = scene.record
    missing = [name for name, text in (("source", record.source), ("licence", record.licence)) if not text.strip()]
    if not missing:
        return []
    return [
        Finding(
            check="scene-licence-missing",
            severity="warning",
            message=f"{scene.file}: {' and '.join(missing)} of the picture {'are' if len(missing) > 1 else 'is'} not stated",
            fix='write them down, for example source = "taken by me, 2026" and licence = "own work"',
        )
    ]


def _colours(scene: Scene, words: str) -> Finding:
    return Finding(check="scene-colours", severity="note", message=f"{scene.file}: the photograph is {words}; pictures are sRGB")


def _guessed(scene: Scene, blank: Blank, apart: float, colour: str) -> Finding:
    is_far = apart > UNLIKE
    return Finding(
        check="scene-blank-guessed",
        severity="warning" if is_far else "note",
        message=f"{scene.file}: the photographed cloth is about {colour}; pictures are made for {blank.key}, the nearest blank",
        measured=apart,
        limit=UNLIKE,
        unit="CIEDE2000",
        blank=blank.key,
        fix=f'write blanks = ["{blank.key}"] if that is right, else the right one',
    )


def _stretched(scene: Scene, area: Area | None, product: Product) -> list[Finding]:
    """A flat area must have the sides of the print area, or artworks come out stretched."""
    if scene.record.area != "flat" or area is None:
        return []
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = area.corners
    width = (np.hypot(bx - ax, by - ay) + np.hypot(cx - dx, cy - dy)) / 2
    height = (np.hypot(dx - ax, dy - ay) + np.hypot(cx - bx, cy - by)) / 2
    wanted = product.print_area_mm[0] / product.print_area_mm[1]
    ratio = float(width / height)
    if abs(ratio / wanted - 1) <= SLACK:
        return []
    return [
        Finding(
            check="scene-area-stretched",
            severity="warning",
            product=product.key,
            message=f"{scene.file}: the flat area is {ratio:.3f} times as wide as high, the print area {wanted:.3f} times",
            measured=ratio,
            limit=wanted,
            unit="width / height",
            fix="draw the area around the whole print area in its true proportions, or state area = quad where it is seen slanting",
        )
    ]
