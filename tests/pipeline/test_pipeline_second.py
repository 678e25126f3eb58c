"""A second renderer looks at the drawing too."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from vectorprep import RunOptions, audit_artworks
from vectorprep.engine import Engine, open_engine
from vectorprep.pipeline.second import SHARE, difference, second_engine
from vectorprep.read import read_artwork

PLAIN = b'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">%s</svg>'
SHAPES = b'<circle cx="40" cy="40" r="25" fill="#c33"/><path d="M10 80 90 62" stroke="#225" stroke-width="7"/>'


@pytest.fixture(scope="module")
def pair() -> tuple[Engine, Engine]:
    """The first renderer and whichever second one is installed."""
    second = second_engine()
    if second is None:
        pytest.skip("no second renderer is installed: pyvips with its binary, or CairoSVG with the system's cairo")
    return open_engine("resvg-py"), second


def test_two_renderers_agree_on_plain_shapes(pair: tuple[Engine, Engine]) -> None:
    """Curves, strokes and smoothed edges are no difference."""
    artwork = read_artwork(PLAIN % SHAPES, name="plain")
    assert difference(artwork, *pair) is None


def test_what_one_renderer_leaves_out_is_named_with_its_place(pair: tuple[Engine, Engine]) -> None:
    """A renderer that does not draw a part of the page differs there, and the place is the box of that part."""
    second = pair[1]

    class Half(Engine):
        """The second renderer, blind to the right half."""

        name = "half-blind"

        def pixels(self, markup: bytes) -> NDArray[np.uint8]:
            """What it draws, the right half empty."""
            drawn = second.pixels(markup).copy()
            drawn[:, drawn.shape[1] // 2 :] = 0
            return drawn

    art = b'<rect x="10" y="20" width="20" height="20"/><rect x="60" y="50" width="20" height="30" fill="#07a"/>'
    finding = difference(read_artwork(PLAIN % art, name="two"), pair[0], Half())
    assert finding is not None
    assert isinstance(finding.measured, float)
    assert finding.measured > SHARE
    expected = [length * 25.4 / 96 for length in (60, 50, 80, 80)]  # CSS Values 4: 96 px to the inch
    assert list(finding.place_mm or ()) == pytest.approx(expected, abs=0.1)


def test_an_audit_asks_the_second_renderer_and_can_do_without(tmp_path: Path, pair: tuple[Engine, Engine]) -> None:
    """With or without it the same artworks are judged; the findings of agreement are none."""
    (tmp_path / "plain.svg").write_bytes(PLAIN % SHAPES)
    for asked in (True, False):
        options = RunOptions(products=("tee-sleeve-short-dtf",), blanks=("white",), second_opinion=asked, jobs=1)
        record = audit_artworks([tmp_path / "plain.svg"], options=options).record
        assert [artwork["status"] for artwork in record["artworks"]] == ["ok"]
        assert not [finding for finding in record["findings"] if finding["check"] == "effect-not-rendered"]
