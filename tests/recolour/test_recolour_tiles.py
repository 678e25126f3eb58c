"""Tiles along edges: nothing that an edge reaches is left out, and what is put back lies where it was."""

from __future__ import annotations

import numpy as np
import pytest

from vectorprep.recolour.tiles import tiles_with_edges


@pytest.mark.parametrize(("halo", "factor"), [(12, 1), (24, 2), (45, 3), (0, 1)])
def test_every_edge_lies_in_a_tile(halo: int, factor: int) -> None:
    """Outside the tiles every pixel, with all pixels as far off as the halo, is of one plain level."""
    alpha = np.zeros((613, 907), np.uint8)
    alpha[100:330, 200:777] = 255
    alpha[500, 40] = 9
    touched = np.zeros_like(alpha, bool)
    for tiles in tiles_with_edges(alpha, halo, factor):
        tiles.put_back(touched.view(np.uint8), np.ones((tiles.core, len(tiles.corners), tiles.core), np.uint8))
    padded = np.pad(alpha, halo)
    for y, x in zip(*(places[:: max(1, len(places) // 500)] for places in np.nonzero(~touched)), strict=True):
        near = padded[y : y + 2 * halo + 1, x : x + 2 * halo + 1]
        assert near.min() == near.max()
        assert near[0, 0] in {0, 255}
    assert 0 < touched.mean() < 1


def test_cut_and_put_back_is_the_plane() -> None:
    """Cutting tiles with their halos and writing their cores back changes nothing, at the plane's borders too."""
    alpha = np.random.default_rng(1).integers(0, 256, (301, 203), np.uint8)
    copy = np.zeros_like(alpha)
    for tiles in tiles_with_edges(alpha, 11):
        tiles.put_back(copy, tiles.cores(tiles.cut(alpha)))
    assert np.array_equal(copy, alpha)


def test_plain_planes_have_no_tiles() -> None:
    """Nothing, and ink that fills everything but for the bare world outside, which only the rim sees."""
    assert not list(tiles_with_edges(np.zeros((400, 400), np.uint8), 8))
    full = [corner for tiles in tiles_with_edges(np.full((960, 960), 255, np.uint8), 8) for corner in tiles.corners]
    assert full
    assert all(y in {0, 864} or x in {0, 864} for y, x in full)
