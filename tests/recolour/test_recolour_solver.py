"""The search against trying every combination."""

from __future__ import annotations

import itertools
import random

import pytest

from vectorprep.colour import delta_e_2000, lightness
from vectorprep.recolour.solver import CHANGE_COST, LEAST_AREA, Choice, Problem, solve


def _random_problem(seed: int) -> Problem:
    picked = random.Random(seed)

    def colour() -> str:
        return f"#{picked.randrange(1 << 24):06x}"

    choices = tuple(
        Choice(
            ink=(ink := colour()),
            options=(ink, *(colour() for _ in range(picked.randint(0, 5)))),
            area_share=picked.uniform(0, 0.5),
            barred=picked.random() < 0.3,
        )
        for _ in range(4)
    )
    floors = [[0.0] * 4 for _ in range(4)]
    for i, j in itertools.combinations(range(4), 2):
        floors[i][j] = floors[j][i] = min(delta_e_2000(choices[i].ink, choices[j].ink), picked.choice([0, 5, 30]))
    ordered = tuple((j, i) for i, j in itertools.combinations(range(4), 2) if picked.random() < 0.3)
    return Problem(choices=choices, pair_floor=tuple(map(tuple, floors)), ordered=ordered)


def _by_trying_all(problem: Problem) -> tuple[float, dict[str, str]] | None:
    best: tuple[float, dict[str, str]] | None = None
    for state in itertools.product(*(c.options for c in problem.choices)):
        if not _is_lawful(problem, state):
            continue
        cost = sum(
            max(c.area_share, LEAST_AREA) * delta_e_2000(c.ink, new) + CHANGE_COST
            for c, new in zip(problem.choices, state, strict=True)
            if new != c.ink
        )
        if best is None or cost < best[0] - 1e-9:
            best = cost, {c.ink: new for c, new in zip(problem.choices, state, strict=True) if new != c.ink}
    return best


def _is_lawful(problem: Problem, state: tuple[str, ...]) -> bool:
    inks = [c.ink for c in problem.choices]
    moved = [i for i, c in enumerate(problem.choices) if len(c.options) > 1 or c.barred]
    if any(c.barred and new == c.ink for c, new in zip(problem.choices, state, strict=True)):
        return False
    for i, j in itertools.combinations(range(len(inks)), 2):
        if i not in moved and j not in moved:
            continue
        if delta_e_2000(state[i], state[j]) < problem.pair_floor[i][j] - 1e-9:
            return False
        before, after = lightness(inks[i]) - lightness(inks[j]), lightness(state[i]) - lightness(state[j])
        if ((i, j) in problem.ordered or (j, i) in problem.ordered) and before * after <= 0:
            return False
    return True


@pytest.mark.parametrize("seed", range(40))
def test_least_change_is_found(seed: int) -> None:
    """On small problems the beam finds the same least cost as trying every combination, or finds that there is none."""
    problem = _random_problem(seed)
    expected = _by_trying_all(problem)
    found = solve(problem)
    if expected is None:
        assert found is None
    else:
        assert found == expected[1]


def test_nothing_to_do_is_an_empty_map() -> None:
    """Where every ink may stay, none moves."""
    choices = (Choice(ink="#000000", options=("#000000", "#ffffff"), area_share=1.0),)
    assert solve(Problem(choices=choices, pair_floor=((0.0,),), ordered=())) == {}
