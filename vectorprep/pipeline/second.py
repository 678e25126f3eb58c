"""A second opinion: the drawing by another rasteriser, compared with the first.

Comes in: a job. Goes out: records of findings where the two differ. Runs in a worker of its own task, so that a renderer that
hangs or dies costs nothing but its opinion. Never done here: deciding which of the two is right.
"""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageFilter

from vectorprep.engine import Engine, draw_window, open_engine
from vectorprep.errors import ArtworkFailed, ArtworkRefused, PartMissing
from vectorprep.geometry import Box
from vectorprep.model import Artwork, Finding
from vectorprep.pipeline.choices import accepted, in_force, read_options
from vectorprep.pipeline.job import Emit, current_tools
from vectorprep.pipeline.workshop import Job
from vectorprep.read import read_artwork
from vectorprep.report.records import Record, finding_record

LONG_SIDE_PX = 1000
LEVELS = 64  # of 255: two renderers smooth the same edge differently by less than this
SHARE = 0.005  # of the ink: house value
CHECK = "effect-not-rendered"


def second_engine() -> Engine | None:
    """Librsvg where it is installed, else CairoSVG where its system library is there, else None."""
    for name in ("librsvg", "cairosvg"):
        try:
            return open_engine(name)
        except PartMissing:
            continue
    return None


def compare(job: Job, emit: Emit) -> list[Record]:
    """Findings of one artwork; none where both agree, or where a comparison would say nothing.

    Text is left out: the second renderers take their fonts from the system. CairoSVG does not draw filters, so that drawings
    with filters are compared by librsvg alone.
    """
    del emit
    tools, other = current_tools(), second_engine()
    settings = in_force(tools.workshop.settings, job.name, job.sha256)
    if other is None:
        return []
    try:
        artwork = read_artwork(
            job.data, name=job.name, path=job.path, slug=job.slug, options=read_options(settings), fonts=tools.fonts
        )
        if artwork.text or (other.name == "cairosvg" and (artwork.has_filters or artwork.has_blending)):
            return []
        finding = difference(artwork, tools.engine, other)
    except (ArtworkRefused, ArtworkFailed):
        return []
    return [] if finding is None else [finding_record(accepted(finding, settings))]


def difference(artwork: Artwork, first: Engine, second: Engine) -> Finding | None:
    """The finding where more than 0.5 % of the ink differs by more than a quarter of the scale, beyond a pixel of edge."""
    page = artwork.page
    scale = LONG_SIDE_PX / max(page.width_mm, page.height_mm)
    size = max(1, round(page.width_mm * scale)), max(1, round(page.height_mm * scale))
    window = Box(0, 0, page.width_mm, page.height_mm)
    one = draw_window(first, artwork, window, *size).pixels
    other = draw_window(second, artwork, window, *size).pixels
    gap = np.abs(one.astype(np.int16) - other.astype(np.int16)).max(axis=2) > LEVELS
    # The two may lie half a pixel apart: what differs along an edge only is no effect that is missing.
    solid = np.asarray(Image.fromarray(gap.astype(np.uint8) * 255).filter(ImageFilter.MinFilter(3))) > 0
    ink = int((np.maximum(one[..., 3], other[..., 3]) >= 8).sum())
    share = int(solid.sum()) / ink if ink else 0.0
    if share <= SHARE:
        return None
    rows, columns = np.nonzero(solid)
    corners = (columns.min() / scale, rows.min() / scale, (columns.max() + 1) / scale, (rows.max() + 1) / scale)
    return Finding(
        check=CHECK,
        severity="warning",
        artwork=artwork.name,
        message=f"drawn differently by two renderers ({first.name} and {second.name}) on {share:.1%} of the ink",
        fix="look at the place named; an effect there is not drawn everywhere: simplify it, or turn it into plain shapes",
        measured=round(share, 5),
        limit=SHARE,
        unit="share of the ink",
        place_mm=(float(corners[0]), float(corners[1]), float(corners[2]), float(corners[3])),
    )
