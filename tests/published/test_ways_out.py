"""The ways out of the house beside a flat ceiling, against plane geometry and the rules they rest on.

The second reckoning of a box or an opening cuts solid figures with shapely and knows no formula of the
calculations: plane geometry.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon, box

from calcs.roof import roof_passage
from calcs.routes.liner import flue_area, liner_outside, room_around
from calcs.routes.vault import box_height
from calcs.routes.wall import past_eaves
from calcs.rulebook import load_rulebook
from tests.calcs.houses import FOOT, INCH, finding
from tests.calcs.route_houses import route_plan

PITCHES = st.floats(0, 60)


def _slab(thickness: float, pitch: float) -> Polygon:
    """Roof and ceiling seen from the side: a long slab, its lower face through the origin."""
    flat = box(-50, 0, 50, thickness)
    return rotate(flat, -pitch, origin=(0, 0))


# Geometry: a plumb strip as wide as the box, cut out of the slab by shapely, spans the box's height.
@given(side=st.floats(0.2, 0.6), pitch=PITCHES, thickness=st.floats(0.05, 0.5))
def test_the_box_is_as_tall_as_the_strip_it_cuts_out_of_ceiling_and_roof(side, pitch, thickness):
    strip = box(-side / 2, -80, side / 2, 80).intersection(_slab(thickness, pitch))
    _, low, _, high = strip.bounds
    assert box_height(side, pitch, thickness, 0.0) == pytest.approx(high - low)


# Geometry: a plumb strip touches neither of two headers square to the rafters that stand so far apart.
@given(side=st.floats(0.2, 0.6), pitch=PITCHES, depth=st.floats(0.08, 0.3))
def test_headers_square_to_the_rafters_just_touch_the_plumb_box(side, pitch, depth):
    way = roof_passage(side, 0.0, pitch, 0.0, depth)
    strip = box(-side / 2, -80, side / 2, 80)
    # Seen with the deck's underside level: the downhill header on the right, the uphill one on the left.
    right = box(way.square_header_down, -depth, way.square_header_down + 0.05, 0)
    left = box(-way.square_header_up - 0.05, -depth, -way.square_header_up, 0)
    for header, inwards in ((right, -1), (left, 1)):
        turned = rotate(header, -pitch, origin=(0, 0))
        assert turned.intersection(strip).area == pytest.approx(0, abs=1e-9)
        nearer = rotate(translate(header, inwards * 1e-3), -pitch, origin=(0, 0))
        assert nearer.intersection(strip).area > 0


# Common practice: framing square, 6/12 is 13.42 in on 12; a 2x10 roof with 1/2 in board and deck, 14 in box.
def test_a_box_in_a_roof_of_2x10_at_six_in_twelve():
    assert box_height(14, math.degrees(math.atan(0.5)), 10.25, 3) == pytest.approx(
        3 + 10.25 * 13.416 / 12 + 7, abs=0.01
    )


# IRC R806.3 (from memory): 1 in of air between insulation and deck at the vents.
def test_irc_r806_3_asks_for_an_inch_of_air_over_the_insulation():
    limit = route_plan("vaulted ceiling").limits["rafter.vent_space"]
    assert limit.minimum == pytest.approx(INCH)
    assert limit.source.reference.endswith("R806.3")


# IRC R1003.9 (read): 3 ft over the passage; a flat roof beside a chimney outdoors, its edge taken for it.
def test_beside_a_flat_roof_the_outlet_stands_three_feet_over_the_edge():
    flat = {"roof_rise": 0.0, "roof_shape": "flat", "ridge_distance": None}
    plan = route_plan("through the wall", **flat)
    assert plan.limits["termination.above_edge"].minimum == pytest.approx(3 * FOOT)


# IRC R1003.9 (read): 2 ft over anything within 10 ft. Geometry: on 6/12 the roof rises 5 ft in 10 ft, counted
# from the chimney's outside, 10 in beyond the edge of eaves that reach 3 in.
def test_the_roof_within_ten_feet_of_a_chimney_outdoors_counts():
    plan = route_plan("through the wall")
    centre, edge = 10 * INCH, 3 * INCH
    highest = (10 * FOOT + 5 * INCH - (centre - edge)) * 0.5
    assert plan.limits["termination.above_edge"].minimum == pytest.approx(highest + 2 * FOOT)


# Geometry: a chimney clears the eaves by its clearance when its outside stands so far off the wall.
def test_past_the_eaves_the_clearance_is_left_to_their_edge():
    eaves = box(0, 0, 12 * INCH, 1)
    stands = past_eaves(12 * INCH, 2 * INCH)
    chimney = box(stands, -5, stands + 10 * INCH, 5)
    assert chimney.distance(eaves) == pytest.approx(2 * INCH)


# IRC M1803.3 (read): a quarter of an inch rise in a foot, from a collar 30 in high over 4 ft of run.
def test_a_thimble_lies_higher_than_the_collar_by_the_rise_of_the_run():
    plan = route_plan("through the wall", connector_run=4 * FOOT)
    assert plan.limits["thimble.height"].minimum == pytest.approx(31 * INCH)


# NFPA 211 (second-hand): at most two times the collar's area where a side is outdoors; IRC (read): three.
def test_a_flue_outdoors_may_be_twice_the_collar_indoors_three_times():
    collar = math.pi / 4 * (6 * INCH) ** 2
    for place, times in (("outside", 2), ("inside", 3)):
        most = route_plan("lined chimney", chimney_place=place).limits["flue.size"].maximum
        assert math.pi / 4 * most**2 == pytest.approx(times * collar)


# IRC R1003.14 (read): net area of an 8 x 12 clay liner 67 in2; arithmetic: rounded corners take the rest.
def test_the_net_area_of_a_clay_flue_is_no_more_than_that_of_its_inside():
    assert flue_area("rectangular", 6.75, 10.75) == pytest.approx(67, rel=0.1)


# Common practice, from memory: a 6 in liner with half an inch of insulation goes down an 8 x 8 in flue.
def test_an_insulated_six_inch_liner_goes_into_an_eight_inch_flue():
    assert room_around(8, liner_outside(6.25, 0.5)) == pytest.approx(0.375)


# IRC R1003.18 (from memory): 2 in of air to combustibles indoors, 1 in outdoors; NBC 9.21.5.1 50 mm and 12 mm
# (memory); Approved Document J 40 mm (memory).
@pytest.mark.parametrize(
    ("code", "inside", "outside"), [("us", 2 * INCH, INCH), ("ca", 0.05, 0.012), ("uk", 0.04, 0.04)]
)
def test_masonry_keeps_its_distance_to_what_burns(code, inside, outside):
    book = load_rulebook(code)
    assert book.value("liner.masonry_clearance.inside") == pytest.approx(inside)
    assert book.value("liner.masonry_clearance.outside") == pytest.approx(outside)


# NFPA 211 (second-hand): another appliance asks for an inspection of level 2.
def test_nfpa_211_asks_for_level_2_before_another_appliance():
    told = finding(route_plan("lined chimney", flue_inspection="not done"), "inspection").sentence
    assert "level 2" in told
    assert "NFPA 211" in told
