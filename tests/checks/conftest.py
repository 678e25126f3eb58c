from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from vectorprep.checks import Evidence, OnBlank, run_checks
from vectorprep.engine import Engine, draw_placed, open_engine
from vectorprep.fonts import FontIndex, load_index
from vectorprep.measure import measure
from vectorprep.model import Blank, Finding, Product, Treatment, Verdict
from vectorprep.plan import PlaceOptions, place
from vectorprep.profiles import limits_for, load_catalogue, policy_for
from vectorprep.read import ReadOptions, read_artwork
from vectorprep.store import builtin_profiles

CATALOGUE = load_catalogue(builtin_profiles())
CLEAR = Verdict(
    word="clear",
    decided_by="outline",
    outline_faded=0.0,
    area_faded=0.0,
    contrast_ratio=9.0,
    delta_e=50.0,
    deciding="nothing fades",
    limit=0.1,
)
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'


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
        svg = f'{HEAD} width="{page_mm}mm" height="{page_mm}mm" viewBox="0 0 {page_mm} {page_mm}">{content}</svg>'
        return self.printed(svg.encode(), product, options=PlaceOptions(original_size=True), blanks=blanks)

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
            on_blanks=tuple(_on(record, CATALOGUE.blanks[key], measured.inks) for key in blanks),
            raster=raster,
        )

    def findings(self, content: str, slug: str, product: Product | str = "tee-adult-front-dtf", **how: object) -> list[Finding]:
        """The findings of one slug."""
        evidence = self.evidence(content, product, **how)  # type: ignore[arg-type]
        return [finding for finding in run_checks(evidence) if finding.check == slug]


def _on(product: Product, blank: Blank, inks: tuple[object, ...]) -> OnBlank:
    return OnBlank(
        blank=blank,
        ink_policy=policy_for(product, blank),
        limits=limits_for(product, blank),
        verdict=CLEAR,
        treatment=Treatment(kind="as-drawn"),
        inks=inks,  # type: ignore[arg-type]
    )


@pytest.fixture(scope="session")
def shop() -> Shop:
    """The engine that a run would take, with the bundled faces alone."""
    fonts = load_index(system=False)
    return Shop(engine=open_engine(font_files=fonts.files), fonts=fonts)


@pytest.fixture(scope="session")
def findings(shop: Shop) -> Callable[..., list[Finding]]:
    """Findings of one slug for SVG content on a page of 100 x 100 mm."""
    return shop.findings
