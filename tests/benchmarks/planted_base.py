"""What planted faults stand on: the description of a kind, the count of what came of it, and clean drawings.

A clean drawing is a page of 100 x 100 mm with shapes of 12 to 18 mm in cells of 30 mm, one cell left free for the fault.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field

from tests.benchmarks import planted_ways as ways
from vectorprep.checks import Evidence
from vectorprep.model import Limits, Product
from vectorprep.plan import PlaceOptions

Plant = Callable[[random.Random, float, Limits], str]
INKS = ways.INKS
SURE = 1.5
"""The strength from which a fault must be found."""


@dataclass(frozen=True)
class Kind:
    """A kind of fault: the finding it should raise, the product and blank it is printed on, and how it is drawn."""

    slug: str
    plant: Plant
    product: str = "tee-adult-front-dtf"
    blank: str = "white"
    is_graded: bool = True
    """Whether the fault has a strength; else it is there or not."""
    finest: float = 0.0
    """Strengths above this cannot be drawn; 0 = all can."""
    has_base: bool = True
    """Whether it is planted in a clean drawing; else it brings its own."""
    is_behind: bool = False
    page: Callable[[float], tuple[float, float]] = lambda _strength: (100.0, 100.0)
    """Width and height of the page, mm."""
    placing: Callable[[float], PlaceOptions] = lambda _strength: PlaceOptions(original_size=True)
    """How it is placed."""
    record: Callable[[Product, float], Product] = lambda product, _strength: product
    """The product's record, where its limit is what is graded."""
    setting: Callable[[Evidence, float], Evidence] = lambda evidence, _strength: evidence
    """What else the checks are told."""


@dataclass
class Count:
    """What came of one kind."""

    sure: int = 0
    found: int = 0
    between: int = 0
    between_found: int = 0
    clean: int = 0
    alarms: int = 0
    missed: list[str] = field(default_factory=list)


def clean(chance: random.Random) -> str:
    """Content without a fault; the cell whose corner is (66, 66) stays empty."""
    cells = [(x, y) for x in (4, 35, 66) for y in (4, 35, 66) if (x, y) != (66, 66)]
    chosen = chance.sample(cells, chance.randint(4, 7))
    return "".join(_shape(chance, x, y) for x, y in chosen)


def _shape(chance: random.Random, x: float, y: float) -> str:
    ink, side = chance.choice(INKS), chance.uniform(14, 20)
    middle_x, middle_y = x + 14, y + 14
    turn = f'transform="rotate({chance.uniform(0, 90):.2f} {middle_x} {middle_y})"'
    half = side / 2
    kinds = (
        f'<rect x="{middle_x - half:.3f}" y="{middle_y - half:.3f}" width="{side:.3f}" height="{side:.3f}" '
        f'rx="2" fill="{ink}" {turn}/>',
        f'<ellipse cx="{middle_x}" cy="{middle_y}" rx="{half:.3f}" ry="{half * 0.7:.3f}" fill="{ink}" {turn}/>',
        f'<circle cx="{middle_x}" cy="{middle_y}" r="{half * 0.8:.3f}" fill="none" stroke="{ink}" '
        f'stroke-width="{chance.uniform(2, 4):.3f}"/>',
        f'<g {turn}><path d="M{x + 4} {middle_y}h20" stroke="{ink}" stroke-width="{chance.uniform(2, 4):.3f}" '
        f'stroke-linecap="round"/><circle cx="{middle_x}" cy="{y + 4}" r="3" fill="{ink}"/></g>',
        f'<path d="M{x + 4} {y + 22}C{x + 4} {y + 2} {x + 24} {y + 2} {x + 24} {y + 22}Z" fill="{ink}"/>',
        f'<text x="{x + 5}" y="{y + 22}" font-family="Fredoka One" font-size="20" fill="{ink}">{chance.choice("OHBS")}</text>',
    )
    return chance.choice(kinds)
