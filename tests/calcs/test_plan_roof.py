"""The roof in a plan: its surface, what stands near the outlet, the brace and the opening near the ridge."""

import math

import pytest

from calcs.checks import Outcome
from calcs.survey import Obstacle
from tests.calcs.houses import FOOT, INCH, finding, plan_of


def _inches(metres):
    return round(metres / INCH, 6)


def test_a_measured_covering_raises_the_outlet_by_its_plumb_thickness():
    thin, thick = plan_of(covering_thickness=0.0), plan_of(covering_thickness=2 * INCH)
    assert thick.outlet_required - thin.outlet_required == pytest.approx(2 * INCH * math.sqrt(1.25))


def test_what_is_allowed_for_a_covering_is_said():
    assert "3/8 in of roof covering is allowed for" in finding(plan_of(), "sections").sentence
    assert "allowed for" not in finding(plan_of(covering_thickness=0.012), "sections").sentence


@pytest.mark.parametrize("covering", ["membrane", "thatch"])
def test_a_covering_of_any_thickness_has_to_be_measured(covering):
    plan = plan_of(roof_covering=covering)
    assert plan.sections is None
    assert any(sentence.startswith("Thickness of the roof covering") for sentence in plan.unknowns)
    assert plan_of(roof_covering=covering, covering_thickness=0.1).sections.pieces


def test_a_brace_is_reckoned_from_the_downhill_side():
    plan = plan_of(ridge_distance=6 * FOOT)
    over_run = plan.sections.over_run
    high = plan.termination.height_above_penetration + over_run
    low = plan.termination.height_above_downhill + over_run
    # A 10 in pipe through a 6/12 roof passes it 5 in lower on the downhill side.
    assert _inches(low - high) == 5
    assert high <= 5 * FOOT < low
    assert plan.sections.braces == 1
    assert "load a brace kit" in finding(plan, "brace").sentence


def test_a_flat_roof_has_no_downhill_side():
    plan = plan_of(roof_shape="flat", roof_rise=0.0, ridge_distance=None)
    assert plan.termination.height_above_downhill == plan.termination.height_above_penetration
    assert "downhill" not in finding(plan, "brace").sentence
    assert finding(plan, "roof opening").sentence.startswith("Cut the roof 14 in square.")


def test_no_joint_hides_between_the_rafters():
    (_, roof) = plan_of().sections.forbidden_zones
    # The deck is 4 + 1/2 + 5 1/2 + 48 in above the support. Rafters 5 1/2 in deep stand 6.149 in
    # high in the plumb line of a 6/12 roof, and 7 in down the slope everything lies 3 1/2 in lower.
    assert _inches(roof[0]) == pytest.approx(58 - 5.5 * math.sqrt(1.25) - 3.5)
    (_, bare) = plan_of(rafter_depth=None).sections.forbidden_zones
    assert _inches(bare[0]) == 54.5
    assert roof[1] == bare[1]


def test_a_rooflight_asks_for_more_than_a_wall_where_the_rule_book_tells_them_apart():
    wall = plan_of("uk", obstacles=(Obstacle("wall", 1.5, 1.2),))
    window = plan_of("uk", obstacles=(Obstacle("rooflight", 1.5, 1.2, "opening"),))
    # Approved Document J, Diagram 17: 600 mm above a building, 1000 mm above the top of an opening.
    assert window.outlet_required - wall.outlet_required == pytest.approx(0.4)
    assert window.termination.governed_by == "rooflight"


def test_an_opening_counts_as_part_of_the_building_elsewhere():
    wall = plan_of(obstacles=(Obstacle("wall", 1.5, 2.5),))
    window = plan_of(obstacles=(Obstacle("wall", 1.5, 2.5, "opening"),))
    assert wall.termination.height_above_penetration == window.termination.height_above_penetration


def test_an_opening_over_the_ridge_is_refused_with_how_far_to_move():
    plan = plan_of(ridge_distance=4 * INCH)
    found = finding(plan, "roof opening")
    assert found.outcome is Outcome.FAIL
    assert "reaches 3 in over the ridge" in found.sentence
    assert "at least 3 in down the slope" in found.sentence
    assert finding(plan_of(ridge_distance=7 * INCH), "roof opening").outcome is Outcome.PASS
    shed = finding(plan_of(roof_shape="shed", ridge_distance=4 * INCH), "roof opening")
    assert "beyond the roof's upper edge" in shed.sentence


def test_no_enclosure_is_shaped_under_two_slopes():
    plan = plan_of(ridge_distance=4 * INCH, attic_height=10 * INCH)
    assert plan.enclosure == ()
    assert "two slopes" in finding(plan, "attic shield").sentence
    assert plan.attic_protection == "unknown"


def test_a_roof_without_an_attic_is_not_planned_as_one():
    plan = plan_of(roof_shape="flat", roof_rise=None, ridge_distance=None, attic_height=0.0)
    assert finding(plan, "attic shield").outcome is Outcome.FAIL
    assert "there is no attic" in finding(plan, "attic shield").sentence
    assert "slope" not in finding(plan, "attic shield").sentence


def test_the_hole_is_laid_out_from_the_plumb_point():
    # 14 in level is 15.652 in along a 6/12 slope; a square edge in 1/2 in of deck adds 1/4 in uphill.
    sentence = finding(plan_of(), "roof opening").sentence
    assert "14 in across the slope and 15 15/16 in along it (6/12)" in sentence
    assert "7 7/8 in down the slope from the plumb point and 8 1/8 in up" in sentence


def test_a_hole_is_not_told_as_known_without_the_deck():
    plan = plan_of(deck_thickness=None)
    assert finding(plan, "roof opening").outcome is Outcome.UNKNOWN
    assert "roof.opening.along" not in plan.limits
