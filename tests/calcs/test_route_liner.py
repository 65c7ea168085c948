"""A liner in an existing masonry chimney."""

from __future__ import annotations

import math

import pytest

from calcs.checks import Outcome
from calcs.drawing import ceiling_plan_svg, elevation_svg, roof_plan_svg
from calcs.routes.liner import flue_area, least_side, room_around
from calcs.survey import Survey
from tests.calcs.houses import FOOT, INCH, finding
from tests.calcs.route_houses import route_plan


def lined(code="us", **told):
    return route_plan("lined chimney", code, **told)


@pytest.mark.parametrize("code", ["us", "ca"])
def test_a_house_of_which_everything_is_known_passes_and_leaves_nothing_open(code):
    plan = lined(code)
    assert (plan.verdict, plan.unknowns) == (Outcome.PASS, ())


@pytest.mark.parametrize(
    ("found", "outcome"),
    [("sound", Outcome.PASS), ("faults", Outcome.FAIL), ("not done", Outcome.UNKNOWN), ("", Outcome.UNKNOWN)],
)
def test_nothing_is_planned_on_a_chimney_that_was_not_found_sound(found, outcome):
    plan = lined(flue_inspection=found)
    assert finding(plan, "inspection").outcome is outcome
    assert plan.verdict is outcome


def test_the_american_rule_asks_for_an_inspection_of_level_2():
    assert "level 2" in finding(lined(flue_inspection=""), "inspection").sentence


def test_liner_and_insulation_stand_clear_in_the_lesser_side():
    plan = lined()
    assert {one.name: one.measured for one in plan.checks}["liner.room"] == pytest.approx(0.25 * INCH)
    assert room_around(8, 7.5) == 0.25


@pytest.mark.parametrize(
    ("told", "outcome"),
    [
        ({"flue_depth": 7.5 * INCH}, Outcome.PASS),
        ({"flue_depth": 7.25 * INCH}, Outcome.FAIL),
        ({"flue_depth": None}, Outcome.UNKNOWN),
        ({"flue_shape": ""}, Outcome.UNKNOWN),
        ({"flue_shape": "round", "flue_width": 8 * INCH, "flue_depth": None}, Outcome.PASS),
        ({"chimney": {"liner_room": 0.5 * INCH}}, Outcome.FAIL),
        ({"chimney": {"liner_room": None}}, Outcome.UNKNOWN),
        ({"chimney": {"insulation_thickness": None}}, Outcome.UNKNOWN),
    ],
)
def test_a_liner_that_does_not_go_in_fails_and_one_nobody_measured_is_not_known(told, outcome):
    assert finding(lined(**told), "liner").outcome is outcome


def test_the_area_of_the_old_flue_says_why_it_is_lined():
    # 11 x 8 in over a 6 in collar is 3.1 times; 3 times indoors, 2 outdoors.
    assert "3.1 times" in finding(lined(), "liner").sentence
    assert "at most 3 times" in finding(lined(), "liner").sentence
    assert "at most 2 times" in finding(lined(chimney_place="outside"), "liner").sentence
    small = lined(flue_width=8 * INCH)
    assert "Unlined" not in finding(small, "liner").sentence


def test_the_area_of_a_flue_is_that_of_its_shape():
    assert flue_area("round", 2) == pytest.approx(math.pi)
    with pytest.raises(ValueError, match="shape"):
        flue_area("rectangular", 2)
    assert least_side(Survey(flue_shape="round", flue_width=0.2)) == 0.2


@pytest.mark.parametrize(
    ("told", "outcome"),
    [
        ({"masonry_clearance": 2 * INCH}, Outcome.PASS),
        ({"masonry_clearance": 1.5 * INCH}, Outcome.FAIL),
        ({"masonry_clearance": 1.5 * INCH, "chimney_place": "outside"}, Outcome.PASS),
        ({"masonry_clearance": None}, Outcome.UNKNOWN),
        ({"masonry_clearance": 0.0, "chimney": {"liner_zero_clearance": True}}, Outcome.PASS),
        ({"masonry_clearance": None, "chimney": {"liner_zero_clearance": True}}, Outcome.PASS),
        ({"chimney": {"liner_zero_clearance": None}}, Outcome.UNKNOWN),
        ({"chimney_place": ""}, Outcome.UNKNOWN),
    ],
)
def test_masonry_keeps_its_clearance_unless_the_liner_is_listed_without(told, outcome):
    assert finding(lined(**told), "masonry").outcome is outcome


