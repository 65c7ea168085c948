"""Elbow pairs, and how they land the box in a bay."""

import math
from itertools import combinations_with_replacement

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calcs.checks import Outcome
from calcs.offsets import ElbowPair, elbow_pairs, pair_with, smallest_offset
from calcs.survey import Chimney
from tests.calcs.houses import INCH, finding, plan_of

PAIRS = (ElbowPair(15.0, 0.387, 0.051), ElbowPair(30.0, 0.394, 0.108))
SHEET = {
    "elbow_15_rise": 15.25 * INCH,
    "elbow_15_run": 2 * INCH,
    "elbow_30_rise": 15.5 * INCH,
    "elbow_30_run": 4.25 * INCH,
}
OFF = {"wall_to_flue_centre": 41.75 * INCH}
runs = st.floats(0, 1)


@given(st.sampled_from(PAIRS), st.floats(0, 2), st.floats(0.001, 1))
def test_more_pipe_between_the_elbows_never_takes_less_room(pair, between, more):
    short, long = pair_with(pair, between), pair_with(pair, between + more)
    assert long.rise > short.rise
    assert long.run > short.run


@given(st.floats(0, 2))
def test_a_straight_length_lies_on_the_slant_of_its_elbows(between):
    for pair in PAIRS:
        found = pair_with(pair, between)
        assert math.hypot(found.rise - pair.rise, found.run - pair.run) == pytest.approx(between, abs=1e-9)


@given(runs, runs)
def test_the_offset_lands_between_the_two_figures(one, other):
    least, most = sorted((one, other))
    found = smallest_offset(least, most, PAIRS)
    if found is None:
        assert most < min(pair.run for pair in PAIRS)
    else:
        assert least - 1e-9 <= found.run <= most + 1e-9
        assert found.run == pytest.approx(max(least, min(pair.run for pair in PAIRS)))


@given(runs, runs, st.floats(0, 2), st.floats(0, 1))
def test_more_height_never_takes_an_offset_away(one, other, height, more):
    least, most = sorted((one, other))
    low, high = (smallest_offset(least, most, PAIRS, height=top) for top in (height, height + more))
    if low is not None:
        assert low.rise <= height + 1e-9
        assert high is not None


@given(
    st.floats(0, 0.4),
    st.floats(0, 0.2),
    st.lists(st.sampled_from([0.15, 0.2, 0.3, 0.45, 0.6]), min_size=1, max_size=3, unique=True),
)
def test_stocked_lengths_are_the_best_of_every_combination(least, width, lengths):
    most = least + width
    every = [
        pair_with(pair, math.fsum(pieces), count, pieces)
        for pair in PAIRS
        for count in (1, 2)
        for number in range(16)
        for pieces in combinations_with_replacement(lengths, number)
    ]
    assume(all(min(abs(one.run - least), abs(one.run - most)) > 1e-6 for one in every))
    serve = [one for one in every if least <= one.run <= most]
    found = smallest_offset(least, most, PAIRS, lengths=lengths)
    if not serve:
        assert found is None
        return
    best = min(serve, key=lambda one: (one.elbows, round(one.run, 9), one.angle_degrees))
    assert (found.elbows, found.angle_degrees) == (best.elbows, best.angle_degrees)
    assert found.run == pytest.approx(best.run)
    assert found.between == pytest.approx(math.fsum(found.pieces))


def test_four_elbows_are_taken_only_where_two_do_not_serve():
    # A pair of 15 degrees alone runs 51 mm, two of them 102 mm.
    found = smallest_offset(0.1, 0.105, PAIRS, lengths=[0.9])
    assert (found.elbows, found.angle_degrees) == (4, 15.0)
    assert smallest_offset(0.1, 0.11, PAIRS, lengths=[0.9]).elbows == 2


def test_the_steeper_pair_is_taken_where_the_gentler_one_takes_too_much_height():
    assert smallest_offset(0.3, 0.3, PAIRS).angle_degrees == 15
    assert smallest_offset(0.3, 0.3, PAIRS, height=1.0).angle_degrees == 30
    assert smallest_offset(0.3, 0.3, PAIRS, height=0.5) is None


def test_a_pair_counts_only_with_both_its_figures():
    assert elbow_pairs(Chimney()) == ()
    assert elbow_pairs(Chimney(elbow_15_rise=0.3)) == ()
    assert [pair.angle_degrees for pair in elbow_pairs(Chimney(**SHEET))] == [15, 30]


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: pair_with(ElbowPair(45.0, 0.4, 0.2), 0.0), "angle_degrees"),
        (lambda: pair_with(ElbowPair(0.0, 0.4, 0.2), 0.0), "angle_degrees"),
        (lambda: pair_with(PAIRS[0], -0.1), "between"),
        (lambda: pair_with(PAIRS[0], 0.1, 3), "pairs"),
        (lambda: smallest_offset(-0.1, 0.2, PAIRS), "least"),
        (lambda: smallest_offset(0.3, 0.2, PAIRS), "most"),
        (lambda: smallest_offset(0.1, 0.2, PAIRS, lengths=[0.0]), "lengths"),
    ],
)
def test_it_names_the_input_it_refuses(call, named):
    with pytest.raises(ValueError, match=rf"^{named}"):
        call()


