"""The pictures that artworks can be put on: the drawings that come along, and the seller's own files.

Comes in: names of folders and files. Goes out: `SceneFile`s, and a `Scene` from one of them.
Files are opened when they are needed and not held: a hundred photographs are more than a worker should keep.
Never done here: pixels (`scenes`), or what is made of them (`pictures`).
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from vectorprep.errors import ArtworkRefused, RecordError, SceneRefused, UsageError
from vectorprep.fonts import FontIndex
from vectorprep.model import Scene
from vectorprep.pipeline.workshop import SceneFile
from vectorprep.plan import slug_from_name
from vectorprep.read import read_artwork
from vectorprep.read.shapes import named_shapes
from vectorprep.scenes.photograph import MAX_BYTES
from vectorprep.scenes.record import record_of
from vectorprep.scenes.scene import scene_of
from vectorprep.scenes.source import taken_apart
from vectorprep.store import Source, package_folder, read_source, scan, shown

DRAWN = "drawn"
"""The word for the drawings that come along."""
SCENE_BYTES_MAX = 90_000_000  # house value: a photograph of 60 MB as base64 text
TOML_BYTES_MAX = 100_000


def scene_files(names: Sequence[str | os.PathLike[str]]) -> tuple[SceneFile, ...]:
    """The pictures of `drawn`, folders and files, in order, each key once.

    Raises:
        UsageError: no such file or folder, or none holds a picture.
    """
    found: dict[str, SceneFile] = {}
    for name in [os.fspath(name) for name in names]:
        place = str(package_folder("profiles") / "scenes") if name == DRAWN else name
        for source in scan([place]).sources:
            key = slug_from_name(source.name)
            while key in found:
                key += "-2"
            words = source.path if name == DRAWN or Path(place).is_dir() else name
            found[key] = SceneFile(key=key, shown=shown(words), source=source)
    if not found:
        raise UsageError(
            f"no picture found in {', '.join(os.fspath(name) for name in names)}",
            fix="name a folder with drawings (.svg) of pictures, or 'drawn' for those that come along",
            code="no-scene",
        )
    return tuple(found.values())


def open_scene(file: SceneFile, *, fonts: FontIndex, products: Sequence[str] = ()) -> Scene:
    """The picture of a file.

    Args:
        file: as listed.
        fonts: for text in the drawing.
        products: known product keys; empty = not checked.

    Raises:
        SceneRefused: what it states, its area or its photograph cannot be used.
    """
    try:
        parts = taken_apart(read_source(file.source, SCENE_BYTES_MAX), lambda name: _beside(file, name))
        toml = _toml(file)
        record = record_of(parts.attributes, toml, file.shown, has_photograph=parts.photograph is not None, products=products)
        drawing = read_artwork(parts.drawing, name=file.key, path=file.shown, slug=file.key, fonts=fonts)
    except RecordError as error:
        raise SceneRefused(error.message, code="scene-record") from error
    except ArtworkRefused as error:
        raise SceneRefused(error.message, fix=error.fix, code=error.code) from error
    shapes = [(shape.name, shape.data, shape.to_page) for shape in named_shapes(drawing)]
    return scene_of(file.key, file.shown, record=record, source=parts, drawing=drawing, shapes=shapes)


def _beside(file: SceneFile, name: str) -> bytes:
    """A photograph that lies in the same folder."""
    at = str(Path(file.source.file).parent / name)
    try:
        return read_source(Source(name=name, path=name, root=file.source.root, file=at), MAX_BYTES)
    except ArtworkRefused as error:
        code = "scene-photograph-too-big" if error.code == "source-too-large" else "scene-photograph-missing"
        cause = "is not there" if error.code == "source-vanished" else f"cannot be read: {error.message}"
        raise SceneRefused(
            f"the photograph '{shown(name)}' beside it {cause}",
            fix="put the photograph into the same folder as the drawing, or embed it",
            code=code,
        ) from error


def _toml(file: SceneFile) -> str:
    """Text of the TOML file of the same name, empty where there is none."""
    at = Path(file.source.file).with_suffix(".toml")
    if not Path(file.source.root, at).is_file():
        return ""
    source = Source(name=at.stem, path=at.name, root=file.source.root, file=str(at))
    try:
        return read_source(source, TOML_BYTES_MAX).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise SceneRefused(
            f"{at.name}: byte {error.start} is not UTF-8", fix="save the file as UTF-8", code="scene-record"
        ) from error
