"""Which measure would turn a verdict if it were off."""

import json
from dataclasses import fields, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.checks import Outcome
from calcs.measures import MEASURES
from calcs.plan import Plan, make_plan
from calcs.rulebook import load_rulebook
from calcs.sensitivity import LOAD, turning_points
from calcs.survey import Survey
from tests.calcs.houses import INCH, finding, plan_of

US = load_rulebook("us")


def _doubts(plan):
    return {(doubt.topic, doubt.measure) for doubt in plan.doubts}


def _points(plan):
    return turning_points(plan.survey, plan.appliance, plan.chimney, US)


def test_a_plan_without_tolerances_doubts_nothing():
    assert plan_of().doubts == ()


def test_it_names_the_measure_whose_tolerance_turns_a_verdict():
    # The box has 4 1/4 in to spare each side and the flue lands 1 in off the bay's centre.
    plan = plan_of(tolerances={"wall_to_flue_centre": 4 * INCH, "rear_wall": 1 * INCH})
    (doubt,) = plan.doubts
    assert doubt.sentence == (
        "Position: 3 1/4 in to spare. It would fail if the distance from the wall to the flue centre were "
        "4 in more than measured: measure it again."
    )
    assert (doubt.measure, doubt.topic, doubt.becomes) == ("wall_to_flue_centre", "position", Outcome.FAIL)
    assert doubt.off == pytest.approx(4 * INCH)


def test_a_tolerance_equal_to_the_room_turns_nothing():
    assert _doubts(plan_of(tolerances={"rear_wall": 2 * INCH})) == set()
    assert _doubts(plan_of(tolerances={"rear_wall": 2.01 * INCH})) == {("clearances", "rear_wall")}


def test_a_measure_that_turns_a_verdict_both_ways_is_told_once():
    plan = plan_of(tolerances={"wall_to_flue_centre": 6 * INCH})
    (doubt,) = plan.doubts
    assert doubt.either_way
    assert "6 in more or less than measured" in doubt.sentence


def test_a_failure_that_a_tolerance_may_explain_is_told_as_well():
    plan = plan_of(rear_wall=11.75 * INCH, tolerances={"rear_wall": 0.5 * INCH})
    (doubt,) = (one for one in plan.doubts if one.topic == "clearances")
    assert doubt.becomes is Outcome.PASS
    assert "1/4 in short. It would pass if" in doubt.sentence


def test_what_would_stand_instead_is_told():
    # The shield has 15 in, and the roof leaves 3 1/2 in less on the low side than at the centre.
    plan = plan_of(attic_height=19 * INCH, tolerances={"attic_height": INCH})
    (doubt,) = (one for one in plan.doubts if one.topic == "attic shield")
    assert "1/2 in to spare. It would fail and the enclosure take its place" in doubt.sentence
    assert "1 in less than measured" in doubt.sentence


def test_another_stack_within_the_tolerance_is_loaded_or_measured_again():
    plan = plan_of(tolerances={"attic_height": INCH})
    more, less = sorted((one for one in plan.doubts if one.topic == LOAD), key=lambda one: -one.off)
    assert (more.off, less.off) == (pytest.approx(INCH), pytest.approx(-INCH))
    taller = plan_of(attic_height=49 * INCH).sections.counts()
    assert " + ".join(f"{count} x {name}" for name, count in taller.items()) in more.sentence
    assert more.sentence.endswith("measure it again, or load both.")


def test_a_measure_cannot_be_off_to_below_nothing():
    plan = plan_of(connector_run=0.0, covering_thickness=0.0)
    assert all(
        point.off > 0 for point in _points(plan) if point.measure in {"connector_run", "covering_thickness"}
    )


def test_a_tolerance_of_most_of_its_measure_is_held_against_the_rest():
    # Off by 10 in, 4 in would be left, less than the tolerance itself.
    plan = plan_of(rear_wall=14 * INCH, tolerances={"rear_wall": 10 * INCH})
    assert ("clearances", "rear_wall") in _doubts(plan)


def test_a_tolerance_of_a_measure_that_was_not_taken_is_no_doubt():
    assert plan_of(rafter_depth=None, tolerances={"rafter_depth": INCH}).doubts == ()


def test_doubts_are_kept_with_the_plan_and_a_plan_from_before_them_reads():
    plan = plan_of(tolerances={"wall_to_flue_centre": 6 * INCH, "attic_height": INCH})
    data = json.loads(json.dumps(plan.to_dict()))
    assert Plan.from_dict(data) == plan
    del data["doubts"]
    assert Plan.from_dict(data).doubts == ()


def test_the_tightest_measure_comes_first():
    plan = plan_of()
    points = _points(plan)
    offs = [abs(point.off) for point in points]
    assert offs == sorted(offs)
    assert {("clearances", "rear_wall"), ("position", "wall_to_flue_centre")} <= {
        (point.topic, point.measure) for point in points
    }
    assert _points(plan)[:2] == turning_points(plan.survey, plan.appliance, plan.chimney, US, most=2)


@pytest.mark.parametrize("topic", ["position", "clearances", "hearth", "connector"])
def test_a_turning_point_lies_where_the_room_ends(topic):
    plan = plan_of()
    nearest = min(abs(point.off) for point in _points(plan) if point.topic == topic)
    assert nearest == pytest.approx(finding(plan, topic).room, abs=INCH / 50)


@settings(max_examples=15)
@given(st.floats(-3.2, 3.2), st.floats(0, 0.6))
def test_beyond_a_turning_point_the_verdict_turns_and_before_it_stands(shift, more):
    plan = plan_of(wall_to_flue_centre=(36 + shift) * INCH, attic_height=(18.6 + more) * INCH)
    for point in _points(plan):
        value = getattr(plan.survey, point.measure)
        for share, turned in ((1.0, True), (0.9, False)):
            survey = replace(plan.survey, **{point.measure: value + share * point.off})
            other = make_plan(survey, plan.appliance, plan.chimney, US)
            outcomes = {one.topic: one.outcome for one in other.findings} | {
                one.name: one.outcome for one in other.checks
            }
            before = {one.topic: one.outcome for one in plan.findings} | {
                one.name: one.outcome for one in plan.checks
            }
            if abs(point.off) > INCH / 4 or turned:
                assert (outcomes[point.topic] is not before[point.topic]) is turned


def test_every_length_of_a_survey_has_its_words():
    lengths = {one.name for one in fields(Survey) if one.type == "float | None"}
    counted = {"altitude", "air_permeability", "air_vent_area", "fuel_moisture"}
    assert lengths - counted == set(MEASURES)
