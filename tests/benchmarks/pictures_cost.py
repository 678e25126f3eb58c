"""CPU of product pictures, against a plain script that warps and pastes with Pillow.

    python tests/benchmarks/pictures_cost.py FOLDER_OF_DRAWINGS --artworks 40

Ten pictures of each artwork: a shirt's drawings and a bag's on two blanks, a framed poster, a cup.
Ours draws them by `convert` with nothing else asked for, one worker; reading, measuring and judging are counted.
The plain script draws each artwork once with the same rasteriser, takes empty pictures as given, warps, pastes, and saves WebP.
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

from PIL import Image

from vectorprep.engine import open_engine
from vectorprep.pipeline import RunOptions, convert_artworks
from vectorprep.read import read_artwork

SIZE_PX = 2000
PLAIN_PICTURES = 10


def ours(arts: Path) -> tuple[float, int, int]:
    """CPU seconds, pictures, greatest resident size of a worker in MB."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    own = time.process_time()
    made = 0
    with tempfile.TemporaryDirectory() as out:
        for products, blanks in (
            (("tee-adult-front-dtg", "tote-front-dtf"), ("white", "navy")),
            (("poster-iso-a3", "mug-11oz-wrap-sub"), ("white",)),
        ):
            options = RunOptions(
                products=products, blanks=blanks, jobs=1, pictures=("drawn",), only_pictures=True, time_limit_s=900
            )
            report = convert_artworks([arts], Path(out, products[0]), options=options)
            made += sum(output["kind"] == "picture" for output in report.record["outputs"])
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime + time.process_time() - own
    return spent, made, after.ru_maxrss // 1024


def plain(arts: Path) -> tuple[float, int]:
    """CPU seconds and pictures of the plain script."""
    engine = open_engine(None)
    scene = Image.new("RGB", (SIZE_PX, SIZE_PX), "#8899aa")
    begun, made = time.process_time(), 0
    for path in sorted(arts.iterdir()):
        artwork = read_artwork(path.read_bytes(), name=path.stem)
        side = engine.draw(artwork.markup, SIZE_PX, SIZE_PX)
        drawn = Image.frombuffer("RGBa", (SIZE_PX, SIZE_PX), side.pixels, "raw", "RGBa", 0, 1).convert("RGBA")
        for _ in range(PLAIN_PICTURES):
            corners = (2.9, 0.02, -1900.0, 0.05, 2.9, -1700.0, 1e-5, 2e-5)
            warped = drawn.transform((SIZE_PX, SIZE_PX), Image.Transform.PERSPECTIVE, corners, Image.Resampling.BICUBIC)
            picture = scene.copy()
            picture.paste(warped, (0, 0), warped)
            picture.save(io.BytesIO(), "WEBP", quality=85)
            made += 1
    return time.process_time() - begun, made


def main() -> None:
    """Prints both costs and their ratio."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("folder", type=Path)
    arguments.add_argument("--artworks", type=int, default=40)
    asked = arguments.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for path in sorted(asked.folder.glob("*.svg"))[:: max(1, len(list(asked.folder.glob("*.svg"))) // asked.artworks)]:
            if len(list(Path(folder).iterdir())) < asked.artworks:
                shutil.copy(path, folder)
        mine, pictures, peak = ours(Path(folder))
        other, others = plain(Path(folder))
    sys.stdout.write(f"ours   {pictures} pictures, {mine / pictures * 1000:.0f} ms each, peak {peak} MB\n")
    sys.stdout.write(
        f"plain  {others} pictures, {other / others * 1000:.0f} ms each; ratio {mine / pictures / (other / others):.2f}\n"
    )


if __name__ == "__main__":
    main()
