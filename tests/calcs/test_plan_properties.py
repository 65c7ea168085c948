"""Whole plans of houses nobody thought of: what holds for every one of them."""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any, get_type_hints
from xml.etree import ElementTree

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calcs.checks import Outcome
from calcs.clearance import protections
from calcs.drawing import ceiling_plan_svg, elevation_svg, roof_plan_svg
from calcs.drawing.draft_plots import draft_over_height_svg, draft_over_temperature_svg
from calcs.hearth import MATERIALS
from calcs.plan import Plan, make_plan
from calcs.plan_file import read_plan_inputs
from calcs.plan_text import plan_text
from calcs.refusals import _CHOICES, _OBSTACLES
from calcs.rulebook import codes, load_rulebook
from calcs.survey import Appliance, Chimney, ChimneySection, HearthLayer, Obstacle, Survey

EXAMPLES = {
    path.stem: read_plan_inputs(path.read_text(encoding="utf-8"))
    for path in sorted((Path(__file__).parents[2] / "calcs" / "examples").glob("*.json"))
}
DRAWINGS = (
    elevation_svg, ceiling_plan_svg, roof_plan_svg, draft_over_temperature_svg, draft_over_height_svg,
)  # fmt: skip
#: An input by its name and what is wrong with it.
REFUSAL = re.compile(r"(survey|appliance|chimney)\.[a-z0-9_.\[\]]+: \S")
WILD = st.one_of(
    st.sampled_from([0.0, -0.0, -1.0, 1e-12, 1e-3, 1e6, 1e300, math.nan, math.inf, -math.inf]),
    st.floats(allow_nan=True, allow_infinity=True),
)
LENGTHS = st.floats(-1.0, 30.0, allow_nan=False)
ROWS = {
    "obstacles": st.builds(
        Obstacle, st.sampled_from(["dormer", "<b>&", ""]), LENGTHS, LENGTHS, st.sampled_from(_OBSTACLES)
    ),
    "hearth_layers": st.builds(
        HearthLayer, st.sampled_from([*MATERIALS, "straw"]), st.none() | LENGTHS, st.none() | LENGTHS
    ),
    "sections": st.builds(ChimneySection, st.just("piece"), LENGTHS, LENGTHS, st.none() | LENGTHS),
}


def _near(value: Any) -> st.SearchStrategy[Any]:
    """The figure of a real house, nothing, or one like it."""
    if not isinstance(value, int | float) or isinstance(value, bool):
        return st.none() | st.floats(0.0, 10.0)
    return st.one_of(
        st.just(value), st.none(), st.just(0.0), st.floats(0.3, 3.0).map(lambda share: share * value)
    )


def _field(owner: str, name: str, hint: str, value: Any, code: str, *, wild: bool) -> st.SearchStrategy[Any]:
    by_name = {
        "obstacles": st.lists(ROWS["obstacles"], max_size=4).map(tuple),
        "hearth_layers": st.lists(ROWS["hearth_layers"], max_size=4).map(tuple),
        "sections": st.lists(ROWS["sections"], max_size=4).map(tuple) | st.just(value),
        "tolerances": st.dictionaries(
            st.sampled_from([one.name for one in fields(Survey)]), st.floats(0.0, 0.1), max_size=2
        ),
        "connector_elbows": st.none() | st.integers(-1, 6),
    }
    if name in by_name:
        return by_name[name]
    if choices := _CHOICES.get(f"{owner}.{name}"):
        return st.sampled_from(choices)
    if name.endswith("_protection"):
        return st.sampled_from(["", *(one.key for one in protections(load_rulebook(code)))])
    if "float" in hint:
        return WILD | _near(value) if wild else _near(value)
    if "bool" in hint:
        return st.sampled_from([True, False, None] if "None" in hint else [True, False])
    return st.sampled_from([value, "", "<script>&\"'", "EN 1856-1 T400 N1 D V2 L50050 G60", "T400"])


def _record(owner: str, record: Any, code: str, *, wild: bool) -> st.SearchStrategy[Any]:
    """The example's record with some of its fields drawn anew."""
    hints = {name: str(hint) for name, hint in get_type_hints(type(record)).items()}
    drawn = {name: _field(owner, name, hints[name], getattr(record, name), code, wild=wild) for name in hints}
    changes = st.lists(st.sampled_from(sorted(drawn)), max_size=12, unique=True).flatmap(
        lambda names: st.fixed_dictionaries({name: drawn[name] for name in names})
    )
    return changes.map(lambda change: replace(record, **change))


@dataclass(frozen=True)
class House:
    """Inputs by the code of their rule book, so that a house that fails is short to print."""

    code: str
    survey: Survey
    appliance: Appliance
    chimney: Chimney
    system: str | None = None


