"""The picture that shows where: artwork on its blank with rings around the places of a finding."""

from __future__ import annotations

import io
from collections.abc import Sequence

import numpy as np
import pytest
from PIL import Image

from vectorprep.colour import contrast_ratio, hex_from_rgb
from vectorprep.model import Raster
from vectorprep.model.result import Corners
from vectorprep.report.highlight import WHOLE, highlight

BLANKS = ("#ffffff", "#141414", "#1b2340", "#767676", "#f0b323", "#bfe3cf", "#b3202c")


def _ink(colour: tuple[int, int, int] = (200, 60, 40)) -> Raster:
    pixels = np.zeros((160, 320, 4), np.uint8)
    pixels[20:140, 20:300] = (*colour, 255)
    return Raster(pixels=pixels)


def _shown(places: Sequence[Corners], blank: str, window: Corners = WHOLE) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(highlight(_ink(), places, blank, window=window))).convert("RGB")).astype(int)


def _ring(places: Sequence[Corners], blank: str = "#767676", window: Corners = WHOLE) -> np.ndarray:
    """Where the picture with places differs from the one without."""
    return np.asarray(np.abs(_shown(places, blank, window=window) - _shown([], blank)).max(axis=2) > 60)


@pytest.mark.parametrize("blank", BLANKS)
def test_a_ring_stands_out_from_every_blank(blank: str) -> None:
    """Along every ring on bare cloth some colour of the ring has a ratio of 4.5 or more to it (WCAG 2.2, 1.4.3)."""
    picture = _shown([(0.9, 0.8, 1.0, 1.0)], blank)
    bottom = picture[-26:, -60:].reshape(-1, 3)
    assert max(contrast_ratio(hex_from_rgb(*map(int, pixel)), blank) for pixel in bottom) >= 4.5


def test_a_ring_goes_around_its_place_and_leaves_the_place_itself_as_it_is() -> None:
    """What changes lies outside the place and near it."""
    ring = _ring([(0.25, 0.25, 0.5, 0.75)])
    rows, columns = np.nonzero(ring)
    room = (ring.shape[1] - 320) // 2
    x0, y0, x1, y1 = room + 80, room + 40, room + 160, room + 120
    assert not ring[y0 + 2 : y1 - 2, x0 + 2 : x1 - 2].any()
    reach = columns.min() - x0, rows.min() - y0, x1 - 1 - columns.max(), y1 - 1 - rows.max()
    assert all(-20 < outside < 0 for outside in reach)


def test_places_in_millimetres_of_the_print_are_found_through_the_window() -> None:
    """A place in the units of the window is ringed where the same place in fractions is."""
    given = _ring([(120.0, 60.0, 140.0, 80.0)], window=(100.0, 50.0, 180.0, 90.0))
    assert np.array_equal(given, _ring([(0.25, 0.25, 0.5, 0.75)]))


def test_a_tiny_place_gets_a_ring_wide_enough_to_see_into() -> None:
    """The ring around a point leaves at least a twelfth of the long side free inside."""
    ring = _ring([(0.5, 0.5, 0.501, 0.501)])
    columns = np.flatnonzero(ring[ring.shape[0] // 2])
    assert np.diff(columns).max() >= 320 / 12


def test_rings_of_places_at_the_edge_are_whole() -> None:
    """Nothing of a ring around the corner of the ink is cut off by the picture."""
    ring = _ring([(0.0, 0.0, 0.02, 0.02), (0.98, 0.98, 1.0, 1.0)])
    assert not any(side.any() for side in (ring[0], ring[-1], ring[:, 0], ring[:, -1]))


def test_a_file_shows_the_same_as_its_pixels() -> None:
    """A thumbnail given as bytes of a PNG and as premultiplied pixels gives the same picture."""
    data = io.BytesIO()
    Image.fromarray(_ink().pixels, "RGBA").save(data, "PNG")
    place = [(0.1, 0.1, 0.3, 0.3)]
    assert highlight(data.getvalue(), place, "#1b2340") == highlight(_ink(), place, "#1b2340")
