"""The steps of attic and roof: each relation, worked out as it is written, gives the figure beside it."""

import ast
import math
import operator
import re

import pytest

from calcs.survey import Obstacle
from tests.calcs.houses import FOOT, INCH, plan_of

TOPICS = ("attic shield", "enclosure", "insulation", "roof opening", "termination")
HOUSES = {
    "gable": {},
    "low attic": {"attic_height": 10.5 * INCH},
    "flat": {"roof_shape": "flat", "roof_rise": None, "ridge_distance": None, "attic_height": 14 * INCH},
    "shed": {"roof_shape": "shed", "roof_rise": 3.0, "ridge_distance": 5 * FOOT},
    "far ridge": {"roof_rise": 12.0, "ridge_distance": 16 * FOOT},
    "near ridge": {
        "roof_rise": 14.0,
        "ridge_distance": 0.4,
        "roof_covering": "thatch",
        "covering_thickness": 0.3,
    },
    "hip": {"roof_shape": "hip", "eaves_distance": 4 * FOOT, "hip_distance": 6 * FOOT},
    "beset": {"obstacles": (Obstacle("Wall", 1.5, 2.0), Obstacle("rooflight", 1.0, 0.4, "opening"))},
}
_WORK = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv}
_CALLS = {
    "tan": lambda degrees: math.tan(math.radians(degrees)),
    "cos": lambda degrees: math.cos(math.radians(degrees)),
    "atan": lambda slope: math.degrees(math.atan(slope)),
    "min": min,
    "max": max,
}


def worked_out(relation, known):
    """The value of a relation as a page prints it; None where it uses a figure that has no step."""
    written = re.sub(r"(tan|cos) (\w+)", r"\1(\2)", relation.replace("·", "*"))
    written = re.sub(r"\b(\d+) (\w)", r"\1 * \2", written)
    names = set(re.findall(r"[^\W\d]\w*", written)) - set(_CALLS)
    if not names <= set(known):
        return None

    def value(node):
        if isinstance(node, ast.Constant):
            return node.value
        if isinstance(node, ast.Name):
            return known[node.id]
        if isinstance(node, ast.Call):
            return _CALLS[node.func.id](*map(value, node.args))
        return _WORK[type(node.op)](value(node.left), value(node.right))

    return value(ast.parse(written, mode="eval").body)


@pytest.mark.parametrize("code", ["us", "ca", "uk"])
@pytest.mark.parametrize("house", HOUSES)
def test_every_relation_gives_the_figure_beside_it(house, code):
    plan = plan_of(code, **HOUSES[house])
    compared = 0
    for topic in TOPICS:
        known = {"rise": plan.survey.roof_rise or 0.0}
        if topic == "enclosure":
            known |= {step.symbol: step.result for step in plan.working["attic shield"] if step.symbol}
        for step in plan.working.get(topic, ()):
            found = (
                worked_out(step.relation, known)
                if step.relation and " its " not in f" {step.relation}"
                else None
            )
            if found is not None:
                assert found == pytest.approx(step.result, abs=1e-9), (topic, step)
                compared += 1
            if step.symbol:
                known[step.symbol] = step.result
    assert compared >= 12


@pytest.mark.parametrize("code", ["us", "ca", "uk"])
@pytest.mark.parametrize("house", HOUSES)
def test_a_symbol_names_one_figure_of_a_working(house, code):
    plan = plan_of(code, **HOUSES[house])
    for topic in TOPICS:
        symbols = [step.symbol for step in plan.working.get(topic, ()) if step.symbol]
        assert len(symbols) == len(set(symbols)), topic


def test_the_sum_for_the_flue_s_height_begins_at_the_collar():
    steps = {step.symbol: step for step in plan_of("uk").working["termination"]}
    # Approved Document J: 4.5 m; the roof lies 3.137 m above the collar at the pipe's uphill side.
    assert steps["o2"].result == pytest.approx(4.5)
    assert steps["H2"].relation == "o2 - h2"
    assert steps["H2"].result == pytest.approx(4.5 - steps["h2"].result)
