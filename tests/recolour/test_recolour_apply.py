"""Treatments carried out on markup, seen in the picture."""

from __future__ import annotations

import base64
import io
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from vectorprep.model import Artwork, InkSwap, Treatment
from vectorprep.recolour import apply

MakeArtwork = Callable[..., Artwork]
Draw = Callable[..., NDArray[np.uint8]]

BUTTON = (
    '<style>.rim{fill:#000000}</style><circle class="rim" cx="50" cy="50" r="40"/><circle cx="50" cy="50" r="30" fill="#ffffff"/>'
    '<rect id="bar" x="35" y="45" width="30" height="10" fill="#000000"/>'
)


def _swap(before: str, after: str, *, is_open: bool = False) -> InkSwap:
    return InkSwap(before=before, after=after, ratio_before=1.0, ratio_after=1.0, is_open=is_open)


def test_swaps_change_only_their_inks(make_artwork: MakeArtwork, draw: Draw) -> None:
    """A swapped ink changes wherever it stands, style sheets included; other inks and the coverage stay bit for bit."""
    artwork = make_artwork(BUTTON)
    before, after = draw(artwork), draw(apply(artwork, Treatment(kind="neutral-swap", swaps=(_swap("#000000", "#336699"),))))
    assert tuple(after[50, 15]) == (0x33, 0x66, 0x99, 255)
    assert (after[..., 3] == before[..., 3]).all()
    white = (before == 255).all(axis=2)
    assert (after[white] == 255).all()


def test_two_inks_can_change_places(make_artwork: MakeArtwork, draw: Draw) -> None:
    """Swaps act at once, not one after the other."""
    artwork = make_artwork(BUTTON)
    turned = Treatment(kind="shift", swaps=(_swap("#000000", "#ffffff"), _swap("#ffffff", "#000000")))
    after = draw(apply(artwork, turned))
    assert tuple(after[50, 15]) == (255, 255, 255, 255)
    assert tuple(after[30, 50]) == (0, 0, 0, 255)


def test_treatment_without_swaps_gives_the_same_artwork(make_artwork: MakeArtwork) -> None:
    """A keyline changes no markup."""
    artwork = make_artwork(BUTTON)
    assert apply(artwork, Treatment(kind="keyline", keyline_colour="#ffffff", keyline_mm=1)) is artwork


def test_left_out_ink_shows_the_cloth(make_artwork: MakeArtwork, draw: Draw) -> None:
    """White left out is a hole with a smooth edge, though black paint lies under it."""
    artwork = make_artwork(BUTTON)
    after = draw(apply(artwork, Treatment(kind="knock-out", swaps=(_swap("#ffffff", "#1b2340", is_open=True),))))
    assert after[30, 50, 3] == 0
    assert tuple(after[50, 15]) == (0, 0, 0, 255)
    assert tuple(after[50, 50]) == (0, 0, 0, 255)
    rim = after[..., 3][(after[..., 3] > 0) & (after[..., 3] < 255)]
    assert len(np.unique(rim)) > 10


def test_left_out_and_swapped_together(make_artwork: MakeArtwork, draw: Draw) -> None:
    """An ink is left out by its colour as drawn while another changes."""
    artwork = make_artwork(BUTTON)
    swaps = (_swap("#ffffff", "#1b2340", is_open=True), _swap("#000000", "#fafaf8"))
    after = draw(apply(artwork, Treatment(kind="neutral-swap", swaps=swaps)))
    assert after[30, 50, 3] == 0
    assert tuple(after[50, 15]) == (0xFA, 0xFA, 0xF8, 255)


