"""An appliance across a corner in a plan."""

import math

import pytest

from calcs.checks import Outcome
from calcs.corner import corner_flue, corner_outline
from calcs.drawing import elevation_svg
from tests.calcs.houses import INCH, finding, plan_of

BODY = {"clearance_corner": 8 * INCH, "width": 24 * INCH, "depth": 22 * INCH, "back_to_flue_centre": 6 * INCH}
CORNER = {
    "placement": "corner",
    "corner_wall": 10 * INCH,
    "wall_to_flue_centre": None,
    "wall_to_first_member": 10 * INCH,
    "rear_wall": None,
    "left_wall": None,
    "right_wall": None,
}


def across(appliance=None, code="us", **survey):
    return plan_of(code, appliance={**BODY, **(appliance or {})}, **{**CORNER, **survey})


def _inches(metres):
    return round(metres / INCH, 6)


def test_the_corner_has_one_clearance_in_place_of_three():
    plan = across()
    assert _inches(plan.limits["appliance.clearance.corner"].minimum) == 8
    names = {check.name for check in plan.checks} | set(plan.limits)
    assert not {f"appliance.clearance.{side}" for side in ("rear", "left", "right")} & names
    assert "appliance.clearance.corner" not in plan_of().limits
    assert not any("wall behind it" in sentence for sentence in plan.unknowns)


def test_the_flue_is_reckoned_from_the_sheet_where_no_tape_was_laid():
    plan = across()
    # 10 in + (12 + 6) / sqrt 2 in.
    assert _inches(plan.wall_to_centre) == round(10 + 18 / math.sqrt(2), 6)
    assert finding(plan, "position").outcome is Outcome.PASS
    assert "both rear corners" in finding(plan, "clearances").sentence


def test_a_flue_off_the_middle_stands_nearer_to_one_wall():
    side = {"side_to_flue_centre": 8 * INCH}
    left = across(side).wall_to_centre
    right = across(side, member_direction="side to side").wall_to_centre
    assert _inches(left) == round(10 + 14 / math.sqrt(2), 6)
    assert _inches(right) == round(10 + 22 / math.sqrt(2), 6)


def test_a_tape_goes_before_the_sheet():
    assert _inches(across(wall_to_flue_centre=23.5 * INCH).wall_to_centre) == 23.5


def test_a_tape_nearer_than_the_sheet_allows_is_not_taken_for_true():
    found = finding(across(wall_to_flue_centre=20 * INCH), "corner")
    assert found.outcome is Outcome.UNKNOWN
    assert "measure again" in found.sentence
    assert "corner" not in {one.topic for one in across(wall_to_flue_centre=22.5 * INCH).findings}


@pytest.mark.parametrize("direction", ["front to back", "side to side"])
def test_it_moves_along_the_diagonal_whatever_the_direction_of_the_framing(direction):
    plan = across(wall_to_first_member=22.25 * INCH, member_direction=direction)
    # 30 3/4 in to the wall instead of 22.728: 8.022 in square, 11.345 in along the diagonal.
    assert _inches(plan.nearest.best.move) == pytest.approx(8.022, abs=1e-3)
    sentence = finding(plan, "position").sentence
    assert "Move the appliance 11 3/8 in out of the corner along the diagonal" in sentence
    assert "8 1/16 in away from the wall the members run along" in sentence
    assert "Into the corner there is no bay within the clearances." in sentence


def test_a_corner_too_near_moves_out_along_the_diagonal_alone():
    plan = across(corner_wall=6 * INCH)
    assert (
        finding(plan, "clearances").sentence
        == "A rear corner of the appliance stands 2 in too near its wall."
    )
    sentence = finding(plan, "position").sentence
    # 2 in x sqrt 2 = 2.83 in.
    assert "Move the appliance 2 7/8 in out of the corner along the diagonal" in sentence
    assert "Slid" not in sentence


