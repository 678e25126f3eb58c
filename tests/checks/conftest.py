from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from tests.checks.given import CATALOGUE, on_blank, square_page
from vectorprep.checks import Evidence, run_checks
from vectorprep.engine import Engine, draw_placed, open_engine
from vectorprep.fonts import FontIndex, load_index
from vectorprep.measure import measure
from vectorprep.model import Finding, Product
from vectorprep.plan import PlaceOptions, place
from vectorprep.read import ReadOptions, read_artwork


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Draws SVG content at its own size on a product and runs the checks on the picture."""

    engine: Engine
    fonts: FontIndex

    def evidence(
        self,
        content: str,
        product: Product | str = "tee-adult-front-dtf",
        *,
        page_mm: float = 100.0,
        blanks: tuple[str, ...] = ("white",),
    ) -> Evidence:
        """The picture of a square page of so many mm and user units, printed at its own size."""
        return self.printed(square_page(content, page_mm), product, options=PlaceOptions(original_size=True), blanks=blanks)

    def printed(
        self,
        svg: bytes,
        product: Product | str = "tee-adult-front-dtf",
        *,
        options: PlaceOptions | None = None,
        blanks: tuple[str, ...] = ("white",),
    ) -> Evidence:
        """The picture of a drawing as it is printed on a product."""
        record = CATALOGUE.products[product] if isinstance(product, str) else product
        artwork = read_artwork(svg, name="case", options=ReadOptions(), fonts=self.fonts)
        measured = measure(artwork, self.engine)
        placement = place(measured, record, options=options or PlaceOptions())
        raster, placement = draw_placed(self.engine, artwork, placement)
        return Evidence(
            artwork=artwork,
            measured=measured,
            product=record,
            placement=placement,
            on_blanks=tuple(on_blank(record, key, measured.inks) for key in blanks),
            raster=raster,
        )

    def findings(self, content: str, slug: str, product: Product | str = "tee-adult-front-dtf", **how: object) -> list[Finding]:
        """The findings of one slug."""
        evidence = self.evidence(content, product, **how)  # type: ignore[arg-type]
        return [finding for finding in run_checks(evidence) if finding.check == slug]


@pytest.fixture(scope="session")
def shop() -> Shop:
    """The engine that a run would take, with the bundled faces alone."""
    fonts = load_index(system=False)
    return Shop(engine=open_engine(font_files=fonts.files), fonts=fonts)


@pytest.fixture(scope="session")
def findings(shop: Shop) -> Callable[..., list[Finding]]:
    """Findings of one slug for SVG content on a page of 100 x 100 mm."""
    return shop.findings
