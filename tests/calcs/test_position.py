"""Both answers of the position, found a second time by trying every place on a fine grid."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calcs.bays import Bays
from calcs.checks import Outcome
from calcs.framing import nearest_fit
from tests.calcs.houses import INCH, finding, plan_of

#: Places are tried every sixteenth of an inch; every input below is a multiple of it.
STEP = INCH / 16
WALL = {"left": 15 * INCH, "right": 15 * INCH, "rear": 12 * INCH, "front": 36 * INCH}


def _inches(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(low * 16), round(high * 16)).map(lambda sixteenths: sixteenths * STEP)


def _faces(first: float, spacing: float, thick: float, cut: int | None) -> list[tuple[float, float]]:
    """Faces of the members that stay, the one numbered `cut` left out."""
    return [
        (first + number * spacing, first + number * spacing + thick) for number in range(60) if number != cut
    ]


def _clear(centre: float, half: float, first: float, faces: list[tuple[float, float]]) -> bool:
    low, high = centre - half, centre + half
    return low >= first - 1e-9 and not any(high > near + 1e-9 and low < far - 1e-9 for near, far in faces)


@settings(max_examples=150, deadline=None)
@given(
    first=_inches(0, 30),
    spacing=st.sampled_from([12 * INCH, 16 * INCH, 19 * INCH, 24 * INCH]),
    thick=st.sampled_from([1.5 * INCH, 3 * INCH]),
    opening=st.sampled_from([12 * INCH, 14 * INCH, 17.5 * INCH]),
    centre=_inches(0, 100),
    room=st.tuples(_inches(0, 60), _inches(0, 60)),
    members_cut=st.sampled_from([0, 1]),
)
def test_each_side_has_the_first_free_place_that_a_walk_along_the_wall_meets(
    *, first, spacing, thick, opening, centre, room, members_cut
):
    clear = (members_cut + 1) * spacing - thick
    assume(opening <= clear)
    low, high = max(0.0, centre - room[0]), centre + room[1]
    found = nearest_fit(first, spacing, thick, opening, centre, allowed=(low, high), members_cut=members_cut)
    cuts = [None] if not members_cut else list(range(1, 20))
    layouts = [_faces(first, spacing, thick, cut) for cut in cuts]

    def free(at: float) -> bool:
        return any(_clear(at, opening / 2, first, faces) for faces in layouts)

    for option, direction, end in ((found.towards_wall, -1, low), (found.away_from_wall, 1, high)):
        steps = round(abs(end - centre) / STEP)
        walked = next((n for n in range(steps + 1) if free(centre + direction * n * STEP)), None)
        if walked is None:
            assert option is None
        else:
            assert option is not None
            assert option.centre == pytest.approx(centre + direction * walked * STEP, abs=1e-7)


HOUSES = st.fixed_dictionaries(
    {
        "wall_to_flue_centre": _inches(20, 80),
        "wall_to_first_member": _inches(0, 24),
        "member_spacing": st.sampled_from([19.25 * INCH, 24 * INCH, 32 * INCH]),
        "member_direction": st.sampled_from(["front to back", "side to side"]),
        "left_wall": _inches(8, 60),
        "right_wall": _inches(8, 60),
        "rear_wall": _inches(8, 40),
        "front_space": _inches(30, 90),
    }
)


@settings(max_examples=120, deadline=None)
@given(HOUSES)
def test_a_plan_answers_to_both_sides_as_a_walk_through_the_room_does(house):
    """Left and right where members run front to back, back and forward where they run side to side."""
    plan = plan_of(**house)
    across = ("left", "right") if house["member_direction"] == "front to back" else ("rear", "front")
    spaces = {"left": "left_wall", "right": "right_wall", "rear": "rear_wall", "front": "front_space"}
    near, far = (house[spaces[side]] - WALL[side] for side in across)
    faces = _faces(house["wall_to_first_member"], house["member_spacing"], 1.5 * INCH, None)

    def stands(move: float) -> bool:
        keeps = -near - 1e-9 <= move <= far + 1e-9
        centre = house["wall_to_flue_centre"] + move
        return keeps and _clear(centre, 7 * INCH, house["wall_to_first_member"], faces)

    limit = round(120 * INCH / STEP)
    walked = [next((n for n in range(limit) if stands(way * n * STEP)), None) for way in (-1, 1)]
    position = finding(plan, "position")
    if walked[0] == 0:
        assert position.outcome is Outcome.PASS
        return
    assert position.outcome is Outcome.FAIL
    options = (
        [None, None] if plan.nearest is None else [plan.nearest.towards_wall, plan.nearest.away_from_wall]
    )
    for option, steps in zip(options, walked, strict=True):
        assert (option is None) is (steps is None)
        if option is not None:
            assert abs(option.move) == pytest.approx(steps * STEP, abs=1e-7)
    words = {
        "front to back": ("to the left", "to the right"),
        "side to side": ("back, towards", "forward, away"),
    }
    for option, word in zip(options, words[house["member_direction"]], strict=True):
        if option is not None and abs(option.move) > 1e-9:
            assert word in position.sentence


@given(
    first=st.floats(0, 1),
    spacing=st.floats(0.3, 0.8),
    thick=st.floats(0.02, 0.1),
    opening=st.floats(0.1, 1.2),
    cut=st.integers(0, 2),
    start=st.floats(0, 6),
)
def test_a_bay_gives_gaps_that_fill_it(*, first, spacing, thick, opening, cut, start):
    bays = Bays(first, spacing, thick, opening, cut)
    assume(bays.opening < bays.clear)
    for found in (bays.down_from(start, -math.inf, start), bays.up_from(start, math.inf, start)):
        if found is None:
            assert start < bays.centres(1)[0]
            continue
        assert found.gap_near + opening + found.gap_far == pytest.approx(bays.clear)
        assert found.room >= -1e-9


def test_the_side_without_a_place_is_named():
    plan = plan_of(wall_to_flue_centre=41.75 * INCH, left_wall=16 * INCH)
    assert "To the left there is no bay within the clearances." in finding(plan, "position").sentence
    plan = plan_of(member_direction="side to side", wall_to_flue_centre=41.75 * INCH)
    assert "Further back there is no bay within the clearances." in finding(plan, "position").sentence


def test_members_are_counted_from_the_wall_behind_where_they_run_side_to_side():
    plan = plan_of(member_direction="side to side", wall_to_flue_centre=42 * INCH, rear_wall=30 * INCH)
    assert plan.nearest.best.move == pytest.approx(-2.75 * INCH)
    assert "Move the appliance 2 3/4 in back, towards the wall behind it (or 12 3/4 in forward" in (
        finding(plan, "position").sentence
    )


def test_the_position_is_reckoned_in_steps_that_lead_to_the_answer():
    plan = plan_of(wall_to_flue_centre=41.75 * INCH)
    results = {step.symbol: step.result for step in plan.working["position"] if step.symbol}
    assert results["o"] == pytest.approx(results["D"] + 2 * results["c"])
    assert results["b"] == pytest.approx(results["s"] - results["t"])
    assert results["r"] == pytest.approx((results["b"] - results["o"]) / 2)
    assert results["e"] == pytest.approx(plan.plumb_offset)
    moves = [step.result for step in plan.working["position"] if step.says == "Move"]
    assert moves == pytest.approx([2.5 * INCH, 13 * INCH])


JOISTS = {"member_spacing": 12 * INCH}


def test_a_joist_is_headed_off_where_no_bay_holds_the_box():
    plan = plan_of(**JOISTS)
    assert plan.members_cut == 1
    position = finding(plan, "position")
    assert (position.outcome, position.answered_by) == (Outcome.FAIL, "framing")
    assert "one joist is cut and headed off" in position.sentence
    framing = finding(plan, "framing")
    assert framing.outcome is Outcome.PASS
    assert "doubled from bearing to bearing, unless the headers stand within 36 in" in framing.sentence
    header = plan.cut_list[0]
    # Between the neighbours of the joist that is cut: 2 x 12 - 1 1/2 in.
    assert (header.count, round(header.length / INCH, 6)) == (2, 22.5)
    assert "double the joist on each side" in header.note
    assert plan.verdict is Outcome.PASS


def test_the_flue_is_held_against_the_joist_that_is_cut():
    # Joists at 23, 35, 47 in on centre: 36 in is 1 in off the second.
    plan = plan_of(**JOISTS)
    assert plan.plumb_offset == pytest.approx(INCH)
    assert plan.limits["support.plumb_offset"].maximum == pytest.approx(4.25 * INCH)
    between = plan_of(**JOISTS, wall_to_flue_centre=41.25 * INCH)
    assert finding(between, "position").answered_by == ""
    ways = (between.nearest.towards_wall, between.nearest.away_from_wall)
    assert [round(one.move / INCH, 6) for one in ways] == [-2.0, 1.5]


def test_the_first_joist_is_never_the_one_cut():
    plan = plan_of(**JOISTS, wall_to_flue_centre=24 * INCH)
    assert not plan.bay_fit.fits
    assert plan.nearest.best.bay == 1
    assert plan.nearest.best.gap_near == pytest.approx(0)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"member_depth": 7.25 * INCH}, "1 1/2 in by 7 1/4 in; 2x6 is smaller"),
        ({"member_thickness": 3 * INCH}, "3 in by 5 1/2 in; 2x6 is smaller"),
    ],
)
def test_headers_smaller_than_the_joist_they_carry_fail(changes, words):
    found = finding(plan_of(**JOISTS, **changes), "framing")
    assert found.outcome is Outcome.FAIL
    assert words in found.sentence


def test_headers_whose_joists_were_not_measured_are_not_known():
    assert finding(plan_of(**JOISTS, member_depth=None), "framing").outcome is Outcome.UNKNOWN


@pytest.mark.parametrize("code", ["ca", "uk"])
def test_no_joist_is_cut_by_a_rule_book_that_does_not_say_how(code):
    plan = plan_of(code, **JOISTS)
    assert plan.members_cut == 0
    assert plan.cut_list == ()
    assert "Do not cut a member" in finding(plan, "position").sentence
    assert finding(plan, "position").answered_by == ""


@pytest.mark.parametrize("spacing", [8, 10, 12, 14])
def test_no_truss_is_ever_cut_and_a_narrow_bay_is_said(spacing):
    plan = plan_of(member_kind="truss", member_spacing=spacing * INCH)
    assert (plan.members_cut, plan.cut_list) == (0, ())
    sentence = finding(plan, "position").sentence
    assert "a truss is never cut" in sentence
    assert "at least 14 in apart in the clear" in sentence
    assert finding(plan, "position").answered_by == ""


def test_a_box_too_wide_even_for_one_cut_joist_is_refused():
    plan = plan_of(member_spacing=7 * INCH)
    assert plan.members_cut == 0
    assert "not even with one joist cut" in finding(plan, "position").sentence


def test_a_cut_joist_loads_what_doubles_its_neighbours_and_hangs_its_ends():
    loaded = {item.name: item.quantity for item in plan_of(**JOISTS).load_list}
    assert loaded["2x6 lumber, as long as the joists"] == 2
    assert loaded["joist hanger"] == 2
    assert not any("as long as the joists" in item.name for item in plan_of().load_list)
