"""Wind, air supply and fittings."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.flue_fittings import (
    FITTINGS,
    air_supply_resistance,
    attic_temperature,
    in_poor_place,
    wind_pressure,
)
from calcs.survey import Obstacle


def test_a_sharper_elbow_resists_more():
    angles = [FITTINGS[f"elbow {angle}"].zeta for angle in (15, 30, 45, 90)]
    assert angles == sorted(set(angles))


def test_vents_to_the_outside_take_a_pascal_less():
    assert air_supply_resistance(None) == air_supply_resistance(0.0) == 4.0
    assert air_supply_resistance(0.01) == 3.0


@pytest.mark.parametrize(("outside", "attic"), [(-30.0, 0.0), (0.0, 0.0), (25.0, 25.0)])
def test_an_attic_is_never_colder_than_freezing_nor_than_the_day(outside, attic):
    assert attic_temperature(outside) == attic


@pytest.mark.parametrize(
    ("above", "pitch", "ridge", "poor"),
    [
        # On a roof of 45 degrees, the ridge 2 m away and 2 m higher.
        (1.0, 45.0, 2.0, True),
        (2.39, 45.0, 2.0, False),
        # 2.3 m level across from the roof it is out of its reach.
        (2.29, 45.0, 5.0, True),
        (2.31, 45.0, 5.0, False),
        (1.0, 40.0, 2.0, False),
        (0.5, 0.0, None, False),
    ],
)
def test_an_outlet_beside_a_steep_roof_stands_in_a_poor_place(above, pitch, ridge, poor):
    assert in_poor_place(above, pitch, ridge) is poor


@pytest.mark.parametrize(
    ("pitch", "ridge", "poor"), [(30.0, 3.0, True), (30.0, 0.9, False), (25.0, 3.0, False)]
)
def test_a_milder_roof_counts_when_the_air_comes_from_beyond_the_ridge(pitch, ridge, poor):
    assert in_poor_place(0.5, pitch, ridge, air_from_other_side=True) is poor
    assert in_poor_place(0.5, pitch, ridge) is False


@pytest.mark.parametrize(
    ("distance", "height", "kind", "poor"),
    [
        (10.0, 2.8, "neighbour", True),
        (10.0, 2.7, "neighbour", False),
        (15.0, 20.0, "neighbour", False),
        (10.0, 20.0, "opening", False),
    ],
)
def test_a_structure_that_rises_over_the_outlet_makes_the_place_poor(distance, height, kind, poor):
    # 10 m away, 10 degrees are 1.76 m; the outlet stands 1 m above the roof.
    assert in_poor_place(1.0, 10.0, 5.0, [Obstacle("barn", distance, height, kind)]) is poor


@given(st.floats(0, 5), st.floats(0, 5), st.floats(1, 60), st.floats(0, 20))
def test_no_outlet_gets_into_a_poor_place_by_being_raised(one, other, pitch, ridge):
    low, high = sorted((one, other))
    barn = [Obstacle("barn", 8.0, 3.0)]
    assert in_poor_place(high, pitch, ridge, barn) <= in_poor_place(low, pitch, ridge, barn)


@pytest.mark.parametrize(("exposure", "pascals"), [("inland", 25.0), ("coast", 40.0), ("", 40.0)])
def test_the_wind_presses_on_a_poor_place_alone(exposure, pascals):
    assert wind_pressure(True, exposure) == pascals
    assert wind_pressure(False, exposure) == 0.0


def test_an_unknown_exposure_is_refused():
    with pytest.raises(ValueError, match=r"^exposure:"):
        wind_pressure(True, "desert")