def test_single_ink_is_coverage_of_what_prints(make_artwork: MakeArtwork, draw: Draw) -> None:
    """In one ink every pixel has that ink; where white was there is nothing; edges stay smooth."""
    artwork = make_artwork(BUTTON)
    swaps = (_swap("#000000", "#b3202c"), _swap("#ffffff", "#ffffff", is_open=True))
    after = draw(apply(artwork, Treatment(kind="single-ink", single_ink="#b3202c", swaps=swaps)))
    assert after[30, 50, 3] == 0
    assert tuple(after[50, 15]) == (0xB3, 0x20, 0x2C, 255)
    alpha = after[..., 3].astype(int)
    for channel, full in enumerate((0xB3, 0x20, 0x2C)):
        assert np.abs(after[..., channel] - (full * alpha + 127) // 255).max() <= 1


def test_single_ink_keeps_see_through_ink_see_through(make_artwork: MakeArtwork, draw: Draw) -> None:
    """Half-covering ink prints at half its coverage."""
    artwork = make_artwork('<rect width="100" height="100" fill="#000000" fill-opacity="0.5"/>')
    after = draw(apply(artwork, Treatment(kind="single-ink", single_ink="#fafaf8", swaps=(_swap("#000000", "#fafaf8"),))))
    assert abs(int(after[50, 50, 3]) - 128) <= 1


def test_unmeasured_colour_follows_the_nearest(make_artwork: MakeArtwork, draw: Draw) -> None:
    """A speck too small to be measured prints like the ink it resembles."""
    artwork = make_artwork(BUTTON + '<rect x="80" y="5" width="10" height="10" fill="#0a0a0a"/>')
    swaps = (_swap("#000000", "#fafaf8"), _swap("#ffffff", "#ffffff", is_open=True))
    after = draw(apply(artwork, Treatment(kind="single-ink", single_ink="#fafaf8", swaps=swaps)))
    assert after[10, 85, 3] == 255


def test_ink_beyond_the_page_stays_where_it_counts(make_artwork: MakeArtwork) -> None:
    """Where ink beyond the page belongs to the drawing, the mask reaches beyond the page too."""
    artwork = make_artwork('<rect x="-50" width="100" height="100"/>', unclipped=True)
    treated = apply(artwork, Treatment(kind="single-ink", single_ink="#fafaf8", swaps=(_swap("#000000", "#fafaf8"),)))
    assert b'x="-100"' in treated.markup


def test_page_origin_is_met(make_artwork: MakeArtwork, draw: Draw) -> None:
    """The cut lies where the drawing lies although its style sheet, ids and gradients are used twice."""
    shared = (
        '<defs><linearGradient id="g"><stop stop-color="#ff0000"/><stop offset="1" stop-color="#0000ff"/></linearGradient></defs>'
        '<rect x="10" y="10" width="80" height="80" fill="url(#g)"/><circle cx="30" cy="40" r="12" fill="#ffffff"/>'
    )
    artwork = make_artwork(shared)
    before = draw(artwork, 200)
    after = draw(apply(artwork, Treatment(kind="knock-out", swaps=(_swap("#ffffff", "#111111", is_open=True),))), 200)
    hole = (before == 255).all(axis=2)
    assert after[hole][:, 3].max() == 0
    assert (after[100:, 20:180] == before[100:, 20:180])[10:70].all()


def _embedded(pixels: NDArray[np.uint8]) -> str:
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG")
    data = base64.b64encode(out.getvalue()).decode()
    return f'<image x="10" y="10" width="80" height="80" href="data:image/png;base64,{data}"/>'


def _shadow() -> NDArray[np.uint8]:
    rows, columns = np.mgrid[-40:40, -40:40]
    pixels = np.zeros((80, 80, 4), np.uint8)
    pixels[..., 3] = np.clip(200 - 5 * np.hypot(rows, columns), 0, 255)
    return pixels


def test_a_soft_shadow_stays_dark_when_black_lines_turn_white(make_artwork: MakeArtwork, draw: Draw) -> None:
    """The line is white, the shadow picture beside it is as it was: no white glow."""
    artwork = make_artwork('<rect x="0" y="0" width="100" height="4"/>' + _embedded(_shadow()))
    after = draw(apply(artwork, Treatment(kind="neutral-swap", swaps=(_swap("#000000", "#ffffff"),))))
    assert tuple(after[2, 50]) == (255, 255, 255, 255)
    assert np.array_equal(after[6:], draw(artwork)[6:])


def _photograph() -> NDArray[np.uint8]:
    """Tones from dark on the left to light on the right, of more colours than a drawing has."""
    noise = np.random.default_rng(2).integers(-4, 5, (80, 80, 3))
    ramp = np.linspace(10, 245, 80)[None, :, None] + noise
    return np.dstack([np.clip(ramp, 0, 255), np.full((80, 80), 255)]).astype(np.uint8)


def test_a_photograph_in_one_ink_is_no_negative(make_artwork: MakeArtwork, draw: Draw) -> None:
    """A dark ink prints its dark side, a light ink its light side."""
    artwork = make_artwork(_embedded(_photograph()))
    for ink, dense, bare in (("#101010", 20, 80), ("#fafaf8", 80, 20)):
        alpha = draw(apply(artwork, Treatment(kind="single-ink", single_ink=ink, swaps=(_swap("#000000", ink),))))[..., 3]
        assert alpha[50, dense] > 200
        assert alpha[50, bare] < 55


def test_a_photograph_stays_whole_when_white_is_left_out(make_artwork: MakeArtwork, draw: Draw) -> None:
    """Its own darkness does not make it see-through."""
    artwork = make_artwork('<rect width="100" height="100" fill="#ffffff"/>' + _embedded(_photograph()))
    after = draw(apply(artwork, Treatment(kind="knock-out", swaps=(_swap("#ffffff", "#1b2340", is_open=True),))))
    assert after[2, 50, 3] == 0
    assert (after[15:85, 15:85, 3] == 255).all()


FLOATING = (
    '<defs><radialGradient id="s"><stop offset="0"/><stop offset="1" stop-opacity="0"/></radialGradient></defs>'
    '<rect x="10" y="10" width="80" height="4"/><ellipse cx="50" cy="80" rx="40" ry="12" fill="url(#s)"/>'
)


def test_the_shadow_under_a_drawing_stays_where_the_treatment_keeps_shades(make_artwork: MakeArtwork, draw: Draw) -> None:
    """The line turns white and the gradient below it does not; without the flag both do."""
    artwork = make_artwork(FLOATING)
    swaps = (_swap("#000000", "#ffffff"),)
    kept = draw(apply(artwork, Treatment(kind="neutral-swap", swaps=swaps, keeps_shades=True)))
    moved = draw(apply(artwork, Treatment(kind="neutral-swap", swaps=swaps)))
    assert tuple(kept[12, 50, :3]) == tuple(moved[12, 50, :3]) == (255, 255, 255)
    assert kept[80, 50, :3].max() < 20
    assert moved[80, 50, :3].min() > 200