HOUSES = {code: House(code, one.survey, one.appliance, one.chimney) for code, one in EXAMPLES.items()}


def _inputs(*, wild: bool) -> st.SearchStrategy[House]:
    def of(code: str) -> st.SearchStrategy[House]:
        told = EXAMPLES[code]
        return st.builds(
            House,
            code=st.just(code),
            survey=_record("survey", told.survey, code, wild=wild),
            appliance=_record("appliance", told.appliance, code, wild=wild),
            chimney=_record("chimney", told.chimney, code, wild=wild),
            system=st.sampled_from(["imperial", "metric", None]),
        )

    return st.sampled_from(codes()).flatmap(of)


def planned(inputs: House) -> Plan | None:
    """The plan, or nothing where an input is refused by its name."""
    try:
        return make_plan(
            inputs.survey, inputs.appliance, inputs.chimney, load_rulebook(inputs.code), system=inputs.system
        )
    except ValueError as error:
        if REFUSAL.match(str(error)):
            return None
        raise


@settings(max_examples=250)
@given(_inputs(wild=True))
def test_no_house_breaks_the_plan_and_a_refusal_names_the_input(inputs):
    planned(inputs)


@settings(max_examples=120)
@given(_inputs(wild=False))
def test_a_plan_is_kept_whole_and_the_same_inputs_give_the_same_plan(inputs):
    plan = planned(inputs)
    if plan is not None:
        assert Plan.from_dict(json.loads(json.dumps(plan.to_dict(), allow_nan=False))) == plan
        assert planned(inputs) == plan


@settings(max_examples=80)
@given(_inputs(wild=True))
@example(HOUSES["us"])
@example(HOUSES["uk"])
def test_every_drawing_of_every_plan_is_well_formed(inputs):
    plan = planned(inputs)
    if plan is not None:
        for draw in DRAWINGS:
            if drawn := draw(plan):
                assert ElementTree.fromstring(drawn).tag.endswith("svg")
                assert "nan" not in re.sub(r"<(?:title|desc|text)[^>]*>.*?</", "", drawn)


@settings(max_examples=120)
@given(_inputs(wild=False))
def test_every_plan_can_be_read(inputs):
    plan = planned(inputs)
    if plan is not None:
        text = "\n".join(plan_text(plan))
        for words in ("None", "nan", "inf ", "  -0 "):
            assert words not in text
        for finding in plan.findings:
            assert finding.sentence[0].isupper() or finding.sentence[0].isdigit()
            assert finding.sentence.endswith((".", ")"))


@settings(max_examples=120)
@given(_inputs(wild=False))
def test_what_is_not_known_is_never_a_pass(inputs):
    plan = planned(inputs)
    if plan is not None and plan.verdict is Outcome.PASS:
        assert plan.unknowns == ()
        assert all(check.outcome is Outcome.PASS for check in plan.checks)
        assert all(one.outcome is Outcome.PASS or one.answered_by for one in plan.findings)


#: Limit of a plan -> the measure of the survey that is held against its least.
MEASURED = {
    "appliance.clearance.rear": "rear_wall",
    "appliance.clearance.left": "left_wall",
    "appliance.clearance.right": "right_wall",
    "appliance.clearance.front": "front_space",
    "hearth.front": "hearth_front",
    "hearth.side": "hearth_side",
    "connector.clearance": "connector_clearance",
}


@settings(max_examples=150)
@given(_inputs(wild=False), st.sampled_from(sorted(MEASURED)))
def test_a_measure_equal_to_its_limit_passes_and_one_short_of_it_fails(inputs, name):
    plan = planned(inputs)
    limit = plan.limits.get(name) if plan else None
    if limit is None or limit.minimum is None:
        return
    for off, outcome in ((0.0, Outcome.PASS), (-0.001, Outcome.FAIL)):
        if limit.minimum + off < 0:
            continue
        survey = replace(inputs.survey, **{MEASURED[name]: limit.minimum + off})
        again = planned(replace(inputs, survey=survey))
        if again is not None and again.limits.get(name) == limit:
            found = [check.outcome for check in again.checks if check.name == name]
            assert found in ([outcome], [])


@pytest.mark.parametrize("code", codes())
@pytest.mark.parametrize(
    ("owner", "record"), [("survey", Survey), ("appliance", Appliance), ("chimney", Chimney)]
)
def test_each_input_left_out_alone_still_makes_a_plan_with_its_drawing(code, owner, record):
    whole = HOUSES[code]
    for field in fields(record):
        inputs = replace(
            whole, **{owner: replace(getattr(whole, owner), **{field.name: getattr(record(), field.name)})}
        )
        plan = planned(inputs)
        assert plan is not None, field.name
        ElementTree.fromstring(elevation_svg(plan))
