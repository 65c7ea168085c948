"""A chimney through the wall: thimble, eaves, brackets, and a flue that stands outdoors."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.checks import Outcome
from calcs.drawing import ceiling_plan_svg, elevation_svg, roof_plan_svg
from calcs.routes.wall import bracket_heights, past_eaves, wall_section
from tests.calcs.houses import FOOT, INCH, finding
from tests.calcs.route_houses import route_plan, section


def wall(code="us", **told):
    return route_plan("through the wall", code, **told)


@pytest.mark.parametrize("code", ["us", "ca"])
def test_a_house_of_which_everything_is_known_passes_and_leaves_nothing_open(code):
    plan = wall(code)
    assert (plan.verdict, plan.unknowns) == (Outcome.PASS, ())


def test_the_british_rule_on_level_runs_holds_on_this_way_too():
    assert finding(wall("uk"), "connector").outcome is Outcome.FAIL


def test_the_thimble_lies_where_the_pipe_still_rises_and_stays_clear_of_the_ceiling():
    limit = wall().limits["thimble.height"]
    # Collar 30 in, 14 in of run at 1/4 in per ft; ceiling 96 in, 18 in of clearance and half a 6 in pipe.
    assert limit.minimum == pytest.approx((30 + 14 / 48) * INCH)
    assert limit.maximum == pytest.approx((96 - 18 - 3) * INCH)


@pytest.mark.parametrize(
    ("height", "outcome"),
    [(60, Outcome.PASS), (30, Outcome.FAIL), (76, Outcome.FAIL), (None, Outcome.UNKNOWN)],
)
def test_a_thimble_too_low_too_high_or_not_measured_is_told(height, outcome):
    plan = wall(thimble_height=None if height is None else height * INCH)
    assert finding(plan, "thimble").outcome is outcome


def test_there_may_be_no_height_for_a_thimble_at_all():
    plan = wall(floor_to_ceiling=50 * INCH, thimble_height=40 * INCH)
    assert "thimble.height" not in plan.limits
    assert finding(plan, "thimble").outcome is Outcome.FAIL


def test_the_opening_moves_and_never_the_stud():
    plan = wall(wall_to_flue_centre=40 * INCH)
    found = finding(plan, "position")
    assert found.outcome is Outcome.FAIL
    assert "Move thimble and appliance" in found.sentence
    assert {one.name: one.outcome for one in plan.checks}["thimble.offset"] is Outcome.FAIL


@pytest.mark.parametrize(
    ("bears", "outcome"), [("no", Outcome.PASS), ("yes", Outcome.UNKNOWN), ("", Outcome.UNKNOWN)]
)
def test_a_stud_is_cut_only_where_it_is_known_what_the_wall_carries(bears, outcome):
    plan = wall(member_spacing=14 * INCH, wall_to_flue_centre=38 * INCH, wall_bears=bears)
    assert plan.members_cut == 1
    assert finding(plan, "framing").outcome is outcome
    assert (plan.verdict is Outcome.PASS) is (outcome is Outcome.PASS)


def test_the_section_through_the_wall_is_the_shortest_that_reaches():
    # 5 in to the wall's face with 5 in of pipe, 6 1/2 in of wall, 3 in of room, less 6 in of branch.
    plan = wall()
    assert plan.wall_piece.effective_length >= (5 + 5 + 6.5 + 3 - 6) * INCH
    stock = tuple(section(length) for length in (12, 18, 24))
    assert wall_section(8 * INCH, 6 * INCH, 4 * INCH, 6 * INCH, stock).name == "12 in"
    assert wall_section(8 * INCH, 6.1 * INCH, 4 * INCH, 6 * INCH, stock).name == "18 in"
    assert wall_section(18 * INCH, 12 * INCH, 4 * INCH, 6 * INCH, stock) is None


def test_the_chimney_stands_as_far_off_the_wall_as_the_eaves_ask():
    plan = wall()
    assert plan.limits["wall.standoff"].minimum == pytest.approx(past_eaves(3 * INCH, 2 * INCH))
    assert finding(plan, "eaves").outcome is Outcome.PASS
    assert wall(eaves_overhang=0.0).limits["wall.standoff"].minimum == pytest.approx(2 * INCH)


def test_eaves_that_reach_too_far_are_not_passed_straight():
    found = finding(wall(eaves_overhang=12 * INCH), "eaves")
    assert found.outcome is Outcome.FAIL
    assert found.room == pytest.approx((6 - 14) * INCH)


def test_how_far_the_support_reaches_is_no_guess():
    plan = wall(chimney={"wall_standoff_greatest": None})
    assert finding(plan, "eaves").outcome is Outcome.UNKNOWN
    assert any("Greatest distance of the chimney off the wall" in one for one in plan.unknowns)


def test_an_offset_carries_the_chimney_around_the_eaves_below_them():
    tall = {"soffit_height": 18 * FOOT, "roof_edge_height": 18 * FOOT + 8 * INCH}
    plan = wall(eaves_way="offset", eaves_overhang=16 * INCH, **tall)
    assert finding(plan, "eaves").outcome is Outcome.PASS
    pair = next(one for one in plan.sections.pieces if one.kind == "elbow pair")
    start = 60 * INCH + 9 * INCH
    assert start + pair.top <= 18 * FOOT - 2 * INCH + 1e-9
    # Clear of the edge: run plus what it stands off the wall is the overhang and the clearance at least.
    assert plan.sections.offset.run + 2 * INCH >= (16 + 2) * INCH - 1e-9
    assert [item for item in plan.load_list if item.name.startswith("chimney elbow")]


def test_an_offset_without_the_height_for_it_fails():
    assert finding(wall(eaves_way="offset", eaves_overhang=30 * INCH), "eaves").outcome is Outcome.FAIL


def test_no_joint_lies_in_the_eaves_that_are_passed_through():
    plan = wall(eaves_way="through", eaves_overhang=20 * INCH)
    start = 60 * INCH + 9 * INCH
    inside = [one for one in plan.sections.joints if 9 * FOOT + 1e-9 < start + one < 9 * FOOT + 8 * INCH]
    assert not inside
    assert any(item.name == "storm collar" for item in plan.load_list)
    assert not any(item.name == "storm collar" for item in wall().load_list)
    assert "flashing.nail_spacing" in plan.limits
    assert "flashing.nail_spacing" not in wall().limits


def test_the_outlet_is_reckoned_over_the_edge_as_if_the_roof_went_on():
    plan = wall()
    centre = (5 + 5) * INCH
    surface = 9 * FOOT + 8 * INCH + (3 * INCH - centre) * 0.5
    assert plan.outlet_required == pytest.approx(surface + plan.termination.height_above_centre)
    edge = plan.limits["termination.above_edge"].minimum
    assert edge == pytest.approx(plan.outlet_required - (9 * FOOT + 8 * INCH))
    flat = wall(roof_rise=0.0, roof_shape="flat", ridge_distance=None)
    assert flat.limits["termination.above_edge"].minimum == pytest.approx(3 * FOOT)


def test_beside_a_gable_the_roof_is_as_high_as_its_edge():
    plan = wall(wall_side="gable", ridge_distance=5 * FOOT)
    assert plan.outlet_required == pytest.approx(9 * FOOT + 8 * INCH + plan.termination.height_above_centre)


@given(bottom=st.floats(0, 3), rise=st.floats(0.01, 15), spacing=st.floats(0.5, 3))
def test_brackets_stand_evenly_and_no_further_apart_than_listed(bottom, rise, spacing):
    heights = bracket_heights(bottom, bottom + rise, spacing)
    stops = [bottom, *heights]
    gaps = [high - low for low, high in zip(stops, heights, strict=False)]
    assert max(gaps) <= spacing + 1e-6
    assert heights[-1] == pytest.approx(bottom + rise)
    assert rise / spacing - 1e-6 <= len(heights) <= rise / spacing + 1


def test_outdoors_the_flue_may_be_twice_the_collar_and_is_colder():
    # NFPA 211: two times the area for an exterior chimney; the same house indoors three times.
    assert wall().limits["flue.size"].maximum == pytest.approx(6 * INCH * 2**0.5)
    inside = {"flue_gas_mass_flow": 0.008, "efficiency": 0.75}
    cold = wall(appliance=inside, chimney={"thermal_resistance": 0.4})
    names = [one.name for one in cold.flue.nominal.draft.segments]
    assert names == ["connector", "wall", "outside"]
    assert {one.surrounding_temperature for one in cold.flue.nominal.draft.segments[1:]} == {0.0}


def test_what_is_not_known_is_asked_for_and_never_passes():
    plan = wall(wall_side="", eaves_way="", soffit_height=None, eaves_overhang=12 * INCH)
    assert plan.verdict is Outcome.UNKNOWN
    told = " ".join(plan.unknowns)
    for words in ("eaves or a gable", "passes the eaves", "underside of the eaves"):
        assert words in told


def test_the_drawings_show_the_wall_from_its_side_and_from_the_room():
    plan = wall()
    drawn = elevation_svg(plan)
    for words in ("Section through room, wall and eaves", "Thimble", "Tee with cleanout", "Wall brackets"):
        assert words in drawn
    assert "Wall framing, seen from the room" in ceiling_plan_svg(plan)
    assert roof_plan_svg(plan) == ""
    assert roof_plan_svg(wall(eaves_way="through", eaves_overhang=20 * INCH)).startswith("<svg")
