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


# Common practice (second-hand): brace when more than 5 ft above the roof.
@pytest.mark.parametrize(("ridge", "required"), [(9, False), (9.1, True)])
def test_brace_over_five_feet(ridge, required):
    found = termination_height("gable", pitch_angle(4), rulebook=US, ridge_distance=ridge * FOOT)
    assert found.brace_required is required
