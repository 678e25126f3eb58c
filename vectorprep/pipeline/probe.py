"""Whether a drawing can be drawn in the time it is given: tried at two small sizes before it is drawn at the size of a print.

Comes in: an artwork, an engine, the products. Goes out: nothing, or a failure that says what costs so much.
Never done here: drawing for a file; limits that do not depend on the machine (`read`).
"""

from __future__ import annotations

import time
from collections.abc import Sequence

from vectorprep.engine import Engine, draw_window
from vectorprep.errors import ArtworkFailed
from vectorprep.geometry import Box
from vectorprep.model import Artwork, Product

SMALL_PX, LARGE_PX = 320, 800
"""Long sides of the two trials: what differs between them grows with the picture, the rest is reading."""
MEASURED_MEGAPIXELS = 23.0  # of the grid on which a drawing with filters is measured in one piece
PAINTED_SHARE = 0.75  # of a canvas that art fills at most (house value)
DRAWS, DRAWS_PER_PRODUCT = 6, 4
"""Pictures of whatever size that an artwork takes, about, to be measured and judged, and for each product."""
LONG_MARKUP = 60_000
COSTLY = (b"<filter", b"<pattern", b"<mask", b"opacity=", b"mix-blend-mode", b"<text")
KINDS = {
    b"filter=": "filter effects",
    b"<fe": "filter steps",
    b"<pattern": "patterns",
    b"<mask": "masks",
    b"opacity=": "see-through parts",
    b"<text": "texts",
    b"<path": "paths",
    b"<circle": "circles",
    b"<ellipse": "ellipses",
    b"<rect": "rectangles",
    b"<poly": "polygons",
    b"<line ": "lines",
    b"<use": "clones",
    b"Gradient ": "gradients",
    b"clip-path=": "clipped parts",
    b"<image": "pictures",
}


def require_drawable(artwork: Artwork, engine: Engine, products: Sequence[Product], allowed_s: float) -> None:
    """Passes a drawing whose prints are drawn in the time allowed; trials only where something in it may be costly.

    Raises:
        ArtworkFailed: it would take longer, with both figures and what the drawing holds.
    """
    if not any(word in artwork.markup for word in COSTLY) and len(artwork.markup) < LONG_MARKUP:
        return
    page = artwork.page
    window = Box(0.0, 0.0, page.width_mm, page.height_mm)
    sizes = [
        tuple(max(1, round(side * long / max(page.width_mm, page.height_mm))) for side in (page.width_mm, page.height_mm))
        for long in (SMALL_PX, LARGE_PX)
    ]
    once = _spent(engine, artwork, window, sizes[0])
    seconds = once * (DRAWS + DRAWS_PER_PRODUCT * len(products))
    if seconds <= allowed_s:
        (w0, h0), (w1, h1) = sizes
        per_megapixel = max(0.0, _spent(engine, artwork, window, sizes[1]) - once) / max(1e-6, (w1 * h1 - w0 * h0) / 1e6)
        drawn = PAINTED_SHARE * sum(product.file_size_px[0] * product.file_size_px[1] / 1e6 for product in products)
        seconds += per_megapixel * (drawn + MEASURED_MEGAPIXELS * artwork.has_filters)
    if seconds > allowed_s:
        raise ArtworkFailed(
            f"{artwork.name}: drawing it would take about {seconds:.0f} s, more than the {allowed_s:.0f} s it is given;"
            f" it has {contents(artwork)}",
            fix="simplify these in the drawing, make fewer products at once, or give it more time with --time-limit",
            code="too-costly-to-draw",
        )


def _spent(engine: Engine, artwork: Artwork, window: Box, size_px: tuple[int, ...]) -> float:
    """Seconds of CPU for one picture."""
    start = time.process_time()
    draw_window(engine, artwork, window, size_px[0], size_px[1])
    return time.process_time() - start


def contents(artwork: Artwork) -> str:
    """What a drawing holds most of, in words."""
    counts = {name: artwork.markup.count(token) for token, name in KINDS.items()}
    ordered = sorted(counts.items(), key=lambda item: -item[1])
    found = [f"{number} {name if number > 1 else name.removesuffix('s')}" for name, number in ordered if number]
    return ", ".join(found[:4]) or "very large shapes"
