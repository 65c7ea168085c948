"""Height of the outlet in published worked cases."""

import math

import pytest

from calcs.roof import pitch_angle
from calcs.rulebook import load_rulebook
from calcs.survey import Obstacle
from calcs.termination import termination_height

INCH = 0.0254
FOOT = 12 * INCH
US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))


# IRC R1003.9 (second-hand), 4/12 roof, ridge 7 ft away: 28 in + 24 in = 52 in.
def test_irc_r1003_9_four_in_twelve():
    found = termination_height("gable", pitch_angle(4), rulebook=US, ridge_distance=7 * FOOT)
    assert found.height_above_penetration / INCH == pytest.approx(52, abs=0.5)


# IRC R1003.9 (second-hand), 12/12 roof, ridge 2 ft away: 4 ft.
def test_irc_r1003_9_twelve_in_twelve():
    found = termination_height("gable", pitch_angle(12), rulebook=US, ridge_distance=2 * FOOT)
    assert found.height_above_penetration / FOOT == pytest.approx(4, abs=0.05)


# IRC R1003.9 (read): 3 ft above the highest point where it passes through the roof.
def test_irc_r1003_9_flat_roof():
    assert termination_height("flat", 0, rulebook=US).height_above_penetration / FOOT == pytest.approx(3)


# IRC R1003.9 (read): any part of a building within 10 ft counts, the roof surface too, ridge or no ridge.
# 12/12 and the ridge 15 ft away: 10 ft + 2 ft.
def test_irc_r1003_9_roof_surface_within_ten_feet():
    found = termination_height("gable", pitch_angle(12), rulebook=US, ridge_distance=15 * FOOT)
    assert found.height_above_penetration / FOOT == pytest.approx(12)


# IRC R1003.9 (read): 2 ft above a part of the building within 10 ft.
def test_irc_r1003_9_part_of_a_building():
    dormer = Obstacle("dormer", 9 * FOOT, 5 * FOOT)
    found = termination_height("flat", 0, rulebook=US, obstacles=[dormer])
    assert found.height_above_penetration / FOOT == pytest.approx(7)


# NBC 9.21.4.4 (read): 900 mm, and 600 mm above any roof surface or structure within 3 m.
@pytest.mark.parametrize(
    ("shape", "pitch", "ridge", "millimetres"),
    [
        ("flat", 0.0, None, 900),
        ("gable", 45.0, 2.0, 2600),
        ("gable", 45.0, 5.0, 3600),
        ("gable", 10.0, 1.0, 900),
    ],
)
def test_nbc_9_21_4_4(shape, pitch, ridge, millimetres):
    found = termination_height(shape, pitch, rulebook=CA, ridge_distance=ridge)
    assert found.height_above_penetration * 1000 == pytest.approx(millimetres, abs=0.5)


# Approved Document J, Diagram 17, position A (read): at or within 600 mm of the ridge, 600 mm above it.
@pytest.mark.parametrize(("ridge", "metres"), [(0.0, 0.6), (0.6, 0.6 + 0.6 * math.tan(math.radians(40)))])
def test_adj_diagram_17_a(ridge, metres):
    found = termination_height("gable", 40, rulebook=UK, ridge_distance=ridge)
    assert found.height_above_penetration == pytest.approx(metres, abs=0.0005)


# Approved Document J, Diagram 17, elsewhere on the roof (figures from memory): 2300 mm level from the surface
# and 1000 mm above the highest point of intersection, or as high as the ridge.
@pytest.mark.parametrize(
    ("pitch", "ridge", "metres"),
    [
        (45.0, 5.0, 2.3),  # 2300 mm level from a 45 degree slope
        (45.0, 1.5, 1.5),  # as high as the ridge
        (20.0, 6.0, 1.0),  # 2300 tan 20 = 837 mm, so 1000 mm over the intersection rules
        (20.0, 2.0, 0.728),  # as high as the ridge
    ],
)
def test_adj_diagram_17_elsewhere(pitch, ridge, metres):
    found = termination_height("gable", pitch, rulebook=UK, ridge_distance=ridge)
    assert found.height_above_penetration == pytest.approx(metres, abs=0.0005)


# Approved Document J, Diagram 17 (read): within 2300 mm of an opening 1000 mm above its top; of an adjacent
# building 600 mm above it.
def test_adj_diagram_17_openings_and_buildings():
    opening = termination_height("flat", 0, rulebook=UK, openings=[Obstacle("rooflight", 2.3, 0.2)])
    building = termination_height("flat", 0, rulebook=UK, obstacles=[Obstacle("gable wall", 2.3, 2.0)])
    assert opening.height_above_penetration == pytest.approx(1.2)
    assert building.height_above_penetration == pytest.approx(2.6)


