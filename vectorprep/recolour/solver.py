"""The search: the least change that lets every fading ink be seen, keeps inks apart and keeps light over dark.

Comes in: a `Problem`: per ink its candidate colours, area, floor on the cloth, and which inks touch.
Goes out: a map of changed inks, or None where no choice of candidates obeys every rule.
Never done here: choosing candidates or naming the treatment.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from vectorprep.colour import arrays, linear_from_hex

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.floating[Any]]

BEAM = 48
"""States kept from one ink to the next (house value)."""
BROKEN = 1000.0
"""Cost of a broken rule for each unit of its shortfall; far above any sum of wishes."""
CHANGE_COST = 1.0
"""Cost of changing an ink at all, in area-weighted CIEDE2000 (house value)."""
LEAST_AREA = 0.02
"""Area share that even the smallest ink counts with, so that none moves for nothing (house value)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One ink in the search: what it may become (itself first) and how much of the picture it is."""

    ink: str
    options: tuple[str, ...]
    area_share: float
    barred: bool = False
    """Whether staying as drawn breaks a rule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """The inks, the floors between pairs of them (CIEDE2000), and the pairs whose lightness order must hold."""

    choices: tuple[Choice, ...]
    pair_floor: tuple[tuple[float, ...], ...]
    ordered: tuple[tuple[int, int], ...]
    """(i, j): which of the two is lighter must not change."""


def solve(problem: Problem) -> dict[str, str] | None:
    """The cheapest lawful map from inks to new inks, changed ones only; None where there is none."""
    tables = _Tables(problem)
    best = tables.descend(tables.beam())
    if tables.cost(best) >= BROKEN:
        return None
    chosen = ((c.ink, c.options[k]) for c, k in zip(problem.choices, best, strict=True))
    return {ink: new for ink, new in chosen if new != ink}


class _Tables:
    """Costs of every candidate alone and of every two together."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        choices = problem.choices
        self.size = len(choices)
        labs = [arrays.lab(np.array([linear_from_hex(option) for option in c.options])) for c in choices]
        self.alone: list[Floats] = [self._alone(c, lab) for c, lab in zip(choices, labs, strict=True)]
        self.free = [i for i, c in enumerate(choices) if len(c.options) > 1 or c.barred]
        self.pairs: dict[tuple[int, int], Floats] = {}
        ordered = {frozenset(pair) for pair in problem.ordered}
        for i in self.free:
            for j in range(self.size):
                if j == i or (j, i) in self.pairs:
                    continue
                self.pairs[i, j] = self._pair(i, j, labs, in_order=frozenset((i, j)) in ordered)
        # An ink that cannot move weighs on its neighbour alone.
        for (i, j), table in list(self.pairs.items()):
            if j not in self.free:
                self.alone[i] = self.alone[i] + table[:, 0]
                del self.pairs[i, j]

    def _alone(self, choice: Choice, lab: Floats) -> Floats:
        moved = arrays.delta_e_2000(lab[:1], lab)
        cost: Floats = (max(choice.area_share, LEAST_AREA) * moved + CHANGE_COST).astype(np.float64)
        cost[0] = BROKEN if choice.barred else 0.0
        return cost

    def _pair(self, i: int, j: int, labs: list[Floats], *, in_order: bool) -> Floats:
        first, second = labs[i][:, None, :], labs[j][None, :, :]
        short = np.maximum(self.problem.pair_floor[i][j] - 1e-9 - arrays.delta_e_2000(first, second), 0)
        cost: Floats = BROKEN * np.where(short > 0, 1 + short, 0)
        if in_order:
            sign = np.sign(labs[i][0, 0] - labs[j][0, 0])
            cost = cost + np.where((first[..., 0] - second[..., 0]) * sign <= 0, BROKEN, 0)
        return cost

    def _between(self, i: int, a: int, j: int) -> Floats:
        """Costs of all options of j while i takes option a."""
        table = self.pairs.get((i, j))
        return table[a] if table is not None else self.pairs[j, i][:, a]

    def beam(self) -> list[int]:
        """One good state, found ink by ink with the best few kept."""
        order = sorted(self.free, key=lambda i: -self.problem.choices[i].area_share)
        states: list[tuple[float, tuple[int, ...]]] = [(0.0, ())]
        for depth, j in enumerate(order):
            grown: list[tuple[float, tuple[int, ...]]] = []
            for cost, taken in states:
                row = self.alone[j] + cost
                for i, a in zip(order[:depth], taken, strict=True):
                    row = row + self._between(i, a, j)
                grown += [(float(row[b]), (*taken, b)) for b in range(len(row))]
            grown.sort()
            states = grown[:BEAM]
        best = [0] * self.size
        for i, a in zip(order, states[0][1], strict=True):
            best[i] = a
        return best

    def descend(self, state: list[int]) -> list[int]:
        """The state after every ink in turn took its best option until none moved."""
        for _ in range(20):
            before = list(state)
            for j in self.free:
                row = self.alone[j].copy()
                for i in self.free:
                    if i != j:
                        row = row + self._between(i, state[i], j)
                state[j] = int(np.argmin(row))
            if state == before:
                break
        return state

    def cost(self, state: list[int]) -> float:
        """What a state costs altogether."""
        total = sum(float(self.alone[i][state[i]]) for i in range(self.size))
        return total + sum(float(table[state[i], state[j]]) for (i, j), table in self.pairs.items())
