"""Where the appliance may stand: clearances, protected walls and the bay at once."""

import pytest

from calcs.checks import Outcome
from tests.calcs.houses import INCH, finding, plan_of


def _inches(metres):
    return round(metres / INCH, 6)


def test_an_appliance_that_keeps_its_clearances_says_what_is_left():
    found = finding(plan_of(), "clearances")
    assert found.outcome is Outcome.PASS
    # Rear 14 - 12, left 24 - 15, right 40 - 15, front 60 - 36: the wall behind is the tightest.
    assert _inches(found.room) == 2
    assert "2 in is left at the tightest" in found.sentence


def test_an_appliance_too_near_the_wall_behind_moves_forward():
    plan = plan_of(rear_wall=9.5 * INCH)
    assert finding(plan, "clearances").sentence == (
        "The appliance stands 2 1/2 in too near the wall behind it: move it 2 1/2 in forward."
    )
    assert "leave the appliance where it is" not in finding(plan, "position").sentence
    assert plan.verdict is Outcome.FAIL


def test_an_appliance_that_loses_a_side_clearance_moves_within_its_bay():
    plan = plan_of(left_wall=12 * INCH)
    position = finding(plan, "position")
    assert position.outcome is Outcome.FAIL
    # 3 in to the right puts the flue 4 in off the bay's centre, where the box has 4 1/4 in.
    assert "Move the appliance 3 in to the right" in position.sentence
    assert "3 in too near the wall on its left." in finding(plan, "clearances").sentence
    moved = plan_of(left_wall=15 * INCH, wall_to_flue_centre=39 * INCH, right_wall=37 * INCH)
    assert finding(moved, "position").outcome is Outcome.PASS
    assert finding(moved, "clearances").outcome is Outcome.PASS


def test_a_side_clearance_may_ask_for_the_next_bay():
    plan = plan_of(left_wall=8 * INCH, right_wall=60 * INCH)
    # 7 in would put the flue 8 in off the centre; the next bay's nearest place is 18 3/4 in further.
    assert _inches(plan.nearest.best.move) == 18.75
    assert "Move the appliance 18 3/4 in to the right" in finding(plan, "position").sentence


def test_no_room_between_two_walls_is_said_with_what_to_do():
    plan = plan_of(member_direction="side to side", left_wall=10 * INCH, right_wall=16 * INCH)
    sentence = finding(plan, "clearances").sentence
    assert "5 in too near the wall on its left, and there is no room to move it to the right" in sentence


def test_a_move_asks_for_a_new_survey_from_there():
    sentence = finding(plan_of(wall_to_flue_centre=41.75 * INCH), "position").sentence
    assert "Survey it again from there" in sentence
    assert "is not known" not in sentence


def test_a_move_beside_a_wall_not_measured_says_so():
    sentence = finding(plan_of(wall_to_flue_centre=41.75 * INCH, left_wall=None), "position").sentence
    assert "Whether it keeps its clearances there is not known." in sentence


@pytest.mark.parametrize(
    ("sides", "left", "right"), [("left", 12, 36), ("right", 36, 12), ("both", 12, 12), ("", 36, 36)]
)
def test_a_protection_counts_only_for_the_side_wall_that_has_it(sides, left, right):
    plan = plan_of(
        side_protection="metal_ventilated",
        protected_sides=sides,
        appliance={"clearance_side": 36 * INCH, "clearance_reduction_allowed": True},
    )
    assert _inches(plan.limits["appliance.clearance.left"].minimum) == left
    assert _inches(plan.limits["appliance.clearance.right"].minimum) == right
    asked = any("Which side walls" in sentence for sentence in plan.unknowns)
    assert asked is (sides == "")


def test_an_unlisted_appliance_without_a_rule_is_not_known_and_says_whom_to_ask():
    plan = plan_of("uk", appliance={"listed": False})
    assert "appliance.clearance.rear" not in plan.limits
    assert sum("ask the authority having jurisdiction" in sentence for sentence in plan.unknowns) == 4
    assert plan.verdict is not Outcome.PASS


def test_a_block_beside_a_narrow_gap_is_named():
    note = plan_of(wall_to_flue_centre=38.5 * INCH).cut_list[1].note
    # 3 1/2 in off the centre leaves 3/4 in on one side for stock 1 1/2 in thick.
    assert "rip that block" in note
    assert plan_of().cut_list[1].note == ""


def test_a_member_that_bounds_the_opening_saves_a_block():
    block = plan_of(wall_to_flue_centre=39.25 * INCH).cut_list[1]
    assert block.count == 1
    assert "the member itself bounds the opening" in block.note


def test_the_cut_list_is_for_the_place_the_appliance_moves_to():
    plan = plan_of(wall_to_flue_centre=41.75 * INCH)
    # Moved by no more than it must, the box stands against its member: one block.
    assert plan.nearest.best.gap_far == pytest.approx(0, abs=1e-9)
    assert [(cut.name, cut.count) for cut in plan.cut_list] == [("header", 2), ("block", 1)]


def test_a_flue_before_the_first_member_between_two_near_walls_fails():
    plan = plan_of(wall_to_flue_centre=12 * INCH, left_wall=6 * INCH, right_wall=6 * INCH)
    assert finding(plan, "position").outcome is Outcome.FAIL


def test_a_sheet_that_asks_for_no_hearth_behind_leaves_nothing_to_measure_there():
    assert "hearth.rear" not in plan_of(appliance={"hearth_rear": 0.0}).limits
    assert _inches(plan_of(appliance={"hearth_rear": 8 * INCH}).limits["hearth.rear"].minimum) == 8
    # CSA B365, second-hand: 200 mm, whatever the sheet says.
    assert plan_of("ca", appliance={"hearth_rear": 0.0}).limits["hearth.rear"].minimum == 0.2
