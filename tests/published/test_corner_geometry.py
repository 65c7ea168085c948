"""An appliance across a corner.

Plane geometry; the second reckoning turns and shifts polygons by shapely and knows nothing of calcs.corner.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from calcs.checks import Outcome
from calcs.corner import corner_flue, corner_outline, diagonal_move
from tests.calcs.houses import INCH, finding, plan_of

LEFT_WALL, RIGHT_WALL = LineString([(0, -1), (0, 50)]), LineString([(-1, 0), (50, 0)])
lengths = st.floats(0.3, 1.2)
clearances = st.floats(0, 0.6)


def _standing(width: float, depth: float, back: float, side: float) -> tuple[Polygon, Point]:
    """Appliance and flue in the corner of two walls, turned by 45 degrees, its back towards the corner."""
    body, flue = box(0, 0, width, depth), Point(side, back)
    turned = [affinity.rotate(one, -45, origin=(0, 0)) for one in (body, flue)]
    low_x, low_y, _, _ = turned[0].bounds
    return tuple(affinity.translate(one, -low_x, -low_y) for one in turned)


@given(width=lengths, depth=lengths, share=st.floats(0, 1), back=st.floats(0, 0.3), clearance=clearances)
def test_the_outline_is_the_turned_rectangle_at_its_clearance_from_both_walls(
    *, width, depth, share, back, clearance
):
    body, flue = _standing(width, depth, back, share * width)
    body, flue = (affinity.translate(one, clearance, clearance) for one in (body, flue))
    drawn = Polygon(corner_outline(clearance, width, depth))
    assert drawn.symmetric_difference(body).area == pytest.approx(0, abs=1e-9)
    assert drawn.distance(LEFT_WALL) == pytest.approx(clearance, abs=1e-9)
    assert drawn.distance(RIGHT_WALL) == pytest.approx(clearance, abs=1e-9)
    assert drawn.area == pytest.approx(width * depth)
    found = corner_flue(clearance, width, back, share * width)
    assert (found.from_left, found.from_right) == pytest.approx(
        (flue.distance(LEFT_WALL), flue.distance(RIGHT_WALL))
    )


@given(clearance=clearances, width=lengths, depth=lengths, move=st.floats(0, 2))
def test_a_move_along_the_diagonal_takes_it_alike_from_both_walls(clearance, width, depth, move):
    here, there = (Polygon(corner_outline(clearance + one, width, depth)) for one in (0.0, move))
    assert here.centroid.distance(there.centroid) == pytest.approx(abs(diagonal_move(move)), abs=1e-9)


@given(clearance=clearances, width=lengths, back=st.floats(0, 0.4), more=st.floats(0.001, 0.5))
def test_a_larger_clearance_or_appliance_never_brings_the_flue_nearer(clearance, width, back, more):
    flue = corner_flue(clearance, width, back)
    assert flue.from_left == pytest.approx(flue.from_right)
    for further in (
        corner_flue(clearance + more, width, back),
        corner_flue(clearance, width + more, back),
        corner_flue(clearance, width, back + more),
    ):
        assert further.from_left > flue.from_left


STEP = INCH / 8
HOUSES = st.fixed_dictionaries(
    {
        "corner_wall": st.integers(4, 24).map(lambda inches: inches * INCH),
        "wall_to_first_member": st.integers(0, 48).map(lambda halves: halves * INCH / 2),
        "member_spacing": st.sampled_from([16 * INCH, 24 * INCH]),
        "member_direction": st.sampled_from(["front to back", "side to side"]),
        "front_space": st.integers(36, 90).map(lambda inches: inches * INCH),
    }
)
BODY = {"width": 24 * INCH, "depth": 22 * INCH, "back_to_flue_centre": 6 * INCH, "clearance_corner": 8 * INCH}


@settings(max_examples=40, deadline=None)
@given(HOUSES)
def test_the_nearest_place_on_the_diagonal_is_the_one_shapely_finds(house):
    """By trial with shapely: the turned appliance steps along the diagonal until no member is touched."""
    plan = plan_of(
        **house,
        placement="corner",
        wall_to_flue_centre=None,
        rear_wall=None,
        left_wall=None,
        right_wall=None,
        appliance=BODY,
    )
    body, flue = _standing(BODY["width"], BODY["depth"], BODY["back_to_flue_centre"], BODY["width"] / 2)
    body, flue = (affinity.translate(one, house["corner_wall"], house["corner_wall"]) for one in (body, flue))
    upright = house["member_direction"] == "front to back"
    members = []
    for number in range(14):
        face = house["wall_to_first_member"] + number * house["member_spacing"]
        members.append(
            box(face, -1, face + 1.5 * INCH, 20) if upright else box(-1, face, 20, face + 1.5 * INCH)
        )

    framing = unary_union(members)

    def stands(square: float) -> bool:
        there, pipe = (affinity.translate(one, square, square) for one in (body, flue))
        keeps = min(there.distance(LEFT_WALL), there.distance(RIGHT_WALL)) >= 8 * INCH - 1e-9
        x, y = there.bounds[:2]
        room = house["front_space"] - 36 * INCH - square * math.sqrt(2)
        overhead = box(pipe.x - 7 * INCH, pipe.y - 7 * INCH, pipe.x + 7 * INCH, pipe.y + 7 * INCH)
        first = pipe.x if upright else pipe.y
        behind_first = first - 7 * INCH >= house["wall_to_first_member"] - 1e-9
        if not (keeps and room >= -1e-9 and min(x, y) > 0 and behind_first):
            return False
        return overhead.intersection(framing).area < 1e-9

    # The first place out of the corner, and into it, on a grid; the answer lies within one step of it.
    grid = [number * STEP for number in range(round(60 * INCH / STEP))]
    out = next((one for one in grid if stands(one)), None)
    into = next((-one for one in grid if one <= house["corner_wall"] and stands(-one)), None)
    position = finding(plan, "position")
    if out == 0:
        assert position.outcome is Outcome.PASS
        return
    assert position.outcome is Outcome.FAIL
    found = plan.nearest
    for walked, option in ((out, found and found.away_from_wall), (into, found and found.towards_wall)):
        if option is None:
            assert walked is None
        elif walked is not None:
            assert abs(option.move) <= abs(walked) + 1e-9
            assert abs(option.move) > abs(walked) - STEP - 1e-9
        else:
            # A place narrower than a step lies between two of the grid.
            assert stands(option.move) or stands(option.move + 1e-9) or stands(option.move - 1e-9)