def test_a_chimney_too_low_fails_and_says_by_how_much():
    plan = lined(chimney_above_roof=3 * FOOT)
    found = finding(plan, "termination")
    assert found.outcome is Outcome.FAIL
    assert found.room == pytest.approx(3.5 * FOOT - plan.termination.height_above_penetration)


def test_the_passage_is_as_wide_as_the_masonry():
    # 6/12, ridge 7 ft from the middle, masonry 20 in deep: ridge over the uphill side, and 2 ft.
    wanted = (84 - 10) / 2 * INCH + 24 * INCH
    assert lined().termination.height_above_penetration == pytest.approx(wanted)


def test_the_liner_is_as_long_as_from_its_foot_to_its_end():
    plan = lined()
    assert plan.liner_length == pytest.approx((24 * 12 + 6 - 60) * INCH)
    item = next(one for one in plan.load_list if one.name.startswith("liner of"))
    assert item.note.startswith("one piece of 21 ft")


@pytest.mark.parametrize(
    ("throat", "outcome"), [(8, Outcome.PASS), (7, Outcome.FAIL), (None, Outcome.UNKNOWN)]
)
def test_a_liner_through_a_fireplace_passes_its_throat(throat, outcome):
    depth = None if throat is None else throat * INCH
    plan = lined(flue_entry="fireplace", throat_width=30 * INCH, throat_depth=depth)
    assert finding(plan, "damper").outcome is outcome
    assert "cleanout" not in {one.topic for one in plan.findings}
    assert any(one.name == "block-off plate" for one in plan.load_list)


def test_nothing_is_framed_flashed_or_stacked():
    plan = lined()
    assert (plan.cut_list, plan.sections, plan.opening) == ((), None, None)
    kinds = ("framing.", "flashing.", "support.", "roof.", "shield.", "enclosure.", "chimney.clearance")
    assert not [name for name in plan.limits if name.startswith(kinds)]
    assert not {"position", "sections", "support", "brace"} & {one.topic for one in plan.findings}


def test_masonry_outdoors_is_colder_than_indoors():
    burns = {"flue_gas_mass_flow": 0.008, "efficiency": 0.75}
    warm, cold = (lined(appliance=burns, chimney_place=place) for place in ("inside", "outside"))
    drafts = [one.flue.nominal.draft.available_draft for one in (warm, cold)]
    walls = [one.flue.nominal.warm.wall_temperature_outlet for one in (warm, cold)]
    assert drafts[0] > drafts[1]
    assert walls[0] > walls[1]
    assert lined(appliance=burns, chimney_place="").flue is None


def test_the_run_of_the_connector_is_held_against_the_height_of_the_liner():
    plan = lined()
    assert plan.limits["connector.run"].maximum == pytest.approx(0.75 * plan.liner_length)


@pytest.mark.parametrize(
    ("told", "name"),
    [
        ({"flue_top_height": 1.0}, "survey.flue_top_height"),
        ({"chimney_above_roof": 9.0}, "survey.chimney_above_roof"),
        ({"flue_width": 0.0}, "survey.flue_width"),
        ({"flue_shape": "oval"}, "survey.flue_shape"),
    ],
)
def test_what_cannot_be_is_refused_by_its_name(told, name):
    with pytest.raises(ValueError, match=rf"^{name}: "):
        lined(**told)


def test_the_drawing_shows_the_masonry_and_there_is_no_other():
    plan = lined()
    drawn = elevation_svg(plan)
    for words in ("Section through room, masonry and roof", "Masonry", "Top plate", "Tee with cleanout"):
        assert words in drawn
    assert (ceiling_plan_svg(plan), roof_plan_svg(plan)) == ("", "")
