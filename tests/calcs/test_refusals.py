"""Inputs that cannot be are refused with the name of the field, before anything is computed from them."""

from __future__ import annotations

from dataclasses import fields, replace
from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.hearth import AIR
from calcs.missing import _NAMES
from calcs.refusals import greatest_offset, refuse_impossible
from calcs.rulebook import load_rulebook
from calcs.survey import Appliance, Chimney, HearthLayer, Obstacle, Survey

US = load_rulebook("us")


def refusal(survey=None, appliance=None, chimney=None) -> str:
    """The sentence about a house, or "" where nothing is wrong with it."""
    try:
        refuse_impossible(survey or Survey(), appliance or Appliance(), chimney or Chimney(), US)
    except ValueError as error:
        return str(error)
    return ""


@pytest.mark.parametrize(
    ("survey", "beginning"),
    [
        (Survey(eaves_distance=-0.1), "survey.eaves_distance: "),
        (Survey(hip_distance=-0.1), "survey.hip_distance: "),
        (Survey(roof_shape="hip", hip_distance=1.0, eaves_distance=2.0), "survey.hip_distance: "),
        (Survey(corner_wall=-0.1), "survey.corner_wall: "),
        (Survey(placement="middle"), "survey.placement: "),
        (Survey(exposure="windy"), "survey.exposure: "),
        (Survey(roof_shape="dome"), "survey.roof_shape: "),
        (Survey(fuel_moisture=20.0), "survey.fuel_moisture: "),
        (Survey(connector_protection="curtain"), "survey.connector_protection: "),
        (Survey(obstacles=(Obstacle("Oak", 2.0, 3.0, "tree"),)), "survey.obstacles[0].kind: "),
        (Survey(connector_length=0.5, connector_rise=0.8), "survey.connector_length: "),
        (Survey(connector_length=1.0, connector_rise=0.8, connector_run=0.8), "survey.connector_length: "),
        (Survey(hearth_layers=(HearthLayer("brick"),)), "survey.hearth_layers[0].thickness: "),
        (Survey(hearth_layers=(HearthLayer("brick", 0.0),)), "survey.hearth_layers[0].thickness: "),
        (Survey(hearth_layers=(HearthLayer("felt", 0.01),)), "survey.hearth_layers[0].thickness: "),
        (
            Survey(hearth_layers=(HearthLayer("concrete", 0.0254, 0.167),)),
            "survey.hearth_layers[0].resistance: ",
        ),
        (
            Survey(hearth_layers=(HearthLayer(AIR, 0.003175), HearthLayer(AIR, 0.003175))),
            "survey.hearth_layers[1].material: ",
        ),
        (Survey(rear_wall=0.4, tolerances={"rear_wall": 0.5}), "survey.tolerances.rear_wall: "),
        (Survey(rear_wall=0.4, tolerances={"rear_wall": -0.01}), "survey.tolerances.rear_wall: "),
        (Survey(roof_rise=6, tolerances={"roof_rise": 0.5}), "survey.tolerances.roof_rise: "),
        (Survey(tolerances={"roof_shape": 0.5}), "survey.tolerances.roof_shape: "),
        (Survey(tolerances={"chimney": 0.5}), "survey.tolerances.chimney: "),
    ],
)
def test_a_survey_that_cannot_be_is_refused_by_the_field(survey, beginning):
    assert refusal(survey).startswith(beginning)


@pytest.mark.parametrize(
    "survey",
    [
        Survey(roof_shape="gable", hip_distance=2.0),
        Survey(placement="corner", rear_wall=0.3),
        Survey(connector_length=1.2, connector_rise=1.2, connector_run=0.0),
        Survey(connector_length=0.6),
        Survey(hearth_layers=(HearthLayer("maker's board", None, 0.2), HearthLayer(AIR, 0.003175))),
        Survey(rear_wall=0.4, tolerances={"rear_wall": 0.4}),
    ],
)
def test_what_can_be_is_left_alone(survey):
    assert refusal(survey) == ""


def test_an_output_burnt_low_cannot_be_above_the_nominal_one():
    assert refusal(appliance=Appliance(minimum_output=9e3, nominal_output=8e3)).startswith(
        "appliance.minimum_output: "
    )
    assert refusal(appliance=Appliance(minimum_output=8e3, nominal_output=8e3)) == ""


@pytest.mark.parametrize("watts", [12e3, 60e3])
def test_a_large_fire_is_no_slip(watts):
    assert refusal(appliance=Appliance(nominal_output=watts, minimum_output=watts)) == ""


def test_a_figure_beyond_any_house_is_a_slip():
    assert refusal(appliance=Appliance(nominal_output=2e6)).startswith("appliance.nominal_output: ")
    assert refusal(Survey(attic_height=2e4)).startswith("survey.attic_height: ")


def test_the_flue_leaves_an_appliance_within_its_body():
    beside = Appliance(width=0.5, depth=0.4, side_to_flue_centre=0.6)
    behind = Appliance(width=0.5, depth=0.4, back_to_flue_centre=0.5)
    assert refusal(appliance=beside).startswith("appliance.side_to_flue_centre: ")
    assert refusal(appliance=behind).startswith("appliance.back_to_flue_centre: ")
    assert refusal(appliance=replace(beside, side_to_flue_centre=0.5)) == ""


@pytest.mark.parametrize("angle", [15, 30])
def test_elbows_whose_rise_and_offset_are_swapped_are_refused(angle):
    names = f"elbow_{angle}_rise", f"elbow_{angle}_run"
    right = replace(Chimney(), **dict(zip(names, (0.40, 0.10), strict=True)))
    swapped = replace(Chimney(), **dict(zip(names, (0.10, 0.40), strict=True)))
    assert refusal(chimney=right) == ""
    assert refusal(chimney=swapped).startswith(f"chimney.elbow_{angle}_run: ")


@given(upright=st.floats(0, 1), slanted=st.floats(0, 1), angle=st.sampled_from([15, 30]))
def test_every_pair_of_elbows_that_can_be_made_is_within_the_greatest_offset(upright, slanted, angle):
    # Plane geometry: each elbow has an upright part, and the slanted parts meet in the middle.
    rise = 2 * upright + slanted * cos(radians(angle))
    assert slanted * sin(radians(angle)) <= greatest_offset(rise, angle) + 1e-12


@pytest.mark.parametrize(("owner", "record"), [("survey", Survey), ("appliance", Appliance)])
def test_every_figure_that_may_be_missing_has_a_name_for_people(owner, record):
    figures = {f"{owner}.{one.name}" for one in fields(record) if "None" in str(one.type)}
    assert figures <= set(_NAMES)
