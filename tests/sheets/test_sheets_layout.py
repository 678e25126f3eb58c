"""Pictures lie on film without touching, as close as is found."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest
from scipy import ndimage

from vectorprep.sheets.layout import Film, Item, rows_length_mm, sheets_of, takes
from vectorprep.sheets.nest import nested
from vectorprep.sheets.pixels import bands
from vectorprep.units import mm_from_px

FILM = Film(width_mm=558.8, length_max_mm=20_000, gap_mm=6, margin_mm=5, ppi=50)
MIXED = [(280, 300), (280, 190), (200, 330), (90, 90), (60, 88), (76, 40), (250, 250), (110, 70), (305, 200), (45, 45)]  # mm


def items(count: int, *, seed: int, film: Film = FILM) -> list[Item]:
    """Prints of many kinds in a random order, none quite like the next."""
    chance = random.Random(seed)
    sizes = [MIXED[at % len(MIXED)] for at in range(count)]
    chance.shuffle(sizes)
    stretch = [chance.uniform(0.85, 1.15) for _ in sizes]
    return [
        Item(number=at + 1, size_px=(film.px(w * by), film.px(h / by)))
        for at, ((w, h), by) in enumerate(zip(sizes, stretch, strict=True))
    ]


def solid(one: Item) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    """A picture that is ink all over, its number in its red and green."""
    pixels = np.full((one.size_px[1], one.size_px[0], 4), 255, np.uint8)
    pixels[..., :3] = one.number // 256 + 1, one.number % 256, 77
    return pixels


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_sixty_prints_keep_their_gap_and_save_a_tenth_against_rows(seed: int) -> None:
    """On the sheet's own pixels no two inks are nearer than the gap, all are there, and rows need at least a tenth more film."""
    laid = items(60, seed=seed)
    film = replace(FILM, has_labels=False)
    (sheet,) = sheets_of(laid, film)
    pixels = np.concatenate(list(bands(sheet, film, lambda number: solid(laid[number - 1]), lambda number: (str(number),))))
    assert pixels.shape[:2] == sheet.size_px[::-1]
    names = np.where(pixels[..., 3] > 0, (pixels[..., 0].astype(int) - 1) * 256 + pixels[..., 1], 0)
    for one in laid:
        assert np.count_nonzero(names == one.number) == one.size_px[0] * one.size_px[1]
    nearest = np.inf
    for number, where in enumerate(ndimage.find_objects(names), start=1):
        reach = film.gap_px + 2
        around = tuple(slice(max(side.start - reach, 0), side.stop + reach) for side in where)
        away = ndimage.distance_transform_edt(names[around] != number)
        others = away[(names[around] != number) & (names[around] != 0)]
        nearest = min(nearest, others.min() - 1 if others.size else np.inf)
    assert nearest >= film.gap_px
    edges = pixels[..., 3] > 0
    assert not edges[: film.margin_px].any()
    assert not edges[-film.margin_px :].any()
    assert not edges[:, : film.margin_px].any()
    assert not edges[:, -film.margin_px :].any()
    rows = rows_length_mm(laid, film) * film.width_px * film.ppi / 25.4
    assert sheet.fill_share >= 1.1 * sum(w * h for w, h in (one.size_px for one in laid)) / rows


def test_a_label_stands_beside_each_print_and_on_none() -> None:
    """With labels every print has all its pixels still, and black words nearer to it than half the gap to the next."""
    laid = items(24, seed=4)
    (sheet,) = sheets_of(laid, FILM)
    pixels = np.concatenate(
        list(bands(sheet, FILM, lambda number: solid(laid[number - 1]), lambda number: (f"{number} a name", str(number))))
    )
    is_word = (pixels[..., 3] > 0) & (pixels[..., 2] == 0)
    is_print = pixels[..., 2] == 77
    assert np.count_nonzero(is_print) == sum(one.size_px[0] * one.size_px[1] for one in laid)
    beside = ndimage.distance_transform_edt(~is_print)
    assert beside[is_word].min() > FILM.px(1)
    _, count = ndimage.label(ndimage.binary_dilation(is_word, iterations=FILM.px(1.5)))
    assert count == len(laid)


def test_a_longest_length_makes_several_sheets() -> None:
    """No sheet is longer than asked, and together they hold everything once."""
    film = replace(FILM, length_max_mm=900)
    laid = items(40, seed=5)
    sheets = sheets_of(laid, film)
    assert len(sheets) > 2
    assert all(mm_from_px(sheet.size_px[1], film.ppi) <= 900 for sheet in sheets)
    assert sorted(one.number for sheet in sheets for one in sheet.laid) == [one.number for one in laid]


def test_nothing_is_turned_where_that_is_not_allowed() -> None:
    """Without leave every print stands as it was made, and one that only fits turned is not taken."""
    film = replace(FILM, may_turn=False)
    laid = items(30, seed=6)
    assert not any(one.is_turned for sheet in sheets_of(laid, film) for one in sheet.laid)
    wide = Item(number=1, size_px=(film.px(600), film.px(300)))
    assert not takes(wide, film)
    assert takes(wide, FILM)


def test_the_same_sizes_are_laid_the_same_way() -> None:
    """Two goes give the same places."""
    assert sheets_of(items(60, seed=7), FILM) == sheets_of(items(60, seed=7), FILM)


def test_what_fits_nowhere_is_said() -> None:
    """A rectangle that is too large is refused with its size."""
    with pytest.raises(ValueError, match="20 x 30 does not fit"):
        nested([(20, 30)], 10, 100, may_turn=True)


def test_two_columns_and_three_rows_of_stickers_fit_on_a5() -> None:
    """Squares of 54 mm, gap 3 mm, margin 5 mm: 2 by 3 (arithmetic: n = floor((W - 2 x margin + gap) / (side + gap)))."""
    film = Film(width_mm=148, length_max_mm=210, gap_mm=3, margin_mm=5, ppi=254, has_labels=False)
    squares = [Item(number=at + 1, size_px=(540, 540)) for at in range(7)]
    sheets = sheets_of(squares, film)
    assert [len(sheet.laid) for sheet in sheets] == [6, 1]
    assert len({one.x for one in sheets[0].laid}) == 2
    assert len({one.y for one in sheets[0].laid}) == 3