def test_a_plan_offers_the_elbows_where_the_appliance_stays():
    plan = plan_of(**OFF, chimney=SHEET)
    found = finding(plan, "offset")
    assert found.outcome is Outcome.PASS
    # 2 1/2 in to the left: 1/2 in more than the bare pair, 0.5 / sin 15 = 1.93 in of pipe.
    assert plan.elbows.offset.run == pytest.approx(2.5 * INCH)
    assert plan.elbows.offset.between == pytest.approx(0.5 / math.sin(math.radians(15)) * INCH)
    assert "two of 15°" in found.sentence
    assert "2 1/2 in to the left" in found.sentence
    assert "survey the flue centre at 39 1/4 in from the wall on the left" in found.sentence
    assert "Where the rafters lie was not surveyed" in found.sentence
    assert plan.verdict is Outcome.FAIL


def test_planned_as_told_the_box_stands_clear():
    plan = plan_of(**OFF, chimney=SHEET)
    again = plan_of(wall_to_flue_centre=plan.elbows.centre, connector_elbows=2, chimney=SHEET)
    assert finding(again, "position").outcome is Outcome.PASS
    assert "offset" not in {one.topic for one in again.findings}


def test_nothing_fits_and_the_cut_list_follows_the_elbows():
    plan = plan_of(
        wall_to_flue_centre=46 * INCH, left_wall=15.5 * INCH, right_wall=15.5 * INCH, chimney=SHEET
    )
    assert plan.nearest.best is None
    assert "elbows below the ceiling" in finding(plan, "position").sentence
    assert plan.elbows.offset.run == pytest.approx(6.75 * INCH)
    assert [(cut.name, cut.count) for cut in plan.cut_list] == [("header", 2), ("block", 1)]


def test_without_the_sheets_figures_it_says_which_to_enter():
    plan = plan_of(**OFF)
    found = finding(plan, "offset")
    assert found.outcome is Outcome.UNKNOWN
    assert "2 1/2 in to the left or 13 in to the right" in found.sentence
    assert "enter the rise and the run of a pair of 15° or 30° elbows" in found.sentence
    assert not any("elbow" in sentence for sentence in plan.unknowns)


def test_a_room_too_low_for_the_elbows_fails_and_says_by_how_much():
    found = finding(plan_of(**OFF, chimney=SHEET, floor_to_ceiling=48 * INCH), "offset")
    assert found.outcome is Outcome.FAIL
    # 48 - 4 - 30 = 14 in between collar and support; 15 1/4 + 1.93 cos 15 = 17.12 in asked for.
    assert found.room == pytest.approx((14 - 15.25 - 0.5 / math.tan(math.radians(15))) * INCH)
    assert "3 1/8 in more than there is" in found.sentence


def test_a_room_of_unknown_height_is_not_known():
    found = finding(plan_of(**OFF, chimney={**SHEET, "support_projection": None}), "offset")
    assert found.outcome is Outcome.UNKNOWN
    assert "enter" in found.sentence


def test_elbows_the_connector_may_not_have_fail():
    found = finding(plan_of(**OFF, chimney=SHEET, connector_elbows=1), "offset")
    assert found.outcome is Outcome.FAIL
    assert "the connector then has 3, more than the 2 it may have" in found.sentence


def test_a_pair_that_runs_past_the_bay_goes_to_the_next_or_says_so():
    wide = {"elbow_30_rise": 24 * INCH, "elbow_30_run": 12 * INCH}
    # To the left the bay ends 11 in away; the pair alone runs 12 in, to the right it begins at 13 in.
    plan = plan_of(**OFF, chimney=wide)
    assert plan.elbows.offset.run == pytest.approx(13 * INCH)
    assert plan.elbows.centre > plan.wall_to_centre


def test_a_box_in_its_bay_asks_for_no_elbows():
    assert "offset" not in {one.topic for one in plan_of(chimney=SHEET).findings}
    moved = plan_of(left_wall=12 * INCH, chimney=SHEET)
    assert "offset" not in {one.topic for one in moved.findings}


def test_the_clearance_moves_the_appliance_before_the_elbows_carry_the_flue():
    plan = plan_of(wall_to_flue_centre=45 * INCH, left_wall=14 * INCH, right_wall=16 * INCH, chimney=SHEET)
    assert plan.nearest.best is None
    assert plan.elbows.start == pytest.approx(46 * INCH)
    assert "With the appliance moved 1 in to the right, as far as its clearances ask" in (
        finding(plan, "offset").sentence
    )


def test_the_connector_keeps_its_distance_from_the_wall():
    # The first bay's nearest centre, 15 1/2 in, leaves 12 1/2 in beside a 6 in pipe; 18 in are asked for.
    plan = plan_of(wall_to_flue_centre=12 * INCH, wall_to_first_member=7 * INCH, chimney=SHEET)
    assert plan.elbows.centre == pytest.approx(21 * INCH)


def test_the_steps_of_an_offset_follow_the_elbows():
    plan = plan_of(**OFF, chimney=SHEET)
    results = {step.symbol: step.result for step in plan.working["offset"] if step.symbol}
    assert results["N"] == pytest.approx(2 * INCH)
    assert results["R"] == pytest.approx(15.25 * INCH)
    run = next(step.result for step in plan.working["offset"] if step.says == "Run of the offset")
    assert run == pytest.approx(results["N"] + results["L"] * math.sin(math.radians(15)))


def test_a_truss_leaves_the_attic_clear_for_a_plumb_flue():
    found = finding(plan_of(**OFF, chimney=SHEET, member_kind="truss"), "offset")
    assert "a plumb flue clears them" in found.sentence
    assert "rafter" not in found.sentence
