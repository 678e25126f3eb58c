"""Local thickness of lines and gaps: against strokes of known width, and against distance transforms of another library."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import ndimage

from vectorprep.checks import gaps, lines
from vectorprep.checks._bands import Thin
from vectorprep.checks._print import Prepared, prepared

ROOT = Path(__file__).parents[2]
NEAR_PX = 0.5  # at 300 ppi
ENLARGED = 6
TURN = '<g transform="rotate({angle:.3f} 50 50)">{shape}</g>'
FORMS: dict[str, str] = {
    "straight": '<path d="M30 50H70" fill="none" stroke="#000" stroke-width="{width:.4f}"/>',
    "bar": '<path d="M30 50h40v{width:.4f}h-40z"/>',
    "arc": '<path d="M30 50A20 20 0 0 1 70 50" fill="none" stroke="#000" stroke-width="{width:.4f}"/>',
    "ring": '<circle cx="50" cy="50" r="6" fill="none" stroke="#000" stroke-width="{width:.4f}"/>',
    "wave": '<path d="M20 50C30 30 40 70 50 50S70 30 80 50" fill="none" stroke="#000" stroke-width="{width:.4f}"/>',
    "crossing": '<path d="M20 50H80M35 20V80M65 20V80" fill="none" stroke="#000" stroke-width="{width:.4f}"/>',
}
CORNERS = '<rect x="1" y="1" width="7" height="7"/><rect x="92" y="92" width="7" height="7"/>'
OPENED = (
    '<mask id="m"><rect width="100" height="100" fill="#fff"/>{shape}</mask>'
    '<g mask="url(#m)"><path d="M2 2H98V98H2Z" fill="#224466"/></g>'
)


def cases(each: int = 3) -> list[tuple[str, float, float]]:
    """Form, width in mm from 0.1 to 3, angle in degrees; the same at every run."""
    chosen = random.Random(11)
    return [
        (form, 0.1 + 2.9 * (number + chosen.random()) / each, chosen.uniform(0, 90)) for form in FORMS for number in range(each)
    ]


def drawn(form: str, width: float, angle: float) -> str:
    """SVG of a form."""
    return TURN.format(angle=angle, shape=FORMS[form].format(width=width))


def longest(found: tuple[Thin, ...]) -> Thin:
    """The band that runs on furthest."""
    return max(found, key=lambda thin: thin.length_px)


def seen(shop: Any, content: str) -> Prepared:
    """The picture of SVG content at its own size."""
    picture = prepared(shop.evidence(content))
    assert picture is not None
    return picture


@pytest.mark.parametrize(("form", "width", "angle"), cases())
def test_a_line_is_as_thin_as_it_was_drawn(shop: Any, form: str, width: float, angle: float) -> None:
    """Straight, curved or crossing, at any angle: within half a pixel of the stroke, and so is the narrowest place named."""
    picture = seen(shop, drawn(form, width, angle) + CORNERS)
    found = lines.bands(picture, 1.5 * width + 0.2)
    assert longest(found).width_px == pytest.approx(width * picture.px_per_mm, abs=NEAR_PX)
    assert found[0].width_px == pytest.approx(width * picture.px_per_mm, abs=NEAR_PX)


@pytest.mark.parametrize(("form", "width", "angle"), cases())
def test_a_gap_is_as_narrow_as_it_was_drawn(shop: Any, form: str, width: float, angle: float) -> None:
    """The same shapes left open in a solid."""
    picture = seen(shop, OPENED.format(shape=drawn(form, width, angle)))
    found = gaps.bands(picture, 1.5 * width + 0.2)
    assert longest(found).width_px == pytest.approx(width * picture.px_per_mm, abs=NEAR_PX)
    assert found[0].width_px == pytest.approx(width * picture.px_per_mm, abs=NEAR_PX)


@pytest.mark.parametrize("width", [0.1, 0.3, 0.6, 1.2, 3.0])
def test_nothing_is_thin_above_its_own_width(shop: Any, width: float) -> None:
    """A limit a tenth below the stroke finds no line and no gap of it."""
    content = drawn("wave", width, 30)
    assert not lines.bands(seen(shop, content + CORNERS), 0.9 * width)
    assert not gaps.bands(seen(shop, OPENED.format(shape=content)), 0.9 * width)


@pytest.mark.parametrize(
    "shape", ["M10 90L50 5L90 90Z", "M50 5L62 40L98 40L68 60L80 95L50 74L20 95L32 60L2 40L38 40Z", "M20 20H80V80H20Z"]
)
def test_a_corner_is_no_line(shop: Any, shape: str) -> None:
    """Triangles, stars and squares taper away at their corners; none of them holds a line of 1 mm."""
    assert not lines.bands(seen(shop, f'<path d="{shape}"/>'), 1.0)


def ridge_px(picture: Prepared, thin: Thin, *, of_gap: bool) -> float:
    """Median width along the middle of the band in a box, by a distance transform of the picture enlarged.

    The transform counts from middle to middle of whole pixels, which on a finer grid is off by a fraction of one.
    """
    x0, y0, x1, y1 = thin.box_px
    margin, fine = 12, ENLARGED
    top, left = max(y0 - margin, 0), max(x0 - margin, 0)
    window = picture.pixels[top : y1 + margin, left : x1 + margin, 3].astype(np.float32)
    mask = ndimage.zoom(window, fine, order=1, grid_mode=True, mode="nearest") >= 127.5
    distance = ndimage.distance_transform_edt(~mask if of_gap else mask)
    is_ridge = (distance == ndimage.maximum_filter(distance, 3)) & (distance > 0)
    inner = slice(fine * (y0 - top), fine * (y1 - top)), slice(fine * (x0 - left), fine * (x1 - left))
    found = (2 * distance[inner] - 0.5)[is_ridge[inner]] / fine
    return float(np.median(found[(found > 0.5 * thin.width_px) & (found < 1.6 * thin.width_px)]))


@pytest.mark.parametrize(
    ("name", "product", "look"),
    [
        ("tea-sprig_fine-line.svg", "mug-11oz-wrap-sub", lines.bands),
        ("tea-sprig_fine-line.svg", "mug-11oz-wrap-sub", gaps.bands),
        ("night_heron-line.svg", "mug-11oz-wrap-sub", gaps.bands),
        ("night_heron-line.svg", "mug-11oz-wrap-sub", lines.bands),
        ("lamp-moth_folk.svg", "mug-11oz-wrap-sub", lines.bands),
        ("teapot-balloons_pastel.svg", "mug-11oz-wrap-sub", lines.bands),
    ],
)
def test_bands_of_real_drawings_agree_with_a_distance_transform(
    shop: Any, name: str, product: str, look: Callable[[Prepared, float], tuple[Thin, ...]]
) -> None:
    """Each band that runs on for 2 mm has the width that scipy's distance transform gives its middle, within half a pixel."""
    picture = prepared(shop.printed((ROOT / "sample_svgs" / name).read_bytes(), product))
    assert picture is not None
    found = [thin for thin in look(picture, 0.6) if thin.length_px > 2 * picture.px_per_mm][:12]
    assert found
    for thin in found:
        assert thin.width_px == pytest.approx(ridge_px(picture, thin, of_gap=look is gaps.bands), abs=NEAR_PX)


def test_the_thinnest_line_of_a_disc_of_rays_is_its_own(shop: Any) -> None:
    """Rays of 0.4 mm that meet in the middle: the meeting is wide, the rays are what is measured."""
    rays = "".join(
        f'<line x1="50" y1="50" x2="{50 + 40 * math.cos(a):.3f}" y2="{50 + 40 * math.sin(a):.3f}" '
        'stroke="#123" stroke-width="0.4"/>'
        for a in (0.1, 0.9, 1.9, 2.8, 4.1, 5.3)
    )
    picture = seen(shop, rays + CORNERS)
    found = lines.bands(picture, 0.5)
    assert len(found) >= 1
    assert all(thin.width_px == pytest.approx(0.4 * picture.px_per_mm, abs=NEAR_PX) for thin in found)
