"""Whole plans against a second reckoning of the same house: shapely for the roof, trial for the bay.

The second reckoning knows only the survey and the published rules: IRC R1003.9 (read), NBC 9.21.4.4 (read),
and plane geometry.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from calcs.checks import Outcome
from calcs.plan import Plan
from calcs.survey import Obstacle
from tests.calcs.houses import FOOT, INCH, finding, plan_of

#: Rule book -> above the penetration, above anything within the radius, the radius [m].
OUTLET = {"us": (3 * FOOT, 2 * FOOT, 10 * FOOT), "ca": (0.9, 0.6, 3.0)}
HALF = 5 * INCH
WALL = {"left": 15 * INCH, "right": 15 * INCH, "rear": 12 * INCH, "front": 36 * INCH}


def _inches(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths read off a tape to an eighth of an inch [m]."""
    return st.integers(round(low * 8), round(high * 8)).map(lambda eighths: eighths / 8 * INCH)


HOUSES = st.fixed_dictionaries(
    {
        "wall_to_flue_centre": _inches(12, 90),
        "wall_to_first_member": _inches(0, 30),
        "member_spacing": st.sampled_from([16 * INCH, 19.25 * INCH, 24 * INCH, 32 * INCH]),
        "member_thickness": st.sampled_from([1.5 * INCH, 1.75 * INCH, 3 * INCH]),
        "member_direction": st.sampled_from(["front to back", "side to side"]),
        "left_wall": _inches(6, 60),
        "right_wall": _inches(6, 60),
        "rear_wall": _inches(6, 60),
        "front_space": _inches(30, 100),
        "attic_height": _inches(5, 80),
        "roof_shape": st.sampled_from(["gable", "shed"]),
        "roof_rise": st.sampled_from([2.0, 4.0, 6.0, 8.0, 12.0]),
        "ridge_distance": _inches(12, 300),
        "covering_thickness": _inches(0, 3),
        "obstacles": st.lists(
            st.builds(Obstacle, st.just("dormer"), _inches(6, 180), _inches(-20, 120)), max_size=2
        ).map(tuple),
    }
)


def _planned(code: str, house: dict) -> Plan:
    return plan_of(code, system="imperial", **house)


def _is_clear(house: dict, centre: float) -> bool:
    """Whether a 14 in box at this place touches no member and lies behind the first one."""
    low, high = centre - 7 * INCH, centre + 7 * INCH
    first, thick = house["wall_to_first_member"], house["member_thickness"]
    if low < first + thick - 1e-9:
        return False
    members = [first + number * house["member_spacing"] for number in range(20)]
    return not any(high > face + 1e-9 and low < face + thick - 1e-9 for face in members)


def _least_move(house: dict) -> float | None:
    """Least move that keeps both clearances across the members and lands the box, found by trial [m]."""
    across = ("left", "right") if house["member_direction"] == "front to back" else ("rear", "front")
    fields = {"left": "left_wall", "right": "right_wall", "rear": "rear_wall", "front": "front_space"}
    near, far = (house[fields[side]] - WALL[side] for side in across)
    centre, thick = house["wall_to_flue_centre"], house["member_thickness"]
    places = [centre, centre - near, centre + far]
    for number in range(20):
        face = house["wall_to_first_member"] + number * house["member_spacing"]
        places += [face + thick + 7 * INCH, face - 7 * INCH]
    moves = [
        place - centre
        for place in places
        if -near - 1e-9 <= place - centre <= far + 1e-9 and place >= 0 and _is_clear(house, place)
    ]
    return min(moves, key=abs, default=None)


@settings(max_examples=150, deadline=None)
@given(HOUSES)
def test_the_move_is_the_least_that_keeps_walls_and_members(house):
    plan = _planned("us", house)
    if house["member_spacing"] - house["member_thickness"] < 14 * INCH - 1e-9:
        assert finding(plan, "position").outcome is Outcome.FAIL
        return
    least = _least_move(house)
    position = finding(plan, "position")
    if least is not None and abs(least) < 1e-9:
        assert position.outcome is Outcome.PASS
    else:
        assert position.outcome is Outcome.FAIL
        found = plan.nearest.best if plan.nearest else None
        assert (found is None) is (least is None)
        if found is not None:
            assert abs(found.move) == pytest.approx(abs(least), abs=1e-8)


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(sorted(OUTLET)), HOUSES)
def test_the_outlet_clears_the_roof_that_shapely_finds_within_the_radius(code, house):
    plan = _planned(code, house)
    above, over, radius = OUTLET[code]
    slope, ridge = house["roof_rise"] / 12, house["ridge_distance"]
    reach = HALF + radius
    line = [(-2 * reach, -2 * reach * slope), (ridge, ridge * slope)]
    if house["roof_shape"] == "gable":
        line.append((ridge + 3 * reach, (ridge - 3 * reach) * slope))
    highest = LineString(line).intersection(box(-reach, -99, reach, 99)).bounds[3]
    tops = [highest, *(one.height for one in house["obstacles"] if one.distance - HALF <= radius + 1e-9)]
    penetration = min(HALF, ridge) * slope
    asked = max(penetration + above, max(tops) + over)
    assert plan.termination.height_above_centre == pytest.approx(asked)
    surface = (96 + 0.5 + 5.5) * INCH + house["attic_height"]
    surface += (0.5 * INCH + house["covering_thickness"]) * math.hypot(1, slope)
    assert plan.outlet_required == pytest.approx(surface + asked)
    if plan.outlet is not None:
        assert plan.outlet >= plan.outlet_required - 1e-9
        free = plan.outlet - surface + HALF * slope
        assert (plan.sections.braces > 0) is (free > 5 * FOOT + 1e-9)


@settings(max_examples=100, deadline=None)
@given(HOUSES)
def test_the_panels_end_on_the_plane_of_the_deck(house):
    plan = _planned("us", house)
    slope, middle = house["roof_rise"] / 12, house["attic_height"]
    if plan.shield is not None:
        assert plan.shield.fits is (middle - 7 * INCH * slope >= 15 * INCH - 1e-9)
    if not plan.enclosure:
        return
    low, high, side = plan.enclosure
    out = 7 * INCH + low.thickness

    def deck(x: float) -> float:
        return middle + slope * x

    assert low.height_left == pytest.approx(deck(-7 * INCH))
    assert high.height_left == pytest.approx(deck(out))
    assert (side.height_left, side.height_right) == pytest.approx((deck(-out), deck(out)))
