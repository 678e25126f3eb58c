"""What tests and benchmarks of the checks begin from: the built-in records, a verdict without fault, a blank with its rules."""

from __future__ import annotations

from vectorprep.checks import OnBlank
from vectorprep.model import Blank, FadedPart, Ink, Product, Treatment, Verdict
from vectorprep.profiles import limits_for, load_catalogue, policy_for
from vectorprep.store import builtin_profiles

CATALOGUE = load_catalogue(builtin_profiles())
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
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


def square_page(content: str, side_mm: float = 100.0) -> bytes:
    """A drawing of a square page of so many mm and user units."""
    return page_of(content, (side_mm, side_mm))


def page_of(content: str, size_mm: tuple[float, float]) -> bytes:
    """A drawing of a page of so many mm and user units."""
    width, height = size_mm
    return f'{HEAD} width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">{content}</svg>'.encode()


def on_blank(
    product: Product,
    blank: Blank | str,
    inks: tuple[Ink, ...] = (),
    *,
    verdict: Verdict = CLEAR,
    parts: tuple[FadedPart, ...] = (),
) -> OnBlank:
    """A picture as drawn on a blank, by the rules of the product there."""
    found = CATALOGUE.blanks[blank] if isinstance(blank, str) else blank
    return OnBlank(
        blank=found,
        ink_policy=policy_for(product, found),
        limits=limits_for(product, found),
        verdict=verdict,
        treatment=Treatment(kind="as-drawn"),
        inks=inks,
        parts=parts,
    )
