"""The choice of sections against an integer programme."""

import itertools
import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from calcs.sections import Offset, choose_sections
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


def _solve_with_stock(required, lengths, stock):
    """Least total and least pieces of what there is; None where it does not reach."""

    def solve(objective, extra):
        return milp(
            np.array(objective, dtype=float),
            constraints=[LinearConstraint(np.array(row, dtype=float), low, high) for row, low, high in extra],
            integrality=np.ones(len(lengths)),
            bounds=Bounds(0, np.array(stock, dtype=float)),
        )

    least = solve(lengths, [(lengths, required, np.inf)])
    if not least.success:
        return None
    total = round(float(least.fun))
    return total, round(float(solve([1] * len(lengths), [(lengths, total, total)]).fun))


# scipy.optimize.milp with an upper bound on each count.
@pytest.mark.parametrize("seed", range(60))
def test_with_so_many_in_stock_it_finds_what_the_integer_programme_finds(seed):
    rng = random.Random(2000 + seed)
    lengths = rng.sample(range(200, 1300), rng.randint(2, 7))
    stock = [rng.randint(0, 4) for _ in lengths]
    required = rng.randint(500, 7000)
    plan = choose_sections(
        required / 1000,
        [ChimneySection(f"{length} mm", length / 1000, length / 1000) for length in lengths],
        stock={f"{length} mm": count for length, count in zip(lengths, stock, strict=True)},
    )
    expected = _solve_with_stock(required, lengths, stock)
    if expected is None:
        assert not plan.feasible
        assert "in stock" in plan.why
    else:
        assert (round(plan.total * 1000), len(plan.pieces)) == expected


def _every_stack(required, pieces, zones, stock, pair):
    """Each order of pieces that reaches the height, joints outside the zones, by depth first."""

    def follow(height, names, left, placed):
        if height >= required:
            if placed or pair is None:
                yield height, names
            return
        if height and any(low < height < high for low, high in zones):
            return
        for name, length in pieces.items():
            if left[name]:
                yield from follow(height + length, (*names, name), {**left, name: left[name] - 1}, placed)
        if pair and not placed and pair[1] <= height <= pair[2] - pair[0]:
            yield from follow(height + pair[0], (*names, "pair"), left, True)

    yield from follow(0, (), stock, False)


# Trial of every order of every stack with few of each and an elbow pair, tried one by one.
@pytest.mark.parametrize("seed", range(80))
def test_with_stock_zones_and_an_elbow_pair_it_finds_what_trying_everything_finds(seed):
    rng = random.Random(3000 + seed)
    pieces = {f"{length} mm": length for length in rng.sample(range(280, 1250), rng.randint(2, 4))}
    stock = {name: rng.randint(0, 3) for name in pieces}
    cost = {name: rng.randint(1, 3) for name in pieces}
    required = rng.randint(900, 2600)
    low = rng.randint(100, 1500)
    zones = [(low, low + rng.randint(50, 350))]
    start = rng.randint(0, 800)
    pair = (rng.randint(200, 500), start, start + rng.randint(500, 1500)) if rng.random() < 0.6 else None
    spare = rng.choice([0, 0, 60, 200])
    plan = choose_sections(
        required / 1000,
        [ChimneySection(name, one / 1000, one / 1000, cost=cost[name]) for name, one in pieces.items()],
        [(one / 1000, other / 1000) for one, other in zones],
        stock=stock,
        spare=spare / 1000,
        offset=None if pair is None else Offset(30, 0.0, pair[0] / 1000, 0.1),
        offset_between=None if pair is None else (pair[1] / 1000, pair[2] / 1000),
    )
    stacks = list(_every_stack(required, pieces, zones, stock, pair))
    if not stacks:
        assert not plan.feasible
        assert plan.pieces == ()
        return
    most = max(min(height for height, _ in stacks), required + spare)
    expected = min(
        (len(names) if spare else height, height, len(names), sum(cost.get(name, 0) for name in names))
        for height, names in stacks
        if height <= most
    )
    assert (round(plan.total * 1000), len(plan.pieces), round(plan.cost)) == expected[1:]
    shorter = [(len(names), height) for height, names in stacks if len(names) < len(plan.pieces)]
    if not shorter:
        assert plan.fewer == ()
        return
    count = 1 if pair else 0
    told = [(len(one.names) + count, round(one.total * 1000)) for one in plan.fewer]
    assert told[0][::-1] == min(one[::-1] for one in shorter)
    assert told[-1] == min(shorter)


@st.composite
def _shelves(draw):
    lengths = draw(st.lists(st.floats(0.1, 1.4), min_size=1, max_size=12))
    zones = draw(st.lists(st.tuples(st.floats(0, 9), st.floats(0, 0.6)), max_size=3))
    return lengths, [(low, low + wide) for low, wide in zones]


# Arithmetic: without zones the least over-run is under the shortest length, and the fewest pieces are the
# height over the longest. A height of 10 m and twelve lengths without a common measure are among them.
@settings(max_examples=60, deadline=None)
@given(st.floats(0, 10), _shelves())
def test_any_lengths_at_all_give_a_stack_that_keeps_its_joints_out_of_the_zones(required, shelf):
    lengths, zones = shelf
    plan = choose_sections(required, lengths, zones)
    if not plan.feasible:
        assert zones
        return
    assert plan.total >= required - 1e-9
    assert plan.total == pytest.approx(math.fsum(piece.effective_length for piece in plan.pieces), abs=1e-6)
    for joint in plan.joints:
        assert not any(low + 1e-9 < joint < high - 1e-9 for low, high in zones)
    if not zones:
        assert plan.over_run < min(lengths)
        longest = max(lengths)
        assert len(plan.fewer[-1].names if plan.fewer else plan.pieces) == math.ceil(
            required / longest - 1e-9
        )


# scipy.optimize.milp on fractions of an inch, as sheets give them: sixteenths.
@pytest.mark.parametrize("seed", range(40))
def test_sixteenths_of_an_inch_are_compared_exactly(seed):
    rng = random.Random(4000 + seed)
    lengths = rng.sample(range(9 * 16, 48 * 16), rng.randint(3, 12))
    required = rng.randint(60 * 16, 390 * 16)
    sixteenth = 0.0254 / 16
    plan = choose_sections(required * sixteenth, [length * sixteenth for length in lengths])
    total, pieces, _ = _programme(required, lengths, [0] * len(lengths))
    assert (round(plan.total / sixteenth), len(plan.pieces)) == (total, pieces)
