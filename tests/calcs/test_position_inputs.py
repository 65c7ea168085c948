"""Positions of houses nobody measured in full: every answer a sentence, every drawing whole."""

import json
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.checks import Outcome
from calcs.drawing import ceiling_plan_svg
from calcs.plan import Plan
from tests.calcs.houses import INCH, finding, plan_of
from tests.calcs.test_corner import across
from tests.calcs.test_offsets import SHEET


def _some(low: float, high: float) -> st.SearchStrategy[float | None]:
    return st.none() | st.integers(round(low * 8), round(high * 8)).map(lambda eighths: eighths * INCH / 8)


HOUSES = st.fixed_dictionaries(
    {
        "code": st.sampled_from(["us", "ca", "uk"]),
        "placement": st.sampled_from(["wall", "corner"]),
        "corner_wall": _some(0, 30),
        "rear_wall": _some(0, 30),
        "left_wall": _some(0, 60),
        "right_wall": _some(0, 60),
        "front_space": _some(20, 80),
        "wall_to_flue_centre": _some(0, 100),
        "wall_to_first_member": _some(0, 40),
        "member_spacing": _some(6, 30),
        "member_thickness": _some(1, 4),
        "member_kind": st.sampled_from(["joist", "truss"]),
        "member_direction": st.sampled_from(["front to back", "side to side"]),
        "member_depth": _some(3, 12),
        "framing_stock": st.sampled_from(["2x4", "2x6", "2x10"]),
        "connector_elbows": st.sampled_from([None, 0, 1, 2]),
        "appliance": st.fixed_dictionaries(
            {
                "clearance_corner": _some(0, 20),
                "width": _some(1, 40),
                "depth": _some(1, 40),
                "back_to_flue_centre": _some(0, 20),
                "side_to_flue_centre": _some(0, 20),
            }
        ),
        "chimney": st.fixed_dictionaries(
            {name: st.sampled_from([None, figure]) for name, figure in SHEET.items()}
        ),
    }
)


def _planned(house):
    """Plan the house; None for one that is refused by the name of an input."""
    try:
        return plan_of(**house)
    except ValueError as error:
        refusal = str(error)
    assert re.match(r"^(survey|appliance|chimney)\.\w+: ", refusal)
    return None


@settings(max_examples=100, deadline=None)
@given(HOUSES)
def test_every_position_reads_as_sentences_is_drawn_and_survives_json(house):
    plan = _planned(house)
    if plan is None:
        return
    topics = {"position", "clearances", "corner", "offset", "framing", "truss"}
    for found in plan.findings:
        if found.topic in topics:
            assert re.match(r"^[A-Z].*[.]$", found.sentence)
            assert "None" not in found.sentence
            assert "  " not in found.sentence
    drawn = ceiling_plan_svg(plan)
    assert not re.search(r"nan|None|inf\b", drawn)
    assert Plan.from_dict(json.loads(json.dumps(plan.to_dict()))) == plan


@settings(max_examples=100, deadline=None)
@given(HOUSES)
def test_a_position_passes_only_where_the_box_stands_clear(house):
    plan = _planned(house)
    if plan is None:
        return
    position = finding(plan, "position")
    if position.outcome is Outcome.PASS or position.answered_by:
        assert plan.bay_fit.fits
        assert plan.nearest is None
        assert min(plan.bay_fit.gap_left, plan.bay_fit.gap_right) >= -1e-9
    if plan.members_cut:
        assert (house["member_kind"], house["code"]) == ("joist", "us")
    if house["member_kind"] == "truss":
        assert not position.answered_by


@settings(max_examples=80, deadline=None)
@given(HOUSES)
def test_whichever_way_it_is_told_to_go_the_box_then_stands_clear(house):
    plan = _planned(house)
    if plan is None or plan.nearest is None:
        return
    for found in (plan.nearest.towards_wall, plan.nearest.away_from_wall):
        if found is not None:
            moved = plan_of(**{**house, "wall_to_flue_centre": found.centre})
            assert moved.bay_fit.fits


@settings(max_examples=80, deadline=None)
@given(HOUSES)
def test_the_elbows_lead_to_a_place_where_the_box_stands_clear(house):
    plan = _planned(house)
    if plan is None or plan.elbows is None or plan.elbows.centre is None:
        return
    assert plan.elbows.offset.elbows <= 4
    assert plan.elbows.offset.angle_degrees <= 30
    moved = plan_of(**{**house, "wall_to_flue_centre": plan.elbows.centre})
    assert moved.bay_fit.fits


@pytest.mark.parametrize(("corner", "outcome"), [(8, Outcome.PASS), (7.999, Outcome.FAIL)])
def test_a_corner_exactly_at_its_clearance_passes(corner, outcome):
    plan = across(corner_wall=corner * INCH, wall_to_flue_centre=22 * INCH)
    assert finding(plan, "clearances").outcome is outcome


@pytest.mark.parametrize(("centre", "outcome"), [(39.25, Outcome.PASS), (39.26, Outcome.FAIL)])
def test_a_box_exactly_against_its_member_passes(centre, outcome):
    assert finding(plan_of(wall_to_flue_centre=centre * INCH), "position").outcome is outcome
