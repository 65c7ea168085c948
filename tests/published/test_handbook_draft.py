"""Theoretical draft against published tables and examples."""

import pytest

from calcs.draft import theoretical_draft

INCH_OF_WATER = 249.09  # Pa, water at 60 F
FOOT = 0.3048
SEA_LEVEL = 101325.0


def _celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


# Steam, Its Generation and Use (public domain edition), table of draft per foot of height: outside air at
# 60 F and 14.7 lb/in2, in inches of water to four decimals.
@pytest.mark.parametrize(
    ("stack_gas", "inches"), [(350, 0.0053), (500, 0.0067), (600, 0.0075), (750, 0.0084)]
)
def test_the_draft_per_foot_is_the_handbooks(stack_gas, inches):
    draft = theoretical_draft(FOOT, _celsius(stack_gas), _celsius(60), SEA_LEVEL)
    assert draft / INCH_OF_WATER == pytest.approx(inches, abs=0.0001)


# The same handbook's example: 100 ft, 60 F outside, 500 F in the stack, 0.67 in.
def test_the_draft_of_a_hundred_feet_is_the_handbooks():
    draft = theoretical_draft(100 * FOOT, _celsius(500), _celsius(60), SEA_LEVEL)
    assert draft / INCH_OF_WATER == pytest.approx(0.67, abs=0.005)


# Textbook example of the kinetics of a chimney: 20 m, flue at 200 C, outside at 0 C, air: 107 Pa.
def test_the_draft_of_twenty_metres_is_the_textbooks():
    assert theoretical_draft(20, 200, 0, SEA_LEVEL) == pytest.approx(107, abs=0.5)


# ASHRAE Handbook, HVAC Systems and Equipment, chimney chapter: D = 0.2554 B H (1/To - 1/Tm), in. of water,
# with B in inches of mercury, H in feet and temperatures in degrees Rankine.
@pytest.mark.parametrize("height", [10, 25, 60])
@pytest.mark.parametrize("mean", [250, 400, 700])
@pytest.mark.parametrize("outside", [-10, 32, 70])
def test_it_agrees_with_the_inch_pound_relation(height, mean, outside):
    expected = 0.2554 * 29.92 * height * (1 / (outside + 459.67) - 1 / (mean + 459.67))
    draft = theoretical_draft(height * FOOT, _celsius(mean), _celsius(outside), 29.92 * 3386.389)
    assert draft / INCH_OF_WATER == pytest.approx(expected, rel=0.002)
