"""One drawing on one picture, in this very process, for trying.

Comes in: paths of drawing and scene, options, a name for the file. Goes out: the file, and what there is to say of it.
Never done here: many at once; `convert` does that.
"""

from __future__ import annotations

import hashlib
import os
from dataclasses import replace
from pathlib import Path

from vectorprep.errors import ArtworkFailed, UsageError
from vectorprep.fonts import load_index
from vectorprep.model import Encoded, Finding
from vectorprep.pipeline.job import tools_for, work
from vectorprep.pipeline.options import RunOptions
from vectorprep.pipeline.scenery import open_scene, scene_files
from vectorprep.pipeline.setup import Setup, set_up
from vectorprep.pipeline.workshop import Job, PictureForm
from vectorprep.store import read_source, write_file

SOURCE_BYTES_MAX = 20_000_000  # house value, as in a run
FORMS: dict[str, PictureForm] = {".webp": "webp", ".jpg": "jpeg", ".jpeg": "jpeg", ".png": "png"}
PREFERRED = "white"


def write_picture(art: str, scene: str, out: str, options: RunOptions) -> tuple[Encoded, tuple[Finding, ...]]:
    """Makes the file and returns its record, with what was found about the scene.

    Raises:
        UsageError: names that do not fit together.
        SceneRefused: the scene cannot be used.
        ArtworkFailed: the drawing is refused, or fails.
    """
    form = FORMS.get(Path(out).suffix.lower())
    if form is None:
        raise UsageError(f"{out}: a picture is .webp, .jpg or .png", fix="choose one of these endings", code="picture-kind")
    setup = _set_up(art, scene, options)
    wish = setup.pictures
    assert wish is not None, "the options name a scene"
    if not wish.scenes:
        first = setup.scene_findings[0]
        raise UsageError(first.message, fix=first.fix, code=first.check)
    setup = replace(setup, pictures=replace(wish, form=form))
    made = _made(setup)
    write_file(out, made.data)
    return made, setup.scene_findings


def _set_up(art: str, scene: str, options: RunOptions) -> Setup:
    """The run's setup for the scene's own product and one blank, where none are named."""
    files = scene_files([scene])
    if len(files) != 1:
        raise UsageError(f"{scene} holds {len(files)} scenes", fix="name one .svg file", code="not-one-scene")
    opened = open_scene(files[0], fonts=load_index(options.fonts))
    options = replace(options, products=options.products or opened.record.products[:1], pictures=(scene,), only_pictures=True)
    setup = set_up("convert", [art], options)
    if len(setup.drawings) != 1:
        raise UsageError(f"{os.fspath(art)} is not one drawing", fix="name one .svg or .svgz file", code="not-one-drawing")
    shown = opened.record.products
    if setup.products[0].key not in shown:
        raise UsageError(
            f"{scene} shows {', '.join(shown)}, not {setup.products[0].key}",
            fix="name one of its products, or add the key to its products",
            code="scene-product",
        )
    if options.blanks or opened.photograph is not None:
        return setup
    own = setup.scope(setup.drawings[0].source.name).get(setup.products[0].key, ())
    blank = PREFERRED if PREFERRED in own else own[0]
    return set_up("convert", [art], replace(options, blanks=(blank,)))


def _made(setup: Setup) -> Encoded:
    drawing = setup.drawings[0]
    data = read_source(drawing.source, SOURCE_BYTES_MAX)
    scope = tuple(setup.scope(drawing.source.name).items())
    digest = hashlib.sha256(data).hexdigest()
    job = Job(name=drawing.source.name, slug=drawing.slug, path=drawing.source.path, sha256=digest, data=data, scope=scope)
    found: list[Encoded] = []

    def emit(value: object) -> None:
        if isinstance(value, Encoded):
            found.append(value)

    result = work(job, tools_for(setup.workshop()), emit)
    error = result.artwork["error"]
    if error is not None:
        raise ArtworkFailed(f"{drawing.source.path}: {error['message']}", fix=error["fix"], code=error["code"])
    if not found:
        raise UsageError(
            f"the scene is not for {', '.join(dict(scope).get(setup.products[0].key, ()))}",
            fix="name one of the blanks that the scene states",
            code="scene-blank",
        )
    return found[0]
