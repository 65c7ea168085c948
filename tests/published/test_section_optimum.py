"""The choice of sections against an integer programme."""

import itertools
import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from calcs.sections import choose_sections
from calcs.survey import ChimneySection


def _solve(objective, lengths, most, extra):
    constraints = [LinearConstraint(np.array(row, dtype=float), low, high) for row, low, high in extra]
    solution = milp(
        np.array(objective, dtype=float),
        constraints=constraints,
        integrality=np.ones(len(lengths)),
        bounds=Bounds(0, most),
    )
    assert solution.success
    return round(float(solution.fun))


def _programme(required, lengths, costs):
    """Least total, then least pieces, then least cost, in whole millimetres and whole money."""
    most = required // min(lengths) + 2
    total = _solve(lengths, lengths, most, [(lengths, required, np.inf)])
    pieces = _solve([1] * len(lengths), lengths, most, [(lengths, total, total)])
    cost = _solve(costs, lengths, most, [(lengths, total, total), ([1] * len(lengths), pieces, pieces)])
    return total, pieces, cost


# scipy.optimize.milp (HiGHS), solved lexicographically in three steps.
@pytest.mark.parametrize("seed", range(120))
def test_it_finds_what_the_integer_programme_finds(seed):
    rng = random.Random(seed)
    lengths = rng.sample(range(120, 1300), rng.randint(1, 5))
    costs = [rng.randint(20, 300) for _ in lengths]
    required = rng.randint(500, 9000)
    stock = [
        ChimneySection(f"{length} mm", length / 1000 + 0.03, length / 1000, cost=float(cost))
        for length, cost in zip(lengths, costs, strict=True)
    ]
    plan = choose_sections(required / 1000, stock)
    total, pieces, cost = _programme(required, lengths, costs)
    assert round(plan.total * 1000) == total
    assert len(plan.pieces) == pieces
    assert plan.cost == pytest.approx(cost)


def _best_by_trying_everything(required, lengths, zones):
    best = None
    for count in range(1, required // min(lengths) + 2):
        for stack in itertools.product(lengths, repeat=count):
            heights = list(itertools.accumulate(stack))
            if heights[-1] < required or (count > 1 and heights[-2] >= required):
                continue
            if any(low < joint < high for joint in heights[:-1] for low, high in zones):
                continue
            key = (heights[-1], count)
            best = key if best is None else min(best, key)
    return best


# Every order of every stack, tried one by one.
@pytest.mark.parametrize("seed", range(80))
def test_with_forbidden_zones_it_finds_what_trying_everything_finds(seed):
    rng = random.Random(1000 + seed)
    lengths = rng.sample(range(280, 1250), rng.randint(2, 3))
    required = rng.randint(700, 2300)
    zones = []
    for _ in range(rng.randint(1, 2)):
        low = rng.randint(100, 1800)
        zones.append((low, low + rng.randint(50, 450)))
    plan = choose_sections(
        required / 1000,
        [length / 1000 for length in lengths],
        [(low / 1000, high / 1000) for low, high in zones],
    )
    expected = _best_by_trying_everything(required, lengths, zones)
    if expected is None:
        assert not plan.feasible
    else:
        assert (round(plan.total * 1000), len(plan.pieces)) == expected
