"""What the plan says of its sections, what carries them and what holds them above the roof."""

import pytest

from calcs.checks import Outcome
from tests.calcs.houses import FOOT, INCH, finding, plan_of


def _free_height():
    """Just what the least over-run leaves free above the roof."""
    plan = plan_of(ridge_distance=0.5 * FOOT)
    return plan.termination.height_above_downhill + plan.sections.over_run


def test_it_tells_what_fewer_pieces_would_over_run():
    sentence = finding(plan_of(), "sections").sentence
    # 10 ft 5 in are met to the hair by seven pieces; 35 + 47 + 47 in stand 4 in higher.
    assert "1 x 48 in + 1 x 24 in + 5 x 12 in reach 10 ft 5 in" in sentence
    assert "Fewer pieces over-run more: 1 1/16 in with 6" in sentence
    assert "4 1/16 in with 3 (2 x 48 in + 1 x 36 in)" in sentence


def test_fewer_pieces_that_would_need_a_brace_are_not_offered():
    plan = plan_of(ridge_distance=0.5 * FOOT, chimney={"brace_threshold": _free_height()})
    assert plan.sections.braces == 0
    assert plan.sections.fewer
    assert "Fewer pieces" not in finding(plan, "sections").sentence


def test_fewer_pieces_that_the_support_does_not_carry_are_not_offered():
    plan = plan_of(chimney={"supported_height": 125 * INCH})
    assert finding(plan, "support").outcome is Outcome.PASS
    assert "Fewer pieces" not in finding(plan, "sections").sentence


def test_the_room_of_the_brace_is_what_is_left_before_one_more_is_needed():
    plan = plan_of()
    free = plan.termination.height_above_downhill + plan.sections.over_run
    assert plan.sections.braces == 1
    assert finding(plan, "brace").room == pytest.approx(10 * FOOT - free)
    low = plan_of(ridge_distance=0.5 * FOOT)
    free = low.termination.height_above_downhill + low.sections.over_run
    assert finding(low, "brace").room == pytest.approx(5 * FOOT - free)


@pytest.mark.parametrize("code", ["us", "ca", "uk"])
def test_the_working_ends_at_what_the_finding_says(code):
    plan = plan_of(code)
    last = {topic: steps[-1].result for topic, steps in plan.working.items() if steps}
    assert last["sections"] == pytest.approx(plan.sections.over_run)
    assert last["support"] == pytest.approx(finding(plan, "support").room)
    assert last["brace"] == plan.sections.braces


def test_the_working_of_the_sections_adds_up():
    steps = {step.symbol: step.result for step in plan_of().working["sections"] if step.symbol}
    assert steps["z_r"] + steps["h_o"] == pytest.approx(steps["z_o"])
    assert steps["z_c"] - steps["p"] == pytest.approx(steps["z_j"])
    assert steps["z_o"] - steps["z_j"] == pytest.approx(steps["H"])
    assert steps["L"] >= steps["H"]


def test_a_plan_without_a_fitting_stack_shows_how_far_it_was_reckoned():
    plan = plan_of(chimney={"sections": plan_of().chimney.sections[:1]})
    assert finding(plan, "sections").outcome is Outcome.FAIL
    assert plan.working["sections"]
    assert "brace" not in plan.working
