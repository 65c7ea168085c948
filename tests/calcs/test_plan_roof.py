"""The roof in a plan: its surface, what stands near the outlet, the brace and the opening near the ridge."""

import json
import math

import pytest

from calcs.checks import Outcome
from calcs.drawing import elevation_svg, roof_plan_svg
from calcs.plan import Plan
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


HIP = {"roof_shape": "hip", "eaves_distance": 4 * FOOT, "hip_distance": 9 * FOOT}


def test_a_hip_roof_is_planned_with_and_without_its_end_measured():
    bare = plan_of(roof_shape="hip")
    assert bare.termination.height_above_penetration == plan_of().termination.height_above_penetration
    assert "reckoned as a gable" in finding(bare, "termination").sentence
    measured = plan_of(**HIP)
    assert measured.sections.pieces
    assert "the slope of the other sides" in finding(measured, "termination").sentence
    assert measured.verdict == bare.verdict == plan_of().verdict


def test_an_opening_over_a_hip_is_refused_with_how_far_to_move():
    # The opening is 14 in square; the hip passes 10 in beside the flue.
    close = {**HIP, "hip_distance": 4 * FOOT + 10 * INCH}
    found = finding(plan_of(**close), "roof opening")
    assert found.outcome is Outcome.FAIL
    assert "at least 4 in along the ridge" in found.sentence
    assert finding(plan_of(**{**HIP, "hip_distance": 4 * FOOT + 14 * INCH}), "roof opening").outcome is (
        Outcome.PASS
    )
    low = plan_of(**close, attic_height=10 * INCH)
    assert low.enclosure == ()
    assert "under the hip has two slopes" in finding(low, "attic shield").sentence


def test_a_flue_on_the_hipped_end_is_told_apart():
    with pytest.raises(ValueError, match=r"^survey\.hip_distance: .* stands on the hipped end"):
        plan_of(roof_shape="hip", eaves_distance=3.0, hip_distance=2.0)


@pytest.mark.parametrize("kind", ["dormer", "parapet", "neighbour"])
def test_what_is_no_building_counts_as_well(kind):
    plan = plan_of(obstacles=(Obstacle("part", 1.5, 2.5, kind),))
    assert plan.termination.governed_by == "part"


def test_an_opening_that_may_lie_up_the_slope_counts_beyond_the_distance():
    window = Obstacle("rooflight", 3.0, 1.4, "opening")
    common = {"ridge_distance": 3.5, "attic_height": 2.5}
    assert plan_of("uk", **common, obstacles=(window,)).termination.governed_by == "rooflight"
    beyond = Obstacle("rooflight", 4.0, 1.4, "opening")
    assert plan_of("uk", **common, obstacles=(beyond,)).termination.governed_by != "rooflight"
    below = Obstacle("rooflight", 3.0, -0.5, "opening")
    assert plan_of("uk", **common, obstacles=(below,)).termination.governed_by != "rooflight"


def test_headers_in_the_roof_are_laid_out():
    # 14 in level are 15.652 in along 6/12; rafters 5 1/2 in deep add half of that between square headers.
    sentence = finding(plan_of(), "roof opening").sentence
    assert "One within 7 in of the plumb point is headed off" in sentence
    assert "15 11/16 in clear along the slope where headers stand plumb" in sentence
    assert "18 7/16 in where they stand square to the rafters" in sentence
    assert "square to the rafters" not in finding(plan_of(rafter_depth=None), "roof opening").sentence


def test_the_sum_behind_the_outlet_is_told():
    # The ridge rises 39 1/2 in above the uphill side of a 10 in pipe, 79 in away.
    assert (
        "It rises 39 1/2 in above that point, with 24 in over it"
        in finding(plan_of(), "termination").sentence
    )
    assert "rises" not in finding(plan_of(roof_rise=1.0), "termination").sentence


def _figures(plan, topic):
    return {step.symbol: step.result for step in plan.working[topic] if step.symbol}


def test_the_steps_of_the_outlet_add_up():
    plan = plan_of(obstacles=(Obstacle("dormer", 2.0, 3.0, "dormer"),))
    figures = _figures(plan, "termination")
    assert figures["H2"] == pytest.approx(figures["h2"] + figures["o2"])
    assert figures["h2"] == pytest.approx(figures["d"] * math.tan(math.radians(figures["α"])) - figures["p"])
    assert figures["H3"] == pytest.approx(figures["h3"] + figures["o3"])
    assert figures["H"] == max(figures["H1"], figures["H2"], figures["H3"])
    assert figures["H"] == plan.termination.height_above_penetration


def test_the_steps_of_attic_and_hole_add_up():
    plan = plan_of(attic_height=10.5 * INCH)
    shield, panels = _figures(plan, "attic shield"), _figures(plan, "enclosure")
    assert (
        shield["h_low"] == pytest.approx(shield["h"] - shield["v"]) == pytest.approx(plan.shield.height_low)
    )
    assert panels["t"] == plan.enclosure[0].thickness
    hole = _figures(plan, "roof opening")
    assert hole["b"] == pytest.approx(hole["D"] + 2 * hole["c"])
    assert hole["l"] == pytest.approx(hole["b"] / math.cos(math.radians(hole["α"])))
    stands = plan_of().working["insulation"][-1].result
    assert stands == pytest.approx(finding(plan_of(), "insulation").room + 2 * INCH)


@pytest.mark.parametrize("code", ["us", "ca", "uk"])
@pytest.mark.parametrize(
    "survey", [{}, {"roof_shape": "flat", "roof_rise": None, "ridge_distance": None}, HIP], ids=str
)
def test_every_step_has_a_figure_in_si_and_the_plan_survives_being_kept(code, survey):
    plan = plan_of(code, **survey)
    for topic in ("roof opening", "termination", "attic shield"):
        assert plan.working[topic]
        assert all(math.isfinite(step.result) and step.unit in {"m", "deg"} for step in plan.working[topic])
    assert Plan.from_dict(json.loads(json.dumps(plan.to_dict()))) == plan


def test_a_plan_kept_before_the_passage_was_reckoned_still_loads():
    kept = plan_of().to_dict()
    kept.pop("roof_passage")
    kept["termination"].pop("reach")
    for demand in kept["termination"]["demands"]:
        for name in ("top", "over", "place"):
            demand.pop(name)
    loaded = Plan.from_dict(kept)
    assert loaded.roof_passage is None
    for draw in (elevation_svg, roof_plan_svg):
        assert draw(loaded).startswith("<svg")
