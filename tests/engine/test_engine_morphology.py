"""Morphology filters in two steps: the picture of one step to a pixel, in a small part of its time."""

from __future__ import annotations

import time

import numpy as np
import pytest

from vectorprep.engine import open_engine
from vectorprep.engine.morphology import in_two_steps

FILTERS = {
    "dilate": '<feMorphology operator="dilate" radius="{r}"{end}',
    "erode": '<feMorphology in="SourceAlpha" operator="erode" radius="{r} {half}" result="a"{end}<feOffset in="a" dx="3"/>',
}


PASSED_OVER = "><desc>not plain</desc></feMorphology>"


def _drawing(primitive: str, radius: float, size: int, end: str = "/>") -> bytes:
    filters = (
        f'<filter id="f" x="-0.5" y="-0.5" width="2" height="2">{primitive.format(r=radius, half=radius / 2, end=end)}</filter>'
    )
    corners = " ".join(f"{size * share:g}" for share in (0.3, 0.7, 0.5, 0.25, 0.72, 0.66))
    shape = f'<polygon points="{corners}" fill="#35a" filter="url(#f)"/>'
    page = f'xmlns="http://www.w3.org/2000/svg" width="{size}" height="{size}" viewBox="0 0 {size} {size}"'
    return f"<svg {page}>{filters}{shape}</svg>".encode()


@pytest.mark.parametrize("kind", FILTERS)
@pytest.mark.parametrize("name", ["svg2png-py", "resvg-py"])
def test_two_steps_draw_what_one_draws(kind: str, name: str) -> None:
    """Edges lie within a pixel of those of the engine's own square window, and are equal but for that pixel."""
    engine = open_engine(name)
    markup = _drawing(FILTERS[kind], 6, 160)
    assert in_two_steps(markup) != markup
    plain = _drawing(FILTERS[kind], 6, 160, PASSED_OVER)
    assert in_two_steps(plain) == plain
    split, whole = (engine.draw(each, 160, 160).pixels[..., 3] > 127 for each in (markup, plain))
    assert whole.any()
    near = np.pad(whole, 1)
    grown = np.max([near[y : y + 160, x : x + 160] for y in range(3) for x in range(3)], axis=0)
    shrunk = np.min([near[y : y + 160, x : x + 160] for y in range(3) for x in range(3)], axis=0)
    assert (split <= grown).all()
    assert (split >= shrunk).all()


def test_wide_radius_is_quick() -> None:
    """A radius of 40 px on 600 x 600 px takes a tenth of a second; the engine's own way takes over two."""
    engine = open_engine()
    start = time.process_time()
    engine.draw(_drawing(FILTERS["dilate"], 40, 600), 600, 600)
    assert time.process_time() - start < 0.8


@pytest.mark.parametrize("radius", ["0", "", "-2", "3 4 5", "x"])
def test_radii_that_turn_the_filter_off_stay(radius: str) -> None:
    """Where a radius is none, nothing is rewritten."""
    markup = f'<svg><feMorphology radius="{radius}"/></svg>'.encode()
    assert in_two_steps(markup) == markup


def test_other_markup_is_the_same_object() -> None:
    """Without the filter nothing is copied."""
    markup = b"<svg><path d='M0 0'/></svg>"
    assert in_two_steps(markup) is markup