# Approved Document J, Diagram 18 (read): thatch or shingles, near the ridge, 1800 mm above the weather
# surface and 600 mm above the ridge.
def test_adj_diagram_18():
    found = termination_height("gable", 50, rulebook=UK, ridge_distance=0.4, covering="thatch")
    assert found.height_above_penetration == pytest.approx(1.8)


# Approved Document J, Diagram 17 (read): 600 mm above any part of a building within 2300 mm, 1000 mm above
# the top of an opening within 2300 mm. That the distance counts from the outside of the chimney is from
# memory.
@pytest.mark.parametrize(
    ("kind", "distance", "metres"),
    [
        ("neighbour", 2.40, 2.6),  # 2300 mm from the outside of a 200 mm chimney
        ("neighbour", 2.41, 1.0),
        ("opening", 2.40, 3.0),
        ("opening", 2.41, 1.0),
        ("dormer", 2.40, 2.6),  # the house's own dormer taken as an adjacent building
    ],
)
def test_adj_diagram_17_distances(kind, distance, metres):
    beside = [Obstacle("part", distance, 2.0, kind)]
    found = termination_height("flat", 0, rulebook=UK, outer_diameter=0.2, obstacles=beside)
    assert found.height_above_penetration == pytest.approx(metres)


# Approved Document J, Diagram 17, position C (from memory): below an openable rooflight or window on a
# pitched roof 1000 mm above its top, at any distance.
def test_adj_diagram_17_below_an_opening():
    above = [Obstacle("rooflight", 4.0, 2.5, "opening")]
    found = termination_height("gable", 35, rulebook=UK, ridge_distance=5, openings_uphill=above)
    assert found.height_above_penetration == pytest.approx(3.5)


# Approved Document J, Diagram 18, elsewhere (from memory): 1800 mm above the weather surface and 2300 mm
# level from it.
@pytest.mark.parametrize(("pitch", "metres"), [(30.0, 1.8), (50.0, 2.741)])
def test_adj_diagram_18_elsewhere(pitch, metres):
    found = termination_height("gable", pitch, rulebook=UK, ridge_distance=6, covering="thatch")
    assert found.height_above_penetration == pytest.approx(metres, abs=0.0005)


# Approved Document J (read): a flue at least 4.5 m high. The appliance's outlet 2.9 m below the roof leaves
# 1.6 m.
def test_adj_least_height_of_a_flue():
    found = termination_height("flat", 0, rulebook=UK, foot_below=2.9)
    assert found.height_above_penetration == pytest.approx(1.6)
    assert found.governed_by == "flue height"


# IRC R1003.9 (read): the highest point where it passes through the roof is on the pipe's uphill side. 12/12,
# 8 in pipe, ridge 6 ft away: 72 - 4 + 24 in above it, 4 in more above the flue's centre.
def test_irc_r1003_9_counts_from_the_uphill_side():
    found = termination_height(
        "gable", pitch_angle(12), rulebook=US, ridge_distance=6 * FOOT, outer_diameter=8 * INCH
    )
    assert found.height_above_penetration / INCH == pytest.approx(92)
    assert found.height_above_centre / INCH == pytest.approx(96)


# IRC R1003.9 (read), any part of a building within 10 ft: on a hip roof the ridge may lie out of reach though
# its line does not. 12/12, that line 8 ft uphill, eaves 3 ft below, the hipped end's eaves 4 ft away: the
# ridge begins 7 ft to the side, 10.6 ft off; the hip, at 1 ft - y along the ridge, leaves the circle at
# y = (1 + sqrt(199)) / 2 = 7.553 ft.
def test_irc_r1003_9_on_a_hip_roof():
    found = termination_height(
        "hip", pitch_angle(12), rulebook=US, ridge_distance=8 * FOOT, eaves_distance=3 * FOOT,
        hip_distance=4 * FOOT,
    )  # fmt: skip
    assert found.height_above_penetration / FOOT == pytest.approx((1 + math.sqrt(199)) / 2 + 2)


# Common practice (second-hand): brace when more than 5 ft above the roof.
@pytest.mark.parametrize(("ridge", "required"), [(9, False), (9.1, True)])
def test_brace_over_five_feet(ridge, required):
    found = termination_height("gable", pitch_angle(4), rulebook=US, ridge_distance=ridge * FOOT)
    assert found.brace_required is required
