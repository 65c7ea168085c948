"""What holds for every room: no input breaks the plan, and what just meets its limit passes."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.checks import Outcome
from calcs.hearth import MATERIALS
from calcs.plan import Plan
from calcs.survey import HearthLayer
from tests.calcs.houses import plan_of

BOOKS = ("us", "ca", "uk")
#: Limit -> what was measured in the survey, and where the measure stands in the limit.
MEASURED = {
    "hearth.front": "hearth_front",
    "hearth.side": "hearth_side",
    "hearth.rear": "hearth_rear",
    "hearth.width": "hearth_width",
    "hearth.depth": "hearth_depth",
    "hearth.thickness": "hearth_thickness",
    "connector.clearance": "connector_clearance",
    "connector.length": "connector_length",
    "connector.elbows": "connector_elbows",
    "air.vent_area": "air_vent_area",
    "fuel.moisture": "fuel_moisture",
}


def _maybe(values):
    return st.none() | values


lengths = _maybe(st.floats(0, 3))
ROOM = st.fixed_dictionaries(
    {
        "hearth_front": lengths,
        "hearth_side": lengths,
        "hearth_rear": lengths,
        "hearth_width": lengths,
        "hearth_depth": lengths,
        "hearth_thickness": lengths,
        "hearth_layers": st.lists(
            st.builds(HearthLayer, st.sampled_from(sorted(MATERIALS)), st.floats(0.001, 0.2)), max_size=3
        ).map(tuple),
        "connector_clearance": lengths,
        "connector_run": lengths,
        "connector_elbows": _maybe(st.integers(0, 5)),
        "connector_length": lengths,
        "connector_rise": lengths,
        "connector_kind": st.sampled_from(["single wall", "double wall listed"]),
        "air_permeability": _maybe(st.floats(0, 0.01)),
        "air_vent_area": _maybe(st.floats(0, 0.1)),
        "fuel_moisture": _maybe(st.floats(0, 0.99)),
    }
)
LISTING = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(["radiant", "jacketed", "open fire"]),
        "fuel": st.sampled_from(["wood", "pellets", "smokeless", "coal"]),
        "listed": st.booleans(),
        "nominal_output": _maybe(st.floats(500, 80e3)),
        "draught_stabiliser": _maybe(st.booleans()),
        "hearth_resistance": _maybe(st.floats(0, 1)),
        "hearth_below_100": _maybe(st.booleans()),
        "smoke_exempt": _maybe(st.booleans()),
        "connector_clearance": _maybe(st.floats(0.01, 1)),
    }
)
DESIGNATIONS = st.sampled_from(
    ["", "UL 103 HT", "T400 N1 D 3 G50", "T200 N1 D 1 O20", "T450 N1 D Vm G(xx)", "?"]
)


def _plan(code, survey, appliance, designation):
    """The plan, or the sentence that refuses it."""
    try:
        return plan_of(code, appliance=appliance, chimney={"designation": designation}, **survey)
    except ValueError as error:
        return str(error)


@settings(max_examples=300)
@given(st.sampled_from(BOOKS), ROOM, LISTING, DESIGNATIONS)
def test_any_room_is_planned_or_refused_by_the_name_of_its_input(code, survey, appliance, designation):
    plan = _plan(code, survey, appliance, designation)
    if isinstance(plan, str):
        assert plan.startswith(("survey.", "appliance.", "chimney."))
        return
    assert all(one.sentence.endswith(".") and "None" not in one.sentence for one in plan.findings)
    assert all(step.says for steps in plan.working.values() for step in steps)
    assert Plan.from_dict(json.loads(json.dumps(plan.to_dict()))) == plan


@pytest.mark.parametrize("code", BOOKS)
@pytest.mark.parametrize("name", sorted(MEASURED))
def test_a_measure_that_just_meets_its_limit_passes(code, name):
    limit = plan_of(code, fuel_moisture=0.1).limits.get(name)
    if limit is None:
        assert name not in plan_of(code, **{MEASURED[name]: 1}).limits
        return
    bound = limit.minimum if limit.minimum is not None else limit.maximum
    measure = int(bound) if limit.unit == "count" else bound
    held = {one.name: one for one in plan_of(code, **{MEASURED[name]: measure}).checks}
    assert held[name].outcome is Outcome.PASS


@settings(max_examples=60)
@given(st.sampled_from(BOOKS), st.floats(0, 2), st.floats(0.001, 1))
def test_a_larger_hearth_never_turns_a_pass_into_a_fail(code, reach, more):
    for name in ("hearth_front", "hearth_side", "hearth_rear"):
        key = name.replace("_", ".")
        small, large = (
            {one.name: one.outcome for one in plan_of(code, **{name: size}).checks}
            for size in (reach, reach + more)
        )
        if small.get(key) is Outcome.PASS:
            assert large[key] is Outcome.PASS


@settings(max_examples=60)
@given(st.floats(0, 0.02), st.floats(1e-6, 0.02), _maybe(st.floats(0, 0.01)), _maybe(st.booleans()))
def test_more_vents_never_turn_a_pass_into_anything_else(area, more, leakage, stabiliser):
    small, large = (
        next(
            one.outcome
            for one in plan_of(
                "uk",
                air_vent_area=size,
                air_permeability=leakage,
                appliance={"draught_stabiliser": stabiliser},
            ).findings
            if one.topic == "air"
        )
        for size in (area, area + more)
    )
    if small is Outcome.PASS:
        assert large is Outcome.PASS
