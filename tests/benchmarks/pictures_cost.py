"""CPU of product pictures, against a plain script that warps and pastes with Pillow.

    python tests/benchmarks/pictures_cost.py FOLDER_OF_DRAWINGS --artworks 40

Ten pictures of each artwork: a shirt's drawings and a bag's on two blanks, a framed poster, a tumbler.
Ours draws them by `convert` with nothing else asked for, one worker; reading, measuring and judging are counted. What is made ready
once for a scene is taken out by a run with a single artwork.
The plain script draws each artwork once with the same rasteriser, takes the same empty pictures as given, warps, pastes, and saves
WebP: once as Pillow does it by default, once with the encoder's setting that ours has.
"""

from __future__ import annotations

import argparse
import io
import resource
import shutil
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

from vectorprep.engine import open_engine
from vectorprep.fonts import load_index
from vectorprep.model import Blank
from vectorprep.pipeline import RunOptions, convert_artworks
from vectorprep.pipeline.scenery import open_scene, scene_files
from vectorprep.read import read_artwork
from vectorprep.scenes.compose import bare
from vectorprep.scenes.encode import WEBP_METHOD
from vectorprep.scenes.stage import stage_of
from vectorprep.scenes.view import view_of

SIZE_PX = 2000
PILLOW_METHOD = 4  # its own default
RUNS = (
    (("tee-adult-front-dtg", "tote-front-dtf"), ("white", "navy")),
    (("poster-iso-a3", "tumbler-tapered-wrap-sub"), ("white",)),
)
EMPTY = (
    ("shirt-front", "#ffffff"),
    ("shirt-front", "#1b2340"),
    ("shirt-front-close", "#ffffff"),
    ("shirt-front-close", "#1b2340"),
    ("tote-front", "#ffffff"),
    ("tote-front", "#1b2340"),
    ("tote-close", "#ffffff"),
    ("tote-close", "#1b2340"),
    ("poster-a3-framed", "#ffffff"),
    ("tumbler-tapered", "#ffffff"),
)


def ours(arts: Path) -> tuple[float, int, int]:
    """CPU seconds, pictures, greatest resident size of a worker in MB."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    own = time.process_time()
    made = 0
    with tempfile.TemporaryDirectory() as out:
        for products, blanks in RUNS:
            options = RunOptions(
                products=products, blanks=blanks, jobs=1, pictures=("drawn",), only_pictures=True, time_limit_s=900
            )
            report = convert_artworks([arts], Path(out, products[0]), options=options)
            made += sum(output["kind"] == "picture" for output in report.record["outputs"])
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime + time.process_time() - own
    return spent, made, after.ru_maxrss // 1024


def empty_pictures() -> list[tuple[Image.Image, list[float]]]:
    """The pictures without a print, and what Pillow's perspective takes for the corners of their print area."""
    fonts, engine = load_index(()), open_engine(None)
    files = {file.key: file for file in scene_files(["drawn"])}
    made = []
    for key, colour in EMPTY:
        scene = open_scene(files[key], fonts=fonts)
        area = scene.area_for(scene.record.products[0])
        assert area is not None
        view = view_of(scene, area, long_side_px=SIZE_PX)
        picture = bare(stage_of(scene, view, engine), Blank(key="it", name="It", colour=colour))
        made.append((Image.fromarray(picture), _coefficients(view.from_page(*np.array(area.corners).T))))
    return made


def _coefficients(corners: tuple[np.ndarray, np.ndarray]) -> list[float]:
    """The eight numbers that take the corners to those of the drawn artwork."""
    rows, wanted = [], []
    for x, y, u, v in zip(*corners, (0, SIZE_PX, SIZE_PX, 0), (0, 0, SIZE_PX, SIZE_PX), strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    return [float(value) for value in np.linalg.solve(np.array(rows), np.array(wanted))]


def plain(arts: list[Path], empty: list[tuple[Image.Image, list[float]]], method: int) -> tuple[float, int]:
    """CPU seconds and pictures of the plain script."""
    engine = open_engine(None)
    begun, made = time.process_time(), 0
    for path in arts:
        artwork = read_artwork(path.read_bytes(), name=path.stem)
        side = engine.draw(artwork.markup, SIZE_PX, SIZE_PX)
        drawn = Image.frombuffer("RGBa", (SIZE_PX, SIZE_PX), side.pixels, "raw", "RGBa", 0, 1).convert("RGBA")
        for given, corners in empty:
            warped = drawn.transform((SIZE_PX, SIZE_PX), Image.Transform.PERSPECTIVE, corners, Image.Resampling.BICUBIC)
            picture = given.copy()
            picture.paste(warped, (0, 0), warped)
            picture.save(io.BytesIO(), "WEBP", quality=85, method=method)
            made += 1
    return time.process_time() - begun, made


def main() -> None:
    """Prints the costs and their ratios."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("folder", type=Path)
    arguments.add_argument("--artworks", type=int, default=40)
    arguments.add_argument("--plain-artworks", type=int, default=10)
    asked = arguments.parse_args()
    found = sorted(asked.folder.glob("*.svg"))
    chosen = found[:: max(1, len(found) // asked.artworks)][: asked.artworks]
    with tempfile.TemporaryDirectory() as folder:
        for path in chosen[:1]:
            shutil.copy(path, folder)
        once, few, _ = ours(Path(folder))
        for path in chosen:
            shutil.copy(path, folder)
        mine, pictures, peak = ours(Path(folder))
    after = (mine - once) / (pictures - few) * 1000
    sys.stdout.write(
        f"ours   {pictures} pictures of {len(chosen)} artworks, {mine / pictures * 1000:.0f} ms each, "
        f"{after:.0f} ms after preparation; greatest process {peak} MB\n"
    )
    empty = empty_pictures()
    few_arts = chosen[:: max(1, len(chosen) // asked.plain_artworks)]
    for method in (PILLOW_METHOD, WEBP_METHOD):
        other, others = plain(few_arts, empty, method)
        each = other / others * 1000
        sys.stdout.write(f"plain  {others} pictures, WebP method {method}, {each:.0f} ms each; ratio {after / each:.2f}\n")


if __name__ == "__main__":
    main()