def test_moving_as_told_lands_the_box_and_keeps_the_corner():
    plan = across(wall_to_first_member=22.25 * INCH)
    move = plan.nearest.best.move
    moved = across(
        wall_to_first_member=22.25 * INCH,
        corner_wall=10 * INCH + move,
        front_space=60 * INCH - move * math.sqrt(2),
    )
    assert finding(moved, "position").outcome is Outcome.PASS
    assert finding(moved, "clearances").outcome is Outcome.PASS


def test_the_space_in_front_bounds_the_move_out_of_the_corner():
    plan = across(wall_to_first_member=22.25 * INCH, front_space=47 * INCH)
    # 11 in to spare in front, 11.345 in asked for.
    assert plan.nearest.away_from_wall is None
    assert across(wall_to_first_member=22.25 * INCH, front_space=47.5 * INCH).nearest.best is not None


def test_a_corner_without_its_figure_is_not_known_and_says_where_to_get_it():
    plan = across({"clearance_corner": None})
    assert plan.verdict is Outcome.UNKNOWN
    assert any("Clearance of the appliance in a corner is not known" in one for one in plan.unknowns)


def test_an_unmeasured_corner_is_not_known():
    plan = across(corner_wall=None, wall_to_flue_centre=23 * INCH)
    assert plan.verdict is Outcome.UNKNOWN
    assert any("nearest rear corner" in one for one in plan.unknowns)


def test_an_unlisted_appliance_keeps_the_larger_of_back_and_side():
    assert _inches(across({"listed": False}).limits["appliance.clearance.corner"].minimum) == 36


@pytest.mark.parametrize(
    ("rear", "side", "sides", "asked"),
    [
        ("metal_ventilated", "metal_ventilated", "both", 12),
        ("metal_ventilated", "metal_ventilated", "left", 12),
        ("metal_ventilated", "", "", 36),
        ("", "metal_ventilated", "left", 36),
        ("metal_ventilated", "metal_ventilated", "right", 36),
    ],
)
def test_a_protection_counts_where_both_walls_of_the_corner_have_one(rear, side, sides, asked):
    plan = across(
        {"clearance_corner": 36 * INCH, "clearance_reduction_allowed": True},
        rear_protection=rear,
        side_protection=side,
        protected_sides=sides,
    )
    assert _inches(plan.limits["appliance.clearance.corner"].minimum) == asked


def test_elbows_go_square_to_the_members_where_the_appliance_stays_in_its_corner():
    pair = {"elbow_15_rise": 15.25 * INCH, "elbow_15_run": 2 * INCH}
    plan = plan_of(appliance=BODY, chimney=pair, **{**CORNER, "wall_to_first_member": 22.25 * INCH})
    assert "8 in away from the wall the members run along" in finding(plan, "offset").sentence
    assert _inches(plan.elbows.centre) == 30.75


def test_the_section_names_the_clearance_of_the_rear_corners():
    words = elevation_svg(across()).replace("\u00a0", " ")
    assert "8 in at the rear" in words
    assert "behind" not in words


def test_the_steps_tell_the_corner():
    steps = across(wall_to_first_member=22.25 * INCH).working["position"]
    reckoned = next(step for step in steps if step.relation.startswith("x = k +"))
    assert _inches(reckoned.result) == round(10 + 18 / math.sqrt(2), 6)
    diagonal = next(step for step in steps if step.says == "Along the diagonal")
    assert diagonal.result / INCH == pytest.approx(11.345, abs=1e-3)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: corner_flue(-1, 0.6, 0.1), "clearance"),
        (lambda: corner_flue(0.1, 0, 0.1), "width"),
        (lambda: corner_flue(0.1, 0.6, -0.1), "back_to_flue_centre"),
        (lambda: corner_flue(0.1, 0.6, 0.1, 0.7), "side_to_flue_centre"),
        (lambda: corner_outline(0.1, 0.6, 0), "depth"),
        (lambda: corner_outline(math.nan, 0.6, 0.5), "clearance"),
    ],
)
def test_it_names_the_input_it_refuses(call, named):
    with pytest.raises(ValueError, match=rf"^{named}"):
        call()
