from __future__ import annotations

from collections.abc import Callable

import pytest

from vectorprep.engine import Engine, open_engine
from vectorprep.fonts import FontIndex, load_index
from vectorprep.measure import measure
from vectorprep.model import Measurement
from vectorprep.read import ReadOptions, read_artwork

Corners = tuple[float, float, float, float]

PX_PER_UNIT = 30  # a page of 150 x 170 units is measured on 4500 x 5100 px


@pytest.fixture(scope="session")
def fonts() -> FontIndex:
    """The bundled faces alone, so that no case depends on the machine."""
    return load_index(system=False)


@pytest.fixture(scope="session")
def engine(fonts: FontIndex) -> Engine:
    """The engine that a run would take."""
    return open_engine(font_files=fonts.files)


@pytest.fixture(scope="session")
def measured(engine: Engine, fonts: FontIndex) -> Callable[..., Measurement]:
    """Measures SVG text; options go to the measurement."""

    def measured_of(svg: str, **options: object) -> Measurement:
        artwork = read_artwork(svg.encode(), name="case", options=ReadOptions(), fonts=fonts)
        return measure(artwork, engine, with_inks=False, **options)  # type: ignore[arg-type]

    return measured_of


@pytest.fixture(scope="session")
def on_page(measured: Callable[..., Measurement]) -> Callable[..., Corners | None]:
    """Ink box, in units, of content on a page of 15 x 17 in that is 150 x 170 units."""

    def box_of(content: str, root: str = 'viewBox="0 0 150 170"') -> Corners | None:
        svg = (
            '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
            f'width="15in" height="17in" {root}>{content}</svg>'
        )
        found = measured(svg)
        return None if found.ink_box_mm is None else found.ink_box_mm.scaled(1 / 2.54).corners

    return box_of


@pytest.fixture(scope="session")
def assert_box(on_page: Callable[..., Corners | None]) -> Callable[..., None]:
    """Holds the ink box of content against a box derived by hand, to one pixel of 4500 x 5100."""

    def check(content: str, box: Corners | None, root: str = 'viewBox="0 0 150 170"') -> None:
        found = on_page(content, root)
        if box is None or found is None:
            assert found == box
            return
        off = [(a - b) * PX_PER_UNIT for a, b in zip(found, box, strict=True)]
        assert max(abs(edge) for edge in off) <= 1.0 + 1e-9, f"off by {[round(edge, 2) for edge in off]} px"

    return check
