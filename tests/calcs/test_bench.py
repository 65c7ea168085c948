"""bin/bench: both ways come to the same answers. What they cost is for people to read, not for a test."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from bench.agreement import DisagreementError, agree
from bench.flue_baseline import solve_with_scipy
from bench.measure import cost_of, where_time_goes
from bench.section_baseline import choose_with_milp
from bench.sheet import sheet_function, sheet_of
from calcs.draft import solve_flue
from calcs.plan import make_plan
from calcs.plan_file import read_plan_inputs

ROOT = Path(__file__).parents[2]


def test_a_quick_run_compares_all_three_and_prints_the_ratios():
    done = subprocess.run(
        [sys.executable, "-m", "bench", "--only", "calculations", "--quick"],
        cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    rows = re.findall(r"^(\w+) +[\d.]+ ms +[\d.]+ ms +(\d+)x +([\d.]+)x", done.stdout, re.MULTILINE)
    assert [name for name, *_ in rows] == ["make_plan", "solve_flue", "choose_sections"]
    assert "A full plan takes" in done.stdout


def test_the_sheet_follows_the_plan_when_an_input_changes(tmp_path):
    given = read_plan_inputs((ROOT / "calcs" / "examples" / "us.json").read_text(encoding="utf-8"))

    def sheet(**survey):
        changed = replace(given.survey, **survey)
        return sheet_of(make_plan(changed, given.appliance, given.chimney, given.rulebook))

    recalculate = sheet_function(sheet(), tmp_path)
    for change in ({"ridge_distance": 3.5}, {"attic_height": 1.0}, {"outside_temperature": -15.0}):
        other = sheet(**change)
        agree("plan", other.answers, recalculate(other.inputs), within=1e-5)


@pytest.mark.parametrize("gas", [120.0, 260.0, 450.0])
@pytest.mark.parametrize("mass_flow", [0.002, 0.0085, 0.03])
def test_the_root_finder_finds_the_same_flue(gas, mass_flow):
    flue = {
        "mass_flow": mass_flow, "flue_gas_temperature": gas, "inner_diameter": 0.15, "outer_diameter": 0.25,
        "length": 6.0, "height": 5.5, "thermal_resistance": 0.4, "roughness": 0.001, "zeta": 1.5,
        "gas_constant": 295.0, "heat_capacity": 1100.0, "altitude": 200.0, "outside_temperature": -5.0,
        "surrounding_temperature": -5.0, "external_coefficient": 23.0,
    }  # fmt: skip
    theirs = solve_with_scipy(flue)
    solution = solve_flue(**flue)
    agree("flue", {name: getattr(solution, name) for name in theirs}, theirs, within=1e-6)


def test_the_integer_programme_counts_the_least_over_run_first():
    assert choose_with_milp(1000, [300, 400]) == {"millimetres": 1000, "pieces": 3}


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [({"a": 1.0}, {"a": 1.1}), ({"a": 1.0}, {"b": 1.0}), ({"a": float("nan")}, {"a": 1.0})],
)
def test_answers_that_differ_stop_the_comparison(ours, theirs):
    with pytest.raises(DisagreementError):
        agree("answer", ours, theirs, within=0.01)


def test_answers_that_agree_say_how_far_they_are_apart():
    assert agree("answer", {"a": 100.0}, {"a": 99.0}, within=0.02) == pytest.approx(0.01)


def test_a_cost_is_of_one_call():
    cost = cost_of(lambda: bytearray(1_000_000), repeats=1)
    assert 1_000_000 <= cost.peak < 1_100_000
    assert 0 < cost.seconds < 1
    assert "function calls" in where_time_goes(lambda: sorted([2, 1]), calls=1)
